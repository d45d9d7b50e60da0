"""Gathers from a bench what ``sim.senses`` makes words of, and lays a hand on it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from math import pi
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.course import air_out, air_through
from sim.happenings import STALLED_RAD_S
from sim.kernel import coil_inlet
from sim.layout import LinkPlan, cell_names
from sim.magnets import CHATTER_MOVES, CHATTER_S
from sim.measure import STANDING_RAD_S
from sim.parts import float_valve
from sim.parts.fan import Fan
from sim.psychrometrics import dew_point_k
from sim.rig import OUTSIDE
from sim.senses import (
    HEARD_S,
    HUM_PER_CYCLE,
    LEAST_HISS_PA,
    Senses,
    Sign,
    Spot,
    Surface,
    air_sign,
    fan_sign,
    feel_of,
    skin_of_cell,
    skin_of_pipe,
    stream_sign,
)
from sim.watching import SLUG_KG_S

Floats = NDArray[np.float64]

if TYPE_CHECKING:
    from sim.bench import Bench

ALWAYS = ("solenoid_valve", "capillary", "hand_expansion_valve", "thermostatic_valve", "float_valve", "reversing_valve", "fan")  # fmt: skip
"""Kinds whose silence or standstill says something; others are listed when there is something to tell."""
NEARLY = 0.02  # guess: with so little of the other phase a vessel's pipe still draws one alone
LEAST_HUM_W = 1.0  # guess: an open winding leaks a little in the model; below a watt none is heard
CONTACTS = ("contact", "trip")
"""Events that one hears as a click."""


class Gathering:
    """One look round. ``bench.watch`` must belong to this instant."""

    def __init__(self, bench: Bench, readings: Mapping[str, float | str]) -> None:
        self.bench, self.rig, self.readings = bench, bench.rig, readings
        self.P, self.F, self.y = bench.watch.P, bench.watch.F, bench.watch.y
        self.plant = bench.plant
        self.room_k = float(self.plant.glob[c.G_ROOM_T])
        self.atmosphere_pa = float(self.plant.glob[c.G_ATMOSPHERE])
        self.dew_k = float(dew_point_k(self.plant.glob[c.G_ROOM_W], self.atmosphere_pa))
        self.hum = HUM_PER_CYCLE * float(self.plant.glob[c.G_HERTZ])
        self.reach, self.coils, self.home = bench.reach, bench.reach.coils, bench.reach.home
        self.signs: dict[str, list[Sign]] = defaultdict(list)
        for gather in (self.machine, self.streams, self.fans, self.coil_hums, self.clicks, self.glasses, self.positions, self.damage):  # fmt: skip
            gather()

    # --- ear -----------------------------------------------------------------------------------

    def machine(self) -> None:
        """Runs, hums, knocks."""
        machine = next((p for p in self.rig.parts if p.tag == self.bench.machine_tag), None)
        if machine is None:
            return
        signs, state = self.signs[machine.ports[0].node], self.plant.machine_i[3]
        speed = float(self.y[state]) if state >= 0 else 0.0
        if state >= 0 and self.bench.supply.motor_on() and speed < STALLED_RAD_S:
            signs.append(Sign("hums", self.hum))
        elif speed > STANDING_RAD_S:
            signs.append(Sign("runs", speed / (2.0 * pi)))
        sensors = [m.sensor for m in self.bench.watching.monitors if m.name == "slug"]
        drawn = max((float(self.bench.watch.value[k]) for k in sensors), default=0.0)
        if drawn > SLUG_KG_S:
            signs.append(Sign("knocks", drawn))

    def streams(self) -> None:
        """Every stream that loses pressure."""
        for k, plan in enumerate(self.bench.layout.plans):
            flow = float(self.F[k, 0])
            if flow == 0.0 or plan.tag.partition(".")[0] in self.coils:
                continue
            sign = self.stream(plan, flow)
            if sign is None:
                continue
            inside = plan.kind == c.RELIEF and plan.end.node != OUTSIDE
            place = plan.end.node if inside else plan.tag.partition(".")[0]
            self.signs[place].append(Sign("lifted", sign.value) if plan.kind == c.RELIEF else sign)

    def stream(self, plan: LinkPlan, flow: float) -> Sign | None:
        """What one of them sounds like."""
        start, end = (plan.start, plan.end) if flow > 0.0 else (plan.end, plan.start)
        before = self.P[self.bench.layout.nodes[start.node]]
        outside = end.node == OUTSIDE
        drop = float(before[c.P_P]) - (self.atmosphere_pa if outside else float(self.P[self.bench.layout.nodes[end.node], c.P_P]))  # fmt: skip
        if drop < LEAST_HISS_PA:
            return None
        void, volume, enthalpy = drawn_off(before, start.height)
        if outside:
            return stream_sign(abs(flow) * drop * volume, void, 1.0)
        row = self.P[self.bench.layout.nodes[end.node]]
        vapour = min(max((enthalpy - row[c.P_HLS]) / row[c.P_HFG], 0.0), 1.0)
        behind = row[c.P_VLS] + vapour * (row[c.P_VVS] - row[c.P_VLS])
        power = abs(flow) * drop * 0.5 * (volume + behind)
        return stream_sign(float(power), void, float(vapour * row[c.P_VVS] / behind))

    def coil_hums(self) -> None:
        """Armatures held in."""
        supply = self.bench.supply
        valves = [p.tag for p in self.rig.parts if p.kind in ("solenoid_valve", "reversing_valve")]
        held = {tag for tag in valves if supply.energised(tag)}
        silent = {coil.name for coil in supply.coils if coil.row == c.FEED_RELAY}
        if (wired := self.bench.happenings.wired) is not None:
            silent |= set(wired.timers.timers)
        for tag in sorted(held | (set(supply.seated) - silent)):
            self.signs[tag.partition(".")[0]].append(Sign("coil hums", self.hum))

    def clicks(self) -> None:
        """Contacts that have just moved, and a contactor that cannot make up its mind."""
        now, moved = self.bench.time_s, self.bench.happenings.magnets.moved
        if len(moved) >= CHATTER_MOVES and now - moved[-1] <= CHATTER_S:
            self.signs["K1"].append(Sign("chatters"))
        for event in reversed(self.bench.events):
            if now - event.time_s > HEARD_S:
                break
            heard = {sign.what for sign in self.signs.get(event.tag, ())}
            if event.kind in CONTACTS and not heard & {"clicks", "chatters"}:
                self.signs[event.tag].append(Sign("clicks", now - event.time_s))

    # --- eye, and a hand in the air ----------------------------------------------------------------

    def fans(self) -> None:
        """Blades, and the air behind their coils."""
        for placed in self.rig.parts:
            if isinstance(placed.part, Fan):
                drive = self.bench.supply.fan(placed.tag)
                self.signs[placed.tag].append(
                    fan_sign(drive.speed, drive.share, placed.tag in self.bench.appliance.backwards)
                )
                if drive.speed <= 0.0 and drive.watts > LEAST_HUM_W:
                    self.signs[placed.tag].append(Sign("hums", self.hum))
        for tag, coil in self.coils.items():
            k = self.bench.layout.coils[tag]
            warmer = (
                air_out(self.y, self.P, self.plant, k)[0] - coil_inlet(self.y, self.plant, k)[0]
            )
            share = air_through(self.y, self.plant, k) / coil.nominal_air_flow_kg_s
            self.signs[tag].append(air_sign(float(warmer), float(share)))

    def glasses(self) -> None:
        """Sight glasses and level glasses."""
        for instrument in self.rig.instruments:
            if not instrument.node or instrument.kind not in ("glass", "level"):
                continue
            if instrument.kind == "level":
                void = float(self.P[self.bench.layout.nodes[instrument.node], c.P_VOID])
                sign = Sign("level", 1.0 - void)
            else:
                seen = str(self.readings[f"sight_glass_{instrument.tag}"])
                sign = Sign("clear" if seen == "empty" else seen)
            self.signs[self.home.get(instrument.node, instrument.node)].append(sign)

    def positions(self) -> None:
        """The reversing slide, and a float behind a glass."""
        glazed = {i.node for i in self.rig.instruments if i.kind == "level"}
        for name, index in self.bench.layout.slow.items():
            if name.endswith(".slide"):
                self.signs[name.rpartition(".")[0]].append(Sign("slide", float(self.y[index])))
        for k, plan in enumerate(self.bench.layout.plans):
            if plan.kind == c.FLOAT and plan.senses in glazed:
                level = 1.0 - self.P[self.bench.layout.nodes[plan.senses], c.P_VOID]
                lift = float_valve.lift(self.plant.link[k, c.L_PART :], level)
                self.signs[plan.tag].append(Sign("float", 1.0 - float(lift)))

    def damage(self) -> None:
        """What has burst."""
        for name in self.bench.happenings.damage:
            if name in self.bench.layout.nodes:
                self.signs[self.home.get(name, name)].append(Sign("blows"))

    # --- hand ----------------------------------------------------------------------------------

    def wall(self, node: str) -> float:
        """Temperature of a node's metal, K."""
        return float(self.y[self.bench.layout.wall_start + self.bench.layout.walls[node]])

    def surface(self, node: str) -> Surface:
        """A pipe or vessel."""
        t = self.wall(node)
        return Surface(node, t, feel_of(t, self.room_k), skin_of_pipe(t, self.dew_k))

    def cells(self, tag: str) -> tuple[Surface, ...]:
        """A coil, cell by cell."""
        coil, k = self.coils[tag], self.bench.layout.coils[tag]
        dew = float(dew_point_k(coil_inlet(self.y, self.plant, k)[1], self.atmosphere_pa))
        first, area = int(self.plant.coil_i[k, c.CI_FROST]), float(self.plant.coil[k, c.C_FIN_AREA])
        found = []
        for i, node in enumerate(cell_names(coil)):
            t, frost = self.wall(node), max(float(self.y[first + i]) / area, 0.0)
            found.append(Surface(node, t, feel_of(t, self.room_k), skin_of_cell(t, dew, frost), frost))  # fmt: skip
        return tuple(found)

    # --- all of it ---------------------------------------------------------------------------------

    def senses(self) -> Senses:
        """Place after place."""
        slide = self.plant.slide_i[2]
        heating = bool(slide >= 0 and self.y[slide] > 0.5)
        spots: dict[str, Spot] = {}
        for place in self.reach.heating if heating else self.reach.cooling:
            spots[place] = self.node_spot(place)
            for placed in self.reach.beside[place]:
                if placed.kind in ALWAYS or self.signs.get(placed.tag):
                    spots.setdefault(placed.tag, self.part_spot(placed.tag))
        for place, signs in self.signs.items():
            if signs and place not in spots:
                spots[place] = self.part_spot(place)
        return Senses(tuple(spots.values()), self.room_k, self.dew_k)

    def shut_in(self, coil: str) -> bool:
        """Does the coil breathe the closed load box?"""
        return coil in self.coils and bool(self.plant.coil_i[self.bench.layout.coils[coil], c.CI_BOX])  # fmt: skip

    def node_spot(self, place: str) -> Spot:
        """A vessel, a pipe or a coil."""
        signs, what = tuple(self.signs.get(place, ())), self.reach.what[place]
        if place in self.coils:
            return Spot(place, what, self.cells(place), signs, frozenset((place,)), self.shut_in(place))  # fmt: skip
        return Spot(place, what, (self.surface(place),), signs, self.reach.tags[place])

    def part_spot(self, tag: str) -> Spot:
        """A part, switch or contactor without metal of its own."""
        wired = self.bench.happenings.wired
        what = self.reach.what.get(tag, "")
        if not what and wired is not None:
            what = next((d.what for d in wired.supply.wiring.devices if d.tag == tag), "")
        inside = self.shut_in(self.reach.coil_of_fan.get(tag, ""))
        tags = frozenset((tag, self.reach.switch_of.get(tag, tag)))
        return Spot(tag, what, (), tuple(self.signs.get(tag, ())), tags, inside)


def drawn_off(row: Floats, height: str) -> tuple[float, float, float]:
    """(void, m3/kg, J/kg) of what a pipe takes from a node: from a vessel's bottom liquid, from its top gas, as long as there is some."""
    void = float(row[c.P_VOID])
    if height == "bottom" and void < 1.0 - NEARLY:
        return 0.0, 1.0 / float(row[c.P_RHOL]), float(row[c.P_HL])
    if height == "top" and void > NEARLY:
        return 1.0, 1.0 / float(row[c.P_RHOV]), float(row[c.P_HV])
    density = float(row[c.P_RHOL]) * (1.0 - void) + float(row[c.P_RHOV]) * void
    return void, 1.0 / density, float(row[c.P_H])


def senses_of(bench: Bench) -> Senses:
    """What can be felt, seen and heard of a bench now. Changes nothing."""
    return Gathering(bench, bench.readings()).senses()

"""The parameters that faults can change, and what writes a changed one into a bench.

A knob takes what all present faults together do to one parameter at one place, and writes it. Before that the tables are as on a sound plant, so removing a
fault needs no undoing. ``early`` knobs are written before handles and surroundings are, the others after. Pressures are absolute, shares are of the sound part.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from sim import columns as c
from sim.misreading import (  # fmt: skip
    write_backwards,
    write_bare,
    write_lag,
    write_offset,
    write_scale,
    write_swapped,
)
from sim.parts import compressor, float_valve, relief_valve, reversing_valve, thermostatic_valve
from sim.rig import OUTSIDE

if TYPE_CHECKING:
    from sim.bench import Bench


@dataclass
class Combined:
    """What all present faults together do to one parameter: factors multiply, offsets add, a set wins (of two the smaller)."""

    factor: float = 1.0
    offset: float = 0.0
    fixed: float | None = None

    def set(self, value: float) -> None:
        """Fix it; of two values the smaller stays."""
        self.fixed = value if self.fixed is None else min(self.fixed, value)

    def of(self, base: float) -> float:
        """The parameter, when a sound part has ``base``."""
        return base * self.factor + self.offset if self.fixed is None else self.fixed


Write = Callable[["Bench", str, Combined], None]


@dataclass(frozen=True)
class Knob:
    """A parameter: what it is, its unit, the values at full severity that make sense, how it can be changed, what writes it."""

    what: str
    unit: str
    low: float
    high: float
    ways: tuple[str, ...]
    write: Write
    early: bool = False
    wired: bool = False
    """Does it live in the circuit?"""
    instrument: bool = False
    """Does it live in what ``bench.wrong`` holds, which no save keeps?"""


def links_of(bench: Bench, place: str) -> list[int]:
    """Links at a place: a part's own, those that end in a node, or the one in which a hand valve lies."""
    layout = bench.layout
    if place in layout.links:
        return [layout.links[place]]
    plans = list(enumerate(layout.plans))
    if place in layout.nodes:
        return [k for k, plan in plans if plan.end.node == place and plan.end.node != OUTSIDE]
    return [k for k, plan in plans if place in plan.handles]


def write_area(bench: Bench, place: str, change: Combined) -> None:
    """Share of the flow area."""
    for k in links_of(bench, place):
        row = bench.plant.link[k]
        row[c.L_OPENING] = max(change.of(row[c.L_OPENING]), 0.0)


def write_seat_leak(bench: Bench, place: str, change: Combined) -> None:
    """Share of its area that a shut hand valve passes."""
    bench.appliance.seat_leak[place] = change.of(0.0)


def part_column(column: int) -> Write:
    """Writes a column of a link's own part."""

    def write(bench: Bench, place: str, change: Combined) -> None:
        row = bench.plant.link[bench.layout.links[place]]
        row[c.L_PART + column] = change.of(row[c.L_PART + column])

    return write


def bulb_column(column: int) -> Write:
    """Writes a column of a bulb."""

    def write(bench: Bench, place: str, change: Combined) -> None:
        bulbs = [plan.tag for plan in bench.layout.plans if plan.kind == c.TXV]
        row = bench.plant.bulb[bulbs.index(place)]
        row[column] = max(change.of(row[column]), 0.0)

    return write


def write_equaliser(bench: Bench, place: str, change: Combined) -> None:
    """0: the diaphragm no longer feels the suction line but what creeps past the push rod from the valve's outlet."""
    if change.of(1.0) < 1.0:
        row = bench.plant.link_i[bench.layout.links[place]]
        row[c.LI_AUX] = row[c.LI_TO]


def write_hole(bench: Bench, place: str, change: Combined) -> None:
    """A hole to the room, m2."""
    bench.plant.node[bench.layout.nodes[place], c.N_VENT] += change.of(0.0)


# --- compressor and reversing valve ---


def write_discharge_leak(bench: Bench, place: str, change: Combined) -> None:
    """Leak of the discharge reed, m2."""
    bench.plant.wear[compressor.WEAR_DISCHARGE_LEAK] += change.of(0.0)


def write_pumping(bench: Bench, place: str, change: Combined) -> None:
    """Share of what is drawn in that is still delivered."""
    bench.plant.wear[compressor.WEAR_PUMPING] = 1.0 - change.of(1.0)


def write_drag(bench: Bench, place: str, change: Combined) -> None:
    """Torque of dry friction, N m."""
    row = bench.plant.machine
    row[compressor.C_FRICTION_DRY] = change.of(row[compressor.C_FRICTION_DRY])


def write_oil(bench: Bench, place: str, change: Combined) -> None:
    """Share of the oil that is in the shell."""
    row = bench.plant.machine
    row[compressor.C_OIL] = change.of(row[compressor.C_OIL])


def write_relief(bench: Bench, place: str, change: Combined) -> None:
    """Set pressure of a relief valve; its lift keeps its shares of it, and its monitors listen there."""
    row = bench.plant.link[bench.layout.links[place]]
    share = change.of(1.0)
    for column in (relief_valve.SET, relief_valve.BAND):
        row[c.L_PART + column] *= share


def write_drier(bench: Bench, place: str, change: Combined) -> None:
    """Share of its room for water that a drier has."""
    bench.moisture.drier_room_kg *= change.of(1.0)


def write_slide_leak(bench: Bench, place: str, change: Combined) -> None:
    """Leak from discharge to suction under the slide, m2."""
    row = bench.plant.link[bench.layout.links[f"{place}.leak"]]
    row[c.L_K] = change.of(row[c.L_K])
    row[c.L_OPENING] = float(row[c.L_K] > 0.0)


def slide_columns(*columns: int) -> Write:
    """Writes columns of the slide."""

    def write(bench: Bench, place: str, change: Combined) -> None:
        for column in columns:
            bench.plant.slide[column] = change.of(bench.plant.slide[column])

    return write


def write_pilot(bench: Bench, place: str, change: Combined) -> None:
    """Where the pilot drives the slide, whatever its coil does: 0 cooling, 1 heating."""
    bench.appliance.pilot = change.of(0.0)


# --- air and supply ---


def streams_at(bench: Bench, place: str) -> list[str]:
    """Air streams of a coil or a fan."""
    coils = [placed.part.air for placed in bench.rig.parts if placed.tag == place and hasattr(placed.part, "air")]  # fmt: skip
    return coils or [air.tag for air in bench.rig.airs if air.fan == place]


def write_air(bench: Bench, place: str, change: Combined) -> None:
    """Share of the fan's air."""
    for tag in streams_at(bench, place):
        bench.appliance.air_health[tag] *= change.of(1.0)


def write_film(bench: Bench, place: str, change: Combined) -> None:
    """Share of the air film."""
    bench.appliance.fouling[place] = 1.0 - change.of(1.0)


def write_inner_film(bench: Bench, place: str, change: Combined) -> None:
    """Share of the refrigerant's film in a coil."""
    cells = bench.plant.wall_i[:, c.WI_COIL] == bench.layout.coils[place]
    bench.plant.wall[cells, c.W_AREA] *= change.of(1.0)


def write_air_in(bench: Bench, place: str, change: Combined) -> None:
    """How much warmer the entering air is, K."""
    for tag in streams_at(bench, place):
        bench.appliance.air_warmer[tag] = change.of(0.0)


def write_volts(bench: Bench, place: str, change: Combined) -> None:
    """Supply voltage."""
    volts = change.of(bench.now.supply_voltage_v)
    bench.now = replace(bench.now, supply_voltage_v=volts)


def write_hertz(bench: Bench, place: str, change: Combined) -> None:
    """Supply frequency."""
    hertz = change.of(bench.now.supply_frequency_hz)
    bench.now = replace(bench.now, supply_frequency_hz=hertz)


# --- controls and instruments ---


def write_set_point(bench: Bench, place: str, change: Combined) -> None:
    """By how much a control works above its mark: Pa or K."""
    bench.controls.set_error[place] = change.of(0.0)


def write_branch(state: str) -> Write:
    """Puts a branch into a state; open wins over stuck closed, and both over more ohms."""

    def write(bench: Bench, place: str, change: Combined) -> None:
        bench.supply.spoil(place, state, change.of(0.0))

    return write


def write_bridge(bench: Bench, place: str, change: Combined) -> None:
    """Siemens from a terminal to the frame of its device."""
    bench.supply.spoil(place, "to-frame", change.of(0.0))


def write_value(unit: str) -> Write:
    """Factor on a branch's ohms or farads."""

    def write(bench: Bench, place: str, change: Combined) -> None:
        bench.supply.spoil(place, unit, change.of(1.0))

    return write


MULTIPLY, ADD, SET = ("multiply",), ("add",), ("set",)
ANY = (*MULTIPLY, *ADD, *SET)
KNOBS: dict[str, Knob] = {
    "area": Knob("flow area of a line, valve or device", "", 0.0, 5.0, ANY, write_area),
    "seat-leak": Knob("share of its area that a shut hand valve passes", "", 0.0, 1.0, ADD, write_seat_leak, early=True),
    "plug-leak": Knob("share of its area that a valve passes when its plug is shut", "", 0.0, 1.0, ADD, part_column(float_valve.LEAK)),
    "spring": Knob("spring of a thermostatic valve", "Pa", 0.0, 3e5, ANY, part_column(thermostatic_valve.SPRING)),
    "bulb-charge": Knob("share of a bulb's pressure", "", 0.0, 1.0, MULTIPLY, part_column(thermostatic_valve.CHARGE)),
    "bulb-contact": Knob("contact of a bulb with its pipe", "", 0.0, 1.0, MULTIPLY, bulb_column(thermostatic_valve.CONTACT)),
    "bulb-air": Knob("conductance from the room's air to a bulb", "W/K", 0.0, 5.0, ADD, bulb_column(thermostatic_valve.UA_AIR)),
    "equaliser": Knob("1: the diaphragm feels the suction line", "", 0.0, 1.0, SET, write_equaliser),
    "float": Knob("lift at which a float's needle is stuck", "", 0.0, 1.0, SET, part_column(float_valve.STUCK)),
    "hole": Knob("hole to the room", "m2", 0.0, 1e-6, ADD, write_hole),
    "discharge-leak": Knob("leak of the discharge reed", "m2", 0.0, 5e-6, ADD, write_discharge_leak),
    "pumping": Knob("share of the gas drawn in that is delivered", "", 0.05, 1.0, MULTIPLY, write_pumping),
    "drag": Knob("dry friction of the compressor", "N m", 0.0, 10.0, ADD, write_drag),
    "oil": Knob("share of its oil that is in the compressor's shell", "", 0.05, 1.0, MULTIPLY, write_oil),
    "drier-room": Knob("room for water in the drier", "", 0.0, 1.0, MULTIPLY, write_drier),
    "relief-set": Knob("set pressure of a relief valve", "", 0.2, 2.0, MULTIPLY, write_relief),
    "slide-leak": Knob("leak under a reversing valve's slide", "m2", 0.0, 2e-5, ADD, write_slide_leak),
    "slide-needs": Knob("pressure difference that moves the slide", "", 1.0, 1e6, MULTIPLY, slide_columns(reversing_valve.D_MIN, reversing_valve.D_MOVING)),
    "slide-travel": Knob("time the slide takes", "", 1.0, 1e4, MULTIPLY, slide_columns(reversing_valve.TRAVEL_S)),
    "pilot": Knob("where the pilot drives the slide", "", 0.0, 1.0, SET, write_pilot),
    "air": Knob("a fan's air", "", 0.0, 1.0, MULTIPLY, write_air),
    "backwards": Knob("1: a fan turns the wrong way", "", 0.0, 1.0, SET, write_backwards),
    "air-film": Knob("a coil's air film", "", 0.0, 1.0, MULTIPLY, write_film),
    "inner-film": Knob("a coil's film of refrigerant", "", 0.05, 1.0, MULTIPLY, write_inner_film),
    "air-in": Knob("how much warmer the air entering a coil is", "K", -40.0, 40.0, ADD, write_air_in),
    "volts": Knob("voltage of the supply", "", 0.0, 1.5, MULTIPLY, write_volts, early=True),
    "hertz": Knob("frequency of the supply", "", 0.7, 1.3, MULTIPLY, write_hertz, early=True),
    "set-point": Knob("by how much a control works above its mark", "Pa or K", -30e5, 30e5, ADD, write_set_point),
    "offset": Knob("by how much an instrument reads too high", "SI", -30e5, 30e5, ADD, write_offset, instrument=True),
    "scale": Knob("what an instrument shows over what it should", "", -2.0, 2.0, MULTIPLY, write_scale, instrument=True),
    "bare": Knob("share of the way to the room at which a thermometer reads", "", 0.0, 1.0, ADD, write_bare, instrument=True),
    "swapped": Knob("1: two thermometers have changed places", "", 0.0, 1.0, SET, write_swapped, instrument=True),
    "lag": Knob("lag of an instrument", "s", 0.0, 1e12, ADD, write_lag),
    "closed": Knob("1: a contact is stuck closed", "", 0.0, 1.0, SET, write_branch("stuck-closed"), wired=True),
    "open": Knob("1: a branch of the circuit is open", "", 0.0, 1.0, SET, write_branch("open"), wired=True),
    "series": Knob("resistance in series with a branch", "ohm", 0.0, 1e9, ADD, write_branch("series"), wired=True),
    "shaft": Knob("1: a fan's shaft is held", "", 0.0, 1.0, SET, write_branch("held"), wired=True),
    "ohm": Knob("a branch's resistance", "", 0.01, 100.0, MULTIPLY, write_value("ohm"), wired=True),
    "farad": Knob("a capacitor's capacitance", "", 0.01, 100.0, MULTIPLY, write_value("farad"), wired=True),
    "to-frame": Knob("conductance from a terminal to its device's frame", "S", 0.0, 10.0, ADD, write_bridge, wired=True),
}  # fmt: skip

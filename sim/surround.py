"""Puts commands and surroundings into the plant's tables: fans and air, valves, solenoids, supply, load box."""

from __future__ import annotations

from sim import columns as c
from sim.air import air_film_conductance
from sim.controls import Controls
from sim.layout import Layout, coil_tables
from sim.parts import fan, hand_expansion_valve, hand_valve
from sim.parts.coil import Coil
from sim.parts.fan import Fan
from sim.parts.hand_expansion_valve import HandExpansionValve
from sim.parts.hand_valve import HandValve
from sim.parts.reversing_valve import ReversingValve
from sim.parts.solenoid_valve import SolenoidValve
from sim.parts.thermostatic_valve import SPRING, ThermostaticValve
from sim.plant import Plant
from sim.psychrometrics import humidity_ratio_from_relative, saturated_humidity_ratio
from sim.rig import Rig
from sim.supply import FanDrive, Supply
from sim.surroundings import Surroundings
from sim.switches import LoadBox
from sim.tags import Setting


class Appliance:
    """Writes what hands and surroundings do into one plant's tables."""

    def __init__(self, rig: Rig, layout: Layout, plant: Plant) -> None:
        self.rig = rig
        self.layout = layout
        self.plant = plant
        self.valves = {p.tag: p.part for p in rig.parts if isinstance(p.part, HandValve | HandExpansionValve)}  # fmt: skip
        self.air_health = {air.tag: 1.0 for air in rig.airs}
        """Share of the fan's air that a fault leaves."""
        self.fouling = {coil.tag: 0.0 for coil in coil_tables(rig)}
        """Share of the air film that dirt takes."""
        self.backwards: set[str] = set()
        """Fans that turn the wrong way."""
        self.air_warmer: dict[str, float] = {}
        """By how much a stream's air enters warmer than its surroundings, K."""
        self.seat_leak: dict[str, float] = {}
        """Share of its area that a hand valve passes even when shut."""
        self.pilot: float | None = None
        """Where the reversing valve's pilot stands whatever its coil does; None when it follows."""

    def sound(self) -> None:
        """As without any fault."""
        self.air_health = dict.fromkeys(self.air_health, 1.0)
        self.fouling = dict.fromkeys(self.fouling, 0.0)
        self.backwards.clear()
        self.air_warmer.clear()
        self.seat_leak.clear()
        self.pilot = None

    def valve_openings(self, commands: dict[str, Setting]) -> None:
        """Openings of all links from the handles."""
        for k, plan in enumerate(self.layout.plans):
            shut = plan.tag.endswith(".leak") and self.plant.link[k, c.L_K] == 0.0
            opening = 0.0 if shut else 1.0
            for tag in plan.handles:
                part = self.valves[tag]
                handle = float(commands[tag])
                if isinstance(part, HandExpansionValve):
                    share = float(hand_expansion_valve.opening(part.row(), handle))
                else:
                    share = float(hand_valve.opening(part.row(), handle))
                opening *= max(share, self.seat_leak.get(tag, 0.0))
            self.plant.link[k, c.L_OPENING] = opening
            if isinstance(plan.part, ThermostaticValve):
                turns = float(commands[f"{plan.tag}.spring"])
                self.plant.link[k, c.L_PART + SPRING] = plan.part.spring_at(turns)

    def surroundings(self, now: Surroundings) -> None:
        """Room, supply, pressure of the air."""
        g = self.plant.glob
        g[c.G_ATMOSPHERE] = now.atmospheric_pressure_pa
        g[c.G_ROOM_T] = now.room_temperature_k
        g[c.G_ROOM_W] = self.room_humidity(now)
        g[c.G_VOLTS] = now.supply_voltage_v
        g[c.G_HERTZ] = now.supply_frequency_hz

    @staticmethod
    def room_humidity(now: Surroundings) -> float:
        """Humidity ratio of the room."""
        return float(
            humidity_ratio_from_relative(
                now.room_temperature_k, now.relative_humidity, now.atmospheric_pressure_pa
            )
        )

    def air(self, now: Surroundings, controls: Controls, supply: Supply) -> None:
        """Air through both coils, its temperature and the load box."""
        box = controls.box()
        closed = box is not None and controls.position[box.tag] != "open"
        for k, coil in enumerate(coil_tables(self.rig)):
            stream = next(a for a in self.rig.airs if a.tag == coil.air)
            boxed = stream.inlet == "load_box"
            given = now.evaporator_air_in_k if boxed else now.condenser_air_in_k
            t_in = now.room_temperature_k if given is None else given
            t_in += self.air_warmer.get(coil.air, 0.0)
            self.stream(k, coil, t_in, now, supply.fan(stream.fan))
            self.plant.coil_i[k, c.CI_BOX] = int(boxed and closed and given is None)
        self.load_box(box, closed, supply)

    def stream(self, k: int, coil: Coil, t_in: float, now: Surroundings, drive: FanDrive) -> None:
        """Flow and film of the air over coil k. Air colder than the room's dew point has lost water before it comes."""
        w_in = min(self.room_humidity(now), saturated_humidity_ratio(t_in, now.atmospheric_pressure_pa))  # fmt: skip
        stream = next(a for a in self.rig.airs if a.tag == coil.air)
        machine = self.rig.part(stream.fan).part
        assert isinstance(machine, Fan)
        health, pressure = drive.share * self.air_health[coil.air], now.atmospheric_pressure_pa
        flow = float(fan.dry_air_flow_kg_s(machine.row(), drive.speed, health, t_in, w_in, pressure))  # fmt: skip
        nominal, dirt = coil.nominal_air_flow_kg_s, self.fouling[coil.tag]
        film = float(air_film_conductance(flow, nominal, coil.air_conductance_w_k, dirt))
        row = self.plant.coil[k]
        row[c.C_AIR_FLOW] = flow / coil.cells
        row[c.C_UA_AIR] = film / coil.cells
        row[c.C_T_IN] = t_in
        row[c.C_W_IN] = w_in

    def load_box(self, box: LoadBox | None, closed: bool, supply: Supply) -> None:
        """The load box's walls, heater and air; a rig without one has an open box that nothing breathes."""
        g = self.plant.glob
        if box is None:
            g[c.G_BOX_CAPACITY], g[c.G_BOX_AIR] = 1.0, 1.0
            return
        g[c.G_BOX_CLOSED] = float(closed)
        g[c.G_BOX_HEAT] = supply.heater_w() + self.fan_heat(supply)
        g[c.G_BOX_UA] = box.wall_conductance_w_k
        g[c.G_BOX_CAPACITY] = box.heat_capacity_j_k
        g[c.G_BOX_AIR] = box.air_kg
        g[c.G_BOX_LEAK] = box.leak_kg_s

    def fan_heat(self, supply: Supply) -> float:
        """Heat of the fan that stands in the load box's stream, W."""
        boxed = [a.fan for a in self.rig.airs if a.inlet == "load_box" and a.fan]
        return sum(supply.fan(tag).watts for tag in boxed)

    def electrics(self, supply: Supply) -> None:
        """Solenoids, the reversing valve's pilot, and the compressor's contact (for one given by its map)."""
        g = self.plant.glob
        g[c.G_CONTACT] = float(supply.motor_on())
        for k, plan in enumerate(self.layout.plans):
            if isinstance(plan.part, SolenoidValve):
                on = supply.energised(plan.tag)
                self.plant.link[k, c.L_PART + c.SOLENOID_ENERGISED] = float(on)
        pilots = [p.tag for p in self.rig.parts if isinstance(p.part, ReversingValve)]
        driven = float(any(supply.energised(tag) for tag in pilots))
        g[c.G_PILOT] = driven if self.pilot is None else self.pilot

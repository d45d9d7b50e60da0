"""What a bench watches: sensors for instruments and controls, monitors for everything that happens by itself."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf

import numpy as np

from sim import columns as c
from sim.controls import BOX_LIMIT_DIFFERENCE_K, BOX_LIMIT_K
from sim.course import (
    SENSE_AIR_IN,
    SENSE_AIR_OUT,
    SENSE_BEYOND,
    SENSE_BURST,
    SENSE_DIFFERENCE,
    SENSE_FEED,
    SENSE_FLOAT,
    SENSE_LEVEL,
    SENSE_NODE,
    SENSE_PANEL,
    SENSE_SLUG,
    SENSE_STATE,
    Watch,
)
from sim.fluid import Fluid
from sim.layout import Layout, coil_tables
from sim.parts.motor import SinglePhaseMotor
from sim.parts.relief_valve import ReliefValve
from sim.parts.reversing_valve import ReversingValve
from sim.plant import Plant
from sim.rig import OUTSIDE, Instrument, Rig
from sim.supply import Coil
from sim.switches import HighPressureTrip, LoadBox, LowPressureControl, Thermostat

Sensor = tuple[int, int, int]

RISING, FALLING = 1.0, -1.0
SLIDE_THERE = 0.9
"""Share of its travel after which a slide has changed sides: both ports it leaves are covered by then."""
SLUG_KG_S = 2e-3  # guess: liquid that fills the clearance of a small cylinder at 3500 rpm (0.03 x 5.9 cm3 x 58/s x 1200 kg/m3 is 12 g/s; valves suffer before)

WINDINGS = {"main": "machine.winding", "start": "machine.start_winding"}
BURNT_K = 523.15  # common practice: enamelled wire chars in minutes at 250 degC
PANEL = {"current_a": 0, "power_w": 1, "power_factor": 2, "voltage_v": 3, "supply_voltage_v": 3}
EVAPORATOR = 1  # its number among the coils
COIL_AIR = {
    "evaporator_air_in_k": ("evaporator", SENSE_AIR_IN, 0),
    "evaporator_air_out_k": ("evaporator", SENSE_AIR_OUT, 0),
    "condenser_air_in_k": ("condenser", SENSE_AIR_IN, 0),
    "condenser_air_out_k": ("condenser", SENSE_AIR_OUT, 0),
    "evaporator_air_in_humidity_ratio": ("evaporator", SENSE_AIR_IN, 1),
    "evaporator_air_out_humidity_ratio": ("evaporator", SENSE_AIR_OUT, 1),
}


@dataclass
class Monitor:
    """Something that is compared with a threshold."""

    name: str
    sensor: int
    threshold: float
    direction: float
    armed: bool = True
    lagged: bool = False


class Watching:
    """Collects sensors and monitors by name and lays them out."""

    def __init__(self, rig: Rig, layout: Layout, plant: Plant, coils: tuple[Coil, ...]) -> None:
        self.rig = rig
        self.layout = layout
        self.plant = plant
        self.sensors: list[Sensor] = []
        self.taus: list[float] = []
        self.shown: dict[str, int] = {}
        """Instrument tag to its sensor."""
        self.monitors: list[Monitor] = []
        for instrument in rig.instruments:
            sensor = self.instrument_sensor(instrument)
            if sensor is not None:
                self.shown[instrument.tag] = self.add(sensor, instrument.lag_s)
        self.controls()
        self.machine()
        self.coil_sensors = {coil.name: self.coil(coil) for coil in coils}
        self.hazards()

    def add(self, sensor: Sensor, tau: float = 0.0) -> int:
        """Number of a sensor with this lag."""
        self.sensors.append(sensor)
        self.taus.append(tau)
        return len(self.sensors) - 1

    def monitor(self, name: str, sensor: int, threshold: float, direction: float, *, armed: bool = True, lagged: bool = False) -> None:  # fmt: skip
        """Watch a sensor for passing a threshold."""
        self.monitors.append(Monitor(name, sensor, threshold, direction, armed, lagged))

    def pressure(self, node: str) -> Sensor:
        """Sensor of a node's pressure."""
        return (SENSE_NODE, self.layout.nodes[node], c.P_P)

    def place_sensor(self, place: str) -> Sensor:
        """Sensor of a strap-on thermometer put somewhere: on the metal of a node, or into an air stream (its name with in or out)."""
        if place in self.layout.walls:
            return (SENSE_STATE, self.layout.wall_start + self.layout.walls[place], 0)
        tag, _, way = place.rpartition(" ")
        coil = next(k for k, coil in enumerate(coil_tables(self.rig)) if coil.air == tag)
        return (SENSE_AIR_IN if way == "in" else SENSE_AIR_OUT, coil, 0)

    def instrument_sensor(self, instrument: Instrument) -> Sensor | None:
        """Where an instrument is bolted."""
        reading = instrument.reading
        if instrument.kind == "glass":
            return None
        if reading in PANEL:
            return (SENSE_PANEL, 0, PANEL[reading])
        if reading in COIL_AIR:
            side, kind, which = COIL_AIR[reading]
            return (kind, EVAPORATOR if side == "evaporator" else 0, which)
        if reading in ("shell_temperature_k", "strap_on_temperature_k"):
            return self.place_sensor(instrument.node or self.rig.nodes[0].name)
        if instrument.kind == "flowmeter":
            link = self.layout.links[instrument.link]
            return (SENSE_FLOAT, link, self.layout.nodes[self.layout.plans[link].end.node])
        node = self.layout.nodes[instrument.node or self.rig.nodes[0].name]
        if instrument.kind == "level":
            return (SENSE_LEVEL, node, 0)
        return (SENSE_NODE, node, c.P_P if reading.endswith("_pa") else c.P_T)

    def controls(self) -> None:
        """Pressure controls, thermostats and the load box's limiter."""
        for switch in self.rig.switches:
            if isinstance(switch, HighPressureTrip):
                s = self.add(self.pressure(switch.tap))
                self.monitor(f"{switch.tag}.open", s, switch.set_pa, RISING)
            elif isinstance(switch, LowPressureControl):
                s = self.add(self.pressure(switch.tap))
                self.monitor(f"{switch.tag}.open", s, switch.set_pa, FALLING)
                self.monitor(f"{switch.tag}.close", s, switch.set_pa + switch.difference_pa, RISING, armed=False)  # fmt: skip
            elif isinstance(switch, Thermostat):
                s = self.add((SENSE_AIR_IN, 1, 0), switch.lag_s)
                self.monitor(f"{switch.tag}.open", s, switch.set_k, FALLING, lagged=True)
                self.monitor(f"{switch.tag}.close", s, switch.set_k + switch.difference_k, RISING, armed=False, lagged=True)  # fmt: skip
            elif isinstance(switch, LoadBox):
                s = self.add((SENSE_STATE, self.layout.slow["box.temperature"], 0))
                self.monitor(f"{switch.tag}.limit.open", s, BOX_LIMIT_K, RISING)
                self.monitor(f"{switch.tag}.limit.close", s, BOX_LIMIT_K - BOX_LIMIT_DIFFERENCE_K, FALLING, armed=False)  # fmt: skip

    def machine(self) -> None:
        """The motor's own protector, and liquid in the cylinder."""
        for placed in self.rig.parts:
            part = placed.part
            if isinstance(part, SinglePhaseMotor):
                s = self.add((SENSE_STATE, self.layout.slow["machine.bimetal"], 0))
                self.monitor("F1.open", s, part.overload_open_k, RISING)
                self.monitor("F1.close", s, part.overload_close_k, FALLING, armed=False)
                for which, state in WINDINGS.items():
                    s = self.add((SENSE_STATE, self.layout.slow[state], 0))
                    self.monitor(f"{which}.burn", s, BURNT_K, RISING)
                self.monitor("slug", self.add((SENSE_SLUG, 0, 0)), SLUG_KG_S, RISING)

    def coil(self, coil: Coil) -> int:
        """Sensor of an electromagnet, with monitors for pull-in and drop-out."""
        s = self.add((SENSE_FEED, coil.row, 0))
        self.monitor(f"{coil.name}.pull", s, coil.pull_in, RISING, armed=False)
        self.monitor(f"{coil.name}.drop", s, coil.drop_out, FALLING, armed=False)
        return s

    def hazards(self) -> None:
        """Relief valves, a slide that changes sides, bursting, leaving the tables."""
        for placed in self.rig.parts:
            if isinstance(placed.part, ReliefValve):
                start = self.layout.nodes[placed.ports[0].node]
                end = placed.ports[1].node
                other = -1 if end == OUTSIDE else self.layout.nodes[end]
                s = self.add((SENSE_DIFFERENCE, start, other))
                reseat = placed.part.set_pa * placed.part.reseat_share
                self.monitor(f"{placed.tag}.lift", s, placed.part.set_pa, RISING)
                self.monitor(f"{placed.tag}.reseat", s, reseat, FALLING, armed=False)
            elif isinstance(placed.part, ReversingValve):
                s = self.add((SENSE_STATE, self.layout.slow[f"{placed.tag}.slide"], 0))
                self.monitor(f"{placed.tag}.over", s, SLIDE_THERE, RISING)
                self.monitor(f"{placed.tag}.back", s, 1.0 - SLIDE_THERE, FALLING, armed=False)
        self.monitor("burst", self.add((SENSE_BURST, 0, 0)), 0.0, RISING)
        self.monitor("beyond-tables", self.add((SENSE_BEYOND, 0, 0)), 0.0, RISING)

    def watch(self) -> Watch:
        """The tables for the kernel."""
        n = len(self.sensors)
        fluid = Fluid.load(self.rig.fluid_name)
        states = self.layout.n_states
        floats = np.ones((n, 2))
        for one in self.rig.instruments:
            if one.kind == "flowmeter":
                floats[self.shown[one.tag]] = one.float_density_kg_m3, one.scale_density_kg_m3
        monitor = np.array([[m.threshold, m.direction, float(m.armed)] for m in self.monitors])
        return Watch(
            np.array(self.sensors, dtype=np.int64),
            np.array(self.taus),
            np.zeros(n),
            np.zeros(n),
            np.zeros(n),
            np.array([[m.sensor, int(m.lagged)] for m in self.monitors], dtype=np.int64),
            monitor,
            np.array([inf, 0.0]),
            np.array([fluid.t_high_k, fluid.t_low_k]),
            np.zeros(states),
            np.zeros(states),
            np.zeros((self.layout.n_nodes, c.P_COLUMNS)),
            np.zeros((len(self.layout.plans) + 1, 3)),
            np.zeros(n),
            np.zeros(2, dtype=np.complex128),
            np.full(n, -inf),
            floats,
        )

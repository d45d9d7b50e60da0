"""The whole bench at one instant, for a screen to draw: nobody changes it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import TYPE_CHECKING

from sim import columns as c
from sim.events import Event
from sim.senses import Senses
from sim.sensing import Gathering
from sim.tags import Setting
from sim.wiring.now import CircuitNow

if TYPE_CHECKING:
    from sim.bench import Bench


@dataclass(frozen=True, slots=True)
class Place:
    """State of the refrigerant in one node."""

    pressure_pa: float
    temperature_k: float
    quality: float
    void: float
    density: float
    metal_k: float
    """Temperature of its wall: warmer than the refrigerant, and what can boil there boils; colder, and it condenses."""


@dataclass(frozen=True, slots=True)
class Snapshot:
    """Readings, commands and pictures of one instant."""

    time_s: float
    seq: int
    readings: Mapping[str, float | str]
    commands: Mapping[str, Setting]
    places: Mapping[str, Place]
    flows: Mapping[str, float]
    levels: Mapping[str, float]
    positions: Mapping[str, float]
    slide: float
    """Of the reversing valve: 0 cooling, 1 heating; 0 on a rig without one."""
    events: tuple[Event, ...]
    running: bool
    tripped: Mapping[str, bool]
    circuit: CircuitNow | None
    """The wiring; None on a rig without one."""
    senses: Senses
    charged_with: str
    """The refrigerant that is in the plant: the instructor's to know."""


def snapshot_of(bench: Bench) -> Snapshot:
    """Look once and copy what a screen needs."""
    readings = bench.readings()
    P, F, y = bench.watch.P, bench.watch.F, bench.watch.y
    n = bench.layout.n_nodes
    places = {}
    for name, k in bench.layout.nodes.items():
        mass = sum(y[s * n + k] for s in range(bench.layout.n_species))
        density = float(mass / bench.plant.node[k, c.N_VOLUME])
        row = P[k]
        metal = float(y[bench.layout.wall_start + bench.plant.node_i[k, c.NI_WALL]])
        places[name] = Place(float(row[c.P_P]), float(row[c.P_T]), float(row[c.P_X]), float(row[c.P_VOID]), density, metal)  # fmt: skip
    flows = {tag: float(F[k, 0]) for tag, k in bench.layout.links.items()}
    if bench.machine_tag:
        flows[bench.machine_tag] = float(F[-1, 0])
    vessels = [node.name for node in bench.rig.nodes if node.kind == "vessel"]
    levels = {name: 1.0 - places[name].void for name in vessels}
    levels |= {i.tag: levels[i.node] for i in bench.rig.instruments if i.kind == "level"}
    positions = {
        name.rpartition(".")[0]: float(y[k])
        for name, k in bench.layout.slow.items()
        if name.endswith(".slide")
    }
    for k, plan in enumerate(bench.layout.plans):
        if plan.kind == c.SOLENOID:
            positions[plan.tag] = float(bench.plant.link[k, c.L_PART + c.SOLENOID_ENERGISED])
    at = bench.plant.slide_i[2]
    return Snapshot(
        bench.time_s,
        bench.sequence,
        MappingProxyType(readings),
        MappingProxyType(dict(bench.commands)),
        MappingProxyType(places),
        MappingProxyType(flows),
        MappingProxyType(levels),
        MappingProxyType(positions),
        float(y[at]) if at >= 0 else 0.0,
        tuple(bench.events),
        bool(readings.get("compressor_speed_rpm", 0.0)),
        MappingProxyType(bench.controls.tripped()),
        bench.supply.now(complex(bench.watch.current[0]), complex(bench.watch.current[1])),
        Gathering(bench, readings).senses(),
        bench.charged_with,
    )

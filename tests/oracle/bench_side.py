"""The bench's side of the comparison: a rig run until nothing moves, with other numbers of cells, and how far it is from the oracle."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

from sim import Bench, load_rig
from sim import columns as c
from sim.layout import cell_names, coil_tables
from sim.measure import View
from sim.rig import Device, Mode, Node, Rig
from sim.session import line_up
from tests.oracle.steady_plant import Plant, Steady

RIG = "fennick_bench"
SETTLE_S = 7200.0  # measured: pressures then move by less than 1 Pa a minute
SHUT_IN = ("receiver", "drier", "drum")
"""Nodes that the heating line-up cuts off from the active loop."""


def with_cells(rig: Rig, cells: int) -> Rig:
    """The rig with every coil cut into another number of cells."""
    nodes = [node for node in rig.nodes if not node.coil]
    new, last = {}, {}
    for coil in coil_tables(rig):
        new[coil.tag] = replace(coil, cells=cells)
        last[f"{coil.prefix}{coil.cells}"] = f"{coil.prefix}{cells}"
        share = coil.volume_m3 / cells
        nodes += [
            Node(name=name, volume_m3=share, coil=coil.tag, cell=k)
            for k, name in enumerate(cell_names(new[coil.tag]))
        ]
    parts = tuple(
        replace(
            placed,
            part=new.get(placed.tag, placed.part),
            ports=tuple(replace(p, node=last.get(p.node, p.node)) for p in placed.ports),
        )
        for placed in rig.parts
    )
    return replace(rig, nodes=tuple(nodes), parts=parts)


@cache
def steady_bench(device: Device, mode: Mode = "cooling", cells: int = 0) -> Bench:
    """The bench two hours after its line-up (``cells`` 0: as shipped). Shared: fork it before moving anything."""
    rig = load_rig(RIG)
    bench = Bench(with_cells(rig, cells) if cells else rig)
    line_up(bench, device, mode)
    bench.advance(SETTLE_S)
    return bench


def node_masses(bench: Bench) -> dict[str, float]:
    """Refrigerant in each node, kg."""
    mass: dict[str, float] = bench.ledger()["mass_kg"]
    return mass


def active_charge(bench: Bench) -> float:
    """Refrigerant in the loop that runs in heating, kg."""
    return sum(m for name, m in node_masses(bench).items() if name not in (*SHUT_IN, "outside"))


def oracle_for(bench: Bench, device: Device, mode: Mode = "cooling", **how: Any) -> Steady:
    """The oracle's steady state; in heating with the charge that the bench has in its loop."""
    charge = active_charge(bench) if mode == "heating" else 0.0
    return Plant(bench.rig, device, mode, **how).solve(charge)


def coil_charges(bench: Bench, mode: Mode = "cooling") -> tuple[float, float]:
    """Refrigerant in condenser and evaporator, kg."""
    mass = node_masses(bench)
    a, b = (sum(mass[name] for name in cell_names(coil)) for coil in coil_tables(bench.rig)[:2])
    return (b, a) if mode == "heating" else (a, b)


def deviations(bench: Bench, oracle: Steady, mode: Mode = "cooling") -> dict[str, float]:
    """Bench against oracle in percent: pressure at every node on the way, mass flow, charge of the coils."""
    view = View(bench)
    condenser, evaporator = coil_charges(bench, mode)
    pairs = {f"p {node}": (view.at(node, c.P_P), stream.p) for node, stream in oracle.nodes.items()}
    pairs["mass flow"] = (float(view.F[-1, 0]), oracle.machine.flow)
    pairs["condenser charge"] = (condenser, oracle.condenser.charge_kg)
    pairs["evaporator charge"] = (evaporator, oracle.evaporator.charge_kg)
    return {name: 100.0 * (float(a) / float(b) - 1.0) for name, (a, b) in pairs.items()}

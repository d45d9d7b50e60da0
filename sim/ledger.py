"""The books of a bench: where mass and energy are, by part, and how well they close."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sim import columns as c
from sim.parts import compressor, motor
from sim.plant import (
    LEDGER_AIR,
    LEDGER_ELECTRIC,
    LEDGER_FIXED,
    LEDGER_OUT_ENERGY,
    LEDGER_ROTOR,
    MACHINE_KIND,
    RECIPROCATING,
)
from sim.psychrometrics import HEAT_OF_FUSION_J_KG

if TYPE_CHECKING:
    from sim.bench import Bench


def frost_by_coil(bench: Bench) -> dict[str, float]:
    """kg of frost by coil, of the state in ``bench.watch.y``."""
    rows = bench.plant.coil_i
    first, cells = rows[:, c.CI_FROST], rows[:, c.CI_CELLS]
    return {tag: float(bench.watch.y[first[k] : first[k] + cells[k]].sum()) for tag, k in bench.layout.coils.items()}  # fmt: skip


def oil_held_kg(bench: Bench) -> float:
    """Refrigerant dissolved in the compressor's oil, of the state in ``bench.watch.y``."""
    index = bench.layout.slow.get("machine.oil")
    return 0.0 if index is None else float(bench.watch.y[index])


def stores(bench: Bench) -> tuple[dict[str, float], dict[str, float]]:
    """(kg by node and ``outside``, J by node, wall and other store) of the state in ``bench.watch.y``."""
    y, lay, plant = bench.watch.y, bench.layout, bench.plant
    n = lay.n_nodes
    mass = {name: float(sum(y[s * n + k] for s in range(lay.n_species))) for name, k in lay.nodes.items()}  # fmt: skip
    start = lay.ledger_start
    mass["oil"] = oil_held_kg(bench)
    mass["outside"] = float(sum(y[start + LEDGER_FIXED + s] for s in range(lay.n_species)))
    energy = {name: float(y[lay.energy_start + k]) for name, k in lay.nodes.items()}
    for name, k in lay.walls.items():
        energy[f"{name} wall"] = float(plant.wall[k, c.W_CAPACITY] * y[lay.wall_start + k])
    if "machine.winding" in lay.slow:
        capacity = plant.motor[motor.M_WINDING_HEAT]
        energy["winding"] = float(capacity * y[lay.slow["machine.winding"]])
        capacity = plant.motor[motor.M_START_HEAT]
        energy["start winding"] = float(capacity * y[lay.slow["machine.start_winding"]])
        energy["oil"] = float(plant.machine[compressor.C_OIL_ENTHALPY] * mass["oil"]) if plant.machine_i[MACHINE_KIND] == RECIPROCATING else 0.0  # fmt: skip
        energy["rotor"] = float(y[start + LEDGER_ROTOR])
    for tag, on_it in frost_by_coil(bench).items():
        # ice at 0 C against water at 0 C (ASHRAE Fundamentals ch. 1 eq. 35); below zero, so that frost books negative
        energy[f"{tag} frost"] = -HEAT_OF_FUSION_J_KG * on_it
    if plant.glob[c.G_BOX_CLOSED] > 0.0:
        energy["load box"] = float(plant.glob[c.G_BOX_CAPACITY] * y[lay.slow["box.temperature"]])
    return mass, energy


def gas_of_nodes(bench: Bench) -> dict[str, float]:
    """kg of gas that does not condense by node and ``outside`` (below zero: what came in from the room), of the state in ``bench.watch.y``; empty without any."""
    y, lay = bench.watch.y, bench.layout
    if lay.n_species < 2:
        return {}
    gas = {name: float(y[lay.n_nodes + k]) for name, k in lay.nodes.items()}
    return gas | {"outside": float(y[lay.ledger_start + LEDGER_FIXED + 1])}


def ledger_of(bench: Bench) -> dict[str, Any]:
    """Mass by part (and how much of it is gas that does not condense), energy by store, water by place, the accounts, and the closure of both against the beginning."""
    bench.look()
    mass, energy = stores(bench)
    account = bench.watch.y[bench.layout.ledger_start :]
    electric, air = float(account[LEDGER_ELECTRIC]), float(account[LEDGER_AIR])
    out = float(account[LEDGER_OUT_ENERGY])
    total_mass, total_energy = sum(mass.values()), sum(energy.values())
    balance = total_energy - electric - air + out - bench.joined_energy_j
    throughput = abs(electric) + abs(air) + 1.0
    return {
        "mass_kg": mass,
        "gas_kg": gas_of_nodes(bench),
        "energy_j": energy,
        "water_kg": bench.moisture.kilograms(),
        "electric_j": electric,
        "air_heat_j": air,
        "outside_energy_j": out,
        "joined_energy_j": bench.joined_energy_j,
        "throughput_j": throughput,
        "mass_closure": total_mass / bench.initial_mass_kg - 1.0,
        "energy_closure": (balance - bench.initial_energy_j) / throughput,
    }


def book_box(bench: Bench, closed_before: bool) -> None:
    """The load box joins the plant's books when its door shuts and leaves them when it opens."""
    closed = bool(bench.plant.glob[c.G_BOX_CLOSED])
    if closed != closed_before:
        here = bench._memory.y[bench.layout.slow["box.temperature"]]
        content = float(bench.plant.glob[c.G_BOX_CAPACITY] * here)
        bench.joined_energy_j += content if closed else -content

"""Letting a gas that does not condense into a bench: from then on every node has two masses, the refrigerant's and the gas's.

A plant without such a gas has one mass a node and is computed faster. The first fault that can bring gas in lays the bench out anew around its present state,
with no gas in any node yet; everything else goes on as it was.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from sim import course
from sim.layout import Layout
from sim.saving import frozen, thawed

if TYPE_CHECKING:
    from sim.bench import Bench

Floats = NDArray[np.float64]

STATES = ("memory.y", "memory.f", "memory.y_before", "memory.f_before")
LAID_OUT = ("memory.stage", "memory.jac", "memory.P", "memory.F", "factors", "watch.sensor", "plant.coil_i", "plant.link_i")  # fmt: skip
"""What depends on how many masses there are; the restart and the commands fill it anew."""


def with_gas(y: Floats, old: Layout, new: Layout) -> Floats:
    """A state with room for gas, and none of it there."""
    n, found = old.n_nodes, np.zeros(new.n_states)
    found[:n] = y[:n]
    found[new.energy_start : new.ledger_start] = y[old.energy_start : old.ledger_start]
    ledger = y[old.ledger_start :]
    found[new.ledger_start : new.ledger_start + len(ledger)] = ledger
    return found


def admit_gas(bench: Bench) -> None:
    """Lay a bench out for two masses a node, if it is not yet."""
    old = bench.layout
    if old.n_species > 1:
        return
    course.restart(bench.time_s, bench._memory, bench.watch, bench.plant)
    arrays, values = frozen(bench)
    arrays = {name: array.copy() for name, array in arrays.items()}
    sequence = bench.sequence
    bench.lay_out(2, bench.rig.charge_kg)
    fresh, _ = frozen(bench)
    arrays |= {name: with_gas(arrays[name], old, bench.layout) for name in STATES}
    arrays |= {name: fresh[name].copy() for name in LAID_OUT}
    thawed(bench, arrays, values)
    bench._seq = sequence
    place_thermometers(bench)
    bench.apply()


def place_thermometers(bench: Bench) -> None:
    """Strap-on thermometers hang where they hung."""
    for info in bench.tags():
        if info.kind == "place":
            sensor: Any = bench.watching.shown[info.tag.rpartition(".")[0]]
            bench.watch.sensor[sensor] = bench.watching.place_sensor(str(info.value))

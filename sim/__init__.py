"""Rimebench's plant: parts, network, integrator, bench. No screen, no thread, no wall clock.

Sign convention, here and everywhere: flow is positive from the first named terminal to the second; heat is positive into the refrigerant.
Units: SI with absolute pascal, kelvin, kilogram, joule, watt; names carry the unit.

    from sim import Bench, load_rig
    bench = Bench(load_rig("fennick_bench"), seed=1)
"""

from __future__ import annotations

import os
from typing import TYPE_CHECKING, Any

# numpy's own threads only get in each other's way here: a circuit has some hundred unknowns. Measured on two busy cores: 93 take 0.2 ms either way, 101 take
# 15 ms with threads. Read when numpy is first loaded; whoever sets it otherwise is left alone
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

if TYPE_CHECKING:
    from sim.bench import Bench
    from sim.rig import load_rig

__all__ = ["Bench", "load_rig"]


def __getattr__(name: str) -> Any:
    """Load the two public names when asked for: the bench brings a compiler, and a list of readings should not."""
    if name == "Bench":
        from sim.bench import Bench

        return Bench
    if name == "load_rig":
        from sim.rig import load_rig

        return load_rig
    raise AttributeError(f"module 'sim' has no attribute {name!r}")

"""The electrical half of a rig: terminals, wires and devices as a computed circuit, and meters that go anywhere on it.

``load_wiring`` reads a wiring file, ``Circuit`` computes with it, ``Multimeter`` measures on it, ``deck`` writes it for a circuit simulator.
Phasors are rms values, angles from the supply's open-circuit voltage; a current is positive from a branch's first terminal to its second.
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from sim.wiring.circuit import Circuit
    from sim.wiring.load import load_wiring, wiring_of
    from sim.wiring.multimeter import Multimeter
    from sim.wiring.netlist import Wiring
    from sim.wiring.solution import Port, Solution
    from sim.wiring.spice import deck
    from sim.wiring.state import State

__all__ = [
    "Circuit",
    "Multimeter",
    "Port",
    "Solution",
    "State",
    "Wiring",
    "deck",
    "load_wiring",
    "wiring_of",
]
HOMES = {
    "Circuit": "circuit",
    "Multimeter": "multimeter",
    "Port": "solution",
    "Solution": "solution",
    "State": "state",
    "Wiring": "netlist",
    "deck": "spice",
    "load_wiring": "load",
    "wiring_of": "load",
}


def __getattr__(name: str) -> Any:
    """Load a public name when it is asked for: the circuit brings a compiler, and reading a run sheet should not."""
    if name in HOMES:
        return getattr(import_module(f"sim.wiring.{HOMES[name]}"), name)
    raise AttributeError(f"module 'sim.wiring' has no attribute {name!r}")

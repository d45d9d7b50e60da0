"""Where things live in the plant's tables: names to numbers, laid out once for a rig."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from sim.columns import PORT_BOTTOM, PORT_MIXED, PORT_TOP
from sim.parts.coil import Coil
from sim.plant import LEDGER_FIXED
from sim.rig import OUTSIDE, PlacedPart, Port, Rig

PORT_CODES = {"mixed": PORT_MIXED, "bottom": PORT_BOTTOM, "top": PORT_TOP}


@dataclass
class LinkPlan:
    """One link before it becomes a row: whose it is, where it goes, which handles open it."""

    tag: str
    kind: int
    start: Port
    end: Port
    part: Any
    extra: int = 0
    senses: str = ""
    handles: list[str] = field(default_factory=list)
    """Tags of the valves whose openings multiply."""


@dataclass
class Layout:
    """Names and numbers of everything that has a place in the state or in a table."""

    nodes: dict[str, int]
    links: dict[str, int]
    walls: dict[str, int]
    coils: dict[str, int]
    slow: dict[str, int]
    """Slow state name (``TAG.what``) to its absolute index in the state vector."""
    plans: list[LinkPlan]
    n_species: int = 1
    """1: refrigerant; 2: with a gas that does not condense beside it."""

    @property
    def n_nodes(self) -> int:
        """Number of nodes."""
        return len(self.nodes)

    @property
    def energy_start(self) -> int:
        """Index of the first node's internal energy."""
        return self.n_species * self.n_nodes

    @property
    def wall_start(self) -> int:
        """Index of the first wall temperature."""
        return (self.n_species + 1) * self.n_nodes

    @property
    def slow_start(self) -> int:
        """Index of the first slow state."""
        return self.wall_start + len(self.walls)

    @property
    def ledger_start(self) -> int:
        """Index of the first ledger state."""
        return self.slow_start + len(self.slow)

    @property
    def n_states(self) -> int:
        """Length of the state vector."""
        return self.ledger_start + LEDGER_FIXED + self.n_species


def coil_tables(rig: Rig) -> list[Coil]:
    """The coils of a rig, in file order."""
    return [placed.part for placed in rig.parts if isinstance(placed.part, Coil)]


def cell_names(coil: Coil) -> list[str]:
    """Node names of a coil's cells, in the direction of flow in cooling."""
    return [f"{coil.prefix}{k + 1}" for k in range(coil.cells)]


def joins(placed: PlacedPart) -> bool:
    """Does the part make a link of its own between two nodes?"""
    return len(placed.ports) >= 2 and not placed.in_line_with


def is_outside(port: Port) -> bool:
    """Does the port open to the room?"""
    return port.node == OUTSIDE

"""A placed ladder as cells: every stroke with the sides on which it goes on and the terminal whose volts it has; symbols, names and spots.

Conductors join at terminals and on the rails only. Where two others meet they cross, and the one that runs down is drawn through.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from tui.draw.glyphs import EAST, NORTH, SOUTH, WEST
from tui.draw.ladder_place import Places
from tui.draw.pipes import Cell
from tui.wiring_plan import Piece, WiringPlan

SYMBOL = 3
"""Cells of a symbol."""
_SIDES = {(0, -1): (NORTH, SOUTH), (1, 0): (EAST, WEST), (0, 1): (SOUTH, NORTH), (-1, 0): (WEST, EAST)}  # fmt: skip


class Stroke(NamedTuple):
    """One cell of a conductor."""

    x: int
    y: int
    sides: int
    owner: str
    """The terminal whose volts it has."""


class Mark(NamedTuple):
    """A symbol and where it stands."""

    x: int
    y: int
    piece: Piece
    left: str
    right: str
    """The terminals at its sides."""


class Name(NamedTuple):
    """Words beside a symbol; ``piece`` is None for a letter or a frame."""

    x: int
    y: int
    words: str
    piece: Piece | None = None


class Spot(NamedTuple):
    """A place for the cursor: a terminal, or the middle of a wire. ``way``: +1 when the wire runs from its first end to the right there."""

    x: int
    y: int
    name: str
    lead: bool = False
    room: int = 0
    """Cells for the wire's tag, from its middle."""
    way: int = 1


@dataclass
class Ladder:
    """Everything that is drawn, before anybody looks at volts."""

    plan: WiringPlan
    places: Places
    strokes: list[Stroke] = field(default_factory=list)
    marks: list[Mark] = field(default_factory=list)
    names: list[Name] = field(default_factory=list)
    spots: list[Spot] = field(default_factory=list)
    ways: dict[str, list[Cell]] = field(default_factory=dict)
    """Edge to its cells, from its first end."""
    conflicts: list[Cell] = field(default_factory=list)
    """Cells where two conductors lie on each other instead of crossing; a sound ladder has none."""

    @property
    def size(self) -> tuple[int, int]:
        """Columns and rows."""
        return self.places.width, self.places.height

    def spot(self, name: str) -> Spot | None:
        """Where the cursor stands on a terminal or wire."""
        return next((spot for spot in self.spots if spot.name == name), None)

    def at(self, x: int, y: int) -> Spot | None:
        """The terminal or wire under a cell, or the terminal beside a symbol."""
        terminals = [s for s in self.spots if not s.lead and s.y == y and abs(s.x - x) <= 1]
        if terminals:
            return min(terminals, key=lambda s: abs(s.x - x))
        leads = [name for name, cells in self.ways.items() if (x, y) in cells]
        return next((spot for spot in self.spots if spot.name in leads), None)


def sides_of(cells: Sequence[Cell]) -> list[int]:
    """On which sides a way goes on, cell by cell."""
    sides = [0] * len(cells)
    for i, ((x, y), (u, v)) in enumerate(pairwise(cells)):
        here, there = _SIDES[u - x, v - y]
        sides[i] |= here
        sides[i + 1] |= there
    return sides


def flat(cells: Sequence[Cell]) -> list[Cell]:
    """The cells of a way, without its ends, that run straight across."""
    return [cell for cell, sides in zip(cells[1:-1], sides_of(cells)[1:-1], strict=True) if sides == EAST | WEST]  # fmt: skip


def longest_run(cells: Sequence[Cell]) -> list[Cell]:
    """The longest piece of a way that lies in one row, without a gap."""
    best: list[Cell] = []
    run: list[Cell] = []
    for cell in cells:
        if run and (cell[1] != run[-1][1] or abs(cell[0] - run[-1][0]) != 1):
            run = []
        run.append(cell)
        if len(run) > len(best):
            best = list(run)
    return best or list(cells[:1])

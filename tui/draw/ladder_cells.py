"""A placed ladder as cells: every stroke with the sides on which it goes on and the terminal whose volts it has; symbols, names and spots.

Conductors join at terminals and on the rails only. Where two others meet they cross, and the one that runs down is drawn through.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import NamedTuple

from tui.draw.glyphs import EAST, NORTH, SOUTH, WEST
from tui.draw.ladder_lines import Edge, Line, Lines, cut
from tui.draw.ladder_place import Places, one_piece, place
from tui.draw.pipes import Cell, walk
from tui.wiring_plan import Piece, WiringPlan

SYMBOL = 3
"""Cells of a symbol."""
EARTH = "╧"
_SIDES = {(0, -1): (NORTH, SOUTH), (1, 0): (EAST, WEST), (0, 1): (SOUTH, NORTH), (-1, 0): (WEST, EAST)}  # fmt: skip


class Stroke(NamedTuple):
    """One cell of a conductor."""

    x: int
    y: int
    sides: int
    owner: str
    """The terminal whose volts it has."""


class Sign(NamedTuple):
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
    signs: list[Sign] = field(default_factory=list)
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


def ladder_of(plan: WiringPlan, width: int, height: int) -> Ladder:
    """The ladder of a plan for so many cells: rungs apart when there is room for it."""
    lines = cut(plan)
    places = place(plan, lines, width, gap=1)
    if places.height > height:
        places = place(plan, lines, width)
    return _Builder(plan, lines, places).built()


class _Builder:
    def __init__(self, plan: WiringPlan, lines: Lines, places: Places) -> None:
        self.plan, self.lines, self.places = plan, lines, places
        self.ladder = Ladder(plan, places)
        self.last = places.width - 1
        self.rails: dict[str, list[Cell]] = {}
        self.edges: list[tuple[Edge, list[Cell]]] = []

    def built(self) -> Ladder:
        for made in self.places.lines:
            self._line(made.line, made.y)
        self._poles()
        for line, x in self.places.stubs:
            edge = line.edges[0]
            self.edges.append((edge, walk(((x, self.places.earth_y), (x, self.places.earth_y - 1), self.places.spots[edge.b]))))  # fmt: skip
        self._rails()
        self._strokes()
        self._spots()
        self._names()
        return self.ladder

    # Ways.

    def _line(self, line: Line, y: int) -> None:
        for edge in line.edges:
            points = [*self._end(edge.a, y), *reversed(self._end(edge.b, y))]
            self.edges.append((edge, walk(points)))

    def _end(self, terminal: str, y: int) -> list[Cell]:
        """From a terminal to row ``y``."""
        live, neutral, _ = self.plan.rails
        if terminal in (live, neutral):
            return [(0 if terminal == live else self.last, y)]
        spot = self.places.spots[terminal]
        return [spot] if spot[1] == y else [spot, (spot[0], y)]

    def _poles(self) -> None:
        """The incoming poles and their ends on the rails."""
        for line, ends in zip(self.lines.poles, (self._to_live, self._to_neutral, self._to_earth), strict=True):  # fmt: skip
            for edge in line.edges if line is not None else ():
                start = self.places.spots[edge.a]
                if edge.b in self.places.spots:
                    self.edges.append((edge, walk((start, self.places.spots[edge.b]))))
                else:
                    self.edges.append((edge, walk((start, *ends(start)))))

    def _to_live(self, start: Cell) -> list[Cell]:
        x, y = start
        return [(x + 2, y), (x + 2, y + 1), (0, y + 1)]

    def _to_neutral(self, start: Cell) -> list[Cell]:
        return [(self.last, start[1])]

    def _to_earth(self, start: Cell) -> list[Cell]:
        return [(start[0] + self.places.wire, start[1])]

    def _rails(self) -> None:
        """The bars themselves, as long as something hangs on them."""
        live, neutral, earth = self.plan.rails
        for rail, x in ((live, 0), (neutral, self.last)):
            rows = [cell[1] for _, cells in self.edges for cell in (cells[0], cells[-1]) if cell[0] == x]  # fmt: skip
            if rail in self.places.spots:
                spot = self.places.spots[rail]
                rows += [spot[1]] if rail == neutral else [spot[1] + 1]
            if rows:
                self.rails[rail] = walk(((x, min(rows)), (x, max(rows))))
        if self.places.stubs:
            xs = [x for _, x in self.places.stubs]
            pole = self.lines.poles[2]
            first = self._to_earth(self.places.spots[pole.edges[-1].a])[0][0] if pole else xs[0]
            self.rails[earth] = walk(((first, self.places.earth_y), (xs[-1], self.places.earth_y)))

    # Cells.

    def _strokes(self) -> None:
        """Join, cross, and cut out the symbols."""
        found: dict[Cell, list[tuple[str, int, str]]] = defaultdict(list)
        terminals = set(self.places.spots.values())
        on_rail = {cell: rail for rail, cells in self.rails.items() for cell in cells}
        for edge, cells in self.edges:
            self.ladder.ways[edge.name] = cells
            symbol = self._symbol(edge, cells)
            for i, (cell, sides) in enumerate(zip(cells, sides_of(cells), strict=True)):
                if cell not in symbol:
                    owner = edge.a if i < len(cells) / 2 else edge.b
                    found[cell].append((edge.name, sides, on_rail.get(cell, owner)))
        for rail, cells in self.rails.items():
            for cell, sides in zip(cells, sides_of(cells), strict=True):
                found[cell].append((rail, sides, rail))
        for cell, claims in found.items():
            if cell not in terminals or cell in on_rail:
                self.ladder.strokes.append(self._stroke(cell, claims, cell in on_rail))
        self._trespassers(found)

    def _trespassers(self, found: dict[Cell, list[tuple[str, int, str]]]) -> None:
        """Ways that run over a terminal that is not their own, or through a symbol."""
        symbols = {(sign.x + i, sign.y) for sign in self.ladder.signs for i in range(SYMBOL)}
        self.ladder.conflicts += sorted(symbols.intersection(found))
        for edge, cells in self.edges:
            own = {self.places.spots.get(edge.a), self.places.spots.get(edge.b)}
            self.ladder.conflicts += sorted(
                set(cells[1:-1]) & set(self.places.spots.values()) - own
            )

    def _stroke(self, cell: Cell, claims: list[tuple[str, int, str]], joined: bool) -> Stroke:
        sides = 0
        for _, one, _ in claims:
            sides |= one
        if len(claims) == 1 or joined:
            return Stroke(*cell, sides, claims[0][2])
        down = [claim for claim in claims if claim[1] == NORTH | SOUTH]
        across = [claim for claim in claims if claim[1] == EAST | WEST]
        if len(down) != 1 or len(across) != 1:
            self.ladder.conflicts.append(cell)
        return Stroke(*cell, NORTH | SOUTH, (down or claims)[0][2])

    def _symbol(self, edge: Edge, cells: list[Cell]) -> set[Cell]:
        """The cells of a piece's symbol: the middle of its longest stretch."""
        if edge.piece is None:
            return set()
        run = longest_run(flat(cells))
        x, y = run[(len(run) - SYMBOL) // 2]
        turned = run[0][0] > run[-1][0]
        x -= SYMBOL - 1 if turned else 0
        ends = (edge.b, edge.a) if turned else (edge.a, edge.b)
        self.ladder.signs.append(Sign(x, y, edge.piece, *ends))
        return {(x + i, y) for i in range(SYMBOL)}

    # Spots and names.

    def _spots(self) -> None:
        spots = self.ladder.spots
        spots += [Spot(x, y, name) for name, (x, y) in self.places.spots.items()]
        for edge, cells in self.edges:
            for name, cell in ((edge.a, cells[0]), (edge.b, cells[-1])):
                if name in self.rails:
                    spots.append(Spot(*cell, name))
        crossed = {(s.x, s.y) for s in self.ladder.strokes if s.sides == NORTH | SOUTH}
        for edge, cells in self.edges:
            if edge.piece is None:
                run = longest_run([cell for cell in flat(cells) if cell not in crossed])
                x, y = run[len(run) // 2]
                lead = self.plan.lead(edge.name)
                way = 1 if run[0][0] <= run[-1][0] else -1
                spots.append(Spot(x, y, edge.name, True, len(run), way if lead and lead.a == edge.a else -way))  # fmt: skip

    def _names(self) -> None:
        taken = {(s.x, s.y) for s in self.ladder.strokes} | set(self.places.spots.values())
        single = {made.line.rung for made in self.places.lines if one_piece(made.line, self.plan)}
        inline = {made.y for made in self.places.lines if made.line.rung in single}
        for sign in self.ladder.signs:
            words = sign.piece.tag + ("  " if sign.piece.sign == "motor" else "")
            if sign.y in inline:
                x = self.places.spots[sign.left][0] - len(words) - 1
                self.ladder.names.append(Name(x - 1, sign.y, f" {words} ", sign.piece))
                continue
            row = sign.y - 1 if sign.y else 1
            full = f"{words} {sign.piece.position}" if sign.piece.position else words
            if not any(name.piece and name.piece.tag == sign.piece.tag and name.y == row and abs(name.x - sign.x) < 6 for name in self.ladder.names):  # fmt: skip
                self._name(sign, row, (full, words), taken)
        earth = self.places.earth_y
        letters = ((2, "L"), (0, "N"), (earth, EARTH), (earth - 1, "PE"))
        self.ladder.names += [Name(0, y, words) for y, words in letters if y >= 0]
        for line, _ in self.places.stubs:
            x, y = self.places.spots[line.terminals[-1]]
            self.ladder.names.append(Name(x + 2, y, line.terminals[-1].rpartition(".")[0]))

    def _name(self, sign: Sign, row: int, choices: Sequence[str], taken: set[Cell]) -> None:
        """The longest words that find room near the symbol."""
        middle = sign.x + SYMBOL // 2
        for words in choices:
            for shift in (0, 1, -1, 2, -2, 3, -3):
                x = middle - (len(words.rstrip()) - 1) // 2 + shift
                cells = {(x + i, row) for i in range(-1, len(words) + 1)}
                if x >= 0 and not cells & taken:
                    taken |= {(x + i, row) for i in range(len(words))}
                    self.ladder.names.append(Name(x, row, words, sign.piece))
                    return


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

"""Builds a ladder: the ways of all edges, rails, cells, marks, names and spots, from the places of its lines."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence

from tui.draw.glyphs import EAST, NORTH, SOUTH, WEST
from tui.draw.ladder_cells import (
    SYMBOL,
    Ladder,
    Mark,
    Name,
    Spot,
    Stroke,
    flat,
    longest_run,
    sides_of,
)
from tui.draw.ladder_lines import Edge, Line, Lines, cut
from tui.draw.ladder_place import Places, place, simple_rungs
from tui.draw.pipes import Cell, walk
from tui.wiring_plan import WiringPlan

SHIFTS = (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5)
"""How far a name may move from the middle of its symbol, nearest first."""
EARTH = "╧"


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
        symbols = {(mark.x + i, mark.y) for mark in self.ladder.marks for i in range(SYMBOL)}
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
        shared = self._shared(cell, claims)
        if len(claims) == 1 or joined or shared:
            return Stroke(*cell, sides, shared or claims[0][2])
        down = [claim for claim in claims if claim[1] == NORTH | SOUTH]
        across = [claim for claim in claims if claim[1] == EAST | WEST]
        if len(down) != 1 or len(across) != 1:
            self.ladder.conflicts.append(cell)
        return Stroke(*cell, NORTH | SOUTH, (down or claims)[0][2])

    def _shared(self, cell: Cell, claims: list[tuple[str, int, str]]) -> str:
        """The terminal above or below that all of these run to; '' when there is none."""
        ends = [{edge.a, edge.b} for edge, _ in self.edges for name, _, _ in claims if edge.name == name]  # fmt: skip
        common = set.intersection(*ends) if ends else set()
        return next((name for name in common if self.places.spots.get(name, (-1, 0))[0] == cell[0]), "")  # fmt: skip

    def _symbol(self, edge: Edge, cells: list[Cell]) -> set[Cell]:
        """The cells of a piece's symbol: the middle of its longest stretch."""
        if edge.piece is None:
            return set()
        run = longest_run(flat(cells)) or cells
        x, y = run[max(0, len(run) - SYMBOL) // 2]
        turned = run[0][0] > run[-1][0]
        x -= SYMBOL - 1 if turned else 0
        ends = (edge.b, edge.a) if turned else (edge.a, edge.b)
        self.ladder.marks.append(Mark(x, y, edge.piece, *ends))
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
                run = longest_run([cell for cell in flat(cells) if cell not in crossed]) or cells
                x, y = run[len(run) // 2]
                lead = self.plan.lead(edge.name)
                way = 1 if run[0][0] <= run[-1][0] else -1
                spots.append(Spot(x, y, edge.name, True, len(run), way if lead and lead.a == edge.a else -way))  # fmt: skip

    def _names(self) -> None:
        taken = {(s.x, s.y) for s in self.ladder.strokes} | set(self.places.spots.values())
        simple = simple_rungs([made.line for made in self.places.lines], self.plan)
        inline = {made.y for made in self.places.lines if made.line.rung in simple}
        for mark in self.ladder.marks:
            words = mark.piece.tag + ("  " if mark.piece.sign == "motor" else "")
            if mark.y in inline:
                x = self.places.spots[mark.left][0] - len(words) - 1
                self.ladder.names.append(Name(x - 1, mark.y, f" {words} ", mark.piece))
                continue
            row = mark.y - 1 if mark.y else 1
            full = f"{words} {mark.piece.position}" if mark.piece.position else words
            if not any(name.piece and name.piece.tag == mark.piece.tag and name.y == row and abs(name.x - mark.x) < 6 for name in self.ladder.names):  # fmt: skip
                self._name(mark, row, (full, words), taken)
        earth = self.places.earth_y
        letters = ((2, "L"), (0, "N"), (earth, EARTH), (earth - 1, "PE"))
        self.ladder.names += [Name(0, y, words) for y, words in letters if y >= 0]
        for line, _ in self.places.stubs:
            x, y = self.places.spots[line.terminals[-1]]
            self.ladder.names.append(Name(x + 2, y, line.terminals[-1].rpartition(".")[0]))

    def _name(self, mark: Mark, row: int, choices: Sequence[str], taken: set[Cell]) -> None:
        """The longest words that find room near the symbol."""
        middle = mark.x + SYMBOL // 2
        for words in choices:
            for shift in SHIFTS:
                x = middle - (len(words.rstrip()) - 1) // 2 + shift
                cells = {(x + i, row) for i in range(-1, len(words) + 1)}
                if x >= 0 and not cells & taken:
                    taken |= {(x + i, row) for i in range(len(words))}
                    self.ladder.names.append(Name(x, row, words, mark.piece))
                    return

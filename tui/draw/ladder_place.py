"""Where the lines of a ladder stand: a column for every terminal, a row for every line.

Columns are the longest ways through what must lie left of what: contacts as far left as they go, loads as far right, and the slack of a line in the wire
between. Branches go into the first row below their line where there is room.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from tui.draw.ladder_lines import Edge, Line, Lines
from tui.wiring_plan import WiringPlan

PIECE = 4
"""Columns from one terminal of a piece to the other."""
LOADS = frozenset(("coil", "motor", "winding", "capacitor", "lamp", "heater", "voltmeter"))
APART = 2
"""Columns between a way down and a piece that it passes."""
MOST_TRIES = 20
"""Ways down that may be moved aside before the ladder is taken as it is."""
FIRST_X = 2
"""Column of the socket's terminals, right of its letter."""
WIDEST = 110
"""Beyond this a rung is too long to follow with the eye; guess."""


@dataclass
class Columns:
    """The column of every terminal that is not on a rail. The live rail is column 0, the neutral rail the last."""

    wire: int
    """Columns that a wire takes at least."""
    before: dict[str, list[tuple[str, int]]] = field(default_factory=lambda: defaultdict(list))
    """Terminal -> terminals that must lie left of it, and how far."""
    after: dict[str, list[tuple[str, int]]] = field(default_factory=lambda: defaultdict(list))
    late: set[str] = field(default_factory=set)
    at: dict[str, int] = field(default_factory=dict)

    def length(self, edge: Edge) -> int:
        """Columns that an edge takes at least."""
        return PIECE if edge.piece else self.wire

    def add(self, line: Line, neutral: str) -> Line:
        """Take a line in, turned so that it runs to the right."""
        ends = line.terminals[0], line.terminals[-1]
        if ends[0] == neutral or (line.closed and ends[1] != neutral and self.earliest(ends[0]) > self.earliest(ends[1])):  # fmt: skip
            line = line.turned()
        for edge in line.edges:
            self.before[edge.b].append((edge.a, self.length(edge)))
            self.after[edge.a].append((edge.b, self.length(edge)))
        return line

    def earliest(self, terminal: str) -> int:
        """Least column."""
        return max((self.earliest(a) + length for a, length in self.before[terminal]), default=0)

    def tail(self, terminal: str) -> int:
        """Columns that it must lie left of the last one."""
        return max((self.tail(b) + length for b, length in self.after[terminal]), default=0)

    def hold_right(self, lines: Iterable[Line], neutral: str) -> None:
        """Loads of lines that end on the right belong to the right, and so does all that follows them."""
        self.late.add(neutral)
        for line in lines:
            first = first_load(line)
            if first is not None and line.closed and line.terminals[-1] in self.late:
                self._hold(line.terminals[max(1, first)])

    def _hold(self, terminal: str) -> None:
        if terminal not in self.late:
            self.late.add(terminal)
            for other, _ in self.after[terminal]:
                self._hold(other)

    def keep_apart(self, name: str, left: str, right: str) -> bool:
        """Hold a terminal to the left of a piece, or to its right; False when it must lie between its ends."""
        for first, second in ((name, left), (right, name)):
            if not self.leads_to(second, first):
                self.before[second].append((first, APART))
                self.after[first].append((second, APART))
                if first in self.late:
                    self._hold(second)
                return True
        return False

    def leads_to(self, name: str, other: str) -> bool:
        """Must ``other`` lie to the right of ``name``?"""
        return name == other or any(self.leads_to(after, other) for after, _ in self.after[name])

    def settle(self, lines: Sequence[Line], neutral: str, last: int) -> int:
        """Give every terminal its column; returns the last column. Pieces on the right stay short."""
        names = sorted({*self.before, *self.after}, key=self.earliest)
        last = max(last, *(self.earliest(name) + self.tail(name) for name in names))
        pieces = {(edge.a, edge.b) for line in lines for edge in line.edges if edge.piece}
        for name in names:
            if name == neutral:
                self.at[name] = last
            elif name not in self.late:
                self.at[name] = self.earliest(name)
            elif any((other, name) in pieces for other, _ in self.before[name]):
                self.at[name] = max(self.at[other] + length for other, length in self.before[name])
            else:
                self.at[name] = last - self.tail(name)
        return last


@dataclass(frozen=True)
class PlacedLine:
    """A line with the rows on which it stands."""

    line: Line
    y: int


@dataclass(frozen=True)
class Places:
    """Every terminal's cell, every line's row, and the rails."""

    width: int
    height: int
    wire: int
    spots: dict[str, tuple[int, int]]
    lines: tuple[PlacedLine, ...]
    earth_y: int
    """Row of the earth rail; -1: there is none."""
    stubs: tuple[tuple[Line, int], ...]
    """Leads from the earth rail to a frame, with their columns on the rail."""


INCOMING_ROWS = 4
"""Neutral pole, names, live pole, and the way back to the live rail."""


def place(plan: WiringPlan, lines: Lines, room: int, *, gap: int = 0) -> Places:
    """All places; at least as wide as it must be, at most ``room`` columns; ``gap`` rows between rungs."""
    wire = max((len(lead.tag) for lead in plan.leads), default=1) + 3
    columns = Columns(wire)
    neutral = plan.rails[1]
    turned = [columns.add(line, neutral) for line in lines.rungs]
    columns.hold_right(turned, neutral)
    poles, pole_width = _poles(lines, wire)
    earth_x = _pole_end(lines.poles[2], poles) + 2
    stubs = tuple((line, earth_x + i * _stub_width(wire)) for i, line in enumerate(lines.earths))
    least = max(pole_width, earth_x + _stub_width(wire) * len(stubs))
    placed: list[PlacedLine] = []
    for _ in range(MOST_TRIES):
        last = columns.settle(turned, neutral, max(least, min(room, WIDEST) - 1))
        placed = _rows(turned, columns.at, plan, gap)
        wrong = _passed_over(placed, columns, plan)
        if not wrong or not columns.keep_apart(*wrong):
            break
    height = max((made.y for made in placed), default=INCOMING_ROWS - 1) + 1
    has_earth = lines.poles[2] is not None or bool(stubs)
    earth_y = height + gap + 1 if has_earth else -1
    spots = {name: (x, y if y >= 0 else earth_y) for name, (x, y) in poles.items()}
    for made in placed:
        for name in made.line.terminals:
            if name not in plan.rails:
                spots.setdefault(name, (columns.at[name], made.y))
    spots |= {line.terminals[-1]: (x + wire, earth_y - 1) for line, x in stubs}
    return Places(last + 1, earth_y + 1 if has_earth else height, wire, spots, tuple(placed), earth_y, stubs)  # fmt: skip


def _passed_over(placed: Sequence[PlacedLine], columns: Columns, plan: WiringPlan) -> tuple[str, str, str] | None:  # fmt: skip
    """(terminal, left, right): a way down from the terminal runs over the piece between the two others."""
    rows: dict[str, int] = {}
    downs: list[tuple[str, int, int]] = []
    for made in placed:
        for name in made.line.terminals:
            if name not in plan.rails and rows.setdefault(name, made.y) != made.y:
                downs.append((name, rows[name], made.y))
    for name, top, bottom in downs:
        x = columns.at[name]
        for made in placed:
            for edge in made.line.edges if top < made.y <= bottom else ():
                near = {edge.a, edge.b}
                foreign = edge.piece and name not in near and not near & set(plan.rails)
                if foreign and columns.at[edge.a] - 1 <= x <= columns.at[edge.b] + 1:
                    return name, edge.a, edge.b
    return None


def _stub_width(wire: int) -> int:
    return wire + 8


def _pole_end(line: Line | None, spots: dict[str, tuple[int, int]]) -> int:
    return spots[line.edges[-1].a][0] + 6 if line is not None else FIRST_X


def _poles(lines: Lines, wire: int) -> tuple[dict[str, tuple[int, int]], int]:
    """The incoming poles: those of one device under each other. Row -1 stands for the earth's, which is not known yet."""
    spots: dict[str, tuple[int, int]] = {}
    column: dict[str, int] = {}
    widest = 0
    for line, y in zip(lines.poles, (2, 0, -1), strict=True):
        x = FIRST_X
        for edge in line.edges if line is not None else ():
            own = column.get(edge.piece.tag, x) if edge.piece else x
            x = max(x, own)
            if edge.piece:
                column.setdefault(edge.piece.tag, x)
            spots[edge.a] = (x, y)
            x += PIECE if edge.piece else wire
        if line is not None and line.edges[-1].piece:
            spots[line.edges[-1].b] = (x, y)
        widest = max(widest, x + 4 - wire if y == 2 else x)
    return spots, widest


def _rows(lines: Sequence[Line], at: dict[str, int], plan: WiringPlan, gap: int) -> list[PlacedLine]:  # fmt: skip
    """Rung under rung. A rung of one piece has its name in its own row; others have a row of names above."""
    placed: list[PlacedLine] = []
    y = INCOMING_ROWS
    taken: dict[int, list[tuple[int, int]]] = {}
    rung = -1
    simple = simple_rungs(lines, plan)
    last_x = at.get(plan.rails[1], 0)
    for line in lines:
        span = tuple(sorted(at.get(name, 0 if name == plan.rails[0] else last_x) for name in (line.terminals[0], line.terminals[-1])))  # fmt: skip
        if line.rung != rung:
            y = max(taken, default=y - 1) + 1 + (gap if rung >= 0 else 0)
            taken, rung = {}, line.rung
            row = y if rung in simple else y + 1
        else:
            above = [p.y for p in placed if p.line.rung == rung and {line.terminals[0], line.terminals[-1]} & (set(p.line.terminals) - set(plan.rails))]  # fmt: skip
            row = max(above, default=y) + 2
            while any(left <= span[1] and span[0] <= right for left, right in taken.get(row, ())):
                row += 2
        taken.setdefault(row, []).append((span[0], span[1]))
        placed.append(PlacedLine(line, row))
    return placed


def simple_rungs(lines: Sequence[Line], plan: WiringPlan) -> set[int]:
    """Numbers of the rungs of one piece between the rails, without branches: its name finds room in its own row."""
    count = Counter(line.rung for line in lines)
    return {
        line.rung
        for line in lines
        if count[line.rung] == 1 and {line.terminals[0], line.terminals[-1]} == set(plan.rails[:2])
        and sum(edge.piece is not None for edge in line.edges) == 1
    }  # fmt: skip


def first_load(line: Line) -> int | None:
    """Number of the edge that is the first load of a line, or its only piece."""
    pieces = [(i, edge.piece) for i, edge in enumerate(line.edges) if edge.piece is not None]
    loads = [i for i, piece in pieces if piece.sign in LOADS or len(pieces) == 1]
    return loads[0] if loads else None

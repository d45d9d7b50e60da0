"""A wiring cut into lines: the incoming poles, then one line for every way from the live rail to the neutral rail, then what branches off from them.

A line is a chain of edges (pieces and leads) between terminals. A rung is the shortest way that is left from the live rail; a branch is the shortest way
from a terminal that is drawn to another. So every edge is drawn once, whatever the wiring.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable
from dataclasses import dataclass

from tui.wiring_plan import Lead, Piece, WiringPlan


@dataclass(frozen=True)
class Edge:
    """A piece or a lead, as seen from its end ``a``."""

    name: str
    a: str
    b: str
    piece: Piece | None = None

    def turned(self) -> Edge:
        """The same from the other end."""
        return Edge(self.name, self.b, self.a, self.piece)


@dataclass(frozen=True)
class Line:
    """A chain of edges. ``closed``: its end is drawn elsewhere already, or is a rail."""

    edges: tuple[Edge, ...]
    rung: int
    """Number of the rung that it belongs to."""
    closed: bool = True

    @property
    def terminals(self) -> tuple[str, ...]:
        """From its start to its end."""
        return (self.edges[0].a, *(edge.b for edge in self.edges))

    def turned(self) -> Line:
        """The same from the other end."""
        return Line(tuple(edge.turned() for edge in reversed(self.edges)), self.rung, self.closed)


@dataclass(frozen=True)
class Lines:
    """All lines of a wiring."""

    poles: tuple[Line | None, Line | None, Line | None]
    """Live, neutral and earth from the socket to their rails."""
    rungs: tuple[Line, ...]
    """Rungs, each followed by its branches."""
    earths: tuple[Line, ...]
    """From the earth rail to the frames."""


class _Cutter:
    def __init__(self, plan: WiringPlan) -> None:
        self.plan = plan
        self.beside: dict[str, list[Edge]] = defaultdict(list)
        things: Iterable[Lead | Piece] = (*plan.leads, *plan.pieces)
        for thing in things:
            piece = thing if isinstance(thing, Piece) else None
            edge = Edge(piece.name if piece else thing.tag, thing.a, thing.b, piece)
            self.beside[edge.a].append(edge)
            self.beside[edge.b].append(edge.turned())
        self.used: set[str] = set()
        self.placed: set[str] = set()
        self.rung = 0

    def free(self, terminal: str) -> list[Edge]:
        """Edges at a terminal that are not drawn yet."""
        return [edge for edge in self.beside[terminal] if edge.name not in self.used]

    def way(self, first: Edge, goals: set[str]) -> tuple[Edge, ...]:
        """The shortest way that begins with ``first`` and ends at a goal; through nothing that is drawn. Empty: there is none."""
        came: dict[str, tuple[Edge, ...]] = {first.b: (first,)}
        waiting = deque([first.b])
        while waiting:
            here = waiting.popleft()
            if here in goals:
                return came[here]
            if here in self.placed:
                continue
            for edge in self.free(here):
                if edge.b not in came and edge.name != first.name and edge.b != first.a:
                    came[edge.b] = (*came[here], edge)
                    waiting.append(edge.b)
        return ()

    def take(self, edges: tuple[Edge, ...], *, closed: bool = True) -> Line:
        """Draw a way."""
        self.used |= {edge.name for edge in edges}
        line = Line(edges, self.rung, closed)
        self.placed |= set(line.terminals)
        return line

    def pole(self, start: str, rail: str) -> Line | None:
        """From the socket to a rail."""
        ways = [way for first in self.free(start) if (way := self.way(first, {rail}))]
        self.placed |= {start, rail}
        return self.take(min(ways, key=len)) if ways else None

    def dead_end(self, first: Edge) -> tuple[Edge, ...]:
        """From ``first`` on for as long as there is one way to go."""
        way, seen = [first], {first.a, first.b}
        while way[-1].b not in self.placed:
            onward = [edge for edge in self.free(way[-1].b) if edge.name != way[-1].name and edge.b not in seen]  # fmt: skip
            if not onward:
                break
            way.append(onward[0])
            seen.add(onward[0].b)
        return tuple(way)

    def branches(self, line: Line, avoid: set[str]) -> list[Line]:
        """Everything that goes from a line to something drawn, and from those branches in turn."""
        made, waiting = [], deque(line.terminals)
        while waiting:
            here = waiting.popleft()
            if here in avoid:
                continue
            for first in self.free(here):
                way = self.way(first, self.placed - avoid_goals(avoid, self.plan) - {here})
                if way:
                    made.append(self.take(way))
                    waiting.extend(made[-1].terminals[1:-1])
        return made

    def rungs(self) -> list[Line]:
        """Rung by rung, each with its branches, then whatever is left."""
        live, neutral, earth = self.plan.rails
        made: list[Line] = []
        for first in list(self.free(live)):
            way = self.way(first, self.placed - {live}) if first.name not in self.used else ()
            if way:
                made.append(self.take(way))
                made += self.branches(made[-1], {live, neutral, earth})
                self.rung += 1
        return made + self._left()

    def _left(self) -> list[Line]:
        """Ends that hang in the air, and what hangs on nothing."""
        earth = self.plan.rails[2]
        made = []
        for terminal in list(self.beside):
            for first in self.free(terminal) if terminal != earth else ():
                if first.name not in self.used and earth not in (first.a, first.b):
                    way = self.dead_end(first)
                    made.append(self.take(way, closed=way[-1].b in self.placed))
                    self.rung += 1
        return made

    def earths(self) -> list[Line]:
        """From the earth rail to the frames."""
        return [self.take((edge,), closed=False) for edge in list(self.free(self.plan.rails[2]))]


def avoid_goals(avoid: set[str], plan: WiringPlan) -> set[str]:
    """Branches may end on the neutral rail; what comes from the live rail is a rung of its own."""
    return avoid - {plan.rails[1]}


def cut(plan: WiringPlan) -> Lines:
    """All lines of a wiring, in the order in which they are drawn."""
    cutter = _Cutter(plan)
    poles = [cutter.pole(start, rail) for start, rail in zip(plan.socket, plan.rails, strict=True)]
    rungs = cutter.rungs()
    return Lines((poles[0], poles[1], poles[2]), tuple(rungs), tuple(cutter.earths()))

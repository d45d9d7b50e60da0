"""A healthy bench and its faulty twin on one clock, looked at often at first and less often later."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from typing import NamedTuple

from sim.bench import Bench
from sim.study.case import Case
from sim.study.dials import Readings
from sim.study.limits import Limit, Lookout

FINE = ((20.0, 0.5), (120.0, 1.0), (600.0, 4.0), (3600.0, 20.0))
"""(up to, every) in s; guess: half a second is how fast a display settles, later a needle creeps."""
COARSE = ((120.0, 2.0), (600.0, 10.0), (3600.0, 60.0))
"""The same for runs of which only a time is wanted."""
Grid = tuple[tuple[float, float], ...]


class Look(NamedTuple):
    """Both benches at one instant after the first fault."""

    time_s: float
    healthy: Readings
    faulty: Readings
    limits: list[Limit]
    """What the faulty one has reached since the last look."""


def look_times(grid: Grid, until_s: float) -> Iterator[float]:
    """Instants after 0, the last one at ``until_s``; beyond the grid its last step goes on."""
    at_s = 0.0
    while at_s < until_s:
        every = next((step for end, step in grid if at_s < end), grid[-1][1])
        at_s = min(at_s + every, until_s)
        yield at_s


class Watched:
    """A bench on a case's clock, with what the case does to it; its faults from the first instant on, or without them."""

    def __init__(self, bench: Bench, case: Case, *, faulty: bool) -> None:
        self.bench = bench
        self.begun_s = bench.time_s
        self.commands = dict(bench.commands)
        """Where every handle stood."""
        self.lookout = Lookout(bench)
        self.coming = deque(case.moments(bench, faulty=faulty))
        self._act(0.0)

    def go_to(self, at_s: float) -> Readings:
        """Run to an instant of the case's clock, doing what comes on the way; the readings there."""
        while self.coming and self.coming[0].at_s <= at_s:
            self._act(self.coming[0].at_s)
        self._run(at_s)
        return self.bench.readings()

    def forget_rest(self) -> None:
        """Nothing more of the case happens to it."""
        self.coming.clear()

    def _run(self, at_s: float) -> None:
        self.bench.advance(max(self.begun_s + at_s - self.bench.time_s, 0.0))

    def _act(self, at_s: float) -> None:
        while self.coming and self.coming[0].at_s <= at_s:
            self._run(self.coming[0].at_s)
            self.coming.popleft().act()


class Twins:
    """The pair. ``looks`` runs both, and stops after the first limit that ends the demonstration."""

    def __init__(self, case: Case, healthy: Bench) -> None:
        self.healthy = Watched(healthy.fork(), case, faulty=False)
        self.faulty = Watched(healthy.fork(), case, faulty=True)

    def looks(self, until_s: float, grid: Grid = FINE) -> Iterator[Look]:
        """Looks up to ``until_s`` or the end of the demonstration."""
        for at_s in look_times(grid, until_s):
            look = self._look(at_s)
            yield look
            if any(limit.ends for limit in look.limits):
                return

    def aftermath(self, from_s: float, until_s: float, grid: Grid = FINE) -> Iterator[Look]:
        """Looks from an instant on, whatever ends the demonstration."""
        for after_s in look_times(grid, until_s - from_s):
            yield self._look(from_s + after_s)

    def _look(self, at_s: float) -> Look:
        faulty, healthy = self.faulty.go_to(at_s), self.healthy.go_to(at_s)
        return Look(at_s, healthy, faulty, self.consequences(faulty, healthy))

    def consequences(self, faulty: Readings, healthy: Readings) -> list[Limit]:
        """What the faulty bench has reached since the last look and the healthy one has not reached by now."""
        self.healthy.lookout.look(self.healthy.bench, healthy)
        normal = {(one.tag, one.text) for one in self.healthy.lookout.found}
        reached = self.faulty.lookout.look(self.faulty.bench, faulty)
        return [one for one in reached if (one.tag, one.text) not in normal]

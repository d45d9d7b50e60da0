"""Which severities show nothing and which end the demonstration too soon, by halving."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from sim.bench import Bench
from sim.errors import PlantError
from sim.study.case import Case
from sim.study.dials import Readings, dials_of
from sim.study.twins import COARSE, Watched, look_times

WITHIN_S = 600.0  # contract of the rehearsal card
AFTER_ACT_S = 120.0  # guess: what a stop, a start or a reversal shows it shows in two minutes
HALVINGS = 5
"""To three hundredths of the scale: nobody sets a fault more finely."""


class Edge(NamedTuple):
    """Where an answer turns from no to yes. ``yes`` None: not even at 1; ``no`` None: already at the smallest severity tried."""

    no: float | None
    yes: float | None


class Strengths(NamedTuple):
    """What a severity does within ten minutes; with an occasion two minutes after its last act."""

    shows: Edge
    """Something becomes plain from the back of the room."""
    trips: Edge
    """A limit that ends the demonstration is reached."""


class Tried:
    """A severity that is followed no further than somebody asks."""

    def __init__(self, case: Case, bench: Bench, normal: list[tuple[float, Readings]], usual: set[tuple[str, str]]) -> None:  # fmt: skip
        self.watched = Watched(bench, case, faulty=True)
        self.normal, self.usual = iter(normal), usual
        self.dials = dials_of(case.rig)
        self.shows = self.trips = False

    def look_until(self, what: str) -> bool:
        """Go on until it ``shows`` or ``trips``; False when it does not. What cannot be computed any further has done both."""
        while not getattr(self, what):
            coming = next(self.normal, None)
            if coming is None:
                return False
            try:
                now = self.watched.go_to(coming[0])
            except PlantError:
                self.shows = self.trips = True
                return True
            found = self.watched.lookout.look(self.watched.bench, now)
            self.trips |= any(one.ends and (one.tag, one.text) not in self.usual for one in found)
            self.shows |= any(dial.is_plain(dial.shift(coming[1], now)) for dial in self.dials)
        return True


def strengths_of(case: Case, healthy: Bench | None = None) -> Strengths:
    """For a case with one named fault; the answers are taken to turn only once between 0 and 1. ``healthy``: its bench before the fault, where there is one already."""
    healthy = healthy or case.healthy()
    sound = Watched(healthy.fork(), case, faulty=False)
    normal: list[tuple[float, Readings]] = []
    until_s = case.last_act_s + AFTER_ACT_S if case.occasion else WITHIN_S
    for at_s in look_times(COARSE, until_s):
        normal.append((at_s, sound.go_to(at_s)))
        sound.lookout.look(sound.bench, normal[-1][1])
    usual = {(one.tag, one.text) for one in sound.lookout.found}
    tried: dict[float, Tried] = {}

    def answer(severity: float, what: str) -> bool:
        if severity not in tried:
            tried[severity] = Tried(case.of_severity(severity), healthy.fork(), normal, usual)
        return tried[severity].look_until(what)

    return Strengths(edge_of(lambda s: answer(s, "shows")), edge_of(lambda s: answer(s, "trips")))


def edge_of(answer: Callable[[float], bool]) -> Edge:
    """Halve between 0 (nothing, by definition) and 1."""
    if not answer(1.0):
        return Edge(1.0, None)
    no, yes = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = 0.5 * (no + yes)
        no, yes = (no, middle) if answer(middle) else (middle, yes)
    return Edge(no if no > 0.0 else None, yes)

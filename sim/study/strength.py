"""Which severities show nothing and which end the demonstration too soon, by halving."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from sim.bench import Bench
from sim.errors import PlantError
from sim.study.case import Case
from sim.study.dials import dials_of
from sim.study.twins import COARSE, Watched, look_times

WITHIN_S = 600.0  # contract of the rehearsal card
HALVINGS = 5
"""To three hundredths of the scale: nobody sets a fault more finely."""


class Edge(NamedTuple):
    """Where an answer turns from no to yes. ``yes`` None: not even at 1; ``no`` None: already at the smallest severity tried."""

    no: float | None
    yes: float | None


class Strengths(NamedTuple):
    """What a severity does within ten minutes; with an occasion ten minutes after its last act."""

    shows: Edge
    """Something becomes plain from the back of the room."""
    trips: Edge
    """A limit that ends the demonstration is reached."""


def strengths_of(case: Case, healthy: Bench) -> Strengths:
    """For a case with one named fault; the answers are taken to turn only once between 0 and 1."""
    dials = dials_of(case.rig)
    sound = Watched(healthy.fork(), case, faulty=False)
    until_s = case.last_act_s + WITHIN_S
    normal = []
    for at_s in look_times(COARSE, until_s):
        normal.append((at_s, sound.go_to(at_s)))
        sound.lookout.look(sound.bench, normal[-1][1])
    usual = {(one.tag, one.text) for one in sound.lookout.found}

    def shows(severity: float) -> bool:
        watched = Watched(healthy.fork(), case.of_severity(severity), faulty=True)
        for at_s, readings in normal:
            now = watched.go_to(at_s)
            if any(dial.is_plain(dial.shift(readings, now)) for dial in dials):
                return True
        return False

    def trips(severity: float) -> bool:
        watched = Watched(healthy.fork(), case.of_severity(severity), faulty=True)
        for at_s, _ in normal:
            found = watched.lookout.look(watched.bench, watched.go_to(at_s))
            if any(limit.ends and (limit.tag, limit.text) not in usual for limit in found):
                return True
        return False

    return Strengths(edge_of(shows), edge_of(trips))


def edge_of(answer: Callable[[float], bool]) -> Edge:
    """Halve between 0 (nothing, by definition) and 1."""

    def yes_at(severity: float) -> bool:
        try:
            return answer(severity)
        except PlantError:  # the state could not be computed further: nothing more to show
            return True

    if not yes_at(1.0):
        return Edge(1.0, None)
    no, yes = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = 0.5 * (no + yes)
        no, yes = (no, middle) if yes_at(middle) else (middle, yes)
    return Edge(no if no > 0.0 else None, yes)

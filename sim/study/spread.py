"""The first limit reached in the model, over the spread of the rig's parameters, one at a time, and in a room 5 K warmer. A forecast, not a permission."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Sequence
from concurrent.futures import Executor, Future
from dataclasses import replace
from itertools import islice
from typing import Any, NamedTuple

from sim.bench import Bench
from sim.errors import PlantError
from sim.rig import Rig
from sim.study.case import Case
from sim.study.limits import Limit
from sim.study.twins import COARSE, Watched, look_times
from sim.study.workers import Here

WARMER_K = 5.0  # contract of the rehearsal card
UNABLE = "model"
"""Stands for a tag where the model, not the plant, has come to an end."""


class Found(NamedTuple):
    """The first limit under one variation; None when there is none in the time looked at."""

    variation: str
    limit: Limit | None
    not_before_s: float
    """Nothing was reached up to here: the end of the look, or the earliest limit known by then."""


def varied(rig: Rig, of: str, value: float) -> Rig:
    """The rig with one number of one part changed."""
    tag, _, key = of.rpartition(".")
    change: dict[str, Any] = {key: value}
    parts = tuple(
        replace(placed, part=replace(placed.part, **change)) if placed.tag == tag else placed
        for placed in rig.parts
    )
    return replace(rig, parts=parts)


def variations(case: Case, room_c: float) -> Iterator[tuple[str, Case]]:
    """(what is different, the case) for the warmer room, then both ends of every spread."""
    yield f"room {room_c + WARMER_K:g} °C", case.in_room(room_c + WARMER_K)
    for spread in case.rig.spreads:
        for end in (spread.low, spread.high):
            yield f"{spread.of} {end:.4g}", replace(case, rig=varied(case.rig, spread.of, end))


def first_limit(case: Case, healthy: Bench, until_s: float, known: frozenset[str]) -> Limit | None:
    """The first limit that the faulty bench reaches within ``until_s``, and not also the healthy one.

    The healthy one is run only when there is something to ask it: not about ``known``, the texts of limits that are the fault's on the rig as filed.
    """
    sound = Watched(healthy.fork(), case, faulty=False)
    watched = Watched(healthy, case, faulty=True)
    behind: list[float] = []
    for at_s in look_times(COARSE, until_s):
        found = watched.lookout.look(watched.bench, watched.go_to(at_s))
        behind.append(at_s)
        if not found:
            continue
        if (
            not case.sheet.actions or found[0].text in known
        ):  # without acts a healthy bench reaches no limit
            return found[0]
        for earlier in behind:
            sound.lookout.look(sound.bench, sound.go_to(earlier))
        behind.clear()
        usual = {(one.tag, one.text) for one in sound.lookout.found}
        own = [one for one in found if (one.tag, one.text) not in usual]
        if own:
            return own[0]
    return None


def limit_of(case: Case, until_s: float, known: frozenset[str] = frozenset()) -> Limit | None:
    """A case's first limit within ``until_s``; one that cannot be computed has that for a limit."""
    try:
        return first_limit(case, case.healthy(), until_s, known)
    except PlantError as error:
        return Limit(0.0, UNABLE, f"cannot be computed with this variation: {error}", True)


def spread_limits(case: Case, room_c: float, limits: Sequence[Limit], executor: Executor | None = None, ahead: int = 1) -> Iterator[Found]:  # fmt: skip
    """The first limit of every variation in turn, ``limits`` being those on the rig as filed; each is followed only as far as the earliest limit known by then. ``ahead`` of them are under way at once, which changes no result."""
    executor = executor or Here()
    earliest = min((limit.time_s for limit in limits), default=case.look_s)
    known = frozenset(limit.text for limit in limits)
    waiting: deque[tuple[str, Future[Limit | None]]] = deque()
    coming = variations(case, room_c)
    while True:
        for what, other in islice(coming, ahead - len(waiting)):
            waiting.append((what, executor.submit(limit_of, other, earliest, known)))
        if not waiting:
            return
        what, future = waiting.popleft()
        limit = future.result()
        if limit is not None and limit.time_s >= earliest:  # no earlier than what is known
            limit = None
        yield Found(what, limit, earliest)
        if limit is not None and limit.tag != UNABLE:
            earliest = limit.time_s

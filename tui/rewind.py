"""Going back in time: moments kept in bounded memory, and every order since, so that any instant can be computed again exactly.

The plant's course depends on rig, seed and timed orders only, so the nearest kept moment and the orders after it give the same plant, bit for bit. Moments are kept at
equal distances of the plant's time; when there are too many, every second one goes and the distance doubles. Lives in the plant's thread.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from tui.orders import Order, obey
from tui.plant import Bench, Event

FIRST_STEP_S = 15.0
MOST_MOMENTS = 64
"""Some 60 kB each."""
MISHAPS = ("violation", "burst", "slug", "damage")
"""What no one can take back on a real plant."""


class Moment(NamedTuple):
    """The whole plant at an instant, packed."""

    time_s: float
    packed: bytes


class Done(NamedTuple):
    """An order that the plant has carried out."""

    time_s: float
    order: Order


class Keeper:
    """Moments and orders of one bench since it was opened."""

    def __init__(self, bench: Bench, most: int = MOST_MOMENTS) -> None:
        self.most, self.step_s = most, FIRST_STEP_S
        self.moments = [Moment(bench.time_s, bench.packed())]
        self.done: list[Done] = []

    @property
    def first_s(self) -> float:
        """How far back one can go."""
        return self.moments[0].time_s

    def look(self, bench: Bench) -> None:
        """Keep this moment if it is time for one."""
        if bench.time_s < self.moments[-1].time_s + self.step_s:
            return
        self.moments.append(Moment(bench.time_s, bench.packed()))
        if len(self.moments) > self.most:
            del self.moments[1::2]
            self.step_s *= 2.0

    def note(self, order: Order, bench: Bench) -> None:
        """An order was carried out at this instant."""
        self.done.append(Done(bench.time_s, order))

    def back(self, bench: Bench, time_s: float) -> Bench:
        """The plant as it was at ``time_s``; what came later is forgotten. Raises ValueError for a time that is not in the record."""
        if not self.first_s <= time_s <= bench.time_s:
            raise ValueError(f"there is no way back to {time_s:g} s; the record goes from {self.first_s:g} to {bench.time_s:g} s.")  # fmt: skip
        passed = past(bench.events, time_s)
        at = bisect_right([moment.time_s for moment in self.moments], time_s) - 1
        moment = self.moments[at]
        found = bench.unpacked(moment.packed)
        # a moment is kept after a step and before the orders of its instant
        again = [done for done in self.done if moment.time_s <= done.time_s <= time_s]
        for done in again:
            if done.time_s > found.time_s:
                found.advance(done.time_s - found.time_s)
            obey(done.order, found)
        if time_s > found.time_s:
            found.advance(time_s - found.time_s)
        del self.moments[at + 1 :]
        self.done = [done for done in self.done if done.time_s <= time_s]
        found.note("", "note", words(bench.time_s, time_s, passed))
        return found


def past(events: Sequence[Event], time_s: float) -> list[Event]:
    """Mishaps after an instant."""
    return [event for event in events if event.time_s > time_s and event.kind in MISHAPS]


def words(from_s: float, to_s: float, passed: Sequence[Event]) -> str:
    """What the record says of going back."""
    return f"Went back from {from_s:.0f} s to {to_s:.0f} s.{taken_back(passed)}"


def taken_back(passed: Sequence[Event]) -> str:
    """The sentence about mishaps that are undone by it; '' without any."""
    if not passed:
        return ""
    return f" That takes back: {passed[0].kind} at {passed[0].tag}. A real plant has no way back."

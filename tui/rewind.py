"""Going back in time: moments kept in bounded memory, and every order since, so that any instant can be computed again exactly.

The plant's course depends on rig, seed and timed orders only, so the nearest kept moment and the orders after it give the same plant, bit for bit. Moments are kept at
equal distances of the plant's time; when there are too many, every second one goes and the distance doubles. Mishaps stay on record (``tui.mishaps``). Lives in the plant's thread.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import NamedTuple

from tui.mishaps import carry_over, left_behind, on_record, taken_back
from tui.orders import Order, obey
from tui.plant import Bench

FIRST_STEP_S = 15.0
MOST_MOMENTS = 64
"""Some 60 kB each."""


class Moment(NamedTuple):
    """The whole plant at an instant, packed."""

    time_s: float
    packed: bytes
    done: int
    """How many orders had been carried out by then."""


class Done(NamedTuple):
    """An order that the plant has carried out."""

    time_s: float
    order: Order


class Keeper:
    """Moments and orders of one bench since it was opened."""

    def __init__(self, bench: Bench, most: int = MOST_MOMENTS) -> None:
        self.most, self.step_s = most, FIRST_STEP_S
        self.done: list[Done] = []
        self.moments = [self._moment(bench)]

    @property
    def first_s(self) -> float:
        """How far back one can go."""
        return self.moments[0].time_s

    def look(self, bench: Bench) -> None:
        """Keep this moment if it is time for one."""
        if bench.time_s < self.moments[-1].time_s + self.step_s:
            return
        self.moments.append(self._moment(bench))
        if len(self.moments) > self.most:
            del self.moments[1::2]
            self.step_s *= 2.0

    def _moment(self, bench: Bench) -> Moment:
        return Moment(bench.time_s, bench.packed(), len(self.done))

    def note(self, order: Order, bench: Bench) -> None:
        """An order was carried out at this instant."""
        self.done.append(Done(bench.time_s, order))

    def back(self, bench: Bench, time_s: float) -> Bench:
        """The plant as it was at ``time_s``; what came later is forgotten, but for mishaps. Raises ValueError for a time that is not in the record."""
        if not self.first_s <= time_s <= bench.time_s:
            raise ValueError(f"there is no way back to {time_s:g} s; the record goes from {self.first_s:g} to {bench.time_s:g} s.")  # fmt: skip
        at = bisect_right([moment.time_s for moment in self.moments], time_s) - 1
        moment = self.moments[at]
        found = bench.unpacked(moment.packed)
        for done in (one for one in self.done[moment.done :] if one.time_s <= time_s):
            if done.time_s > found.time_s:
                found.advance(done.time_s - found.time_s)
            obey(done.order, found)
        if time_s > found.time_s:
            found.advance(time_s - found.time_s)
        passed = left_behind(bench.events, found.events)
        carry_over(on_record(bench.events), found)
        found.note("", "note", f"Went back from {bench.time_s:.0f} s to {time_s:.0f} s.{taken_back(passed)}")  # fmt: skip
        self.done = [done for done in self.done if done.time_s <= time_s]
        # the record is in this moment and in none before it: who goes on from here and comes back begins with it
        del self.moments[at + (moment.time_s < time_s or at == 0) :]
        self.moments.append(self._moment(found))
        return found

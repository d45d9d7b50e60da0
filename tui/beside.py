"""Copies of the bench in the runner's hands: one that runs ahead in the background, one that runs beside the bench on the same clock, and those put by under a name.

All of it happens in the plant's thread, a few hundredths of a second at a time, between two steps of the bench: the bench is never held up by more than that.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from tui.mishaps import carry_over, left_behind, on_record, taken_back
from tui.orders import Fork, LookAhead
from tui.plant import Bench, Snapshot

WORK_S = 0.03
"""Wall seconds of running ahead between two steps of the bench; guess: the eye does not see a needle wait so long."""


MOST_KEPT = 20
"""Copies put by, of some 60 kB each; guess: more nobody tells apart."""


class Kept(NamedTuple):
    """A plant put by: what it is called, its own time, all of it packed."""

    name: str
    time_s: float
    packed: bytes


@dataclass(frozen=True, slots=True)
class AheadReport:
    """What running ahead has shown so far; ``number`` is its order's."""

    number: int
    begun_s: float
    """The bench's time when the copy was made."""
    seen: Any
    """``sim.study.ahead.Ahead``."""
    what: str = ""
    """What was done on the copy first, as a person says it."""
    of_fork: bool = False
    """Looked from the copy beside the bench, where the hand was."""
    runs: bool | None = None
    """Did the compressor run at the end? None as long as nobody knows."""


class Beside:
    """The copies."""

    def __init__(self, ahead: Callable[[Any], Iterator[Any]] | None = None) -> None:
        self._ahead = ahead
        self._looking: Iterator[Any] | None = None
        self._copy: Any = None
        self.report: AheadReport | None = None
        self.fork: Any = None
        self.fork_begun_s = 0.0
        self.kept: dict[str, Kept] = {}

    @property
    def busy(self) -> bool:
        """Is a copy running ahead?"""
        return self._looking is not None

    def look(self, bench: Any, order: LookAhead) -> None:
        """Do the act on a copy of the plant at hand, and begin to run ahead. Raises what the bench raises for that act."""
        of_fork = order.to_fork and self.fork is not None
        at_hand = self.fork if of_fork else bench
        copy = at_hand.fork()
        if order.first is not None:
            copy.set(*order.first)
        look_ahead = self._ahead
        if look_ahead is None:
            from sim.study.ahead import look_ahead as computed

            look_ahead = computed
        self._copy, self._looking = copy, look_ahead(copy)
        self.report = AheadReport(order.number, at_hand.time_s, None, order.words, of_fork)

    def work(self) -> bool:
        """Run ahead a little. True when that was the end of it."""
        if self._looking is None or self.report is None:
            return False
        end = time.perf_counter() + WORK_S
        for seen in self._looking:
            self.report = replace(self.report, seen=seen)
            if seen.ended:
                runs = None if seen.unable else bool(self._copy.snapshot().running)
                self.report = replace(self.report, runs=runs)
                self._looking = self._copy = None
                return True
            if time.perf_counter() > end:
                return False
        self._looking = self._copy = None
        return True

    def note(self, bench: Any) -> None:
        """Put what was seen on the bench's record, and with which act."""
        if self.report is None or self.report.seen is None:
            return
        from sim.events import RECORD, Event
        from sim.study.ahead import MARK

        words = self.report.seen.words
        if self.report.what:
            words = words.replace("on a copy", f"on a copy with {self.report.what}", 1)
        bench.events.append(
            Event(bench.time_s, MARK, RECORD, words)
        )  # no ``note``: being looked at begins nothing on the plant

    def obey(self, bench: Bench, order: Fork) -> Bench:
        """Do with copies what is asked; returns the bench from now on. Raises ValueError for a name that is not there, or taken, or one too many."""
        if order.what in ("take", "adopt", "drop") and order.name not in self.kept:
            raise ValueError(f"nothing is put by under the name {order.name!r}.")
        if order.what == "begin":
            self.fork, self.fork_begun_s = bench.fork(), bench.time_s
        elif order.what == "end":
            self.join()
        elif order.what == "keep":
            self.keep(self.fork if order.to_fork and self.fork is not None else bench, order.name)
        elif order.what == "take":
            self.fork, self.fork_begun_s = bench.unpacked(self.kept[order.name].packed), self.kept[order.name].time_s  # fmt: skip
        elif order.what == "adopt":
            return self.adopt(bench, order.name)
        else:
            del self.kept[order.name]
        return bench

    def keep(self, bench: Bench, name: str) -> None:
        """Put a plant by, as it is now."""
        if not name or name in self.kept:
            raise ValueError(f"the name {name!r} is taken; give another." if name else "a plant that is put by needs a name.")  # fmt: skip
        if len(self.kept) >= MOST_KEPT:
            raise ValueError(f"{MOST_KEPT} plants are put by; forget one first.")
        self.kept[name] = Kept(name, bench.time_s, bench.packed())

    def adopt(self, bench: Bench, name: str) -> Bench:
        """What was put by becomes the bench; the bench is put by. The record says so, with the mishaps that this takes back."""
        kept = self.kept[name]
        found = bench.unpacked(kept.packed)
        passed = left_behind(bench.events, found.events)
        carry_over(on_record(bench.events), found)
        del self.kept[name]
        self.keep(bench, self.free_name(f"bench of {bench.time_s:.0f} s"))
        self.join()
        found.note("", "note", f"Went on with {name}, put by at {kept.time_s:.0f} s, in the place of the bench at {bench.time_s:.0f} s.{taken_back(passed)}")  # fmt: skip
        return found

    def free_name(self, name: str) -> str:
        """The name, or with a number behind it when it is taken."""
        others = (f"{name} ({number})" for number in range(2, MOST_KEPT + 2))
        return name if name not in self.kept else next(one for one in others if one not in self.kept)  # fmt: skip

    def join(self) -> None:
        """End it."""
        self.fork = None

    def advance(self, seconds: float) -> None:
        """The copy runs on the bench's clock."""
        if self.fork is not None:
            self.fork.advance(seconds)

    def snapshot(self) -> Snapshot | None:
        """What the copy looks like."""
        return self.fork.snapshot() if self.fork is not None else None

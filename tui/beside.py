"""Copies of the bench in the runner's hands: one that runs ahead in the background, and one that runs beside the bench on the same clock.

All of it happens in the plant's thread, a few hundredths of a second at a time, between two steps of the bench: the bench is never held up by more than that.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from tui.orders import LookAhead
from tui.plant import Snapshot

WORK_S = 0.03
"""Wall seconds of running ahead between two steps of the bench; guess: the eye does not see a needle wait so long."""


@dataclass(frozen=True, slots=True)
class AheadReport:
    """What running ahead has shown so far; ``number`` is its order's."""

    number: int
    begun_s: float
    """The bench's time when the copy was made."""
    seen: Any
    """``sim.study.ahead.Ahead``."""
    what: str = ""
    """What was tried on the copy first."""


class Beside:
    """The copies."""

    def __init__(self, ahead: Callable[[Any], Iterator[Any]] | None = None) -> None:
        self._ahead = ahead
        self._looking: Iterator[Any] | None = None
        self.report: AheadReport | None = None
        self.fork: Any = None
        self.fork_begun_s = 0.0

    @property
    def busy(self) -> bool:
        """Is a copy running ahead?"""
        return self._looking is not None

    def look(self, bench: Any, order: LookAhead) -> None:
        """Begin to run ahead. Raises what the bench raises for the act that is tried first."""
        copy, what = bench.fork(), ""
        if order.first is not None:
            tag, value = order.first
            copy.set(tag, value)
            what = f"{tag} to {value}"
        look_ahead = self._ahead
        if look_ahead is None:
            from sim.study.ahead import look_ahead as computed

            look_ahead = computed
        self._looking = look_ahead(copy)
        self.report = AheadReport(order.number, bench.time_s, None, what)

    def work(self) -> bool:
        """Run ahead a little. True when that was the end of it."""
        if self._looking is None or self.report is None:
            return False
        end = time.perf_counter() + WORK_S
        for seen in self._looking:
            last = self.report
            self.report = AheadReport(last.number, last.begun_s, seen, last.what)
            if seen.ended:
                self._looking = None
                return True
            if time.perf_counter() > end:
                return False
        self._looking = None
        return True

    def note(self, bench: Any) -> None:
        """Put what was seen on the bench's record."""
        if self.report is None or self.report.seen is None:
            return
        from sim.study.ahead import note_that_somebody_looked

        note_that_somebody_looked(bench, self.report.seen)

    def part(self, bench: Any) -> None:
        """Make the copy that runs beside the bench from now on."""
        self.fork, self.fork_begun_s = bench.fork(), bench.time_s

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

"""Going on until something happens: steady running, a reading that crosses a value, a trip, a stated time. Lives in the plant's thread.

Whatever is waited for, a trip or a mishap ends the waiting too.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from sim.units import SUFFIXES
from tui.plant import Bench, Reading

LOOK_S = 1.0
"""Plant seconds between two looks at a reading."""
ALARMS = ("trip", "lift", "burst", "slug", "stall", "damage", "violation")
BAR, PER_MINUTE = SUFFIXES["bar"].factor, 60.0
# common practice: when a technician calls a small plant steady
STEADY_BAR_MIN, STEADY_SUPERHEAT_K, STEADY_W_MIN, STEADY_WINDOW_S = 0.02, 1.5, 2.0, 180.0
Kind = Literal["steady", "crossing", "trip", "time"]


@dataclass(frozen=True, slots=True)
class Goal:
    """What is waited for."""

    kind: Kind = "steady"
    key: str = ""
    """Reading that is to cross ``value``."""
    value: float = math.nan
    """In SI."""
    seconds: float = math.inf
    """Plant time after which waiting ends in any case."""
    words: str = "steady"
    """As the status line says it."""


STEADY = Goal()


@dataclass
class Waiting:
    """A goal, and what has been seen since it was set."""

    goal: Goal
    begun_s: float
    events: int
    """How many had happened by then."""
    looked_s: float = -math.inf
    seen: deque[tuple[float, float, float, float, float]] = field(default_factory=deque)
    """(time, suction, discharge, superheat, watts) of the steady window."""
    above: bool | None = None

    @staticmethod
    def on(goal: Goal, bench: Bench) -> Waiting:
        """Begin to wait."""
        return Waiting(goal, bench.time_s, len(bench.events))

    def met(self, bench: Bench) -> str:
        """Why to stop waiting now, in words; empty to go on."""
        alarms = [event for event in bench.events[self.events :] if event.kind in ALARMS]
        if alarms:
            return f"{alarms[0].kind} at {alarms[0].tag}"
        if bench.time_s - self.begun_s >= self.goal.seconds - 1e-9:
            return self.goal.words if self.goal.kind == "time" else f"not {self.goal.words} within {self.goal.seconds / 60:g} min"  # fmt: skip
        if self.goal.kind in ("steady", "crossing") and bench.time_s >= self.looked_s + LOOK_S:
            self.looked_s = bench.time_s
            readings = bench.readings()
            if self._steady(readings) if self.goal.kind == "steady" else self._crossed(readings):
                return self.goal.words
        return ""

    def _crossed(self, readings: Mapping[str, Reading]) -> bool:
        now = number(readings, self.goal.key)
        if not math.isfinite(now):
            return False
        above = now >= self.goal.value
        before, self.above = self.above, above
        return before is not None and before != above

    def _steady(self, readings: Mapping[str, Reading]) -> bool:
        """Over three minutes: both pressures within 0.02 bar a minute, superheat within 1.5 K from peak to peak, power within 2 W a minute, as the instruments show it."""
        keys = ("suction_pressure_pa", "discharge_pressure_pa", "evaporator_superheat_k", "power_w")
        row = (self.looked_s, *(number(readings, key) for key in keys))
        self.seen.append(row)  # type: ignore[arg-type]
        while self.seen[0][0] < self.looked_s - STEADY_WINDOW_S:
            self.seen.popleft()
        minutes = (self.seen[-1][0] - self.seen[0][0]) / PER_MINUTE
        if minutes * PER_MINUTE < STEADY_WINDOW_S - 2.0 * LOOK_S:
            return False
        columns = list(zip(*self.seen, strict=True))
        third = max(len(self.seen) // 3, 1)
        drifts = [abs(sum(column[-third:]) - sum(column[:third])) / third / minutes * 1.5 for column in columns[1:]]  # fmt: skip
        swing = max(columns[3]) - min(columns[3])
        return bool(drifts[0] < STEADY_BAR_MIN * BAR and drifts[1] < STEADY_BAR_MIN * BAR and swing < STEADY_SUPERHEAT_K and drifts[3] < STEADY_W_MIN)  # fmt: skip


def number(readings: Mapping[str, Reading], key: str) -> float:
    """What the instrument shows, or the reading where none hangs; not a number for a word."""
    value = readings.get(f"{key}_shown", readings.get(key, math.nan))
    return float(value) if isinstance(value, int | float) else math.nan

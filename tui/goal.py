"""Going on until something happens: steady running, a reading that crosses a value, a trip, a stated time. Lives in the plant's thread.

Whatever is waited for, a trip or a mishap ends the waiting too.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from sim.steadiness import (
    BAR,
    BAR_MIN,
    PER_MINUTE,
    SUPERHEAT_K,
    W_MIN,
    WINDOW_S,
    drifts,
    moving,
)
from tui.derived import derive
from tui.fluid_chart import FluidChart
from tui.plant import Bench, Reading
from tui.seen import heating

LOOK_S = 1.0
"""Plant seconds between two looks at a reading."""
ALARMS = ("trip", "lift", "burst", "slug", "stall", "damage", "violation")
STEADY_MEANS = f"pressures within {BAR_MIN:g} bar a minute, superheat within {SUPERHEAT_K:g} K, power within {W_MIN:g} W a minute, over {WINDOW_S / PER_MINUTE:g} minutes"
"""What is called steady, for screen and sentences alike."""
EQUAL_BAR = 0.3  # common practice: so near to each other two pressures no longer load a start
WARMING_K_MIN = 0.2  # guess: a shell that warms so fast is far from its end
LEAST_TOLD_K_MIN = 0.05
"""Below it a drift rounds to nothing in tenths."""
Kind = Literal["steady", "equal", "crossing", "trip", "time"]


LOOKED_AT = ("steady", "equal", "crossing")
"""Goals that readings decide."""


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
    seen: deque[tuple[float, ...]] = field(default_factory=deque)
    """(time, suction, discharge, superheat, watts, shell) of the steady window."""
    above: bool | None = None
    fluid: FluidChart | None = None
    """Superheat is worked out with it, as at the bench."""
    superheat: str = "gauge_superheat_k"

    @staticmethod
    def on(goal: Goal, bench: Bench, fluid: FluidChart | None = None) -> Waiting:
        """Begin to wait."""
        turned = goal.kind == "steady" and heating(bench.snapshot())
        key = "suction_gauge_superheat_k" if turned else "gauge_superheat_k"
        return Waiting(goal, bench.time_s, len(bench.events), fluid=fluid, superheat=key)

    def met(self, bench: Bench) -> str:
        """Why to stop waiting now, in words; empty to go on."""
        alarms = [event for event in bench.events[self.events :] if event.kind in ALARMS]
        if alarms:
            return f"{alarms[0].kind} at {alarms[0].tag}"
        if bench.time_s - self.begun_s >= self.goal.seconds - 1e-9:
            return self.goal.words if self.goal.kind == "time" else f"not {self.goal.words} within {self.goal.seconds / 60:g} min"  # fmt: skip
        if self.goal.kind in LOOKED_AT and bench.time_s >= self.looked_s + LOOK_S:
            return self.look(bench.time_s, bench.readings())
        return ""

    def look(self, time_s: float, readings: Mapping[str, Reading]) -> str:
        """What has come about by these readings; empty when it has not."""
        self.looked_s = time_s
        if self.goal.kind == "steady":
            return f"{self.goal.words}{self._warming()}" if self._steady(readings) else ""
        if self.goal.kind == "equal":
            low, high = (number(readings, key) for key in ("suction_pressure_pa", "discharge_pressure_pa"))  # fmt: skip
            return self.goal.words if abs(high - low) < EQUAL_BAR * BAR else ""
        return self.goal.words if self._crossed(readings) else ""

    def _warming(self) -> str:
        """What is not steady yet though pressures and power are: the compressor's metal, and with it superheat, which may have turned within the window: its last third says which way it goes now, unless the last two thirds say otherwise: then the steps of a display are all that is seen."""
        rows = list(self.seen)
        third = max(len(rows) // 3, 3)
        shell = drifts(rows)[5]
        superheat, longer = drifts(rows[-third:])[3], drifts(rows[-2 * third :])[3]
        if not shell > WARMING_K_MIN:
            return ""
        told = min(abs(superheat), abs(longer)) >= LEAST_TOLD_K_MIN and superheat * longer > 0.0
        way = "up" if superheat > 0.0 else "down"
        if not all(row[3] > 0.0 for row in rows):  # none, or wet gas, which has none to drift
            return "; metal still warms"
        moves = f"drifts, {way} {abs(superheat):.1f} K a minute now" if told else "drifts"  # fmt: skip
        return f"; metal still warms: superheat {moves}"

    def _crossed(self, readings: Mapping[str, Reading]) -> bool:
        now = number(readings, self.goal.key)
        if not math.isfinite(now):
            return False
        above = now >= self.goal.value
        before, self.above = self.above, above
        return before is not None and before != above

    def _steady(self, readings: Mapping[str, Reading]) -> bool:
        """Over three minutes: both pressures within 0.02 bar a minute, superheat within 1.5 K from peak to peak, power within 2 W a minute, as the instruments show it; a superheat that no instruments give is left out."""
        low, high, watts, shell = (number(readings, key) for key in ("suction_pressure_pa", "discharge_pressure_pa", "power_w", "shell_temperature_k"))  # fmt: skip
        superheat = derive(self.superheat, lambda key: shown(readings, key), self.fluid)
        self.seen.append((self.looked_s, low, high, superheat, watts, shell))
        while self.seen[0][0] < self.looked_s - WINDOW_S:
            self.seen.popleft()
        minutes = (self.seen[-1][0] - self.seen[0][0]) / PER_MINUTE
        if minutes * PER_MINUTE < WINDOW_S - 2.0 * LOOK_S:
            return False
        level = next((row[3] for row in self.seen if math.isfinite(row[3])), 0.0)
        return not moving([(*row[:3], row[3] if math.isfinite(row[3]) else level, *row[4:]) for row in self.seen])  # fmt: skip


def shown(readings: Mapping[str, Reading], key: str) -> float:
    """What an instrument shows; not a number where none hangs."""
    value = readings.get(f"{key}_shown", math.nan)
    return float(value) if isinstance(value, int | float) else math.nan


def number(readings: Mapping[str, Reading], key: str) -> float:
    """What the instrument shows, or the reading where none hangs; not a number for a word."""
    value = readings.get(f"{key}_shown", readings.get(key, math.nan))
    return float(value) if isinstance(value, int | float) else math.nan

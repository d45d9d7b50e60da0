"""What was chosen at the trends: which readings, how far back, where the cursor stands. No Textual, no drawing."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from tui.derived import DERIVED

SPANS_S = (300.0, 900.0, 3600.0, math.inf)
"""The last one is the whole session."""
LEAST_SPAN_S, ZOOM = 20.0, 2.0
MOST_READINGS = 4
"""In one chart."""
CURSOR_STEP = 0.02
"""Share of the window that an arrow key moves the cursor."""


class TrendSet(NamedTuple):
    """Readings that are looked at together."""

    title: str
    keys: tuple[str, ...]


TREND_SETS = (
    TrendSet("pressures", ("suction_pressure_pa", "discharge_pressure_pa")),
    TrendSet("superheat and subcooling", ("gauge_superheat_k", "gauge_subcooling_k")),
    TrendSet("refrigerant temperatures", ("discharge_temperature_k", "liquid_temperature_k", "suction_temperature_k")),
    TrendSet("air temperatures", ("condenser_air_out_k", "evaporator_air_out_k", "room_temperature_k")),
    TrendSet("electrical", ("power_w", "current_a", "voltage_v")),
    TrendSet("levels", ("receiver_level", "float_level")),
    TrendSet("superheat at the compressor", ("suction_gauge_superheat_k",)),
)  # fmt: skip

PAIR_KEYS = tuple(key for one in TREND_SETS for key in one.keys)
"""One of them at a time stands below bench and copy."""


@dataclass
class Trending:
    """Choices of one person."""

    panes: list[int] = field(default_factory=lambda: [0, 1])
    """Which set each of the two charts shows."""
    own: tuple[str, ...] = ()
    """Readings that the person has put together."""
    span_s: float = SPANS_S[0]
    end_s: float | None = None
    """Right edge of the window; None: now."""
    cursor_s: float | None = None
    pair: int = 0
    """Which reading of bench and copy."""
    own_work: bool = False
    """Assessed: no set holds what follows from several readings."""

    @property
    def at_now(self) -> Trending:
        """The same choices at this moment: what stands beside a plant is never of an earlier one."""
        return replace(self, cursor_s=None, end_s=None)

    @property
    def sets(self) -> tuple[TrendSet, ...]:
        """Everything that a chart can show."""
        sets = tuple(one for one in TREND_SETS if not self.own_work or DERIVED.keys().isdisjoint(one.keys))  # fmt: skip
        return (*sets, TrendSet("own choice", self.own)) if self.own else sets

    def shown(self, pane: int) -> TrendSet:
        """What a chart shows."""
        return self.sets[self.panes[pane] % len(self.sets)]

    @property
    def pair_key(self) -> str:
        """The reading whose trend stands below bench and copy."""
        return PAIR_KEYS[self.pair % len(PAIR_KEYS)]

    def next_set(self) -> None:
        """Each chart shows the next set."""
        self.panes = [(index + 1) % len(self.sets) for index in self.panes]

    def choose(self, keys: tuple[str, ...]) -> None:
        """Put a set together, and show it in the first chart."""
        self.own = keys[:MOST_READINGS]
        self.panes[0] = len(self.sets) - 1 if self.own else 0

    def next_span(self) -> None:
        """Look further back, then near again."""
        longer = [span for span in SPANS_S if span > self.span_s]
        self.span_s = longer[0] if longer else SPANS_S[0]

    def window(self, start_s: float, now_s: float) -> tuple[float, float]:
        """(begin, end) of what is shown of a session from ``start_s`` to ``now_s``."""
        end = now_s if self.end_s is None else min(self.end_s, now_s)
        if math.isinf(self.span_s):
            return start_s, max(end, start_s + LEAST_SPAN_S)
        return end - self.span_s, end

    def zoom(self, steps: int, start_s: float, now_s: float) -> None:
        """Half or twice the window, about the cursor when there is one."""
        begin, end = self.window(start_s, now_s)
        whole = max(now_s - start_s, LEAST_SPAN_S)
        span = min(max((end - begin) * ZOOM**-steps, LEAST_SPAN_S), max(whole, SPANS_S[0]))
        if self.cursor_s is not None:
            share = (self.cursor_s - begin) / (end - begin)
            self._end_at(self.cursor_s + (1.0 - share) * span, now_s)
        self.span_s = span

    def pan(self, share: float, start_s: float, now_s: float) -> None:
        """Shift the window by a share of its length; at the right end it follows the clock again."""
        begin, end = self.window(start_s, now_s)
        if math.isinf(self.span_s):
            return
        least = min(start_s + self.span_s, now_s)
        self._end_at(max(end + share * (end - begin), least), now_s)

    def _end_at(self, end_s: float, now_s: float) -> None:
        self.end_s = None if end_s >= now_s else end_s

    def move_cursor(self, steps: int, start_s: float, now_s: float) -> None:
        """The cursor by a step, the window with it where it would leave; the first step puts it at the window's end."""
        begin, end = self.window(start_s, now_s)
        if self.cursor_s is None:
            self.cursor_s = end
            return
        self.cursor_s = min(max(self.cursor_s + steps * CURSOR_STEP * (end - begin), start_s), now_s)  # fmt: skip
        if self.cursor_s < begin:
            self.pan((self.cursor_s - begin) / (end - begin), start_s, now_s)
        elif self.cursor_s > end:
            self.pan((self.cursor_s - end) / (end - begin), start_s, now_s)

    def live(self) -> None:
        """No cursor, and the right edge is now."""
        self.cursor_s = self.end_s = None

"""When a small plant is called steady: the measure of whoever waits at it, for the screen, for sentences and for ``rimebench steady``.

Over three minutes both pressures within 0.02 bar a minute, superheat within 1.5 K from peak to peak, power within 2 W a minute (common practice: when a technician
calls a small plant steady). Metal may go on warming for an hour.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite, nan

from sim.units import SUFFIXES

BAR, PER_MINUTE = SUFFIXES["bar"].factor, 60.0
BAR_MIN, SUPERHEAT_K, W_MIN, WINDOW_S = 0.02, 1.5, 2.0, 180.0  # common practice
Row = tuple[float, ...]
"""Time in s, suction and discharge pressure in Pa, superheat in K, power in W, and what else there is."""


def drifts(rows: Sequence[Row]) -> list[float]:
    """How fast each column of three rows or more goes, a minute: from the middle of the first third to that of the last. Raises ZeroDivisionError for fewer."""
    third = len(rows) // 3
    rise = [sum(column[-third:]) - sum(column[:third]) for column in zip(*rows, strict=True)]
    return [change / (rise[0] / PER_MINUTE) for change in rise]


def moving(rows: Sequence[Row]) -> list[str]:
    """What of a window of three rows or more still moves, in words with its limit; nothing when the plant is steady. What is not a number moves."""
    _, low, high, _, watts, *_ = map(abs, drifts(rows))
    superheat = [row[3] for row in rows]
    swing = max(superheat) - min(superheat) if all(map(isfinite, superheat)) else nan
    found = (
        (low / BAR, BAR_MIN, "suction pressure moves by {0:.2g} bar a minute ({1:g} counts as steady)"),
        (high / BAR, BAR_MIN, "discharge pressure moves by {0:.2g} bar a minute ({1:g} counts as steady)"),
        (swing, SUPERHEAT_K, "superheat moves by {0:.2g} K within three minutes ({1:g} counts as steady)"),
        (watts, W_MIN, "power moves by {0:.2g} W a minute ({1:g} counts as steady)"),
    )  # fmt: skip
    return [words.format(value, limit) for value, limit, words in found if not value < limit]

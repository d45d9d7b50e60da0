"""Inks: what a cell means, not how it looks.

A painter writes an ink beside every character; a theme (``tui.draw.palette``) says what an ink looks like. So one picture serves the dark, the
light and the high-contrast theme, and a test can read the inks without knowing a colour. Bold, reverse and underline are flags on top.
"""

from __future__ import annotations

import math
from enum import IntEnum


class Ink(IntEnum):
    """The meanings that a cell can have."""

    TEXT = 0
    FAINT = 1
    STRONG = 2
    FRAME = 3
    TITLE = 4
    PART = 5
    OPEN = 6
    SHUT = 7
    LOW = 8
    HIGH = 9
    CURSOR = 10
    CAUTION = 11
    ALARM = 12
    LIQUID = 13
    DOME = 14
    GRID = 15
    KEY = 16
    STATUS = 17
    STOP = 18
    FIRST = 19
    SECOND = 20
    THIRD = 21
    FOURTH = 22
    WAITING = 23
    MARK = 24
    HEAT_0 = 25
    """Coldest of the nine steps of the temperature ramp; the hottest is HEAT_0 + 8."""
    FROST = 34


HEAT_STEPS = 9
INK_COUNT = Ink.HEAT_0 + HEAT_STEPS + 1

BOLD = 0x100
REVERSE = 0x200
UNDERLINE = 0x400
INK_MASK = 0xFF

COLDEST_K = 243.15
HOTTEST_K = 363.15
"""The ramp spans -30 to 90 °C: below and above it the end steps stay. guess: covers a bench from a pumped-down coil to a hot discharge pipe."""


def heat_ink(temperature_k: float) -> int:
    """The ramp's ink for a temperature; plain text for what is not a number."""
    if not math.isfinite(temperature_k):
        return Ink.TEXT
    share = (temperature_k - COLDEST_K) / (HOTTEST_K - COLDEST_K)
    return Ink.HEAT_0 + max(0, min(HEAT_STEPS - 1, int(share * HEAT_STEPS)))

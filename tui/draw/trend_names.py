"""The heading of a trend's axis: each curve's name and its number, of now or of the cursor's instant. The number is what is looked for: where they do not fit, the names give way."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.working.steps import STEPS
from tui.derived import DERIVED
from tui.draw.lists import shortened
from tui.draw.scene import Scene
from tui.seen import NO_FLOW, STILL_KG_S

WHETHER_IT_FLOWS = ("mass_flow_kg_s", "compressor_speed_rpm")
"""Readings that say whether the compressor moved refrigerant."""
GAP = 2
"""Columns between two curves' words."""
LEAST_NAME = 4
"""Columns of a name that still tells something: three letters and a dot that says there were more; guess."""
Numbers = NDArray[np.float64]


class Instant(NamedTuple):
    """What the past says at the cursor: lowest and highest of the span in which it stands, a value a curve."""

    lows: tuple[float, ...]
    highs: tuple[float, ...]
    still: bool
    """Nothing flowed then."""


def instant(time_s: float, times: Numbers, lows: Sequence[Numbers], highs: Sequence[Numbers], flows: Sequence[Numbers]) -> Instant:  # fmt: skip
    """The span in which ``time_s`` lies. ``flows``: highest of ``WHETHER_IT_FLOWS``."""
    if not times.size:
        return Instant((np.nan,) * len(lows), (np.nan,) * len(lows), False)
    k = max(int(np.searchsorted(times, time_s, side="right")) - 1, 0)
    flow, speed = (float(line[k]) for line in flows)
    return Instant(tuple(float(line[k]) for line in lows), tuple(float(line[k]) for line in highs), abs(flow) < STILL_KG_S or speed == 0.0)  # fmt: skip


def words_then(scene: Scene, keys: Sequence[str], then: Instant) -> list[str]:
    """Each reading at that instant: a number, or from the lowest to the highest of its span where they read differently; 'no flow' where that is why there is none."""
    return [_words(scene, *one, then.still) for one in zip(keys, then.lows, then.highs, strict=True)]  # fmt: skip


def _words(scene: Scene, key: str, low: float, high: float, still: bool) -> str:
    if np.isnan(low) and still and key in DERIVED and STEPS[DERIVED[key]].runs and not scene.own_work:  # fmt: skip
        return NO_FLOW
    first, last = scene.quantity(key, low), scene.quantity(key, high)
    return first if first == last else f"{first.rpartition(' ')[0] or first} to {last}"


def fitted(marks: Sequence[str], names: Sequence[str], words: Sequence[str], unit: str, room: int) -> list[str]:  # fmt: skip
    """``1█ discharge gas 70.1 °C`` for each curve. Too little room for all: the unit is left to the axis, then the longest names are cut, down to none; a mark and its number always stand."""
    if sum(len("  ".join(one)) for one in zip(marks, names, words, strict=True)) - GAP > room:
        words = [word.removesuffix(f" {unit}") for word in words]
    rest = room + GAP - sum(len(mark) + 1 + len(word) + GAP for mark, word in zip(marks, words, strict=True))  # fmt: skip
    longest = max(map(len, names), default=0)
    while longest and sum(1 + min(len(name), longest) for name in names) > rest:
        longest = longest - 1 if longest > LEAST_NAME else 0
    shown = [f" {shortened(name, longest)}" if longest else "" for name in names]
    return [f"{mark}{name} {word}" for mark, name, word in zip(marks, shown, words, strict=True)]

"""One reading of the bench and of its copy over one clock, on one axis: where and when they part."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tui.draw.canvas import Canvas
from tui.draw.scene import Scene
from tui.draw.side_by_side import PairFrame
from tui.draw.trend import AXIS_WIDTH, CURVE_INKS, LEAST_ROWS, Numbers, Trend, by_unit
from tui.history import History
from tui.plant import Snapshot
from tui.seen import instrument_label, worked_out
from tui.trending import Trending
from tui.words import in_words

NAMES = ("bench", "copy")


class Both:
    """The pasts of both, as one past with two values of a reading."""

    def __init__(self, bench: History, copy: History, later_s: float) -> None:
        self.bench, self.copy, self.later_s = bench, copy, later_s

    def window(self, keys: tuple[str, ...], begin_s: float, end_s: float, truth: bool) -> tuple[Numbers, list[Numbers], list[Numbers]]:  # fmt: skip
        """As ``History.window`` of the first key: of the bench, and for a second key of the copy on the bench's clock."""
        found = [self.bench.window(keys[:1], begin_s, end_s, truth)]
        times, low, high = self.copy.window(keys[:1], begin_s - self.later_s, end_s - self.later_s, truth)  # fmt: skip
        found.append((times + self.later_s, low, high))
        every = np.union1d(found[0][0], found[1][0])
        lows, highs = ([_at(every, one[0], one[which][0]) for one in found] for which in (1, 2))
        return every, lows[: len(keys)], highs[: len(keys)]


def _at(every: Numbers, times: Numbers, values: Numbers) -> Numbers:
    """The last value at each of all times; not a number before the first."""
    last = np.searchsorted(times, every, side="right") - 1
    return np.where(last >= 0, values[last], np.nan) if times.size else np.full(every.size, np.nan)


class PairTrend(Trend):
    """Paints both curves; the numbers are those of now."""

    def __init__(self) -> None:
        super().__init__()
        self.shown: list[str] = []

    def paint_both(self, canvas: Canvas, scene: Scene, pair: PairFrame, history: History, trending: Trending) -> None:  # fmt: skip
        """The bench alone when there is no copy, nothing while there is no bench. A plant that was put by is shifted to the bench's clock."""
        if canvas.width - AXIS_WIDTH < 10 or canvas.height < LEAST_ROWS:
            return
        plants = [one for one in (pair.live, pair.fork) if one is not None]
        if not plants:
            return
        self.shown = [_now(scene, pair.key, one) for one in plants]
        later_s = plants[0].time_s - plants[1].time_s if len(plants) > 1 else 0.0
        self.window = trending.window(history.start_s, history.now_s)
        ((unit, _),) = by_unit((pair.key,), scene)
        part = canvas.window(0, 0, canvas.width, canvas.height - 1)
        past = Both(history, pair.past or History(0), later_s)
        self._group(part, scene, past, unit, [pair.key] * len(plants), None, 0)
        self._clock(canvas, scene, trending)

    def _names(self, canvas: Canvas, scene: Scene, keys: Sequence[str], first: int, at: object) -> None:  # fmt: skip
        """Which curve is whose, with what it shows now."""
        x = AXIS_WIDTH
        for number, (name, words, ink) in enumerate(zip(NAMES, self.shown, CURVE_INKS, strict=False), start=1):  # fmt: skip
            x = canvas.text(x, 0, f"{number}{scene.glyphs.full} {name} {words}", ink) + 2


def _now(scene: Scene, key: str, plant: Snapshot) -> str:
    value = worked_out(plant, key, scene.instructor, scene.charted)
    return in_words(key, value, scene.units, scene.atmosphere_pa, short=True)


def pair_trend_title(scene: Scene, key: str) -> str:
    """What stands on the frame."""
    name = instrument_label(scene.snapshot, key) if scene.snapshot is not None else key
    return f"trend of both: {name}"

"""Curves over time. Readings of one unit share a true axis; a set with several units is stacked, one axis a unit, over one clock.

A curve is drawn through the lowest and the highest value of every span, and of every column of dots, so that no peak is lost however much time one column holds.
Events stand on the time axis; at the cursor the numbers are those of its instant.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from tui.draw.canvas import Canvas
from tui.draw.dots import ACROSS, DOWN, Dots
from tui.draw.ink import BOLD, INK_MASK, Ink
from tui.draw.lists import clock_words, event_ink, event_words
from tui.draw.scale import Scale, tick_text, ticks, widen
from tui.draw.scene import Scene
from tui.draw.trend_names import GAP, WHETHER_IT_FLOWS, Instant, fitted, instant, words_then
from tui.history import History
from tui.plant import Event
from tui.seen import instrument_label
from tui.trending import Trending, TrendSet
from tui.words import Units, label_of, read_in

CURVE_INKS = (Ink.FIRST, Ink.SECOND, Ink.THIRD, Ink.FOURTH)
DIGIT_EVERY = 24
"""Columns from one digit on a curve to the next, where several share a pane: curves differ by more than colour."""
ROWS_PER_TICK = 2.5
"""Closer together rounding to rows makes equal steps look unequal."""
AXIS_WIDTH = 7
LEAST_ROWS = 4
"""Of one axis with the names above it."""
LEAST_HEIGHTS = {"bar g": 2.0, "bar": 2.0, "psig": 30.0, "psi g": 30.0, "°C": 5.0, "°F": 10.0, "K": 10.0, "W": 50.0, "A": 1.0, "V": 10.0, "%": 20.0}  # fmt: skip
"""Smallest height of an axis by its unit, so that noise does not fill the chart; 0.2 for what has none."""
Numbers = NDArray[np.float64]


class Past(Protocol):
    """What was, in spans."""

    def window(self, keys: tuple[str, ...], begin_s: float, end_s: float, truth: bool) -> tuple[Numbers, list[Numbers], list[Numbers]]: ...  # fmt: skip


class Trend:
    """Paints one set over a window of time."""

    def __init__(self) -> None:
        self._dots = Dots(1, 1)
        self._across = Scale(0, 1, 0, 1)
        self.window = (0.0, 1.0)
        """What was shown last, s: where the mouse finds its instant."""

    def paint(self, canvas: Canvas, scene: Scene, history: History, chosen: TrendSet, trending: Trending) -> None:  # fmt: skip
        """Axes, curves, names with numbers, events, cursor."""
        width = canvas.width - AXIS_WIDTH
        if width < 10 or canvas.height < LEAST_ROWS:
            return
        self.window = trending.window(history.start_s, history.now_s)
        groups = by_unit(chosen.keys, scene)
        groups = groups[: max(1, (canvas.height - 1) // LEAST_ROWS)]
        rows = (canvas.height - 1) // len(groups)
        first = 0
        for number, (unit, keys) in enumerate(groups):
            y = number * rows
            height = rows if number + 1 < len(groups) else canvas.height - 1 - y
            part = canvas.window(0, y, canvas.width, height)
            self._group(part, scene, history, unit, keys, trending.cursor_s, first if len(chosen.keys) > 1 else -1)  # fmt: skip
            first += len(keys)
        self._clock(canvas, scene, trending)

    def at_column(self, x: int) -> float:
        """The instant under a column of the pane, s."""
        begin, end = self.window
        return begin + (end - begin) * (x - AXIS_WIDTH + 0.5) / max(self._dots.width, 1)

    def _group(self, canvas: Canvas, scene: Scene, history: Past, unit: str, keys: Sequence[str], cursor_s: float | None, first: int) -> None:  # fmt: skip
        """One axis. ``first``: how many curves of the pane came before; -1 for the only one, which needs no digit."""
        inks = CURVE_INKS[max(first, 0) :]
        height = canvas.height - 1
        if (self._dots.width, self._dots.height) != (canvas.width - AXIS_WIDTH, height):
            self._dots = Dots(canvas.width - AXIS_WIDTH, height)
        self._dots.clear()
        times, lows, highs = history.window(tuple(keys), *self.window, scene.instructor)
        curves = [(converted(key, low, scene), converted(key, high, scene)) for key, low, high in zip(keys, lows, highs, strict=True)]  # fmt: skip
        low, high = axis_range(curves, LEAST_HEIGHTS.get(unit, 0.2))
        self._across = Scale(*self.window, 0, self._dots.across - 1)
        upward = Scale(low, high, self._dots.down - 1, 0)
        self._axis(canvas, height, low, high, unit, scene.units)
        if cursor_s is not None:
            down = np.arange(0.0, self._dots.down, 2.0)
            self._dots.points(np.full(down.size, self._across.at(cursor_s)), down, Ink.FAINT)
        for curve, ink in zip(curves, inks, strict=False):
            xs = np.repeat(self._across(times), 2)
            ys = np.stack([upward(curve[0]), upward(curve[1])], axis=1).ravel()
            self._dots.curve(*thinned(xs, ys, self._dots.across), ink)
        self._dots.lay(canvas, AXIS_WIDTH, 1, scene.glyphs.dotting)
        if first >= 0:
            self._digits(canvas, times, curves, upward, first)
        then = None
        if cursor_s is not None:
            flows = history.window(WHETHER_IT_FLOWS, *self.window, True)[2]
            then = instant(cursor_s, times, lows, highs, flows)
        self._names(canvas, scene, keys, first, then)

    def _digits(self, canvas: Canvas, times: Numbers, curves: Sequence[tuple[Numbers, Numbers]], upward: Scale, first: int) -> None:  # fmt: skip
        """The number of each curve on it, now and then, no two in one column."""
        for number, (low, high) in enumerate(curves[: len(CURVE_INKS) - first], start=first):
            columns = np.arange(DIGIT_EVERY * (number + 1) // (len(CURVE_INKS) + 1), self._dots.width, DIGIT_EVERY)  # fmt: skip
            at_s = self.window[0] + (self.window[1] - self.window[0]) * (columns + 0.5) / self._dots.width  # fmt: skip
            nearest = np.searchsorted(times, at_s, side="right") - 1
            for column, k in zip(columns.tolist(), nearest.tolist(), strict=True):
                value = (low[k] + high[k]) / 2 if k >= 0 else np.nan
                if np.isfinite(value):
                    row = min(max(int(upward.at(value) / DOWN), 0), self._dots.height - 1)
                    canvas.put(AXIS_WIDTH + column, 1 + row, str(number + 1), CURVE_INKS[number] | BOLD)  # fmt: skip

    def _names(self, canvas: Canvas, scene: Scene, keys: Sequence[str], first: int, then: Instant | None) -> None:  # fmt: skip
        """Names with numbers, those of now or those at the cursor."""
        labels = [label_of(key) if scene.snapshot is None else instrument_label(scene.snapshot, key) for key in keys]  # fmt: skip
        full = scene.glyphs.full
        marks = [f"{first + 1 + i if first >= 0 else full}{full}" for i in range(len(keys))]
        words = [scene.words(key) for key in keys] if then is None else words_then(scene, keys, then)  # fmt: skip
        x = AXIS_WIDTH
        texts = fitted(marks, labels, words, by_unit(keys, scene)[0][0], canvas.width - AXIS_WIDTH)
        for text, ink in zip(texts, CURVE_INKS[max(first, 0) :], strict=False):
            x = canvas.text(x, 0, text, ink | BOLD) + GAP

    def _axis(self, canvas: Canvas, height: int, low: float, high: float, unit: str, units: Units) -> None:  # fmt: skip
        place = Scale(low, high, height - 0.01, 0.0)
        for value in axis_ticks(low, high, height):
            row = 1 + min(height - 1, int(place.at(value)))
            canvas.text_right(
                AXIS_WIDTH - 1, row, units.figure(tick_text(round(value, 6))), Ink.FAINT
            )
            canvas.put(AXIS_WIDTH - 1, row, "┤", Ink.GRID)
        canvas.text_right(AXIS_WIDTH - 1, 0, unit, Ink.FAINT)

    def _clock(self, canvas: Canvas, scene: Scene, trending: Trending) -> None:
        """The last row: the window's ends, marks of events, the cursor's instant with what happened there."""
        y, (begin, end) = canvas.height - 1, self.window
        marks = [event for event in scene.events if begin <= event.time_s <= end]
        for event in sorted(marks, key=is_alarm):
            canvas.put(self._column(event.time_s), y, "!" if is_alarm(event) else scene.glyphs.dot, event_ink(event))  # fmt: skip
        live = trending.end_s is None and trending.cursor_s is None
        first = max(begin, 0.0)  # the plant's clock begins at nought
        left, right = (ago_words(end - begin), "now") if live else (clock_words(first), clock_words(end))  # fmt: skip
        ends = [(AXIS_WIDTH if live else self._column(first), left)]
        ends = [one for one in ends if one[0] + len(left) < canvas.width - len(right)]
        ends.append((canvas.width - len(right), right))
        if trending.cursor_s is not None:
            column = self._column(trending.cursor_s)
            here = [event for event in marks if abs(self._column(event.time_s) - column) < 1]
            text = f" {event_words(scene, here[-1]) if here else clock_words(trending.cursor_s)} "
            text = text[: canvas.width - AXIS_WIDTH]
            x = min(max(column - 1, AXIS_WIDTH), canvas.width - len(text))
            # half a time beside the cursor's would be read as part of it
            ends = [(at, words) for at, words in ends if at + len(words) < x or at > x + len(text)]
            canvas.text(x, y, text, Ink.CURSOR)
        for at, words in ends:
            canvas.text(at, y, words, Ink.FAINT)

    def _column(self, time_s: float) -> int:
        return AXIS_WIDTH + int(self._across.at(time_s) / ACROSS)


def ago_words(seconds: float) -> str:
    """How far back the left edge lies: ``15 min ago``, ``31 min 50 s ago``."""
    minutes, rest = divmod(round(seconds), 60)
    words = [f"{minutes} min"] if minutes else []
    return " ".join([*words, *([f"{rest} s"] if rest or not words else []), "ago"])


def by_unit(keys: Sequence[str], scene: Scene) -> list[tuple[str, list[str]]]:
    """Readings of one unit together, in the order in which their units first come."""
    groups: dict[str, list[str]] = {}
    for key in keys:
        symbol = read_in(key, 0.0, scene.units.system)[1]
        groups.setdefault(symbol, []).append(key)
    return list(groups.items())


def converted(key: str, values: Numbers, scene: Scene) -> Numbers:
    """In the unit of the axis; conversions are straight lines, so two points are enough."""
    zero = read_in(key, 0.0, scene.units.system, scene.atmosphere_pa)[0]
    slope = read_in(key, 1.0, scene.units.system, scene.atmosphere_pa)[0] - zero
    return zero + slope * values


def axis_range(curves: Sequence[tuple[Numbers, Numbers]], least: float) -> tuple[float, float]:
    """From the lowest to the highest value, at least ``least``."""
    every = np.concatenate([line for curve in curves for line in curve]) if curves else np.empty(0)
    every = every[np.isfinite(every)]
    if every.size == 0:
        return 0.0, least
    return widen(float(every.min()), float(every.max()), least)


def is_alarm(event: Event) -> bool:
    return event_ink(event) & INK_MASK == Ink.ALARM


def thinned(xs: Numbers, ys: Numbers, columns: int) -> tuple[Numbers, Numbers]:
    """At most four points a column of dots: first, lowest, highest, last, so that no peak is lost."""
    keep = np.isfinite(xs) & np.isfinite(ys)
    xs, ys = xs[keep], ys[keep]
    if xs.size <= 4 * columns:
        return xs, ys
    column = np.floor(xs).astype(np.intp)
    starts = np.flatnonzero(np.r_[True, column[1:] != column[:-1]])
    low, high = np.minimum.reduceat(ys, starts), np.maximum.reduceat(ys, starts)
    ends = np.r_[starts[1:], xs.size] - 1
    order = np.stack([ys[starts], low, high, ys[ends]], axis=1).ravel()
    return np.repeat(xs[starts], 4), order


def axis_ticks(low: float, high: float, height: int) -> list[float]:
    """As few as leave room between them, and at least two, so that the axis can be read."""
    most = max(2, int(height / ROWS_PER_TICK))
    found = ticks(low, high, most)
    while len(found) < 2 and most < height:
        most += 1
        found = ticks(low, high, most)
    return found

"""Curves over time. All curves of one chart share one axis with one unit; each has its own ink, its own letter at its end, and its number beside the name."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sim.units import on_screen
from tui.draw.canvas import Canvas
from tui.draw.dots import Dots
from tui.draw.ink import BOLD, Ink
from tui.draw.scale import Scale, tick_text, ticks, widen
from tui.draw.scene import Scene
from tui.history import History
from tui.seen import instrument_label
from tui.words import SYMBOL_SHOWN, Units, label_of

CURVE_INKS = (Ink.FIRST, Ink.SECOND, Ink.THIRD, Ink.FOURTH)
AXIS_WIDTH = 7


@dataclass(frozen=True)
class TrendSet:
    """Readings that are looked at together."""

    title: str
    keys: tuple[str, ...]
    least_span: float
    """Smallest height of the axis, in SI, so that noise does not fill the chart."""


TREND_SETS = (
    TrendSet("pressures", ("suction_pressure_pa", "discharge_pressure_pa"), 2e5),
    TrendSet("superheat and subcooling", ("gauge_superheat_k", "gauge_subcooling_k"), 10.0),
    TrendSet("refrigerant temperatures", ("discharge_temperature_k", "liquid_temperature_k", "suction_temperature_k"), 10.0),
    TrendSet("air temperatures", ("condenser_air_out_k", "evaporator_air_out_k", "room_temperature_k"), 5.0),
    TrendSet("electrical power", ("power_w",), 50.0),
    TrendSet("levels", ("receiver_level", "float_level"), 0.2),
)  # fmt: skip
SPANS_S = (300, 900, 3600)


class Trend:
    """Paints one set over the last ``span_s`` seconds."""

    def __init__(self) -> None:
        self._dots = Dots(1, 1)

    def paint(self, canvas: Canvas, scene: Scene, history: History, chosen: TrendSet, span_s: float) -> None:  # fmt: skip
        """Axis, curves, names with numbers."""
        plot_width, plot_height = canvas.width - AXIS_WIDTH, canvas.height - 2
        if plot_width < 10 or plot_height < 2:
            return
        if (self._dots.width, self._dots.height) != (plot_width, plot_height):
            self._dots = Dots(plot_width, plot_height)
        self._dots.clear()
        self._names(canvas, scene, chosen)
        time_s, columns = history.window(chosen.keys, span_s, scene.instructor)
        curves = [self._converted(key, column, scene) for key, column in zip(chosen.keys, columns, strict=True)]  # fmt: skip
        low, high = self._range(chosen, curves, scene)
        across = Scale(history.now_s - span_s, history.now_s, 0, self._dots.across - 1)
        upward = Scale(low, high, self._dots.down - 1, 0)
        unit = on_screen(chosen.keys[0], 0.0, scene.units.system)[1]
        self._axis(canvas, plot_height, low, high, span_s, unit, scene.units)
        for index, curve in enumerate(curves):
            xs, ys = _thinned(across(time_s), upward(curve), self._dots.across)
            self._dots.curve(xs, ys, CURVE_INKS[index % len(CURVE_INKS)])
        self._dots.lay(canvas, AXIS_WIDTH, 1, scene.glyphs.dotting)

    def _converted(self, key: str, values: NDArray[np.float64], scene: Scene) -> NDArray[np.float64]:  # fmt: skip
        """In the unit of the axis; conversions are straight lines, so two points are enough."""
        zero = on_screen(key, 0.0, scene.units.system, scene.atmosphere_pa)[0]
        slope = on_screen(key, 1.0, scene.units.system, scene.atmosphere_pa)[0] - zero
        return zero + slope * values

    def _range(self, chosen: TrendSet, curves: list[NDArray[np.float64]], scene: Scene) -> tuple[float, float]:  # fmt: skip
        every = np.concatenate(curves) if curves else np.empty(0)
        every = every[np.isfinite(every)]
        least = float(np.diff(self._converted(chosen.keys[0], np.array([0.0, chosen.least_span]), scene))[0])  # fmt: skip
        if every.size == 0:
            return 0.0, least
        return widen(float(every.min()), float(every.max()), least)

    def _names(self, canvas: Canvas, scene: Scene, chosen: TrendSet) -> None:
        """Names with numbers; only names where there is no room."""
        swatch = scene.glyphs.full * 2
        labels = [label_of(key) if scene.snapshot is None else instrument_label(scene.snapshot, key) for key in chosen.keys]  # fmt: skip
        named = [f"{swatch} {label}" for label in labels]
        numbered = [f"{name} {scene.words(key)}" for name, key in zip(named, chosen.keys, strict=True)]  # fmt: skip
        room = canvas.width - AXIS_WIDTH
        texts = numbered if sum(len(text) + 2 for text in numbered) <= room + 2 else named
        x = AXIS_WIDTH
        for index, text in enumerate(texts):
            x = canvas.text(x, 0, text, CURVE_INKS[index % len(CURVE_INKS)] | BOLD) + 2

    def _axis(self, canvas: Canvas, height: int, low: float, high: float, span_s: float, unit: str, units: Units) -> None:  # fmt: skip
        place = Scale(low, high, height - 0.01, 0.0)
        for value in ticks(low, high, max(2, round(height / 1.6))):
            row = 1 + min(height - 1, int(place.at(value)))
            canvas.text_right(
                AXIS_WIDTH - 1, row, units.figure(tick_text(round(value, 6))), Ink.FAINT
            )
            canvas.put(AXIS_WIDTH - 1, row, "┤", Ink.GRID)
        minutes = span_s / 60
        canvas.text(AXIS_WIDTH, canvas.height - 1, f"{minutes:g} min ago", Ink.FAINT)
        canvas.text_right(AXIS_WIDTH - 1, 0, SYMBOL_SHOWN.get(unit, unit), Ink.FAINT)
        canvas.text_right(canvas.width, canvas.height - 1, "now", Ink.FAINT)


def _thinned(xs: NDArray[np.float64], ys: NDArray[np.float64], columns: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:  # fmt: skip
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

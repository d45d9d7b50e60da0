"""Charts and the screen as SVG, drawn from the data: the p-h chart with its cycle, a trend, the screen as it stands.

A chart is drawn dark on white, for paper; the two pressures' sides differ by dashes too, curves of a trend by dashes and by the names at their ends.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from tui.draw.canvas import Canvas
from tui.draw.cycle import closed, cycle_seen
from tui.draw.ink import BOLD, INK_MASK
from tui.draw.palette import Palette
from tui.draw.scale import Scale, log_ticks, tick_text, ticks
from tui.draw.scene import Scene
from tui.draw.state_lines import ICE_K, ISOTHERMS_C, absolute_unit, chart_limits, enthalpy_unit
from tui.draw.trend import LEAST_HEIGHTS, axis_range, by_unit, converted
from tui.history import History
from tui.seen import instrument_label
from tui.session.svg import MONO, Svg
from tui.trending import Trending, TrendSet
from tui.words import label_of

WIDTH, HEIGHT = 760.0, 440.0
LEFT, RIGHT, TOP, BOTTOM = 70.0, 20.0, 34.0, 48.0
GRID, FAINT, DOME = "#d8dce0", "#5a6470", "#333a42"
HIGH, LOW = "#b3400e", "#0b5fa5"
CURVES = (("#0b5fa5", ""), ("#b3400e", "7 3"), ("#2d6a2d", "2 3"), ("#6b3fa0", "9 3 2 3"))
"""Colour and dash; each colour reaches a contrast of 4.5:1 on white (WCAG 2.1, 1.4.3)."""
LABEL_ROOM = 45.0
"""Beside an isotherm, for its temperature."""
MOST_POINTS = 1500
PANEL = 252.0
"""Height of one axis of a trend, its names above it."""
CELL_WIDTH, CELL_HEIGHT = 8.4, 17.0


def ph_chart(scene: Scene) -> str:
    """Dome, isotherms and the cycle from the readings that this person may see; '' while the fluid is not known."""
    fluid = scene.charted
    if fluid is None:
        return ""
    svg = Svg(WIDTH, HEIGHT, f"Pressure-enthalpy chart of {fluid.name} with the cycle")
    low_pa, high_pa = chart_limits(fluid)
    liquid = float(np.interp(low_pa, fluid.pressure_pa, fluid.liquid_j_kg))
    air = 0.28 * (float(fluid.vapour_j_kg.max()) - liquid)
    across = Scale(liquid - 0.4 * air, float(fluid.vapour_j_kg.max()) + air, LEFT, WIDTH - RIGHT)
    upward = Scale(low_pa, high_pa, HEIGHT - BOTTOM, TOP, log=True)
    _ph_axes(svg, scene, across, upward)
    for kelvin in (celsius + ICE_K for celsius in ISOTHERMS_C):
        pressure, enthalpy = fluid.isotherm(kelvin)
        inside = (pressure >= low_pa) & (enthalpy <= across.high)
        if inside.sum() > 1:
            xs, ys = across(enthalpy[inside]), upward(pressure[inside])
            svg.line(zip(xs, ys, strict=True), "#9aa4ae", 0.8, "3 3")
            if xs[0] < WIDTH - RIGHT - LABEL_ROOM:
                svg.write(float(xs[0]) + 2, float(ys[0]) - 3, scene.quantity("temperature_k", kelvin).replace(".0", "").replace(",0", ""), colour=FAINT, size=9)  # fmt: skip
    inside = fluid.pressure_pa >= low_pa
    pressures = fluid.pressure_pa[inside]
    dome_h = np.concatenate([fluid.liquid_j_kg[inside], fluid.vapour_j_kg[inside][::-1]])
    dome_p = np.concatenate([pressures, pressures[::-1]])
    svg.line(zip(across(dome_h), upward(dome_p), strict=True), DOME, 1.8)
    _cycle(svg, scene, across, upward)
    return svg.text


def _ph_axes(svg: Svg, scene: Scene, across: Scale, upward: Scale) -> None:
    assert scene.charted is not None
    unit = absolute_unit(scene.units)
    per, words = enthalpy_unit(scene.units)
    for value in log_ticks(upward.low / unit.factor, upward.high / unit.factor):
        y = upward.at(value * unit.factor)
        svg.line([(LEFT, y), (WIDTH - RIGHT, y)], GRID)
        svg.write(LEFT - 6, y + 4, scene.units.figure(tick_text(value)), colour=FAINT, size=11, anchor="end")  # fmt: skip
    for value in ticks(across.low / per, across.high / per, 10):
        x = across.at(value * per)
        svg.line([(x, TOP), (x, HEIGHT - BOTTOM)], GRID)
        svg.write(x, HEIGHT - BOTTOM + 16, scene.units.figure(tick_text(round(value, 6))), colour=FAINT, size=11, anchor="middle")  # fmt: skip
    svg.box(LEFT, TOP, WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM, "none", FAINT)
    svg.write(LEFT, 22, f"{scene.charted.name}: pressure in {unit.symbol} (absolute), log", size=13, bold=True)  # fmt: skip
    svg.write(WIDTH - RIGHT, HEIGHT - 12, f"specific enthalpy in {words}", size=12, anchor="end")


def _cycle(svg: Svg, scene: Scene, across: Scale, upward: Scale) -> None:
    corners = closed(cycle_seen(scene))
    points = [(across.at(corner.enthalpy), upward.at(corner.pressure)) for corner in corners]
    for index, (start, end) in enumerate(pairwise(points)):
        low = index == 3
        svg.line([start, end], LOW if low else HIGH, 2.4, "6 3" if low else "")
    for number, (x, y) in enumerate(points[:4], start=1):
        side = 9 if number in (1, 2) else -9
        svg.write(x + side, y - 6, str(number), size=14, bold=True, anchor="middle")
    if not points:
        svg.write(WIDTH / 2, TOP + 24, "no cycle: suction and discharge pressures are the same", colour=FAINT, anchor="middle")  # fmt: skip
    else:
        svg.write(LEFT, HEIGHT - 12, "1 suction  2 discharge  3 liquid  4 after the metering device", colour=FAINT, size=11)  # fmt: skip


def trend(scene: Scene, history: History, chosen: TrendSet, trending: Trending) -> str:
    """The curves of one set over the window that was chosen, one axis a unit."""
    groups = by_unit(chosen.keys, scene)
    window = trending.window(history.start_s, history.now_s)
    svg = Svg(WIDTH, PANEL * len(groups) + BOTTOM, f"Trend: {chosen.title}")
    first = 0
    for number, (unit, keys) in enumerate(groups):
        _panel(svg, scene, history, unit, keys, window, PANEL * number, CURVES[first:])
        first += len(keys)
    svg.write(WIDTH - RIGHT, PANEL * len(groups) + 32, "minutes of the plant's time", colour=FAINT, size=12, anchor="end")  # fmt: skip
    return svg.text


def _panel(svg: Svg, scene: Scene, history: History, unit: str, keys: Sequence[str], window: tuple[float, float], above: float, looks: Sequence[tuple[str, str]]) -> None:  # fmt: skip
    """Readings of one unit: axis, curves through the middle of every span, their names."""
    top, bottom = above + TOP, above + PANEL
    times, lows, highs = history.window(tuple(keys), *window, scene.instructor)
    curves = [(converted(key, low, scene), converted(key, high, scene)) for key, low, high in zip(keys, lows, highs, strict=True)]  # fmt: skip
    low, high = axis_range(curves, LEAST_HEIGHTS.get(unit, 0.2))
    across = Scale(window[0] / 60, window[1] / 60, LEFT, WIDTH - RIGHT)
    upward = Scale(low, high, bottom, top)
    for value in ticks(low, high, 6):
        svg.line([(LEFT, upward.at(value)), (WIDTH - RIGHT, upward.at(value))], GRID)
        svg.write(LEFT - 6, upward.at(value) + 4, scene.units.figure(tick_text(round(value, 6))), colour=FAINT, size=11, anchor="end")  # fmt: skip
    for minute in ticks(across.low, across.high, 8):
        svg.line([(across.at(minute), top), (across.at(minute), bottom)], GRID)
        if minute >= 0:
            svg.write(across.at(minute), bottom + 15, scene.units.figure(tick_text(round(minute, 6))), colour=FAINT, size=11, anchor="middle")  # fmt: skip
    svg.box(LEFT, top, WIDTH - LEFT - RIGHT, bottom - top, "none", FAINT)
    svg.write(8, above + 22, unit, colour=FAINT, size=12)
    step = max(1, times.size // MOST_POINTS)
    x = LEFT
    for key, curve, (colour, dash) in zip(keys, curves, looks, strict=False):
        middle = (curve[0] + curve[1]) / 2
        svg.line(zip(across(times[::step] / 60), upward(middle[::step]), strict=True), colour, 1.8, dash)  # fmt: skip
        name = label_of(key) if scene.snapshot is None else instrument_label(scene.snapshot, key)
        svg.line([(x, above + 18), (x + 24, above + 18)], colour, 2.4, dash)
        svg.write(x + 29, above + 22, f"{name} {scene.words(key)}", colour=colour, size=12, bold=True)  # fmt: skip
        x += 50 + 7.4 * len(f"{name} {scene.words(key)}")


def screen(canvas: Canvas, palette: Palette) -> str:
    """The screen, cell by cell, in the colours in which it stands."""
    svg = Svg(canvas.width * CELL_WIDTH, canvas.height * CELL_HEIGHT, "Screen of rimebench", ground=palette.ground, font=MONO)  # fmt: skip
    for row in range(canvas.height):
        column, y = 0, row * CELL_HEIGHT
        for text, ink in canvas.runs(row):
            look, width = palette.looks[ink & INK_MASK], len(text) * CELL_WIDTH
            if look.ground != palette.ground:
                svg.box(column * CELL_WIDTH, y, width, CELL_HEIGHT, look.ground)
            if text.strip():
                svg.write(column * CELL_WIDTH, y + 13, text, colour=look.colour, size=14, bold=look.bold or bool(ink & BOLD), length=width)  # fmt: skip
            column += len(text)
    return svg.text

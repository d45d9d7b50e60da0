"""Charts and the screen as SVG, drawn from the data: the p-h chart with its cycle, a trend, the screen as it stands.

A chart is drawn dark on white, for paper; the two pressures' sides differ by dashes too, curves of a trend by dashes and by the names at their ends.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from sim.units import on_screen
from tui.draw.canvas import Canvas
from tui.draw.ink import BOLD, INK_MASK
from tui.draw.palette import Palette
from tui.draw.ph_chart import ISOTHERMS_K, absolute_unit, chart_limits, cycle_seen, enthalpy_unit
from tui.draw.scale import Scale, log_ticks, tick_text, ticks, widen
from tui.draw.scene import Scene
from tui.draw.trend import TrendSet
from tui.history import History
from tui.seen import instrument_label
from tui.session.svg import MONO, Svg
from tui.words import SYMBOL_SHOWN, label_of

WIDTH, HEIGHT = 760.0, 440.0
LEFT, RIGHT, TOP, BOTTOM = 70.0, 20.0, 34.0, 48.0
GRID, FAINT, DOME = "#d8dce0", "#5a6470", "#333a42"
HIGH, LOW = "#b3400e", "#0b5fa5"
CURVES = (("#0b5fa5", ""), ("#b3400e", "7 3"), ("#2d6a2d", "2 3"), ("#6b3fa0", "9 3 2 3"))
"""Colour and dash; each colour reaches a contrast of 4.5:1 on white (WCAG 2.1, 1.4.3)."""
LABEL_ROOM = 45.0
"""Beside an isotherm, for its temperature."""
MOST_POINTS = 1500
CELL_WIDTH, CELL_HEIGHT = 8.4, 17.0


def ph_chart(scene: Scene) -> str:
    """Dome, isotherms and the cycle from the readings that this person may see; '' while the fluid is not known."""
    fluid = scene.fluid
    if fluid is None:
        return ""
    svg = Svg(WIDTH, HEIGHT, f"Pressure-enthalpy chart of {fluid.name} with the cycle")
    low_pa, high_pa = chart_limits(fluid)
    liquid = float(np.interp(low_pa, fluid.pressure_pa, fluid.liquid_j_kg))
    air = 0.28 * (float(fluid.vapour_j_kg.max()) - liquid)
    across = Scale(liquid - 0.4 * air, float(fluid.vapour_j_kg.max()) + air, LEFT, WIDTH - RIGHT)
    upward = Scale(low_pa, high_pa, HEIGHT - BOTTOM, TOP, log=True)
    _ph_axes(svg, scene, across, upward)
    for kelvin in ISOTHERMS_K:
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
    assert scene.fluid is not None
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
    svg.write(LEFT, 22, f"{scene.fluid.name}: pressure in {unit.symbol} (absolute), log", size=13, bold=True)  # fmt: skip
    svg.write(WIDTH - RIGHT, HEIGHT - 12, f"specific enthalpy in {words}", size=12, anchor="end")


def _cycle(svg: Svg, scene: Scene, across: Scale, upward: Scale) -> None:
    corners = cycle_seen(scene)
    points = [(across.at(enthalpy), upward.at(pressure)) for enthalpy, pressure in corners]
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


def trend(scene: Scene, history: History, chosen: TrendSet, span_s: float) -> str:
    """The curves of one set over the last ``span_s`` seconds."""
    svg = Svg(WIDTH, 300.0, f"Trend: {chosen.title}")
    bottom = 300.0 - BOTTOM
    times, columns = history.window(chosen.keys, span_s, scene.instructor)
    convert = [_straight(key, scene) for key in chosen.keys]
    curves = [zero + slope * column for (zero, slope), column in zip(convert, columns, strict=True)]
    every = np.concatenate(curves)
    every = every[np.isfinite(every)]
    least = chosen.least_span * convert[0][1]
    low, high = widen(float(every.min()), float(every.max()), least) if every.size else (0.0, least)
    across = Scale((history.now_s - span_s) / 60, history.now_s / 60, LEFT, WIDTH - RIGHT)
    upward = Scale(low, high, bottom, TOP)
    for value in ticks(low, high, 6):
        svg.line([(LEFT, upward.at(value)), (WIDTH - RIGHT, upward.at(value))], GRID)
        svg.write(LEFT - 6, upward.at(value) + 4, scene.units.figure(tick_text(round(value, 6))), colour=FAINT, size=11, anchor="end")  # fmt: skip
    for minute in ticks(across.low, across.high, 8):
        svg.line([(across.at(minute), TOP), (across.at(minute), bottom)], GRID)
        if minute >= 0:
            svg.write(across.at(minute), bottom + 15, scene.units.figure(tick_text(round(minute, 6))), colour=FAINT, size=11, anchor="middle")  # fmt: skip
    svg.box(LEFT, TOP, WIDTH - LEFT - RIGHT, bottom - TOP, "none", FAINT)
    unit = on_screen(chosen.keys[0], 0.0, scene.units.system)[1]
    svg.write(8, 22, SYMBOL_SHOWN.get(unit, unit), colour=FAINT, size=12)
    svg.write(WIDTH - RIGHT, bottom + 32, "minutes of the plant's time", colour=FAINT, size=12, anchor="end")  # fmt: skip
    step = max(1, times.size // MOST_POINTS)
    x = LEFT
    for key, curve, (colour, dash) in zip(chosen.keys, curves, CURVES, strict=False):
        svg.line(zip(across(times[::step] / 60), upward(curve[::step]), strict=True), colour, 1.8, dash)  # fmt: skip
        name = label_of(key) if scene.snapshot is None else instrument_label(scene.snapshot, key)
        svg.line([(x, 18), (x + 24, 18)], colour, 2.4, dash)
        svg.write(x + 29, 22, f"{name} {scene.words(key)}", colour=colour, size=12, bold=True)
        x += 50 + 7.4 * len(f"{name} {scene.words(key)}")
    return svg.text


def _straight(key: str, scene: Scene) -> tuple[float, float]:
    """(zero, slope): conversions are straight lines, so two points are enough."""
    zero = on_screen(key, 0.0, scene.units.system, scene.atmosphere_pa)[0]
    return zero, on_screen(key, 1.0, scene.units.system, scene.atmosphere_pa)[0] - zero


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

"""The pressure-enthalpy chart: saturation dome, isotherms of the gas, and the plant's own cycle, live.

The instructor sees the state of every node; a learner sees the four corners that the instruments give: suction and discharge gas by gauge and thermometer, the liquid by its
thermometer, and the throttled mixture at the liquid's enthalpy.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from sim.units import SUFFIXES, SYMBOLS, Unit, from_si, screen_unit
from tui.draw.canvas import Canvas
from tui.draw.dots import Dots
from tui.draw.ink import BOLD, Ink
from tui.draw.scale import Scale, log_ticks, tick_text, ticks
from tui.draw.scene import Scene
from tui.fluid_chart import Array, FluidChart
from tui.words import Units

AXIS_WIDTH = 6
BTU_LB = SUFFIXES["btu_h"].factor * 3600 / SUFFIXES["lb"].factor
"""J/kg of 1 Btu/lb."""
ISOTHERMS_K = tuple(273.15 + celsius for celsius in range(-20, 121, 20))
THROTTLED = 0.7
"""A fall of pressure to less than this share between two nodes is a throttle: drawn straight down, since it keeps the enthalpy."""
Point = tuple[float, float]
"""Enthalpy in J/kg, absolute pressure in Pa."""


class PressureEnthalpyChart:
    """Paints the chart; dome and isotherms are kept for a size and a fluid."""

    def __init__(self, cooling_path: Sequence[str], heating_path: Sequence[str]) -> None:
        self.paths = (tuple(cooling_path), tuple(heating_path))
        self._key: tuple[object, ...] = ()
        self._background = Dots(1, 1)
        self._live = Dots(1, 1)
        self._across = Scale(0, 1, 0, 1)
        self._upward = Scale(1, 2, 1, 0, log=True)

    def paint(self, canvas: Canvas, scene: Scene) -> None:
        """Axes, dome, cycle."""
        width, height = canvas.width - AXIS_WIDTH, canvas.height - 2
        if scene.fluid is None or width < 16 or height < 4:
            canvas.text_middle(canvas.height // 2, "the fluid's chart comes with the plant", Ink.FAINT)  # fmt: skip
            return
        if self._key != (width, height, id(scene.fluid)):
            self._key = (width, height, id(scene.fluid))
            self._lay_out(width, height, scene.fluid)
        self._axes(canvas, scene)
        self._live.copy_from(self._background)
        corners = cycle_seen(scene) if not scene.instructor else self._nodes(scene)
        self._cycle(corners, scene)
        self._live.lay(canvas, AXIS_WIDTH, 0, scene.glyphs.dotting)
        self._numbers(canvas, scene)

    def _lay_out(self, width: int, height: int, fluid: FluidChart) -> None:
        self._background, self._live = Dots(width, height), Dots(width, height)
        low_pa, high_pa = chart_limits(fluid)
        liquid = float(np.interp(low_pa, fluid.pressure_pa, fluid.liquid_j_kg))
        gas = float(fluid.vapour_j_kg.max())
        air = 0.28 * (gas - liquid)
        self._across = Scale(liquid - 0.4 * air, gas + air, 0, self._background.across - 1)
        self._upward = Scale(low_pa, high_pa, self._background.down - 1, 0, log=True)
        for temperature in ISOTHERMS_K[:: 1 if height >= 18 else 2]:
            pressure, enthalpy = fluid.isotherm(temperature)
            if pressure.size > 1 and height >= 10:
                xs, ys = self._across(enthalpy), self._upward(pressure)
                self._dashed(xs, ys)
        ends = [fluid.liquid_j_kg[-1], fluid.vapour_j_kg[-1]]
        self._background.curve(self._across(ends), self._upward([fluid.pressure_pa[-1]] * 2), Ink.DOME)  # fmt: skip
        inside = fluid.pressure_pa >= low_pa
        for line in (fluid.liquid_j_kg, fluid.vapour_j_kg):
            self._background.curve(self._across(line[inside]), self._upward(fluid.pressure_pa[inside]), Ink.DOME)  # fmt: skip

    def _dashed(self, xs: Array, ys: Array) -> None:
        """Every third dot, so that isotherms stay behind the dome."""
        down = np.arange(math.ceil(ys.min()), math.floor(ys.max()) + 1, 3.0)
        order = np.argsort(ys)
        self._background.points(np.interp(down, ys[order], xs[order]), down, Ink.GRID)

    def _axes(self, canvas: Canvas, scene: Scene) -> None:
        bar = absolute_unit(scene.units)
        low, high = (from_si(limit, bar) for limit in (self._upward.low, self._upward.high))
        for value in log_ticks(low, high):
            row = int(self._upward.at(value * bar.factor) / 4)
            canvas.text_right(AXIS_WIDTH - 1, row, scene.units.figure(tick_text(value)), Ink.FAINT)
            canvas.put(AXIS_WIDTH - 1, row, "┤", Ink.GRID)
        per, words = enthalpy_unit(scene.units)
        bottom = canvas.height - 2
        for value in ticks(self._across.low / per, self._across.high / per, max(2, self._live.width // 9)):  # fmt: skip
            column = AXIS_WIDTH + int(self._across.at(value * per) / 2)
            canvas.text(
                column - 1, bottom, scene.units.figure(tick_text(round(value, 6))), Ink.FAINT
            )
        absolute = "psia" if bar.symbol == "psi" else f"{bar.symbol} abs"
        canvas.text(0, canvas.height - 1, f"{absolute} over enthalpy in {words}", Ink.FAINT)

    def _nodes(self, scene: Scene) -> list[Point]:
        """Every node on the refrigerant's way, as it is."""
        points: list[Point] = []
        for node in self.paths[scene.heating]:
            place = scene.place(node)
            if place is None or scene.fluid is None:
                continue
            enthalpy = scene.fluid.enthalpy(place.pressure_pa, place.quality)
            if points and place.pressure_pa < THROTTLED * points[-1][1]:
                points.append((points[-1][0], place.pressure_pa))
            points.append((enthalpy, place.pressure_pa))
        return points

    def _cycle(self, points: list[Point], scene: Scene) -> None:
        if len(points) < 2:
            return
        middle = math.sqrt(min(p for _, p in points) * max(p for _, p in points))
        for start, end in pairwise(points):
            ink = Ink.HIGH if (start[1] + end[1]) / 2 > middle else Ink.LOW
            self._live.curve(
                self._across([start[0], end[0]]), self._upward([start[1], end[1]]), ink | BOLD
            )

    def _numbers(self, canvas: Canvas, scene: Scene) -> None:
        """1 suction, 2 discharge, 3 liquid, 4 after the device: beside their corners."""
        for number, (enthalpy, pressure) in enumerate(cycle_seen(scene)[:4], start=1):
            x, y = self._across.at(enthalpy), self._upward.at(pressure)
            if math.isfinite(x) and math.isfinite(y):
                beside = 1 if number in (1, 2) else -1
                canvas.text(AXIS_WIDTH + int(x / 2) + beside, int(y / 4), str(number), Ink.STRONG | BOLD)  # fmt: skip


def absolute_unit(units: Units) -> Unit:
    """The absolute unit beside the gauge unit that a person reads; psi for inches of mercury, which nobody writes on a chart."""
    symbol = screen_unit("x_pa", units.system).symbol.removesuffix(" g")
    return SYMBOLS.get(symbol, SUFFIXES["psi"])


def enthalpy_unit(units: Units) -> tuple[float, str]:
    """(J/kg of one, symbol)."""
    return (1000.0, "kJ/kg") if units.family == "si" else (BTU_LB, "Btu/lb")


def chart_limits(fluid: FluidChart) -> tuple[float, float]:
    """Pressures at the foot and the top of the chart: saturation at -40 °C, or the lowest there is, up to the critical point."""
    foot = fluid.dew_pa(233.15)
    low = foot if math.isfinite(foot) else float(fluid.pressure_pa[0])
    return low, float(fluid.pressure_pa[-1]) * 1.15


def cycle_seen(scene: Scene) -> list[Point]:
    """The cycle's corners 1, 2, 3, 4 and 1 again, from readings; only 1 and 2 in heating; empty while suction and discharge are the same."""
    fluid = scene.fluid
    keys = ("suction_pressure_pa", "discharge_pressure_pa", "suction_temperature_k", "discharge_temperature_k", "liquid_temperature_k")  # fmt: skip
    low, high, suction, discharge, liquid = (scene.number(key) for key in keys)
    if fluid is None or not high > low * 1.02:
        return []
    h1, h2 = fluid.vapour_enthalpy(low, suction), fluid.vapour_enthalpy(high, discharge)
    if scene.heating:  # no thermometer stands between condenser and metering device then
        return [(h1, low), (h2, high)]
    h3 = min(fluid.liquid_enthalpy(liquid), fluid.enthalpy(high, 0.0))
    return [(h1, low), (h2, high), (h3, high), (h3, low), (h1, low)]

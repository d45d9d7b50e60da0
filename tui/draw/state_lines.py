"""The lines behind a chart of states: dome, isotherms, isentropes, isobars, equal quality."""

from __future__ import annotations

import math
from typing import NamedTuple

import numpy as np

from sim.units import SUFFIXES, SYMBOLS, Unit, from_si, screen_unit
from tui.charting import Axes
from tui.draw.ink import Ink, heat_ink
from tui.draw.scale import Scale, log_ticks, tick_text, ticks
from tui.fluid_chart import Array, FluidChart
from tui.words import Units

ICE_K = 273.15
BTU_LB = SUFFIXES["btu_h"].factor * 3600 / SUFFIXES["lb"].factor
"""J/kg of 1 Btu/lb."""
ISOTHERMS_C = range(-40, 141, 20)
ISENTROPE_STEP = 50.0  # J/(kg K)
QUALITIES = (0.2, 0.4, 0.6, 0.8)
FOOT_K = 233.15
"""The charts begin at saturation at -40 °C."""
DASHED, DOTTED = 3.0, 5.0
"""Dots from one dot of a line to the next."""


class Line(NamedTuple):
    """A curve of the background."""

    xs: Array
    ys: Array
    ink: int
    gap: float
    """0: drawn through."""
    name: str = ""
    named_at: int = 0
    """0: at its first point on the chart, -1: at its last."""


def absolute_unit(units: Units) -> Unit:
    """The absolute unit beside the gauge unit that a person reads; psi for inches of mercury, which nobody writes on a chart."""
    symbol = screen_unit("x_pa", units.system).symbol.removesuffix(" g")
    return SYMBOLS.get(symbol, SUFFIXES["psi"])


def across_unit(axes: Axes, units: Units) -> tuple[float, str]:
    """(SI of one, words) along the lower edge."""
    si = units.family == "si"
    if axes is Axes.PRESSURE_ENTHALPY:
        return (1000.0, "enthalpy in kJ/kg") if si else (BTU_LB, "enthalpy in Btu/lb")
    return (1000.0, "entropy in kJ/(kg K)") if si else (BTU_LB * 1.8, "entropy in Btu/(lb °F)")


def upward_marks(upward: Scale, units: Units, most: int) -> list[tuple[float, str]]:
    """(value in SI, its name) of the ticks of pressure (a scale of logarithms) or temperature, at most about so many of the latter."""
    si, low, high = units.family == "si", upward.low, upward.high
    if upward.log:
        unit = absolute_unit(units)
        marks = log_ticks(from_si(low, unit), from_si(high, unit))
        return [(mark * unit.factor, tick_text(mark)) for mark in marks]
    scale, zero = (1.0, ICE_K) if si else (1.8, ICE_K - 32 / 1.8)
    marks = ticks((low - zero) * scale, (high - zero) * scale, most)
    return [(mark / scale + zero, tick_text(round(mark, 6))) for mark in marks]


def scales_of(fluid: FluidChart, axes: Axes, across: tuple[float, float], upward: tuple[float, float]) -> tuple[Scale, Scale]:  # fmt: skip
    """What is drawn where, between the left and the right end, the foot and the top that are given."""
    if axes is Axes.PRESSURE_ENTHALPY:
        along = span(fluid, fluid.liquid_j_kg, fluid.vapour_j_kg)
        return Scale(*along, *across), Scale(*chart_limits(fluid), *upward, log=True)
    along = span(fluid, fluid.liquid_j_kg_k, fluid.vapour_j_kg_k)
    return Scale(*along, *across), Scale(FOOT_K, float(fluid.dew_k[-1]) + 45.0, *upward)


def background(fluid: FluidChart, axes: Axes, large: bool, si: bool) -> list[Line]:
    """The lines behind either chart."""
    return (pressure_lines if axes is Axes.PRESSURE_ENTHALPY else temperature_lines)(fluid, large, si)  # fmt: skip


def chart_limits(fluid: FluidChart) -> tuple[float, float]:
    """Pressures at the foot and the top of the chart: saturation at -40 °C, or the lowest there is, up to the critical point."""
    foot = fluid.dew_pa(FOOT_K)
    low = foot if math.isfinite(foot) else float(fluid.pressure_pa[0])
    return low, float(fluid.pressure_pa[-1]) * 1.15


def span(fluid: FluidChart, liquid: Array, vapour: Array) -> tuple[float, float]:
    """From the liquid at the chart's foot to the gas, with air on both sides."""
    first = float(np.interp(chart_limits(fluid)[0], fluid.pressure_pa, liquid))
    last = float(vapour.max())
    air = 0.28 * (last - first)
    return first - 0.4 * air, last + air


def pressure_lines(fluid: FluidChart, large: bool, si: bool) -> list[Line]:
    """Background of the p-h chart; the dome last, so that it lies on top."""
    lines = []
    if large:
        for quality in QUALITIES:
            between = fluid.liquid_j_kg + quality * (fluid.vapour_j_kg - fluid.liquid_j_kg)
            lines.append(Line(between, fluid.pressure_pa, Ink.GRID, DOTTED))
        for entropy in _isentropes(fluid):
            pressure, enthalpy = fluid.isentrope(entropy)
            lines.append(Line(enthalpy, pressure, Ink.GRID, DOTTED))
    for celsius in ISOTHERMS_C if large else ISOTHERMS_C[::2]:
        pressure, enthalpy = fluid.isotherm(celsius + ICE_K)
        if pressure.size > 1:
            lines.append(Line(enthalpy, pressure, heat_ink(celsius + ICE_K) if large else Ink.GRID, DASHED, f"{celsius}°C" if si else f"{1.8 * celsius + 32:.0f}°F"))  # fmt: skip
    dome = np.concatenate([fluid.liquid_j_kg, fluid.vapour_j_kg[::-1]])
    return [*lines, Line(dome, np.concatenate([fluid.pressure_pa, fluid.pressure_pa[::-1]]), Ink.DOME, 0.0)]  # fmt: skip


def temperature_lines(fluid: FluidChart, large: bool, si: bool) -> list[Line]:
    """Background of the T-s chart: isobars, lines of quality, the dome."""
    lines = []
    if large:
        for quality in QUALITIES:
            between = fluid.liquid_j_kg_k + quality * (fluid.vapour_j_kg_k - fluid.liquid_j_kg_k)
            lines.append(Line(between, fluid.bubble_k + quality * (fluid.dew_k - fluid.bubble_k), Ink.GRID, DOTTED))  # fmt: skip
    low, high = chart_limits(fluid)
    unit = SUFFIXES["bar" if si else "psi"]
    for mark in log_ticks(low / unit.factor, high / unit.factor):
        row = int(np.argmin(np.abs(fluid.pressure_pa - mark * unit.factor)))
        entropy = np.concatenate([[fluid.liquid_j_kg_k[row]], fluid.superheated_j_kg_k[row]])
        temperature = np.concatenate([[fluid.bubble_k[row]], fluid.dew_k[row] + fluid.superheat_k])
        lines.append(Line(entropy, temperature, Ink.GRID, DASHED, f"{mark:g} {unit.symbol}", -1))
    dome = np.concatenate([fluid.liquid_j_kg_k, fluid.vapour_j_kg_k[::-1]])
    return [*lines, Line(dome, np.concatenate([fluid.bubble_k, fluid.dew_k[::-1]]), Ink.DOME, 0.0)]


def _isentropes(fluid: FluidChart) -> Array:
    low, high = float(fluid.vapour_j_kg_k.min()), float(fluid.superheated_j_kg_k[:, -1].max())
    first, last = math.ceil(low / ISENTROPE_STEP), math.floor(high / ISENTROPE_STEP)
    return np.array([k * ISENTROPE_STEP for k in range(first, last + 1)])

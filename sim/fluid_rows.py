"""Cubic rows for the fluid tables: splines through knots, and how they are continued beyond both ends. Used by ``sim.fluid_build`` only."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from sim import fluid_columns as fc

Array = NDArray[np.float64]


def spline_rows(T: Array, values: Array) -> Array:
    """Cubic rows [interval, quantity, 4] in t = 0..1 of splines through the knots."""
    return _from_spline(CubicSpline(T, values, axis=0), T[1] - T[0])


def _from_spline(spline: CubicSpline, step: float) -> Array:
    return np.stack([spline.c[3 - j] * step**j for j in range(4)], axis=-1)


def hermite_rows(values: Array, slopes: Array) -> Array:
    """Cubic rows through knot values with knot slopes (per interval)."""
    v0, v1, d0, d1 = values[:-1], values[1:], slopes[:-1], slopes[1:]
    return np.stack([v0, d0, 3 * (v1 - v0) - 2 * d0 - d1, 2 * (v0 - v1) + d0 + d1], axis=-1)


def continued_down(T: Array, first: Array, slope: Array, R: float) -> Array:
    """Rows for the knots T[0..-1] below the table, whose value and slope meet it at T[-1].

    ln p goes straight in 1/T (Clausius-Clapeyron with constant heat of evaporation), the vapour's departure from ideal gas shrinks with p/T (second virial
    coefficient), liquid and ideal-gas quantities go straight in T.
    """
    top = T[-1]
    fall = T - top
    values = first + slope * fall[:, None]
    for q in (fc.LN_P_DEW, fc.LN_P_BUBBLE):
        values[:, q] = first[q] + slope[q] * top**2 * (1.0 / top - 1.0 / T)
    share = np.exp(values[:, fc.LN_P_DEW] - first[fc.LN_P_DEW]) * top / T
    Z_top = np.exp(first[fc.LN_P_DEW] - first[fc.LN_RHO_V]) / (R * top)
    values[:, fc.LN_RHO_V] = (
        values[:, fc.LN_P_DEW] - np.log(R * T) - np.log(1.0 + (Z_top - 1.0) * share)
    )
    departures = {}
    for start in (fc.Z_COEF, fc.UV_COEF, fc.SV_COEF):
        columns = slice(start, start + fc.N_VAPOUR)
        values[:, columns] = first[columns] * share[:, None]
        departures[start] = first[columns].sum()
    cv_ideal = slope[fc.U_V] - slope[fc.UV_COEF : fc.UV_COEF + fc.N_VAPOUR].sum()
    values[:, fc.U_V] = first[fc.U_V] + cv_ideal * fall + departures[fc.UV_COEF] * (share - 1.0)
    stretch = values[:, fc.LN_RHO_V] - first[fc.LN_RHO_V]
    s_ideal = cv_ideal * np.log(T / top) - R * stretch
    values[:, fc.S_V] = first[fc.S_V] + s_ideal + departures[fc.SV_COEF] * (share - 1.0)
    spline = CubicSpline(T, values, axis=0, bc_type=((2, np.zeros_like(first)), (1, slope)))
    return _from_spline(spline, T[1] - T[0])


def straight_row(row: Array, t: float, origin: float) -> Array:
    """Row that continues ``row`` in a straight line from its place t; its own place 0 is at t = origin."""
    slope = row[:, 1] + t * (2 * row[:, 2] + 3 * t * row[:, 3])
    value = row[:, 0] + t * (row[:, 1] + t * (row[:, 2] + t * row[:, 3]))
    straight = np.zeros_like(row)
    straight[:, 0], straight[:, 1] = value + slope * (origin - t), slope
    return straight


def settling(x: Array, value: Array, slope: Array, length: float) -> tuple[Array, Array]:
    """Values and slopes at distance x from a table's end: start with its slope, level off within ``length``."""
    fade = np.exp(-np.abs(x) / length)[:, None]
    return value + slope * np.sign(x)[:, None] * length * (1.0 - fade), slope * fade

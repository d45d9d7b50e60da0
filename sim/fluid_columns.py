"""Names of the columns in a fluid's tables, and the cubic evaluation that every property function shares.

See ``sim.fluid_kernel`` for what the columns mean and ``sim.fluid_build`` for how they are made.
"""

from __future__ import annotations

from math import log
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Cube, Vector
from sim.compiled import compiled

Array = NDArray[np.float64]


class FluidTables(NamedTuple):
    """What the compiled functions need of a fluid; see the column names below."""

    meta: Vector
    core: Cube
    sat_meta: Vector
    sat: Cube


# meta
T_FIRST, PER_KELVIN, N_ROWS, GAS_CONSTANT, T_MATCH, T_CRITICAL, SOFTENING = range(7)
"""First knot (K), knots per kelvin, rows, J/(kg K), K, K, width of the softened liquid line (of rho_L)."""
N_META = 7
# sat_meta
LN_P_FIRST, PER_LN_P, N_SAT_ROWS = range(3)

# core, second index
N_VAPOUR = 6
N_LIQUID = 5
LN_P_DEW, LN_P_BUBBLE, RHO_L, LN_RHO_V, U_L, U_V, SPAN = range(7)
"""SPAN: the fitted range of liquid above rho_L, kg/m3; beyond it p rises in a straight line and u stays."""
Z_COEF = SPAN + 1
UV_COEF = Z_COEF + N_VAPOUR
P_COEF = UV_COEF + N_VAPOUR
UL_COEF = P_COEF + N_LIQUID
S_L = UL_COEF + N_LIQUID
S_V = S_L + 1
SV_COEF = S_V + 1
SL_COEF = SV_COEF + N_VAPOUR
N_CORE = SL_COEF + N_LIQUID

# saturation(...) and sat, second index
(
    SAT_T,
    SAT_HL,
    SAT_HV,
    SAT_RHOL,
    SAT_RHOV,
    SAT_CPL,
    SAT_CPV,
    SAT_MUL,
    SAT_MUV,
    SAT_KL,
    SAT_KV,
    SAT_SIGMA,
    SAT_T_DEW,
    SAT_T_BUBBLE,
) = range(14)
N_SAT = 14

T_LOWEST = 60.0
"""K; no iteration for a temperature goes below this."""


@compiled
def locate(meta: Array, T: float) -> tuple[int, float]:
    """Row and place in it (0..1 inside the grid); the first and last rows are straight-line continuations."""
    s = (T - meta[T_FIRST]) * meta[PER_KELVIN] + 1.0
    last = meta[N_ROWS] - 1.0
    if s < 0.0:
        return 0, s
    if s > last:
        return int(last), s - last
    i = int(s)
    return i, s - i


@compiled
def locate_pressure(sat_meta: Array, p: float) -> tuple[int, float]:
    """The same in the saturation table; both of its ends are level."""
    s = (log(max(p, 1e-12)) - sat_meta[LN_P_FIRST]) * sat_meta[PER_LN_P]
    s = min(max(s, 0.0), sat_meta[N_SAT_ROWS] - 1e-9)
    i = int(s)
    return i, s - i


@compiled
def spline_value(table: Array, i: int, q: int, t: float) -> float:
    value: float = table[i, q, 0] + t * (table[i, q, 1] + t * (table[i, q, 2] + t * table[i, q, 3]))
    return value


@compiled
def spline_slope(table: Array, i: int, q: int, t: float) -> float:
    """Derivative by t, that is per grid interval."""
    slope: float = table[i, q, 1] + t * (2.0 * table[i, q, 2] + t * 3.0 * table[i, q, 3])
    return slope


@compiled
def liquid_energy(core: Array, i: int, t: float, rho: float, rho_L: float) -> tuple[float, float]:
    """u and du/dt at fixed density, liquid."""
    d = rho - rho_L
    d_t = -spline_slope(core, i, RHO_L, t)
    if d > spline_value(core, i, SPAN, t):
        d = spline_value(core, i, SPAN, t)
        d_t = spline_slope(core, i, SPAN, t)
    u = spline_value(core, i, U_L, t)
    u_t = spline_slope(core, i, U_L, t)
    power = 1.0
    for k in range(N_LIQUID):
        b = spline_value(core, i, UL_COEF + k, t)
        u_t += spline_slope(core, i, UL_COEF + k, t) * power * d + b * (k + 1) * power * d_t
        power *= d
        u += b * power
    return u, u_t


@compiled
def vapour_energy(core: Array, i: int, t: float, y: float) -> tuple[float, float]:
    """u and du/dt at fixed density, vapour at rho = y rho_V."""
    ln_y_t = -spline_slope(core, i, LN_RHO_V, t)
    u = spline_value(core, i, U_V, t)
    u_t = spline_slope(core, i, U_V, t)
    power = 1.0
    for k in range(N_VAPOUR):
        power *= y
        c = spline_value(core, i, UV_COEF + k, t)
        u += c * (power - 1.0)
        u_t += spline_slope(core, i, UV_COEF + k, t) * (power - 1.0) + c * (k + 1) * power * ln_y_t
    return u, u_t

"""The saturation line of a fluid as splines in ln p, with transport properties. Used by ``sim.fluid_build`` only."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim import fluid_columns as fc
from sim.fluid_rows import hermite_rows, settling, spline_rows, straight_row

if TYPE_CHECKING:
    from sim.fluid_build import Equation

Array = NDArray[np.float64]
SAT_ROWS = 256
SAT_TAIL = 0.05
"""In ln p; beyond T_MATCH saturation properties bend over to constants within about this range."""
SAT_FOOT = 0.5
"""In ln p; the same for heat capacity and transport below the lowest valid temperature."""
CARRIED = [
    fc.SAT_CPL,
    fc.SAT_CPV,
    fc.SAT_MUL,
    fc.SAT_MUV,
    fc.SAT_KL,
    fc.SAT_KV,
    fc.SAT_SIGMA,
]
BOTH = [fc.LN_P_DEW, fc.LN_P_BUBBLE]


def _line(meta: Array, core: Array, T: Array) -> Array:
    """Core quantities LN_P_DEW .. U_V along the saturation line (the last row below T_MATCH continues beyond it)."""
    s = (T - meta[fc.T_FIRST]) * meta[fc.PER_KELVIN] + 1.0
    last = round((meta[fc.T_MATCH] - meta[fc.T_FIRST]) * meta[fc.PER_KELVIN])
    i = np.clip(s.astype(int), 0, last)
    t = (s - i)[:, None]
    c = core[i, : fc.Z_COEF]
    return np.asarray(c[..., 0] + t * (c[..., 1] + t * (c[..., 2] + t * c[..., 3])))


def _temperature_where(meta: Array, core: Array, columns: list[int], ln_p: Array) -> Array:
    """T on the saturation line at which the mean of the named pressures is p: bisection on all p at once."""
    low = np.full_like(ln_p, meta[fc.T_FIRST])
    high = np.full_like(ln_p, meta[fc.T_MATCH] + 2.0)
    for _ in range(60):
        T = 0.5 * (low + high)
        is_above = np.exp(_line(meta, core, T)[:, columns]).mean(axis=1) > np.exp(ln_p)
        high, low = np.where(is_above, T, high), np.where(is_above, low, T)
    return 0.5 * (low + high)


def _filled_conductivity(T: Array, vapour: Array, R: float) -> tuple[Array, str]:
    """Vapour conductivity with gaps filled, and a note on them.

    Gaps are filled with the modified Eucken relation k = mu (1.32 cv + 1.77 R) (Poling, Prausnitz and O'Connell, The Properties of Gases and Liquids, 5th ed.
    2001, section 10-3-1; from memory), scaled to meet the neighbouring valid values.
    """
    _, cv, mu, k = vapour.T
    gap = np.isnan(k)
    if not gap.any():
        return k, "no gaps filled"
    eucken = mu * (1.32 * cv + 1.77 * R)
    ratio = np.interp(T, T[~gap], (k / eucken)[~gap])
    note = f"vapour conductivity between {T[gap][0]:.1f} K and {T[gap][-1]:.1f} K: modified Eucken, an estimate"
    return np.where(gap, eucken * ratio, k), note


def _carried(eq: Equation, T: Array) -> tuple[Array, str]:
    """The CARRIED columns at the temperatures T, and a note on estimates among them."""
    liquid = np.array([eq.liquid_transport(Ti) for Ti in T])
    vapour = np.array([eq.vapour_transport(Ti) for Ti in T])
    k_V, note = _filled_conductivity(T, vapour, eq.R)
    cp_L, mu_L, k_L, sigma = liquid.T
    return np.stack([cp_L, vapour[:, 0], mu_L, vapour[:, 2], k_L, k_V, sigma], axis=1), note


def _line_values(meta: Array, core: Array, ln_p: Array) -> Array:
    """All columns that the core knows, at the pressures; the CARRIED ones stay zero."""
    T = _temperature_where(meta, core, BOTH, ln_p)
    line = _line(meta, core, T)
    rho_L, ln_rho_V = line[:, fc.RHO_L], line[:, fc.LN_RHO_V]
    values = np.zeros((len(T), fc.N_SAT))
    values[:, fc.SAT_T], values[:, fc.SAT_RHOL], values[:, fc.SAT_RHOV] = (
        T,
        rho_L,
        ln_rho_V,
    )
    values[:, fc.SAT_HL] = line[:, fc.U_L] + np.exp(line[:, fc.LN_P_BUBBLE]) / rho_L
    values[:, fc.SAT_HV] = line[:, fc.U_V] + np.exp(line[:, fc.LN_P_DEW] - ln_rho_V)
    values[:, fc.SAT_T_DEW] = _temperature_where(meta, core, [fc.LN_P_DEW], ln_p)
    values[:, fc.SAT_T_BUBBLE] = _temperature_where(meta, core, [fc.LN_P_BUBBLE], ln_p)
    return values


def saturation_rows(
    eq: Equation, t_low_k: float, meta: Array, core: Array
) -> tuple[Array, Array, str]:
    """sat_meta, sat and a note on estimates: continuation below, valid part, levelling tail above."""
    ends = np.array([meta[fc.T_FIRST], t_low_k, meta[fc.T_MATCH]])
    first, low, top = np.log(np.exp(_line(meta, core, ends)[:, BOTH]).mean(axis=1))
    step = (top - low) / SAT_ROWS
    n_down = int((low - first) / step)
    ln_p = low + step * np.arange(-n_down, SAT_ROWS + 1)
    values = _line_values(meta, core, ln_p)
    values[n_down:, CARRIED], note = _carried(eq, values[n_down:, fc.SAT_T])
    main = spline_rows(ln_p[n_down:], values[n_down:])
    down = spline_rows(ln_p[: n_down + 1], values[: n_down + 1])
    foot = settling(
        ln_p[: n_down + 1] - low,
        main[0, CARRIED, 0],
        main[0, CARRIED, 1] / step,
        SAT_FOOT,
    )
    down[:, CARRIED] = hermite_rows(foot[0], foot[1] * step)
    end = straight_row(main[-1], 1.0, 1.0)
    reach = step * np.arange(int(np.ceil(8 * SAT_TAIL / step)) + 1)
    tail = settling(reach, end[:, 0], end[:, 1] / step, SAT_TAIL)
    rows = np.concatenate([down, main, hermite_rows(tail[0], tail[1] * step)])
    return np.array([ln_p[0], 1.0 / step, len(rows)]), np.ascontiguousarray(rows), note

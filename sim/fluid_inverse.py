"""Vapour and liquid asked the other way round: density, temperature and enthalpy from pressure with temperature, enthalpy or entropy.

Newton iterations on the tables' own analytic derivatives. They are for superheated vapour and subcooled liquid; past saturation they follow the metastable
continuation of the phase, which the limits keep finite.
"""

from __future__ import annotations

from math import exp, log

from sim.compiled import compiled
from sim.fluid_columns import (
    GAS_CONSTANT,
    LN_P_BUBBLE,
    LN_P_DEW,
    LN_RHO_V,
    N_LIQUID,
    N_VAPOUR,
    P_COEF,
    PER_KELVIN,
    RHO_L,
    S_L,
    S_V,
    SL_COEF,
    SV_COEF,
    T_LOWEST,
    T_MATCH,
    UL_COEF,
    UV_COEF,
    Z_COEF,
    FluidTables,
    liquid_energy,
    locate,
    spline_slope,
    spline_value,
    vapour_energy,
)


@compiled
def _vapour_point(
    fl: FluidTables, rho: float, T: float
) -> tuple[float, float, float, float, float, float]:
    """p, dp/drho, dp/dT, u, du/drho, du/dT of vapour (also continued past saturation)."""
    core = fl.core
    w = fl.meta[PER_KELVIN]
    i, t = locate(fl.meta, T)
    rho_V = exp(spline_value(core, i, LN_RHO_V, t))
    ln_y_T = -spline_slope(core, i, LN_RHO_V, t) * w
    y = rho / rho_V
    RT: float = fl.meta[GAS_CONSTANT] * T
    Z = exp(spline_value(core, i, LN_P_DEW, t)) / (rho_V * RT)
    Z_T = Z * (spline_slope(core, i, LN_P_DEW, t) * w + ln_y_T - 1.0 / T)
    Z_y = 0.0
    u_y = 0.0
    power = 1.0
    for k in range(N_VAPOUR):
        c, c_T = spline_value(core, i, Z_COEF + k, t), spline_slope(core, i, Z_COEF + k, t) * w
        u_y += spline_value(core, i, UV_COEF + k, t) * (k + 1) * power
        Z_y += c * (k + 1) * power
        power *= y
        Z += c * (power - 1.0)
        Z_T += c_T * (power - 1.0)
    Z_T += Z_y * y * ln_y_T
    u, u_t = vapour_energy(core, i, t, y)
    p_rho = RT * (Z + Z_y * y)
    return Z * rho * RT, p_rho, Z * rho * RT / T + Z_T * rho * RT, u, u_y / rho_V, u_t * w


@compiled
def _entropy_point(fl: FluidTables, rho: float, T: float) -> tuple[float, float, float]:
    """s, ds/drho, ds/dT of vapour."""
    core = fl.core
    w = fl.meta[PER_KELVIN]
    R = fl.meta[GAS_CONSTANT]
    i, t = locate(fl.meta, T)
    ln_y = log(rho) - spline_value(core, i, LN_RHO_V, t)
    ln_y_T = -spline_slope(core, i, LN_RHO_V, t) * w
    y = exp(ln_y)
    s = spline_value(core, i, S_V, t) - R * ln_y
    s_T = spline_slope(core, i, S_V, t) * w
    s_ln_y = -R
    power = 1.0
    for k in range(N_VAPOUR):
        power *= y
        e = spline_value(core, i, SV_COEF + k, t)
        s += e * (power - 1.0)
        s_T += spline_slope(core, i, SV_COEF + k, t) * w * (power - 1.0)
        s_ln_y += e * (k + 1) * power
    return s, s_ln_y / rho, s_T + s_ln_y * ln_y_T


@compiled
def vapour_entropy(fl: FluidTables, rho: float, T: float) -> float:
    """Entropy (J/(kg K)) of vapour at density and temperature."""
    return _entropy_point(fl, rho, T)[0]


@compiled
def liquid_entropy(fl: FluidTables, rho: float, T: float) -> float:
    """Entropy (J/(kg K)) of liquid at density and temperature."""
    i, t = locate(fl.meta, T)
    d = rho - spline_value(fl.core, i, RHO_L, t)
    s = 0.0
    for k in range(N_LIQUID - 1, -1, -1):
        s = d * (s + spline_value(fl.core, i, SL_COEF + k, t))
    return spline_value(fl.core, i, S_L, t) + s


@compiled
def density_at_pT_vapour(fl: FluidTables, p: float, T: float) -> float:
    """Vapour density (kg/m3); at a pressure above dew the metastable vapour's, held below 1.3 times saturation."""
    i, t = locate(fl.meta, T)
    highest: float = 1.3 * exp(spline_value(fl.core, i, LN_RHO_V, t))
    rho: float = min(p / (fl.meta[GAS_CONSTANT] * T), highest / 1.3)
    for _ in range(30):
        f, f_rho = _vapour_point(fl, rho, T)[:2]
        new = rho - (f - p) / f_rho
        new = min(max(new, 0.3 * rho), highest)
        if f_rho <= 0.0:
            new = highest
        if abs(new - rho) < 1e-12 * rho:
            return new
        rho = new
    return rho


@compiled
def _vapour_newton(
    fl: FluidTables, p: float, target: float, by_entropy: bool, T_guess: float
) -> tuple[float, float, float]:
    """T, rho, h of vapour where pressure is p and enthalpy (or entropy) is ``target``: Newton in both unknowns."""
    T = max(T_guess, T_LOWEST)
    rho = density_at_pT_vapour(fl, p, T)
    h = 0.0
    for _ in range(25):
        f, f_rho, f_T, u, u_rho, u_T = _vapour_point(fl, rho, T)
        h = u + f / rho
        if by_entropy:
            g, g_rho, g_T = _entropy_point(fl, rho, T)
        else:
            g, g_rho, g_T = h, u_rho + f_rho / rho - f / (rho * rho), u_T + f_T / rho
        det = f_rho * g_T - f_T * g_rho
        a, b = p - f, target - g
        d_rho = (a * g_T - b * f_T) / det
        d_T = (f_rho * b - g_rho * a) / det
        rho = min(max(rho + d_rho, 0.5 * rho), 1.5 * rho)
        T += min(max(d_T, -40.0), 40.0)
        T = max(T, T_LOWEST)
        if abs(d_T) < 1e-9 * T and abs(d_rho) < 1e-9 * rho:
            break
    return T, rho, h


@compiled
def vapour_at_ph(fl: FluidTables, p: float, h: float, T_guess: float) -> tuple[float, float, float]:
    """T (K), rho (kg/m3) and h of superheated vapour at pressure and enthalpy."""
    return _vapour_newton(fl, p, h, False, T_guess)


@compiled
def vapour_at_ps(fl: FluidTables, p: float, s: float, T_guess: float) -> tuple[float, float, float]:
    """T (K), rho (kg/m3) and h (J/kg) of superheated vapour at pressure and entropy."""
    return _vapour_newton(fl, p, s, True, T_guess)


@compiled
def _liquid_point(
    fl: FluidTables, rho: float, T: float
) -> tuple[float, float, float, float, float, float]:
    """p, dp/drho, dp/dT, u, du/drho, du/dT of liquid (not softened; also continued below saturation)."""
    core = fl.core
    w = fl.meta[PER_KELVIN]
    i, t = locate(fl.meta, T)
    d = rho - spline_value(core, i, RHO_L, t)
    d_T = -spline_slope(core, i, RHO_L, t) * w
    p = exp(spline_value(core, i, LN_P_BUBBLE, t))
    p_T = p * spline_slope(core, i, LN_P_BUBBLE, t) * w
    p_d = 0.0
    u_d = 0.0
    power = 1.0
    for k in range(N_LIQUID):
        a = spline_value(core, i, P_COEF + k, t)
        p_d += a * (k + 1) * power
        u_d += spline_value(core, i, UL_COEF + k, t) * (k + 1) * power
        power *= d
        p += a * power
        p_T += spline_slope(core, i, P_COEF + k, t) * w * power
    u, u_t = liquid_energy(core, i, t, rho, rho - d)
    return p, p_d, p_T + p_d * d_T, u, u_d, u_t * w


@compiled
def density_at_pT_liquid(fl: FluidTables, p: float, T: float) -> float:
    """Liquid density (kg/m3); at a pressure below bubble the metastable liquid's, held above 0.97 times saturation."""
    i, t = locate(fl.meta, T)
    lowest = 0.97 * spline_value(fl.core, i, RHO_L, t)
    rho = lowest / 0.97
    for _ in range(30):
        f, f_rho = _liquid_point(fl, rho, T)[:2]
        new = rho - (f - p) / f_rho if f_rho > 0.0 else lowest
        new = min(max(new, lowest), 1.1 * rho)
        if abs(new - rho) < 1e-13 * rho:
            return new
        rho = new
    return rho


@compiled
def liquid_at_ph(fl: FluidTables, p: float, h: float, T_guess: float) -> tuple[float, float, float]:
    """T (K), rho (kg/m3) and h of subcooled liquid at pressure and enthalpy."""
    T = min(max(T_guess, T_LOWEST), fl.meta[T_MATCH])
    rho = density_at_pT_liquid(fl, p, T)
    for _ in range(25):
        f, f_rho, f_T, u, u_rho, u_T = _liquid_point(fl, rho, T)
        g_rho, g_T = u_rho + f_rho / rho - f / (rho * rho), u_T + f_T / rho
        det = f_rho * g_T - f_T * g_rho
        a, b = p - f, h - (u + f / rho)
        d_rho = (a * g_T - b * f_T) / det
        d_T = (f_rho * b - g_rho * a) / det
        rho += min(max(d_rho, -0.02 * rho), 0.02 * rho)
        T += min(max(d_T, -20.0), 20.0)
        if abs(d_T) < 1e-9 * T and abs(d_rho) < 1e-11 * rho:
            break
    return T, rho, h

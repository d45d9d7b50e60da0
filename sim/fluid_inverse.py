"""Vapour and liquid asked the other way round: density, temperature and enthalpy from pressure with temperature, enthalpy or entropy.

Newton iterations on the tables' own analytic derivatives. They are for superheated vapour and subcooled liquid; past saturation they follow the metastable
continuation of the phase, which the limits keep finite.
"""

from __future__ import annotations

from math import exp, log

from sim.arrays import Cube, Vector
from sim.compiled import compiled
from sim.doors import door
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
    SAT_T_DEW,
    SL_COEF,
    SPAN,
    SV_COEF,
    T_LOWEST,
    T_MATCH,
    U_V,
    UL_COEF,
    UV_COEF,
    Z_COEF,
    Array,
    FluidTables,
    liquid_energy,
    locate,
    locate_pressure,
    spline_slope,
    spline_value,
)

DENSEST_VAPOUR, LIGHTEST_LIQUID = 1.3, 0.97
"""Metastable vapour and liquid end at these multiples of the saturation density."""
METASTABLE_K = 20.0
"""K; vapour sought by enthalpy or entropy is never colder than this below dew."""


@compiled
def _vapour_point(
    meta: Array, core: Array, rho: float, T: float
) -> tuple[float, float, float, float, float, float]:
    """p, dp/drho, dp/dT, u, du/drho, du/dT of vapour (also continued past saturation)."""
    i, t = locate(meta, T)
    w = meta[PER_KELVIN]
    rho_V = exp(spline_value(core, i, LN_RHO_V, t))
    ln_y_T = -spline_slope(core, i, LN_RHO_V, t) * w
    y = rho / rho_V
    RT: float = meta[GAS_CONSTANT] * T
    Z = exp(spline_value(core, i, LN_P_DEW, t)) / (rho_V * RT)
    Z_T = Z * (spline_slope(core, i, LN_P_DEW, t) * w + ln_y_T - 1.0 / T)
    u = spline_value(core, i, U_V, t)
    u_T = spline_slope(core, i, U_V, t) * w
    Z_y = 0.0
    u_y = 0.0
    power = 1.0
    for k in range(N_VAPOUR):
        c = spline_value(core, i, Z_COEF + k, t)
        Z_y += c * (k + 1) * power
        d = spline_value(core, i, UV_COEF + k, t)
        u_y += d * (k + 1) * power
        power *= y
        u += d * (power - 1.0)
        u_T += spline_slope(core, i, UV_COEF + k, t) * w * (power - 1.0)
        Z += c * (power - 1.0)
        Z_T += spline_slope(core, i, Z_COEF + k, t) * w * (power - 1.0)
    Z_T += Z_y * y * ln_y_T
    u_T += u_y * y * ln_y_T
    p = Z * rho * RT
    return p, RT * (Z + Z_y * y), p / T + Z_T * rho * RT, u, u_y / rho_V, u_T


@compiled
def _entropy_point(meta: Array, core: Array, rho: float, T: float) -> tuple[float, float, float]:
    """s, ds/drho, ds/dT of vapour."""
    i, t = locate(meta, T)
    w = meta[PER_KELVIN]
    ln_y = log(rho) - spline_value(core, i, LN_RHO_V, t)
    ln_y_T = -spline_slope(core, i, LN_RHO_V, t) * w
    y = exp(ln_y)
    s = spline_value(core, i, S_V, t) - meta[GAS_CONSTANT] * ln_y
    s_T = spline_slope(core, i, S_V, t) * w
    s_ln_y = -meta[GAS_CONSTANT]
    power = 1.0
    for k in range(N_VAPOUR):
        power *= y
        e = spline_value(core, i, SV_COEF + k, t)
        s += e * (power - 1.0)
        s_T += spline_slope(core, i, SV_COEF + k, t) * w * (power - 1.0)
        s_ln_y += e * (k + 1) * power
    return s, s_ln_y / rho, s_T + s_ln_y * ln_y_T


@door
def vapour_entropy(fl: FluidTables, rho: float, T: float) -> float:
    """Entropy (J/(kg K)) of vapour at density and temperature."""
    return _entropy_point(fl.meta, fl.core, rho, T)[0]


@door
def liquid_entropy(fl: FluidTables, rho: float, T: float) -> float:
    """Entropy (J/(kg K)) of liquid at density and temperature."""
    i, t = locate(fl.meta, T)
    d = rho - spline_value(fl.core, i, RHO_L, t)
    s = 0.0
    for k in range(N_LIQUID - 1, -1, -1):
        s = d * (s + spline_value(fl.core, i, SL_COEF + k, t))
    return spline_value(fl.core, i, S_L, t) + s


@compiled
def _densest_vapour(meta: Array, core: Array, T: float) -> float:
    i, t = locate(meta, T)
    return DENSEST_VAPOUR * exp(spline_value(core, i, LN_RHO_V, t))


@door
def density_at_pT_vapour(fl: FluidTables, p: float, T: float) -> float:
    """Vapour density (kg/m3); at a pressure above dew the metastable vapour's, at most DENSEST_VAPOUR times saturation."""
    meta, core = fl.meta, fl.core
    highest = _densest_vapour(meta, core, T)
    rho: float = min(p / (meta[GAS_CONSTANT] * T), highest)
    for _ in range(30):
        f, f_rho, _f_T, _u, _u_rho, _u_T = _vapour_point(meta, core, rho, T)
        step = (p - f) / f_rho
        if f_rho <= 0.0:
            step = highest
        step = min(max(step, -0.5 * rho), highest - rho)
        rho += step
        if abs(step) < 1e-9 * rho:
            break
    return rho


@door
def superheated(fl: FluidTables, p: Vector, T_dew: Vector, superheat: Vector, out: Cube) -> None:
    """Fill ``out[i, j]`` with enthalpy (J/kg) and entropy (J/(kg K)) of gas at pressure ``p[i]``, ``superheat[j]`` above ``T_dew[i]``."""
    for i in range(p.shape[0]):
        for j in range(superheat.shape[0]):
            T = T_dew[i] + superheat[j]
            rho = density_at_pT_vapour(fl, p[i], T)
            out[i, j, 0] = _vapour_point(fl.meta, fl.core, rho, T)[3] + p[i] / rho
            out[i, j, 1] = vapour_entropy(fl, rho, T)


@compiled
def dew_temperature(fl: FluidTables, p: float) -> float:
    """T_dew at p, K."""
    i, t = locate_pressure(fl.sat_meta, p)
    return spline_value(fl.sat, i, SAT_T_DEW, t)


@compiled
def _vapour_newton(
    fl: FluidTables, p: float, target: float, by_entropy: bool, T_guess: float
) -> tuple[float, float, float]:
    """T, rho, h of vapour where pressure is p and enthalpy (or entropy) is ``target``: Newton in both unknowns."""
    meta, core = fl.meta, fl.core
    T_dew = dew_temperature(fl, p)
    T = max(T_guess, T_dew)
    rho = min(p / (meta[GAS_CONSTANT] * T), _densest_vapour(meta, core, T) / DENSEST_VAPOUR)
    for _ in range(25):
        f, f_rho, f_T, u, u_rho, u_T = _vapour_point(meta, core, rho, T)
        h, h_rho, h_T = (
            u + f / rho,
            u_rho + f_rho / rho - f / (rho * rho),
            u_T + f_T / rho,
        )
        g, g_rho, g_T = h, h_rho, h_T
        if by_entropy:
            g, g_rho, g_T = _entropy_point(meta, core, rho, T)
        det = f_rho * g_T - f_T * g_rho
        d_rho = ((p - f) * g_T - (target - g) * f_T) / det
        d_T = (f_rho * (target - g) - g_rho * (p - f)) / det
        d_T = max(min(max(d_T, -40.0), 40.0), T_dew - METASTABLE_K - T)
        d_rho = min(max(d_rho, -0.5 * rho), 0.5 * rho)
        T += d_T
        rho += d_rho
        h += h_rho * d_rho + h_T * d_T
        if abs(d_T) < 1e-7 * T and abs(d_rho) < 1e-7 * rho:
            break
    return T, rho, h


@door
def vapour_at_ph(fl: FluidTables, p: float, h: float, T_guess: float) -> tuple[float, float, float]:
    """T (K), rho (kg/m3) and h of superheated vapour at pressure and enthalpy."""
    return _vapour_newton(fl, p, h, False, T_guess)


@door
def vapour_at_ps(fl: FluidTables, p: float, s: float, T_guess: float) -> tuple[float, float, float]:
    """T (K), rho (kg/m3) and h (J/kg) of superheated vapour at pressure and entropy."""
    return _vapour_newton(fl, p, s, True, T_guess)


@compiled
def _liquid_point(
    meta: Array, core: Array, rho: float, T: float
) -> tuple[float, float, float, float, float, float]:
    """p, dp/drho, dp/dT, u, du/drho, du/dT of liquid (not softened; also continued below saturation)."""
    i, t = locate(meta, T)
    w = meta[PER_KELVIN]
    d = rho - spline_value(core, i, RHO_L, t)
    d_T = -spline_slope(core, i, RHO_L, t) * w
    over = max(d - spline_value(core, i, SPAN, t), 0.0)
    d -= over
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
    if over > 0.0:
        u_d = 0.0
    u, u_t = liquid_energy(core, i, t, rho, rho - d - over)
    return p + p_d * over, p_d, p_T + p_d * d_T, u, u_d, u_t * w


@door
def density_at_pT_liquid(fl: FluidTables, p: float, T: float) -> float:
    """Liquid density (kg/m3); at a pressure below bubble the metastable liquid's, held at LIGHTEST_LIQUID of saturation."""
    meta, core = fl.meta, fl.core
    i, t = locate(meta, T)
    lowest = LIGHTEST_LIQUID * spline_value(core, i, RHO_L, t)
    rho = lowest / LIGHTEST_LIQUID
    for _ in range(30):
        f, f_rho, _f_T, _u, _u_rho, _u_T = _liquid_point(meta, core, rho, T)
        step = (p - f) / f_rho
        if f_rho <= 0.0:
            step = -rho
        step = max(min(step, 0.1 * rho), lowest - rho)
        rho += step
        if abs(step) < 1e-9 * rho:
            break
    return rho


@door
def liquid_at_ph(fl: FluidTables, p: float, h: float, T_guess: float) -> tuple[float, float, float]:
    """T (K), rho (kg/m3) and h of subcooled liquid at pressure and enthalpy."""
    meta, core = fl.meta, fl.core
    T = min(max(T_guess, T_LOWEST), meta[T_MATCH])
    rho = density_at_pT_liquid(fl, p, T)
    for _ in range(25):
        f, f_rho, f_T, u, u_rho, u_T = _liquid_point(meta, core, rho, T)
        g_rho, g_T = u_rho + f_rho / rho - f / (rho * rho), u_T + f_T / rho
        det = f_rho * g_T - f_T * g_rho
        miss_p, miss_h = p - f, h - (u + f / rho)
        d_rho = (miss_p * g_T - miss_h * f_T) / det
        d_T = (f_rho * miss_h - g_rho * miss_p) / det
        share = min(1.0, 0.05 * rho / (abs(d_rho) + 1e-30), 20.0 / (abs(d_T) + 1e-30))
        rho += share * d_rho
        T = min(max(T + share * d_T, T_LOWEST), meta[T_MATCH])
        if abs(d_T) < 1e-7 * T and abs(d_rho) < 1e-8 * rho:
            break
    return T, rho, h

"""The refrigerant's equation of state as splines in temperature: pressure and temperature from (density, internal energy) in a few hundred ns.

Representation, all on one uniform temperature grid (cubic in each interval):

* saturation: ln p_dew, ln p_bubble, rho_L, ln rho_V, u_L, u_V, s_L, s_V;
* vapour, y = rho/rho_V(T):  Z = Z_V + sum c_k (y^k - 1),  u = u_V + sum d_k (y^k - 1),  s = s_V - R ln y + sum e_k (y^k - 1),  p = Z rho R T;
* liquid, d = rho - rho_L(T):  p = p_bubble + sum a_k d^k,  u = u_L + sum b_k d^k,  s = s_L + sum f_k d^k;
* between: lever rule in volume, p = p_bubble + q (p_dew - p_bubble), so that a blend's glide comes out too.

The phase is decided from rho against rho_L(T), rho_V(T) inside the Newton iteration for T; at fixed density u rises with T throughout, so a bracket makes
the iteration safe. From ``T_MATCH`` (4 K below critical) upward rho_L and rho_V are frozen and the gap between them is bridged by a cubic in density:
an artificial but continuous and monotone stand-in for the critical region, outside the declared limits.
A second set of splines, uniform in ln p, gives the saturation line with transport properties.

Numbers in the tables come from CoolProp's reference equations (see ``sim.fluid_build``); the forms above are our own fit.
The reference state is the IIR one: saturated liquid at 0 degC has h = 200 kJ/kg, s = 1 kJ/(kg K).
"""

from __future__ import annotations

from math import exp, log, sqrt
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.compiled import compiled

Array = NDArray[np.float64]


class FluidTables(NamedTuple):
    """What the compiled functions need of a fluid; see the column names below."""

    meta: Array
    core: Array
    sat_meta: Array
    sat: Array


# meta
T_FIRST, PER_KELVIN, N_ROWS, GAS_CONSTANT, T_MATCH, T_CRITICAL, SOFTENING = range(7)
"""First knot (K), knots per kelvin, rows, J/(kg K), K, K, width of the softened liquid line (of rho_L)."""
N_META = 7
# sat_meta
LN_P_FIRST, PER_LN_P, N_SAT_ROWS = range(3)

# core, second index
N_VAPOUR = 6
N_LIQUID = 6
LN_P_DEW, LN_P_BUBBLE, RHO_L, LN_RHO_V, U_L, U_V = range(6)
Z_COEF = 6
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

RHO_FLOOR = 1e-9
"""kg/m3; an emptied node is computed at this density instead of dividing by zero."""
T_LOWEST, T_ABOVE = 60.0, 200.0
"""K; the bracket of the temperature iteration: absolute lower end, and beyond the last knot."""
SOFT_REACH = 300.0
"""The softening of the liquid line ends this many widths inside the two-phase region."""


@compiled
def _locate(meta: Array, T: float) -> tuple[int, float]:
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
def _value(table: Array, i: int, q: int, t: float) -> float:
    value: float = table[i, q, 0] + t * (table[i, q, 1] + t * (table[i, q, 2] + t * table[i, q, 3]))
    return value


@compiled
def _slope(table: Array, i: int, q: int, t: float) -> float:
    """Derivative by t, that is per grid interval."""
    slope: float = table[i, q, 1] + t * (2.0 * table[i, q, 2] + t * 3.0 * table[i, q, 3])
    return slope


@compiled
def _liquid_energy(core: Array, i: int, t: float, rho: float, rho_L: float) -> tuple[float, float]:
    """u and du/dt at fixed density, liquid."""
    d = rho - rho_L
    d_t = -_slope(core, i, RHO_L, t)
    u = _value(core, i, U_L, t)
    u_t = _slope(core, i, U_L, t)
    power = 1.0
    for k in range(N_LIQUID):
        b = _value(core, i, UL_COEF + k, t)
        u_t += _slope(core, i, UL_COEF + k, t) * power * d + b * (k + 1) * power * d_t
        power *= d
        u += b * power
    return u, u_t


@compiled
def _vapour_energy(core: Array, i: int, t: float, y: float) -> tuple[float, float]:
    """u and du/dt at fixed density, vapour at rho = y rho_V."""
    ln_y_t = -_slope(core, i, LN_RHO_V, t)
    u = _value(core, i, U_V, t)
    u_t = _slope(core, i, U_V, t)
    power = 1.0
    for k in range(N_VAPOUR):
        power *= y
        c = _value(core, i, UV_COEF + k, t)
        u += c * (power - 1.0)
        u_t += _slope(core, i, UV_COEF + k, t) * (power - 1.0) + c * (k + 1) * power * ln_y_t
    return u, u_t


@compiled
def _mixed_energy(
    core: Array, i: int, t: float, rho: float, rho_L: float, rho_V: float
) -> tuple[float, float]:
    """u and du/dt at fixed density, two-phase."""
    v_L, v_V = 1.0 / rho_L, 1.0 / rho_V
    q = (1.0 / rho - v_L) / (v_V - v_L)
    u_L, u_V = _value(core, i, U_L, t), _value(core, i, U_V, t)
    v_L_t = -v_L * v_L * _slope(core, i, RHO_L, t)
    v_V_t = -v_V * _slope(core, i, LN_RHO_V, t)
    q_t = (-v_L_t - q * (v_V_t - v_L_t)) / (v_V - v_L)
    u_t = (1.0 - q) * _slope(core, i, U_L, t) + q * _slope(core, i, U_V, t) + q_t * (u_V - u_L)
    return u_L + q * (u_V - u_L), u_t


@compiled
def _energy_and_slope(fl: FluidTables, rho: float, T: float) -> tuple[float, float]:
    """u and du/dT at fixed density."""
    core = fl.core
    i, t = _locate(fl.meta, T)
    rho_L = _value(core, i, RHO_L, t)
    rho_V = exp(_value(core, i, LN_RHO_V, t))
    if rho >= rho_L:
        u, u_t = _liquid_energy(core, i, t, rho, rho_L)
    elif rho <= rho_V:
        u, u_t = _vapour_energy(core, i, t, rho / rho_V)
    else:
        u, u_t = _mixed_energy(core, i, t, rho, rho_L, rho_V)
    return u, u_t * fl.meta[PER_KELVIN]


@compiled
def energy(fl: FluidTables, rho: float, T: float) -> float:
    """Internal energy (J/kg) at density and temperature, any phase."""
    return _energy_and_slope(fl, rho, T)[0]


@compiled
def temperature(fl: FluidTables, rho: float, u: float, T_guess: float) -> float:
    """Temperature (K) at density and internal energy: Newton inside a bracket, any phase."""
    low = T_LOWEST
    high: float = fl.meta[T_FIRST] + fl.meta[N_ROWS] / fl.meta[PER_KELVIN] + T_ABOVE
    T = min(max(T_guess, low), high)
    for _ in range(60):
        f, f_T = _energy_and_slope(fl, rho, T)
        miss = f - u
        if miss > 0.0:
            high = T
        else:
            low = T
        step = -miss / f_T
        if abs(step) < 1e-10 * T:
            return T + step
        T += step
        if not (low < T < high) or f_T <= 0.0:
            T = 0.5 * (low + high)
    return T


@compiled
def _softened(d: float, width: float) -> float:
    """max(d, 0) with its corner rounded over +-width."""
    return 0.5 * (d + sqrt(d * d + width * width))


@compiled
def _bridge_pressure(
    fl: FluidTables, i: int, t: float, T: float, rho: float, rho_V: float, rho_L: float
) -> float:
    """Pressure between the frozen lines above T_MATCH: a cubic in density, monotone by limited end slopes (Fritsch and Carlson 1980, eq. 4)."""
    core = fl.core
    p_V, p_L = exp(_value(core, i, LN_P_DEW, t)), exp(_value(core, i, LN_P_BUBBLE, t))
    slope_V: float = p_V / rho_V
    for k in range(N_VAPOUR):
        slope_V += fl.meta[GAS_CONSTANT] * T * (k + 1) * _value(core, i, Z_COEF + k, t)
    gap = rho_L - rho_V
    secant = max((p_L - p_V) / gap, 0.0)
    slope_V = min(max(slope_V, 0.0), 3.0 * secant)
    slope_L = min(max(_value(core, i, P_COEF, t), 0.0), 3.0 * secant)
    x = (rho - rho_V) / gap
    up = 1.0 - x
    return (
        p_V * (1.0 + 2.0 * x) * up * up
        + slope_V * gap * x * up * up
        + p_L * x * x * (3.0 - 2.0 * x)
        - slope_L * gap * x * x * up
    )


@compiled
def _liquid_pressure(fl: FluidTables, i: int, t: float, rho: float, rho_L: float) -> float:
    d = rho - rho_L
    if fl.meta[SOFTENING] > 0.0:
        d = _softened(d, fl.meta[SOFTENING] * rho_L)
    p = 0.0
    for k in range(N_LIQUID - 1, -1, -1):
        p = d * (p + _value(fl.core, i, P_COEF + k, t))
    return exp(_value(fl.core, i, LN_P_BUBBLE, t)) + p


@compiled
def _vapour_pressure(
    fl: FluidTables, i: int, t: float, T: float, rho: float, rho_V: float
) -> float:
    y = rho / rho_V
    RT: float = fl.meta[GAS_CONSTANT] * T
    Z = exp(_value(fl.core, i, LN_P_DEW, t)) / (rho_V * RT)
    power = 1.0
    for k in range(N_VAPOUR):
        power *= y
        Z += _value(fl.core, i, Z_COEF + k, t) * (power - 1.0)
    return Z * rho * RT


@compiled
def _mixed_pressure(
    fl: FluidTables, i: int, t: float, T: float, rho: float, rho_V: float, rho_L: float, q: float
) -> float:
    core = fl.core
    if fl.meta[T_MATCH] < T:
        p = _bridge_pressure(fl, i, t, T, rho, rho_V, rho_L)
    else:
        p_L = exp(_value(core, i, LN_P_BUBBLE, t))
        p = p_L + q * (exp(_value(core, i, LN_P_DEW, t)) - p_L)
    width = fl.meta[SOFTENING] * rho_L
    d = rho - rho_L
    if width > 0.0 and d > -SOFT_REACH * width:
        fade = d / (SOFT_REACH * width)
        p += _value(core, i, P_COEF, t) * _softened(d, width) * (1.0 - fade * fade)
    return p


@compiled
def state(
    fl: FluidTables, rho: float, u: float, T_guess: float
) -> tuple[float, float, float, float, float, float, float, float, float, float]:
    """Everything a node needs at density (kg/m3) and internal energy (J/kg).

    Returns p, T, q, void, rho_L, rho_V, h_L, h_V, h, rho_sat_liquid. q = (h - h_L)/(h_V - h_L) with saturation at the node's own temperature: below 0 liquid,
    above 1 vapour. void is the volume share of vapour, 0..1. In a single phase its own density and enthalpy stand in that phase's slots.
    """
    if not rho > RHO_FLOOR:
        rho = RHO_FLOOR
    T = temperature(fl, rho, u, T_guess)
    core = fl.core
    i, t = _locate(fl.meta, T)
    rho_L = _value(core, i, RHO_L, t)
    rho_V = exp(_value(core, i, LN_RHO_V, t))
    h_L = _value(core, i, U_L, t) + exp(_value(core, i, LN_P_BUBBLE, t)) / rho_L
    h_V = _value(core, i, U_V, t) + exp(_value(core, i, LN_P_DEW, t)) / rho_V
    if rho >= rho_L:
        p = _liquid_pressure(fl, i, t, rho, rho_L)
        h = u + p / rho
        return p, T, (h - h_L) / (h_V - h_L), 0.0, rho, rho_V, h, h_V, h, rho_L
    if rho <= rho_V:
        p = _vapour_pressure(fl, i, t, T, rho, rho_V)
        h = u + p / rho
        return p, T, (h - h_L) / (h_V - h_L), 1.0, rho_L, rho, h_L, h, h, rho_L
    v_L, v_V = 1.0 / rho_L, 1.0 / rho_V
    q = (1.0 / rho - v_L) / (v_V - v_L)
    p = _mixed_pressure(fl, i, t, T, rho, rho_V, rho_L, q)
    return p, T, q, q * v_V * rho, rho_L, rho_V, h_L, h_V, u + p / rho, rho_L


@compiled
def dew_pressure(fl: FluidTables, T: float) -> float:
    """Pressure (Pa) of saturated vapour at T."""
    i, t = _locate(fl.meta, T)
    return exp(_value(fl.core, i, LN_P_DEW, t))


@compiled
def bubble_pressure(fl: FluidTables, T: float) -> float:
    """Pressure (Pa) of saturated liquid at T."""
    i, t = _locate(fl.meta, T)
    return exp(_value(fl.core, i, LN_P_BUBBLE, t))


@compiled
def saturation(fl: FluidTables, p: float, out: Array) -> None:
    """Fill out[0..13] (SAT_... names) with the saturation line at p, taken as the mean of bubble and dew pressure."""
    meta = fl.sat_meta
    s = (log(max(p, 1e-12)) - meta[LN_P_FIRST]) * meta[PER_LN_P]
    s = min(max(s, 0.0), meta[N_SAT_ROWS] - 1e-9)
    i = int(s)
    t = s - i
    for q in range(N_SAT):
        out[q] = _value(fl.sat, i, q, t)
    out[SAT_RHOV] = exp(out[SAT_RHOV])


@compiled
def _vapour_point(
    fl: FluidTables, rho: float, T: float
) -> tuple[float, float, float, float, float, float]:
    """p, dp/drho, dp/dT, u, du/drho, du/dT of vapour (also continued past saturation)."""
    core = fl.core
    w = fl.meta[PER_KELVIN]
    i, t = _locate(fl.meta, T)
    rho_V = exp(_value(core, i, LN_RHO_V, t))
    ln_y_T = -_slope(core, i, LN_RHO_V, t) * w
    y = rho / rho_V
    RT: float = fl.meta[GAS_CONSTANT] * T
    Z = exp(_value(core, i, LN_P_DEW, t)) / (rho_V * RT)
    Z_T = Z * (_slope(core, i, LN_P_DEW, t) * w + ln_y_T - 1.0 / T)
    Z_y = 0.0
    u_y = 0.0
    power = 1.0
    for k in range(N_VAPOUR):
        c, c_T = _value(core, i, Z_COEF + k, t), _slope(core, i, Z_COEF + k, t) * w
        u_y += _value(core, i, UV_COEF + k, t) * (k + 1) * power
        Z_y += c * (k + 1) * power
        power *= y
        Z += c * (power - 1.0)
        Z_T += c_T * (power - 1.0)
    Z_T += Z_y * y * ln_y_T
    u, u_t = _vapour_energy(core, i, t, y)
    p_rho = RT * (Z + Z_y * y)
    return Z * rho * RT, p_rho, Z * rho * RT / T + Z_T * rho * RT, u, u_y / rho_V, u_t * w


@compiled
def _entropy_point(fl: FluidTables, rho: float, T: float) -> tuple[float, float, float]:
    """s, ds/drho, ds/dT of vapour."""
    core = fl.core
    w = fl.meta[PER_KELVIN]
    R = fl.meta[GAS_CONSTANT]
    i, t = _locate(fl.meta, T)
    ln_y = log(rho) - _value(core, i, LN_RHO_V, t)
    ln_y_T = -_slope(core, i, LN_RHO_V, t) * w
    y = exp(ln_y)
    s = _value(core, i, S_V, t) - R * ln_y
    s_T = _slope(core, i, S_V, t) * w
    s_ln_y = -R
    power = 1.0
    for k in range(N_VAPOUR):
        power *= y
        e = _value(core, i, SV_COEF + k, t)
        s += e * (power - 1.0)
        s_T += _slope(core, i, SV_COEF + k, t) * w * (power - 1.0)
        s_ln_y += e * (k + 1) * power
    return s, s_ln_y / rho, s_T + s_ln_y * ln_y_T


@compiled
def vapour_entropy(fl: FluidTables, rho: float, T: float) -> float:
    """Entropy (J/(kg K)) of vapour at density and temperature."""
    return _entropy_point(fl, rho, T)[0]


@compiled
def liquid_entropy(fl: FluidTables, rho: float, T: float) -> float:
    """Entropy (J/(kg K)) of liquid at density and temperature."""
    i, t = _locate(fl.meta, T)
    d = rho - _value(fl.core, i, RHO_L, t)
    s = 0.0
    for k in range(N_LIQUID - 1, -1, -1):
        s = d * (s + _value(fl.core, i, SL_COEF + k, t))
    return _value(fl.core, i, S_L, t) + s


@compiled
def density_at_pT_vapour(fl: FluidTables, p: float, T: float) -> float:
    """Vapour density (kg/m3); at a pressure above dew the metastable vapour's, held below 1.3 times saturation."""
    i, t = _locate(fl.meta, T)
    highest: float = 1.3 * exp(_value(fl.core, i, LN_RHO_V, t))
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
    i, t = _locate(fl.meta, T)
    d = rho - _value(core, i, RHO_L, t)
    d_T = -_slope(core, i, RHO_L, t) * w
    p = exp(_value(core, i, LN_P_BUBBLE, t))
    p_T = p * _slope(core, i, LN_P_BUBBLE, t) * w
    p_d = 0.0
    u_d = 0.0
    power = 1.0
    for k in range(N_LIQUID):
        a = _value(core, i, P_COEF + k, t)
        p_d += a * (k + 1) * power
        u_d += _value(core, i, UL_COEF + k, t) * (k + 1) * power
        power *= d
        p += a * power
        p_T += _slope(core, i, P_COEF + k, t) * w * power
    u, u_t = _liquid_energy(core, i, t, rho, rho - d)
    return p, p_d, p_T + p_d * d_T, u, u_d, u_t * w


@compiled
def density_at_pT_liquid(fl: FluidTables, p: float, T: float) -> float:
    """Liquid density (kg/m3); at a pressure below bubble the metastable liquid's, held above 0.97 times saturation."""
    i, t = _locate(fl.meta, T)
    lowest = 0.97 * _value(fl.core, i, RHO_L, t)
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

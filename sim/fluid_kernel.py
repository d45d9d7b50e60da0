"""The refrigerant's equation of state as splines in temperature: pressure and temperature from (density, internal energy) in a few hundred ns.

Representation, all on one uniform temperature grid (cubic in each interval):

* saturation: ln p_dew, ln p_bubble, rho_L, ln rho_V, u_L, u_V, s_L, s_V;
* vapour, y = rho/rho_V(T):  Z = Z_V + sum c_k (y^k - 1),  u = u_V + sum d_k (y^k - 1),  s = s_V - R ln y + sum e_k (y^k - 1),  p = Z rho R T;
* liquid, d = rho - rho_L(T):  p = p_bubble + sum a_k d^k,  u = u_L + sum b_k d^k,  s = s_L + sum f_k d^k;
  beyond the fitted SPAN (15 MPa above bubble) p goes on in a straight line and u stays, so that even absurd densities have one temperature;
* between: lever rule in volume, p = p_bubble + q (p_dew - p_bubble), so that a blend's glide comes out too.

The phase is decided from rho against rho_L(T), rho_V(T) inside the Newton iteration for T; at fixed density u rises with T throughout, so a bracket makes
the iteration safe. From ``T_MATCH`` (4 K below critical) upward rho_L and rho_V are frozen and the gap between them is bridged by a cubic in density:
an artificial but continuous and monotone stand-in for the critical region, outside the declared limits. Below the lowest valid temperature the tables follow
Clausius-Clapeyron and the ideal gas; from 100 to 600 K and from vacuum to 1.25 times the densest liquid u(T) and p(rho) are monotone.

SOFTENING > 0 rounds the corner of p(rho) at the liquid line for the implicit integrator: at a given pressure liquid is up to 1.5e-5 denser, which at a given
density lifts p by up to 7 kPa (R134a at 250 K; 3 kPa at 300 K) on the line and by under 0.1 % once 0.1 % of density away. ``Fluid.exact_tables`` has none of it.
A second set of splines, uniform in ln p, gives the saturation line with transport properties.

Numbers in the tables come from CoolProp's reference equations (see ``sim.fluid_build``); the forms above are our own fit.
The reference state is the IIR one: saturated liquid at 0 degC has h = 200 kJ/kg, s = 1 kJ/(kg K).
"""

from __future__ import annotations

from math import exp

from sim.arrays import Vector
from sim.compiled import compiled
from sim.doors import door
from sim.fluid_columns import (
    GAS_CONSTANT,
    LN_P_BUBBLE,
    LN_P_DEW,
    LN_RHO_V,
    N_LIQUID,
    N_ROWS,
    N_SAT,
    N_VAPOUR,
    P_COEF,
    PER_KELVIN,
    RHO_L,
    SAT_CPL,
    SAT_CPV,
    SAT_HL,
    SAT_HV,
    SAT_KL,
    SAT_KV,
    SAT_MUL,
    SAT_MUV,
    SAT_RHOL,
    SAT_RHOV,
    SAT_SIGMA,
    SAT_T,
    SAT_T_BUBBLE,
    SAT_T_DEW,
    SOFTENING,
    SPAN,
    T_CRITICAL,
    T_FIRST,
    T_LOWEST,
    T_MATCH,
    U_L,
    U_V,
    Z_COEF,
    Array,
    FluidTables,
    liquid_energy,
    locate,
    locate_pressure,
    spline_slope,
    spline_value,
    vapour_energy,
)
from sim.fluid_inverse import (
    density_at_pT_liquid,
    density_at_pT_vapour,
    liquid_at_ph,
    liquid_entropy,
    superheated,
    vapour_at_ph,
    vapour_at_ps,
    vapour_entropy,
)
from sim.smooth import softplus_sqrt

__all__ = [
    "GAS_CONSTANT",
    "N_SAT",
    "SAT_CPL",
    "SAT_CPV",
    "SAT_HL",
    "SAT_HV",
    "SAT_KL",
    "SAT_KV",
    "SAT_MUL",
    "SAT_MUV",
    "SAT_RHOL",
    "SAT_RHOV",
    "SAT_SIGMA",
    "SAT_T",
    "SAT_T_BUBBLE",
    "SAT_T_DEW",
    "SOFTENING",
    "T_CRITICAL",
    "T_MATCH",
    "FluidTables",
    "bubble_pressure",
    "density_at_pT_liquid",
    "density_at_pT_vapour",
    "dew_pressure",
    "energy",
    "liquid_at_ph",
    "liquid_entropy",
    "saturated_enthalpies",
    "saturation",
    "state",
    "state_beside",
    "superheated",
    "temperature",
    "vapour_at_ph",
    "vapour_at_ps",
    "vapour_entropy",
]

T_BESIDE = 273.15
"""K; from here counts the energy of what shares the refrigerant's temperature."""
RHO_FLOOR = 1e-9
"""kg/m3; an emptied node is computed at this density instead of dividing by zero."""
T_ABOVE = 200.0
"""K; the bracket of the temperature iteration ends this far beyond the last knot."""
SOFT_REACH = 300.0
"""The softening of the liquid line ends this many widths inside the two-phase region."""


@compiled
def _mixed_energy(
    core: Array, i: int, t: float, rho: float, rho_L: float, rho_V: float
) -> tuple[float, float]:
    """u and du/dt at fixed density, two-phase."""
    v_L, v_V = 1.0 / rho_L, 1.0 / rho_V
    q = (1.0 / rho - v_L) / (v_V - v_L)
    u_L, u_V = spline_value(core, i, U_L, t), spline_value(core, i, U_V, t)
    v_L_t = -v_L * v_L * spline_slope(core, i, RHO_L, t)
    v_V_t = -v_V * spline_slope(core, i, LN_RHO_V, t)
    q_t = (-v_L_t - q * (v_V_t - v_L_t)) / (v_V - v_L)
    u_t = (
        (1.0 - q) * spline_slope(core, i, U_L, t)
        + q * spline_slope(core, i, U_V, t)
        + q_t * (u_V - u_L)
    )
    return u_L + q * (u_V - u_L), u_t


@compiled
def _energy_and_slope(meta: Array, core: Array, rho: float, T: float) -> tuple[float, float]:
    """u and du/dT at fixed density."""
    i, t = locate(meta, T)
    rho_L = spline_value(core, i, RHO_L, t)
    rho_V = exp(spline_value(core, i, LN_RHO_V, t))
    if rho >= rho_L:
        u, u_t = liquid_energy(core, i, t, rho, rho_L)
    elif rho <= rho_V:
        u, u_t = vapour_energy(core, i, t, rho / rho_V)
    else:
        u, u_t = _mixed_energy(core, i, t, rho, rho_L, rho_V)
    return u, u_t * meta[PER_KELVIN]


@door
def energy(fl: FluidTables, rho: float, T: float) -> float:
    """Internal energy (J/kg) at density and temperature, any phase."""
    return _energy_and_slope(fl.meta, fl.core, rho, T)[0]


@compiled
def _temperature(
    meta: Array, core: Array, rho: float, u: float, T_guess: float, beside: float
) -> float:
    low = T_LOWEST
    high: float = meta[T_FIRST] + meta[N_ROWS] / meta[PER_KELVIN] + T_ABOVE
    T = min(max(T_guess, low), high)
    for _ in range(60):
        f, f_T = _energy_and_slope(meta, core, rho, T)
        miss = f + beside * (T - T_BESIDE) - u
        f_T += beside
        if miss > 0.0:
            high = T
        else:
            low = T
        step = -miss / f_T
        if abs(step) < 1e-8 * T:
            return T + step
        T += step
        if not (low < T < high) or f_T <= 0.0:
            T = 0.5 * (low + high)
    return T


@compiled
def temperature(fl: FluidTables, rho: float, u: float, T_guess: float) -> float:
    """Temperature (K) at density and internal energy: Newton inside a bracket, any phase."""
    return _temperature(fl.meta, fl.core, rho, u, T_guess, 0.0)


@compiled
def _bridge_pressure(
    meta: Array,
    core: Array,
    i: int,
    t: float,
    T: float,
    rho: float,
    rho_V: float,
    rho_L: float,
    p_V: float,
    p_L: float,
) -> float:
    """Pressure between the frozen lines above T_MATCH: a cubic in density, monotone by limited end slopes (Fritsch and Carlson 1980, eq. 4)."""
    slope_V: float = p_V / rho_V
    for k in range(N_VAPOUR):
        slope_V += meta[GAS_CONSTANT] * T * (k + 1) * spline_value(core, i, Z_COEF + k, t)
    gap = rho_L - rho_V
    secant = max((p_L - p_V) / gap, 0.0)
    slope_V = min(max(slope_V, 0.0), 3.0 * secant)
    slope_L = min(max(spline_value(core, i, P_COEF, t), 0.0), 3.0 * secant)
    x = (rho - rho_V) / gap
    up = 1.0 - x
    return (
        p_V * (1.0 + 2.0 * x) * up * up
        + slope_V * gap * x * up * up
        + p_L * x * x * (3.0 - 2.0 * x)
        - slope_L * gap * x * x * up
    )


@compiled
def _liquid_rise(meta: Array, core: Array, i: int, t: float, d: float, rho_L: float) -> float:
    """Pressure above bubble at density rho_L + d, its corner at d = 0 rounded where the tables ask for it."""
    if meta[SOFTENING] > 0.0:
        d = softplus_sqrt(d, meta[SOFTENING] * rho_L)
    over = max(d - spline_value(core, i, SPAN, t), 0.0)
    d -= over
    p = 0.0
    p_d = 0.0
    for k in range(N_LIQUID - 1, -1, -1):
        p_d = p + d * p_d
        p = spline_value(core, i, P_COEF + k, t) + d * p
    return d * p + over * (p + d * p_d)


@compiled
def _vapour_pressure(
    meta: Array,
    core: Array,
    i: int,
    t: float,
    T: float,
    rho: float,
    rho_V: float,
    p_V: float,
) -> float:
    y = rho / rho_V
    RT: float = meta[GAS_CONSTANT] * T
    Z = p_V / (rho_V * RT)
    power = 1.0
    for k in range(N_VAPOUR):
        power *= y
        Z += spline_value(core, i, Z_COEF + k, t) * (power - 1.0)
    return Z * rho * RT


@compiled
def _mixed_pressure(
    meta: Array,
    core: Array,
    i: int,
    t: float,
    T: float,
    rho: float,
    rho_V: float,
    rho_L: float,
    p_V: float,
    p_L: float,
    q: float,
) -> float:
    if meta[T_MATCH] < T:
        p = _bridge_pressure(meta, core, i, t, T, rho, rho_V, rho_L, p_V, p_L)
    else:
        p = p_L + q * (p_V - p_L)
    width = meta[SOFTENING] * rho_L
    d = rho - rho_L
    if width > 0.0 and d > -SOFT_REACH * width:
        fade = d / (SOFT_REACH * width)
        p += _liquid_rise(meta, core, i, t, d, rho_L) * (1.0 - fade * fade)
    return p


@door
def state(
    fl: FluidTables, rho: float, u: float, T_guess: float
) -> tuple[float, float, float, float, float, float, float, float, float, float]:
    """``state_beside`` of refrigerant alone."""
    return state_beside(fl, rho, u, T_guess, 0.0)


@compiled
def state_beside(
    fl: FluidTables, rho: float, u: float, T_guess: float, beside: float
) -> tuple[float, float, float, float, float, float, float, float, float, float]:
    """Everything a node needs at density (kg/m3) and internal energy (J/kg).

    Returns p, T, q, void, rho_L, rho_V, h_L, h_V, h, rho_sat_liquid. q = (h - h_L)/(h_V - h_L) with saturation at the node's own temperature: 0..1 between the lines,
    close to 0 in liquid, 1 or a little more in vapour. ``beside`` is the heat capacity, J/K a kg of refrigerant, of something that shares its temperature and whose energy, counted from T_BESIDE, is
    part of u. void is the volume share of vapour, 0..1. In a single phase its own density and enthalpy stand in that
    phase's slots. From T_MATCH upward "rho_L" and "rho_V" are only the frozen ends of the bridge.
    """
    if not rho > RHO_FLOOR:
        rho = RHO_FLOOR
    meta, core = fl.meta, fl.core
    T = _temperature(meta, core, rho, u, T_guess, beside)
    u -= beside * (T - T_BESIDE)
    i, t = locate(meta, T)
    rho_L = spline_value(core, i, RHO_L, t)
    rho_V = exp(spline_value(core, i, LN_RHO_V, t))
    p_L, p_V = (
        exp(spline_value(core, i, LN_P_BUBBLE, t)),
        exp(spline_value(core, i, LN_P_DEW, t)),
    )
    h_L = spline_value(core, i, U_L, t) + p_L / rho_L
    h_V = spline_value(core, i, U_V, t) + p_V / rho_V
    if rho >= rho_L:
        p = p_L + _liquid_rise(meta, core, i, t, rho - rho_L, rho_L)
        h = u + p / rho
        return p, T, (h - h_L) / (h_V - h_L), 0.0, rho, rho_V, h, h_V, h, rho_L
    if rho <= rho_V:
        p = _vapour_pressure(meta, core, i, t, T, rho, rho_V, p_V)
        h = u + p / rho
        return p, T, (h - h_L) / (h_V - h_L), 1.0, rho_L, rho, h_L, h, h, rho_L
    v_L, v_V = 1.0 / rho_L, 1.0 / rho_V
    q = (1.0 / rho - v_L) / (v_V - v_L)
    p = _mixed_pressure(meta, core, i, t, T, rho, rho_V, rho_L, p_V, p_L, q)
    return p, T, q, q * v_V * rho, rho_L, rho_V, h_L, h_V, u + p / rho, rho_L


@door
def dew_pressure(fl: FluidTables, T: float) -> float:
    """Pressure (Pa) of saturated vapour at T."""
    i, t = locate(fl.meta, T)
    return exp(spline_value(fl.core, i, LN_P_DEW, t))


@door
def bubble_pressure(fl: FluidTables, T: float) -> float:
    """Pressure (Pa) of saturated liquid at T."""
    i, t = locate(fl.meta, T)
    return exp(spline_value(fl.core, i, LN_P_BUBBLE, t))


@door
def saturation(fl: FluidTables, p: float, out: Vector) -> None:
    """Fill out[0..13] (SAT_... names) with the saturation line at p, taken as the mean of bubble and dew pressure."""
    i, t = locate_pressure(fl.sat_meta, p)
    for q in range(N_SAT):
        out[q] = spline_value(fl.sat, i, q, t)
    out[SAT_RHOV] = exp(out[SAT_RHOV])


@compiled
def saturated_enthalpies(fl: FluidTables, p: float) -> tuple[float, float]:
    """Enthalpy of saturated liquid and vapour at p, J/kg."""
    i, t = locate_pressure(fl.sat_meta, p)
    return spline_value(fl.sat, i, SAT_HL, t), spline_value(fl.sat, i, SAT_HV, t)

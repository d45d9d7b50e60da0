"""Refrigerant film coefficient on the inside of a smooth tube, from subcooled liquid through two-phase flow to superheated vapour.

Symbols: G mass flux kg/m2s, d bore m, q heat flux W/m2, x generalised quality (h - hL)/(hV - hL), pr reduced pressure, subscripts L and V
saturated liquid and vapour, Re_LO = G d / muL (all flow taken as liquid), h_LO = 0.023 Re_LO^0.8 PrL^0.4 kL / d (Dittus and Boelter).

Boiling: Gungor and Winterton, "Simplified general correlation for saturated flow boiling", Chem. Eng. Res. Des. 65 (1987) 148-156:
    h = h_LO [ (1 - x)^0.8 (1 + 3000 Bo^0.86) + 1.12 x^0.75 (1 - x)^0.05 (rhoL/rhoV)^0.41 ] E,     Bo = q / (G hfg)
    E = Fr^(0.1 - 2 Fr) in a horizontal tube with Fr = G^2 / (rhoL^2 g d) < 0.05, else 1
  chosen because quality enters through two fixed shapes, so the costly powers of the flow are taken once a cell and not at every quality.
  From x = 0.85 to 1 the wall dries out and the coefficient goes over into that of the vapour.
Condensing: Shah, "An improved and extended general correlation for heat transfer during condensation in plain tubes", HVAC&R Research 15
(2009) 889-913 (the 1979 relation times a viscosity ratio, plus the gravity-drained film at low vapour speed):
    h_I  = h_LO (muL / (14 muV))^(0.0058 + 0.557 pr) [ (1 - x)^0.8 + 3.8 x^0.76 (1 - x)^0.04 / pr^0.38 ]
    h_Nu = 1.32 (Re_LO (1 - x))^(-1/3) [ rhoL (rhoL - rhoV) g kL^3 / muL^2 ]^(1/3)
    h = h_I when Jg >= 0.98 (Z + 0.263)^-0.62, else h_I + h_Nu;   Jg = x G / sqrt(g d rhoV (rhoL - rhoV)),  Z = (1/x - 1)^0.8 pr^0.4
  The regime is read at x = 0.5 for the whole tube and blended over 0.8 to 1.2 of the limit, so that it does not switch inside a cell.
Single phase: laminar Nu = 3.66 up to Re 2300, Gnielinski (1976) from Re 4000, blended between (Gnielinski, Int. J. Heat Mass Transfer 63
(2013) 134-140, blends linearly; a smoothstep has no kinks).

Range: bore 3 to 20 mm, G up to 800 kg/m2s, pr 0.01 to 0.9. Below Re_LO = 350 (Shah's lower limit) a natural-convection floor takes over.
Boiling and condensing are mixed by ``boiling_weight`` (1 boiling, 0 condensing), so a wall that crosses the saturation temperature meets no jump.
"""

from __future__ import annotations

from math import exp, log, log10, sqrt

import numpy as np
from numpy.typing import NDArray

from sim.compiled import compiled
from sim.smooth import smoothstep

Array = NDArray[np.float64]

GRAVITY_M_S2 = 9.80665  # ISO 80000-3, standard acceleration of free fall
# fully developed laminar flow, constant wall temperature: any text, e.g. Incropera & DeWitt eq. 8.55
NU_LAMINAR = 3.66
# guess: Churchill-Chu for a 8 mm cylinder and 5 K in R134a gives 9 (vapour) to 29 (liquid); the lower is kept since the core stratifies
NU_NATURAL = 9.0
# Shah (2009): lower limit of Re_LO in the data; below it the natural floor takes over
RE_NATURAL = 350.0
# guess: keeps Bo and Re^(-1/3) finite at rest; a hundredth of the running mass flux of a small coil
MASS_FLUX_FLOOR_KG_M2S = 0.5
# guess: keeps Bo^0.86 differentiable at zero flux; a hundredth of the running heat flux
FLUX_FLOOR_W_M2 = 50.0
# guess: holds E at 0.5 when the flow stops, a tube wetted to about half its perimeter
FROUDE_FLOOR = 1e-3

# guess: half-width in quality over which liquid goes over into two-phase flow; about 3 K of subcooling
ONSET = 0.03
# common practice: dry-out begins at 0.8 to 0.9 in smooth tubes at moderate flux
DRY_OUT_START = 0.85
DRY_OUT_END = 1.0  # the wall is dry when the flow is saturated vapour
# guess: a wall below saturation already condenses from vapour superheated by some 8 K; half-width of the change-over
DESUPERHEAT = 0.05

# range and grid of quality: just beyond the two change-overs; ten intervals or more across each
_LOW, _HIGH, _STEP = -0.04, 1.06, 0.01


def _smoothstep(x: Array) -> Array:
    t = np.clip(x, 0.0, 1.0)
    return t * t * (3.0 - 2.0 * t)


def shapes(x: Array) -> Array:
    """The eight shapes over quality, in the order in which ``at`` reads them; the published powers with rounded corners.

    0 liquid; boiling: 1 vapour, 2 (1-x)^0.8, 3 x^0.75 (1-x)^0.05; condensing: 4 vapour, 5 (1-x)^0.8, 6 x^0.76 (1-x)^0.04, 7 (1-x)^(-1/3).
    """
    wet = _smoothstep((x + ONSET) / (2 * ONSET))
    boil = 1.0 - _smoothstep((x - DRY_OUT_START) / (DRY_OUT_END - DRY_OUT_START))
    cond = 1.0 - _smoothstep((x - 1.0 + DESUPERHEAT) / (2 * DESUPERHEAT))
    up = 0.5 * (x + np.sqrt(x * x + 1e-4))  # x, but never below zero and smooth there
    y = 1.0 - x
    down = 0.5 * (y + np.sqrt(y * y + 1e-4))
    film = 0.5 * (y + np.sqrt(y * y + 4e-3))  # wider: the thinning film must stay finite
    return np.stack(
        [
            1.0 - wet,
            wet * (1.0 - boil),
            wet * boil * down**0.8,
            wet * boil * up**0.75 * down**0.05,
            wet * (1.0 - cond),
            wet * cond * down**0.8,
            wet * cond * up**0.76 * down**0.04,
            wet * cond * film ** (-1.0 / 3.0),
        ]
    )


def _tabulate() -> Array:
    """Cubic Hermite coefficients [interval, shape, power] of the shapes on a uniform grid of quality."""
    knots: Array = _LOW + _STEP * np.arange(round((_HIGH - _LOW) / _STEP) + 1, dtype=np.float64)
    value = shapes(knots)
    slope = (shapes(knots + 1e-5) - shapes(knots - 1e-5)) / 2e-5 * _STEP
    v0, v1, s0, s1 = value[:, :-1], value[:, 1:], slope[:, :-1], slope[:, 1:]
    cubic = np.stack([v0, s0, 3 * (v1 - v0) - 2 * s0 - s1, 2 * (v0 - v1) + s0 + s1])
    return np.ascontiguousarray(cubic.transpose(2, 1, 0))


_TABLE = _tabulate()
_LAST = len(_TABLE) - 1


@compiled
def dittus_boelter(re: float, pr: float) -> float:
    """Nusselt number of turbulent flow being heated: 0.023 Re^0.8 Pr^0.4 (Dittus and Boelter 1930 in McAdams' form)."""
    return 0.023 * exp(0.8 * log(re) + 0.4 * log(pr))


@compiled
def gnielinski(re: float, pr: float, friction: float) -> float:
    """Nusselt number (f/8)(Re-1000)Pr / (1 + 12.7 sqrt(f/8) (Pr^(2/3)-1)), f Darcy (Gnielinski 1976), Re above 2300."""
    f8 = friction / 8.0
    return f8 * (re - 1000.0) * pr / (1.0 + 12.7 * sqrt(f8) * (exp(log(pr) * (2.0 / 3.0)) - 1.0))


@compiled
def filonenko(re: float) -> float:
    """Darcy friction factor of a smooth tube, (1.82 log10 Re - 1.64)^-2 (Filonenko 1954), as Gnielinski prescribes; Re above 2300."""
    root = 1.82 * log10(re) - 1.64
    return 1.0 / (root * root)


@compiled
def natural_nusselt(re: float) -> float:
    """Nusselt number of natural convection inside the tube, fading as forced flow sets in."""
    ratio = re / RE_NATURAL
    return NU_NATURAL / (1.0 + ratio * ratio)


@compiled
def nusselt_single_phase(re: float, pr: float) -> float:
    """Nusselt number of one phase in a smooth tube at any Reynolds number, with a natural-convection floor; smooth in both."""
    still = natural_nusselt(re)
    slow = sqrt(sqrt(NU_LAMINAR**4 + still**4))
    if re <= 2300.0:
        return slow
    fast = gnielinski(re, pr, filonenko(re))
    share = smoothstep((re - 2300.0) / 1700.0)
    return slow + share * (fast - slow)


@compiled
def stratified_factor(g_flux: float, bore_m: float, rho_l: float) -> float:
    """Gungor and Winterton's E = Fr^(0.1 - 2 Fr) below Fr = 0.05, 1 above, with the corner rounded."""
    fr = g_flux * g_flux / (rho_l * rho_l * GRAVITY_M_S2 * bore_m)
    power = 0.1 - 2.0 * fr
    if power < -0.05:
        return 1.0
    power = 0.5 * (power + sqrt(power * power + 1e-4))
    return exp(power * log(sqrt(fr * fr + FROUDE_FLOOR * FROUDE_FLOOR)))


@compiled
def gravity_film_share(
    g_flux: float, bore_m: float, p_reduced: float, rho_l: float, rho_v: float
) -> float:
    """1 where condensate drains by gravity (Shah's regime II), 0 where the vapour drags it (regime I), read at x = 0.5."""
    speed = 0.5 * g_flux / sqrt(GRAVITY_M_S2 * bore_m * rho_v * max(rho_l - rho_v, 1.0))
    if speed < 0.67:  # the limit is never below 0.98 * 1.263^-0.62 = 0.848
        return 1.0
    limit = 0.98 * exp(-0.62 * log(p_reduced**0.4 + 0.263))
    return 1.0 - smoothstep((speed / limit - 0.8) / 0.4)


@compiled
def boiling_pair(
    g_flux: float, q: float, bore_m: float, rho_l: float, rho_v: float, hfg: float, h_lo: float
) -> tuple[float, float]:
    """Factors of (1-x)^0.8 and of x^0.75 (1-x)^0.05 in Gungor and Winterton's relation, W/m2K."""
    boiling = 3000.0 * exp(0.86 * log(q / (g_flux * hfg)))
    wetted = h_lo * stratified_factor(g_flux, bore_m, rho_l)
    return wetted * (1.0 + boiling), wetted * 1.12 * exp(0.41 * log(rho_l / rho_v))


@compiled
def condensing_triple(
    g_flux: float,
    bore_m: float,
    p_reduced: float,
    rho_l: float,
    rho_v: float,
    mu_l: float,
    mu_v: float,
    k_l: float,
    h_lo: float,
) -> tuple[float, float, float]:
    """Factors of (1-x)^0.8, of x^0.76 (1-x)^0.04 and of (1-x)^(-1/3) in Shah's relation, W/m2K."""
    log_pr = log(p_reduced)
    h_1 = h_lo * exp((0.0058 + 0.557 * p_reduced) * log(mu_l / (14.0 * mu_v)))
    re = sqrt((g_flux * bore_m / mu_l) ** 2 + RE_NATURAL * RE_NATURAL)
    drain = rho_l * max(rho_l - rho_v, 1.0) * GRAVITY_M_S2 * k_l**3 / (mu_l * mu_l * re)
    share = gravity_film_share(g_flux, bore_m, p_reduced, rho_l, rho_v)
    return h_1, h_1 * 3.8 * exp(-0.38 * log_pr), share * 1.32 * exp(log(drain) / 3.0)


@compiled
def prepare(
    g_flux_kg_m2s: float,
    flux_w_m2: float,
    bore_m: float,
    p_reduced: float,
    rho_l: float,
    rho_v: float,
    mu_l: float,
    mu_v: float,
    k_l: float,
    k_v: float,
    cp_l: float,
    cp_v: float,
    hfg: float,
    boiling_weight: float,
) -> tuple[float, float, float, float, float, float]:
    """The coefficients of one coil cell for ``at``: (h_liquid, h_vapour, c_a, c_b, c_c, boiling_weight), all but the last in W/m2K.

    ``flux_w_m2`` is positive into the refrigerant; the sign of the flow does not matter. SI units throughout. ``boiling_weight`` follows the
    wall against saturation (a wall above it never condenses, even when it cools superheated vapour), not the sign of the heat.
    """
    g_flux = sqrt(g_flux_kg_m2s * g_flux_kg_m2s + MASS_FLUX_FLOOR_KG_M2S * MASS_FLUX_FLOOR_KG_M2S)
    pr = min(max(p_reduced, 1e-3), 0.99)
    true_flux = abs(g_flux_kg_m2s)
    pr_l = mu_l * cp_l / k_l
    h_liquid = nusselt_single_phase(true_flux * bore_m / mu_l, pr_l) * k_l / bore_m
    h_vapour = nusselt_single_phase(true_flux * bore_m / mu_v, mu_v * cp_v / k_v) * k_v / bore_m
    h_lo = dittus_boelter(g_flux * bore_m / mu_l, pr_l) * k_l / bore_m
    w = boiling_weight
    c_a, c_b, c_c = 0.0, 0.0, 0.0
    if w > 0.0:
        q = sqrt(flux_w_m2 * flux_w_m2 + FLUX_FLOOR_W_M2 * FLUX_FLOOR_W_M2)
        a, b = boiling_pair(g_flux, q, bore_m, rho_l, rho_v, max(hfg, 1e3), h_lo)
        c_a, c_b = w * a, w * b
    if w < 1.0:
        a, b, c = condensing_triple(g_flux, bore_m, pr, rho_l, rho_v, mu_l, mu_v, k_l, h_lo)
        c_a += (1.0 - w) * a
        c_b += (1.0 - w) * b
        c_c = (1.0 - w) * c
    still = natural_nusselt(true_flux * bore_m / mu_l) * k_l / bore_m
    c_a = sqrt(sqrt(c_a**4 + still**4))
    return h_liquid, h_vapour, c_a, c_b, c_c, w


@compiled
def at(
    x: float,
    h_liquid: float,
    h_vapour: float,
    c_a: float,
    c_b: float,
    c_c: float,
    boiling_weight: float,
) -> float:
    """Film coefficient in W/m2K at generalised quality ``x`` with the six numbers from ``prepare``; smooth in x."""
    if x <= _LOW:
        return h_liquid
    if x >= _HIGH:
        return h_vapour
    s = (x - _LOW) * (1.0 / _STEP)
    k = min(int(s), _LAST)
    t = s - k
    r = _TABLE[k]
    w = boiling_weight
    u = 1.0 - w
    c0 = h_liquid * r[0, 0]
    c1 = h_liquid * r[0, 1]
    c2 = h_liquid * r[0, 2]
    c3 = h_liquid * r[0, 3]
    if w > 0.0:
        v, a, b = w * h_vapour, w * c_a, w * c_b
        c0 += v * r[1, 0] + a * r[2, 0] + b * r[3, 0]
        c1 += v * r[1, 1] + a * r[2, 1] + b * r[3, 1]
        c2 += v * r[1, 2] + a * r[2, 2] + b * r[3, 2]
        c3 += v * r[1, 3] + a * r[2, 3] + b * r[3, 3]
    if u > 0.0:
        v, a, b, c = u * h_vapour, u * c_a, u * c_b, c_c
        c0 += v * r[4, 0] + a * r[5, 0] + b * r[6, 0] + c * r[7, 0]
        c1 += v * r[4, 1] + a * r[5, 1] + b * r[6, 1] + c * r[7, 1]
        c2 += v * r[4, 2] + a * r[5, 2] + b * r[6, 2] + c * r[7, 2]
        c3 += v * r[4, 3] + a * r[5, 3] + b * r[6, 3] + c * r[7, 3]
    return float(c0 + t * (c1 + t * (c2 + t * c3)))

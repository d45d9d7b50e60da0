"""Pressure drop by friction in tubes: single phase, two-phase, and the linear resistance of a coil at its nominal flow.

Single phase: Churchill, "Friction-factor equation spans all fluid-flow regimes", Chem. Eng. 84 (24) (1977) 91-92; Darcy factor, any Re:
    f = 8 [ (8/Re)^12 + (A + B)^-1.5 ]^(1/12),  A = { 2.457 ln 1/[ (7/Re)^0.9 + 0.27 e/d ] }^16,  B = (37530/Re)^16
Two-phase: Muller-Steinhagen and Heck, Chem. Eng. Process. 20 (1986) 297-308, a curve between all-liquid (x = 0) and all-vapour (x = 1):
    dp/dz = [ a + 2 (b - a) x ] (1 - x)^(1/3) + b x^3
    a, b = f G^2 / (2 rho d) with all flow as liquid, as vapour;  f = 64/Re up to Re 1187, else 0.3164 Re^-0.25
Coil: the kernel takes pressure drop linear in flow, because the square law has no slope at rest. ``coil_slope`` gives the drop of the published
relation at the nominal flow divided by that flow, so both agree there; return bends count as 50 bores of tube each.
Range: smooth round tubes; quality 0 to 1; the momentum change of evaporation is left out (about a tenth of the drop in small coils).
"""

from __future__ import annotations

from math import log, pi, sqrt

from sim.compiled import compiled
from sim.doors import door

GRAVITY_M_S2 = 9.80665  # ISO 80000-3, standard acceleration of free fall
# Crane Technical Paper 410, close-pattern return bend: equivalent length over bore
RETURN_BEND_BORES = 50.0
RE_BLASIUS = 1187.0  # Muller-Steinhagen & Heck (1986): where 64/Re meets 0.3164 Re^-0.25


@compiled
def churchill(re: float, relative_roughness: float) -> float:
    """Darcy friction factor at any Reynolds number above zero (Churchill 1977)."""
    base = (7.0 / re) ** 0.9 + 0.27 * relative_roughness
    a = (2.457 * log(1.0 / base)) ** 16 if base < 1.0 else 0.0
    b = (37530.0 / re) ** 16
    return float(8.0 * ((8.0 / re) ** 12 + (a + b) ** -1.5) ** (1.0 / 12.0))


@compiled
def _gradient_alone(g_flux: float, bore_m: float, rho: float, mu: float) -> float:
    re = g_flux * bore_m / mu
    friction = 64.0 / re if re < RE_BLASIUS else 0.3164 / sqrt(sqrt(re))
    return friction * g_flux * g_flux / (2.0 * rho * bore_m)


@door
def muller_steinhagen_heck(
    g_flux_kg_m2s: float,
    quality: float,
    bore_m: float,
    rho_l: float,
    rho_v: float,
    mu_l: float,
    mu_v: float,
) -> float:
    """Two-phase frictional pressure gradient in Pa/m for a mass flux above zero and a quality from 0 to 1."""
    a = _gradient_alone(g_flux_kg_m2s, bore_m, rho_l, mu_l)
    b = _gradient_alone(g_flux_kg_m2s, bore_m, rho_v, mu_v)
    x = min(max(quality, 0.0), 1.0)
    return float((a + 2.0 * (b - a) * x) * (1.0 - x) ** (1.0 / 3.0) + b * x**3)


def mean_gradient(
    g_flux_kg_m2s: float,
    bore_m: float,
    quality_in: float,
    quality_out: float,
    rho_l: float,
    rho_v: float,
    mu_l: float,
    mu_v: float,
) -> float:
    """Mean of the two-phase gradient in Pa/m while quality runs evenly from one end to the other (midpoint rule)."""
    steps = 50
    total = 0.0
    for k in range(steps):
        x = quality_in + (quality_out - quality_in) * (k + 0.5) / steps
        total += muller_steinhagen_heck(g_flux_kg_m2s, x, bore_m, rho_l, rho_v, mu_l, mu_v)
    return total / steps


def coil_slope(
    nominal_flow_kg_s: float,
    bore_m: float,
    length_m: float,
    bends: float,
    quality_in: float,
    quality_out: float,
    rho_l: float,
    rho_v: float,
    mu_l: float,
    mu_v: float,
) -> float:
    """Pressure drop over flow in Pa per kg/s of a whole coil, from the published relation at its nominal flow."""
    g_flux = nominal_flow_kg_s / (pi / 4.0 * bore_m**2)
    length = length_m + bends * RETURN_BEND_BORES * bore_m
    gradient = mean_gradient(g_flux, bore_m, quality_in, quality_out, rho_l, rho_v, mu_l, mu_v)
    return gradient * length / nominal_flow_kg_s


@compiled
def static_head_pa(rho: float, height_m: float) -> float:
    """Pressure under a column of fluid of the given height."""
    return rho * GRAVITY_M_S2 * height_m

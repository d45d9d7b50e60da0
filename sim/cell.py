"""One coil cell: what leaves it and how much heat it takes, reconstructed from its own state and the flow through it.

A first-order upwind cell puts the whole cell at its outlet state; six such cells miss a condenser's charge by half. Here the quality is taken
linear along the cell, which makes the scheme second order in steady state while the stored state stays the only memory, so nothing rings.

With x the flow quality generalised beyond the phase lines (x = (h-hL)/(hV-hL)), slip ratio S, c = S rhoV/rhoL and z = c + (1-c) x:

* void fraction a = (1 - c/z)/(1-c); with x linear over the cell the mean void is the mean of 1/z, hence the stored mass gives
  zbar = c/(1-(1-c) abar), and with half-change d of z the value at the centre is z_c = d coth(d/zbar): exact, and z_c - d > 0 always;
* half-change of x from the energy balance: d_x = Q m/(m^2+eps^2)/(2 hfg), bounded softly, Q the cell's wall heat, m the through-flow;
* beyond a phase line, and beyond the cell's own mean once it is single phase, the outlet cannot pass the wall's temperature:
  the excess e becomes e room/sqrt(e^2+room^2);
* wall heat from four Gauss points over the cell, the local wall temperature eliminated with one common storage rate; a boiling cell spends
  equal lengths on equal steps of quality, a condensing one lengths in proportion to the resistance to heat.

Source: own derivation; the void relation is Zivi, J. Heat Transfer 86 (1964) 247-252, with S = (rhoL/rhoV)^(1/3) (homogeneous when the
exponent is 0). Range: any flow, either direction, any phase; needs at least 6 cells a coil (4 hunt on a thermostatic valve).
"""

from __future__ import annotations

from math import sqrt, tanh

import numpy as np
from numpy.typing import NDArray

from sim import film
from sim.columns import (
    P_C,
    P_CPL,
    P_CPV,
    P_FA,
    P_FB,
    P_FC,
    P_FL,
    P_FV,
    P_FW,
    P_HEAT,
    P_HFG,
    P_HLS,
    P_RHOL,
    P_RHOSAT,
    P_RHOV,
    P_T,
    P_TA,
    P_TS,
    P_UA,
    P_VC,
    P_VOID,
    P_Z,
)
from sim.compiled import compiled

Row = NDArray[np.float64]

# Gauss-Legendre, four points on [-1, 1], weights halved (Abramowitz & Stegun, table 25.4)
GAUSS_OUTER = 0.8611363115940526
GAUSS_INNER = 0.3399810435848563
WEIGHT_OUTER = 0.17392742256872693
WEIGHT_INNER = 0.32607257743127307
SOFT_BOUND = 1.5  # guess: keeps |d_x| below 0.82, so that one cell never spans the whole dome


@compiled
def half_change(heat: float, flow: float, latent: float, eps: float) -> float:
    """Half the change of quality across a cell that takes ``heat`` (W) at ``flow`` (kg/s); softly bounded."""
    d = 0.5 * heat * flow / (flow * flow + eps * eps) / latent
    return d / sqrt(1.0 + SOFT_BOUND * d * d)


@compiled
def centre(z: float, c: float, d: float) -> float:
    """z at the cell's centre from its stored mean z and the half-change d of z; fades out below c (liquid)."""
    base = max(z, c)
    a = abs(d) / base
    rise = base * a * a / 3.0 if a < 1e-3 else abs(d) / tanh(a) - base
    if z < c:
        rise *= max(z / c, 0.0)
    return z + rise


@compiled
def centre_quality(P: Row, d: float) -> float:
    """Generalised quality at the centre of a cell whose quality changes by 2 d."""
    c = P[P_C]
    return (centre(P[P_Z], c, d * (1.0 - c)) - c) / (1.0 - c)


@compiled
def temperature_at(P: Row, x: float, x_mean: float, offset: float) -> float:
    """Refrigerant temperature where the quality is x, in a cell whose stored mean is x_mean."""
    if x > 1.0:
        return P[P_TS] + (x - 1.0) * P[P_HFG] / P[P_CPV] + (offset if x_mean > 1.0 else 0.0)
    if x < 0.0:
        return P[P_TS] + x * P[P_HFG] / P[P_CPL] + (offset if x_mean < 0.0 else 0.0)
    return P[P_TS]


@compiled
def wall_heat(P: Row, area: float, wall_t: float, flow: float, eps: float) -> float:
    """Heat from a coil wall into its cell, W. Reads the film columns, P_UA and P_TA of the row."""
    c = P[P_C]
    ua = P[P_UA]
    air_t = P[P_TA]
    x0 = (P[P_Z] - c) / (1.0 - c)
    offset = (
        0.0  # the stored temperature against the constant-cp one, where the cell is single phase
    )
    if x0 > 1.0:
        offset = P[P_T] - (P[P_TS] + (x0 - 1.0) * P[P_HFG] / P[P_CPV])
    elif x0 < 0.0:
        offset = P[P_T] - (P[P_TS] + x0 * P[P_HFG] / P[P_CPL])
    d = half_change(ua * (air_t - wall_t), flow, P[P_HFG], eps)
    xc = centre_quality(P, d)
    # equal steps of quality take equal lengths where it boils; where it condenses, lengths in proportion to the resistance to heat
    boils = P[P_FW]
    length = 0.0
    s = 0.0
    t = 0.0
    for k in range(4):
        node = GAUSS_OUTER if (k == 0 or k == 3) else GAUSS_INNER
        weight = WEIGHT_OUTER if (k == 0 or k == 3) else WEIGHT_INNER
        x = xc + (d * node if k > 1 else -d * node)
        ha = area * film.at(x, P[P_FL], P[P_FV], P[P_FA], P[P_FB], P[P_FC], P[P_FW])
        temperature = temperature_at(P, x, x0, offset)
        weight *= boils + (1.0 - boils) * (1.0 + ua / ha)
        length += weight
        s += weight / (ua + ha)
        t += weight * (ua * air_t + ha * temperature) / (ua + ha)
    s /= length
    t /= length
    return ua * (air_t - wall_t) - (t - wall_t) / s


@compiled
def outlet_enthalpy(P: Row, flow: float, wall_t: float, eps: float) -> float:
    """Specific enthalpy (J/kg) of the flow (>= 0) that leaves a cell."""
    c = P[P_C]
    latent = P[P_HFG]
    d = half_change(P[P_HEAT], flow, latent, eps)
    x0 = (P[P_Z] - c) / (1.0 - c)
    x = centre_quality(P, d) + d
    if d > 0.0:
        line = x0 if x0 > 1.0 else 1.0
        if x > line:
            begin = P[P_T] if x0 > 1.0 else P[P_TS]
            room = P[P_CPV] * (max(wall_t, P[P_TA]) - begin) / latent
            excess = x - line
            x = line + (excess * room / sqrt(excess * excess + room * room) if room > 0.0 else 0.0)
    else:
        line = x0 if x0 < 0.0 else 0.0
        if x < line:
            begin = P[P_T] if x0 < 0.0 else P[P_TS]
            room = P[P_CPL] * (begin - min(wall_t, P[P_TA])) / latent
            excess = line - x
            x = line - (excess * room / sqrt(excess * excess + room * room) if room > 0.0 else 0.0)
    return P[P_HLS] + x * latent


@compiled
def outlet_volume(P: Row, flow: float, eps: float) -> float:
    """Specific volume (m3/kg) of the flow that leaves a cell at the filtered through-flow."""
    if P[P_RHOL] == P[P_RHOV]:
        return P[P_VC]
    d = half_change(P[P_HEAT], flow, P[P_HFG], eps)
    c = P[P_C]
    x0 = (P[P_Z] - c) / (1.0 - c)
    x = centre_quality(P, d) + d
    v_liquid = 1.0 / P[P_RHOSAT] if P[P_VOID] > 0.0 else 1.0 / P[P_RHOL]
    if x <= 0.0:
        return v_liquid
    if x0 >= 1.0:
        return P[P_VC]
    return v_liquid + x * (1.0 / P[P_RHOV] - v_liquid)

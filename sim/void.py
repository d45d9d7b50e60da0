"""How fast vapour runs ahead of liquid, and so how much of a tube it fills.

Slip ratio S = vapour speed over liquid speed. Zivi, J. Heat Transfer 86 (1964) 247-252, least kinetic energy flow: S = (rhoL/rhoV)^(1/3).
Homogeneous flow: S = 1. Void fraction: alpha = 1 / (1 + S (1 - x)/x rhoV/rhoL).
``slip_exponent`` 1/3 is Zivi, 0 homogeneous. Range: quality 0 to 1, below the critical point; S tends to 1 there as the densities meet.
"""

from __future__ import annotations

from math import exp, log

from sim.compiled import compiled

ZIVI_EXPONENT = 1.0 / 3.0  # Zivi (1964) eq. 8, annular flow without entrainment
HOMOGENEOUS_EXPONENT = 0.0  # both phases at one speed


@compiled
def slip_ratio(rho_l: float, rho_v: float, slip_exponent: float) -> float:
    """Vapour speed over liquid speed."""
    return exp(slip_exponent * log(rho_l / rho_v))


@compiled
def void_fraction(quality: float, rho_l: float, rho_v: float, slip_exponent: float) -> float:
    """Share of the tube's cross-section that is vapour at flow quality 0 to 1."""
    liquid = slip_ratio(rho_l, rho_v, slip_exponent) * (1.0 - quality) * rho_v
    vapour = quality * rho_l
    return vapour / (vapour + liquid)


@compiled
def flow_quality(void: float, rho_l: float, rho_v: float, slip_exponent: float) -> float:
    """The inverse of ``void_fraction``: quality of the flow through a section of the given void fraction 0 to 1."""
    vapour = void * rho_v * slip_ratio(rho_l, rho_v, slip_exponent)
    return vapour / (vapour + (1.0 - void) * rho_l)

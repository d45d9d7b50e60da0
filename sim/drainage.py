"""What gravity exchanges through a passage that runs downhill: liquid runs down, and as much vapour, by volume, rises in its place.

With s the section and d the bore, a_u and a_l the vapour shares above and below, a = a_l (1 - a_u), m the flow that pressure drives (m_f what floods the passage):

    q = 0.42 0.54 s sqrt(g d (rho_l - rho_v)/rho_l) a r(a) exp(-(m/m_f)^4),   m3/s of either
    m_f = C^2 s sqrt(g d (rho_l - rho_v) rho_v),   C = 0.7

A bubble that empties a level tube of resting liquid runs at 0.54 sqrt(g d) (Bendiksen, Int. J. Multiphase Flow 10 (1984) 467) and fills 0.42 of it (Benjamin, J. Fluid
Mech. 31 (1968) 209), both from memory. That lies just below Wallis' line for two streams against each other, sqrt(j_v*) + sqrt(j_l*) = C (1969, One-dimensional
Two-phase Flow, eq. 11.96, from memory), which gives m_f where no liquid comes down. m is taken whole: a wet stream uphill hinders more here than its vapour alone
would. What streams downhill has its slip in what it carries (``sim.void``), so that gravity has no say of its own from a quarter of m_f on. r rounds the law where
liquid above or vapour below runs out: a guess, as thin films and few bubbles move more slowly than plugs.
"""

from __future__ import annotations

from math import exp, sqrt

import numpy as np
from numpy.typing import NDArray

from sim.columns import P_HL, P_HV, P_RHOL, P_RHOV, P_T, P_VOID
from sim.compiled import compiled
from sim.gas import carried, gas_enthalpy
from sim.smooth import smoothstep

Row = NDArray[np.float64]

GRAVITY = 9.80665  # m/s2, standard gravity (ISO 80000-3)
BUBBLE_SPEED = 0.54  # of sqrt(g d): long bubble, level tube (Bendiksen 1984, from memory)
BUBBLE_SECTION = 0.42  # share of the section that it fills (Benjamin 1968, from memory)
PLUGS = 0.25  # guess: share of the section from which both move as plugs do
FLOODING = 0.49  # C^2, C = 0.7 (Wallis 1969, eq. 11.96, from memory)
DOWNHILL = 4.0  # guess: with the stream gravity's own share ends at a quarter of the flow that stops it against the stream
FASTEST = 5.0  # times m_f: beyond it nothing is exchanged (exp(-625))


def fall(section_m2: float, bore_m: float) -> float:
    """s sqrt(g d), m3/s: the number that a passage keeps."""
    return section_m2 * sqrt(GRAVITY * bore_m)


@compiled
def drained(
    upper: Row, lower: Row, vapour_below: float, fall: float, m: float
) -> tuple[float, float, float]:
    """(kg/s, W, kg/s of it gas) that gravity moves downhill.

    upper, lower: rows of the two ends; vapour_below: vapour share of what the lower end offers; fall: of the passage, above 0; m: flow that pressure drives, positive downhill.
    """
    heavy = upper[P_RHOL] - lower[P_RHOV]
    share = (1.0 - upper[P_VOID]) * vapour_below
    if share <= 0.0 or heavy <= 0.0:
        return 0.0, 0.0, 0.0
    speed = m / (FLOODING * fall * sqrt(heavy * lower[P_RHOV]))
    if m > 0.0:
        speed *= DOWNHILL
    if abs(speed) > FASTEST:
        return 0.0, 0.0, 0.0
    plug = BUBBLE_SECTION * BUBBLE_SPEED * fall * sqrt(heavy / upper[P_RHOL])
    q = plug * share * smoothstep(share / PLUGS) * exp(-(speed**4))
    down, up = q * upper[P_RHOL], q * lower[P_RHOV]
    down_gas = down * carried(upper, upper[P_HL])
    up_gas = up * carried(lower, lower[P_HV])
    energy = down * upper[P_HL] - up * lower[P_HV]
    if down_gas + up_gas > 0.0:
        energy += down_gas * gas_enthalpy(upper[P_T]) - up_gas * gas_enthalpy(lower[P_T])
    return down - up + down_gas - up_gas, energy, down_gas - up_gas

"""What gravity exchanges through a passage that runs downhill: liquid runs down, and as much vapour, by volume, rises in its place.

With s the section and d the bore, a_u and a_l the vapour shares above and below, m the flow that pressure drives (m_f what floods the passage):

    q = s sqrt(g d) 0.54 sqrt((rho_l - rho_v)/rho_l) (a_l (1 - a_u))^2 exp(-(m/m_f)^4),   m3/s of either
    m_f = C^2 s sqrt(g d (rho_l - rho_v) rho_v),   C = 0.7

The speed is that of a long bubble in a nearly level tube of resting liquid, 0.54 sqrt(g d): Bendiksen, Int. J. Multiphase Flow 10 (1984) 467, from memory (0.35 in a
vertical one); it is the drift of vapour at no net volume flow (Zuber and Findlay, J. Heat Transfer 87 (1965) 453). Vapour that streams uphill faster than m_f keeps
the liquid from coming down: flooding, Wallis 1969, One-dimensional Two-phase Flow, eq. 11.96 for no liquid flow, from memory. What streams downhill has its slip in
what it carries (``sim.void``), so that gravity has no say of its own from a quarter of m_f on. The square is a guess: a thin film and few bubbles move more slowly
than plugs do, and the law is smooth where a phase runs out.
Left out: the weight of the column (3 kPa if a condenser were full), and how steep the passage is.
"""

from __future__ import annotations

from math import exp, sqrt

import numpy as np
from numpy.typing import NDArray

from sim.columns import P_HL, P_HV, P_RHOL, P_RHOV, P_T, P_VOID
from sim.compiled import compiled
from sim.gas import carried, gas_enthalpy

Row = NDArray[np.float64]

GRAVITY = 9.80665  # m/s2, standard gravity (ISO 80000-3)
BUBBLE_SPEED = 0.54  # of sqrt(g d): long bubble, level tube (Bendiksen 1984, from memory)
FLOODING = 0.49  # C^2, C = 0.7 (Wallis 1969, eq. 11.96, from memory)
DOWNHILL = 4.0  # guess: with the stream gravity's own share ends at a quarter of the flow that stops it against the stream
FASTEST = 5.0  # times m_f: beyond it nothing is exchanged (exp(-625))


def fall(section_m2: float, bore_m: float) -> float:
    """s sqrt(g d), m3/s: the number that a passage keeps."""
    return section_m2 * sqrt(GRAVITY * bore_m)


@compiled
def drained(
    upper: Row, lower: Row, vapour_below: float, passage: float, m: float
) -> tuple[float, float, float]:
    """(kg/s, W, kg/s of it gas) that gravity moves downhill.

    upper, lower: rows of the two ends; vapour_below: vapour share of what the lower end offers; passage: its ``fall``; m: flow that pressure drives, positive downhill.
    """
    heavy = upper[P_RHOL] - lower[P_RHOV]
    share = (1.0 - upper[P_VOID]) * vapour_below
    if share <= 0.0 or heavy <= 0.0:
        return 0.0, 0.0, 0.0
    speed = m / (FLOODING * passage * sqrt(heavy * lower[P_RHOV]))
    if m > 0.0:
        speed *= DOWNHILL
    if abs(speed) > FASTEST:
        return 0.0, 0.0, 0.0
    q = BUBBLE_SPEED * passage * sqrt(heavy / upper[P_RHOL]) * share * share * exp(-(speed**4))
    down, up = q * upper[P_RHOL], q * lower[P_RHOV]
    down_gas = down * carried(upper, upper[P_HL])
    up_gas = up * carried(lower, lower[P_HV])
    energy = down * upper[P_HL] - up * lower[P_HV]
    if down_gas + up_gas > 0.0:
        energy += down_gas * gas_enthalpy(upper[P_T]) - up_gas * gas_enthalpy(lower[P_T])
    return down - up + down_gas - up_gas, energy, down_gas - up_gas

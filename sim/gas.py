"""A gas in the circuit that does not condense: air. It shares temperature and space with the refrigerant's vapour, and adds its pressure to the vapour's (Dalton).

In a node of volume V with vapour share a, m_g kg of gas at T (ideal, constant specific heat) have
    p_g = m_g R T / V_g,   V_g = V (a + b (1 - a))
where b is the Ostwald coefficient: a volume of liquid holds, dissolved, b times the gas in the same volume of vapour beside it (Henry's law), at once. Everything
about saturation (films, qualities, what condenses at which temperature) goes by the refrigerant's own pressure; flows, gauges, valves and the compressor go by the sum. A stream of x kg vapour a kg refrigerant carries, a kg refrigerant,
    q = (x + (1 - x) b rho_v/rho_l) rho_g/rho_v
of gas: what is in its vapour and what is dissolved in its liquid. Enthalpy and energy count from 0 degC.
Left out: the time and the heat of dissolving, the slower condensation where gas has collected at the wall, and that a compressor's efficiency differs a little between the
two. A compressor is taken to move the same amount of substance whatever it is: mass in proportion to the molar masses.
Source: Dalton's and Henry's laws and the ideal gas; the numbers of dry air are those of ``sim.psychrometrics``.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.columns import (
    P_GAS_P,
    P_GAS_RATIO,
    P_HFG,
    P_HLS,
    P_P,
    P_RHOL,
    P_RHOV,
    P_T,
    P_VOID,
)
from sim.compiled import compiled
from sim.psychrometrics import AIR_GAS_CONSTANT_J_KGK, CP_DRY_AIR_J_KGK, ICE_POINT_K

Row = NDArray[np.float64]

R_GAS = AIR_GAS_CONSTANT_J_KGK
CV_GAS = CP_DRY_AIR_J_KGK - R_GAS  # J/(kg K)
# guess: nothing found for R134a; nitrogen in organic liquids near 25 degC has 0.1 to 0.3 (Battino, Rettich and Tominaga, J. Phys. Chem. Ref. Data 13 (1984) 563, from
# memory). It also keeps the gas's pressure finite where no vapour is left: with a hundredth of it the solver cycles on coil cells that are nearly full.
DISSOLVED = 0.1


@compiled
def gas_enthalpy(t: float) -> float:
    """J/kg of the gas, 0 energy at 0 degC."""
    return CV_GAS * (t - ICE_POINT_K) + R_GAS * t


@compiled
def add_gas(P: Row, volume: float, gas: float) -> None:
    """Put ``gas`` kg into a node whose row holds the refrigerant alone: its pressure on top, and its mass beside a kilogram of vapour."""
    room = volume * (P[P_VOID] + DISSOLVED * (1.0 - P[P_VOID]))
    P[P_GAS_P] = gas * R_GAS * P[P_T] / room
    P[P_GAS_RATIO] = gas / (room * P[P_RHOV])
    P[P_P] += P[P_GAS_P]


@compiled
def carried(P: Row, h: float) -> float:
    """kg of gas that a stream of refrigerant of enthalpy h (J/kg) carries out of a node, a kg of refrigerant."""
    if P[P_GAS_RATIO] == 0.0:
        return 0.0
    x = min(max((h - P[P_HLS]) / P[P_HFG], 0.0), 1.0)
    return float((x + (1.0 - x) * DISSOLVED * P[P_RHOV] / P[P_RHOL]) * P[P_GAS_RATIO])


@compiled
def joined(h: float, q: float, t: float) -> float:
    """Enthalpy (J/kg) of refrigerant of enthalpy h with q kg of gas at t a kg."""
    return (h + q * gas_enthalpy(t)) / (1.0 + q)


@compiled
def gas_share(q: float) -> float:
    """Mass share of gas in a stream with q kg of it a kg of refrigerant."""
    return q / (1.0 + q)


@compiled
def lightened(P: Row, gas_constant: float) -> float:
    """Mass of what a compressor draws over what it would draw if all of it were refrigerant of this gas constant."""
    y = P[P_GAS_P] / P[P_P]
    return float(1.0 - y * (1.0 - gas_constant / R_GAS))

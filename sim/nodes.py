"""What is known of a node: properties from its mass and energy, and the heat its wall gives it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim import air, film, frost
from sim.arrays import Vector
from sim.cell import outlet_enthalpy, outlet_volume, wall_heat
from sim.columns import (
    C_BORE,
    C_FIN_AREA,
    C_NATURAL,
    C_SECTION,
    P_C,
    P_CPL,
    P_CPV,
    P_FA,
    P_FB,
    P_FC,
    P_FL,
    P_FREEZE,
    P_FV,
    P_FW,
    P_GAS_P,
    P_GAS_RATIO,
    P_H,
    P_HC,
    P_HEAT,
    P_HFG,
    P_HL,
    P_HLS,
    P_HV,
    P_MELT,
    P_P,
    P_Q,
    P_RHOL,
    P_RHOSAT,
    P_RHOV,
    P_SAT,
    P_SLIP,
    P_T,
    P_TA,
    P_TS,
    P_UA,
    P_VC,
    P_VLS,
    P_VOID,
    P_VOUT,
    P_VVS,
    P_WATER,
    P_X,
    P_Z,
    W_AREA,
    W_GAS_FILM,
)
from sim.compiled import compiled
from sim.doors import door
from sim.fluid_columns import (
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
    SAT_T,
    T_MATCH,
    FluidTables,
)
from sim.fluid_kernel import saturation, state_beside
from sim.gas import CV_GAS, add_gas
from sim.psychrometrics import CP_DRY_AIR_J_KGK, CP_VAPOUR_J_KGK
from sim.smooth import blend

Row = NDArray[np.float64]

MASS_FLOOR = 1e-12  # kg; below it a node is as good as empty
SLIP_FADE_K = 10.0  # guess: slip dies out over the last 10 K below the tables' critical knot, so that both sides meet
LEAST_CP, MOST_CP = (
    300.0,
    6000.0,
)  # J/(kg K), guess: keeps the profile's slope finite beside the critical point
# Films in pipes and vessels, where nothing is marched: natural convection of liquid, nucleate boiling at low flux; that of gas is the wall's own.
PIPE_FILM_LIQUID = 250.0  # W/(m2 K), guess: order of natural convection of a liquid refrigerant
PIPE_FILM_WET = 1500.0  # W/(m2 K), guess: low-flux pool boiling or film condensation


@compiled
def pipe_film(x: float, gas: float) -> float:
    """Film coefficient in a pipe or vessel at generalised quality x, W/(m2 K); ``gas`` is that of gas."""
    wet = blend(x, -0.03, 0.03)
    dry = blend(x, 0.85, 1.05)
    liquid_side = PIPE_FILM_LIQUID + (PIPE_FILM_WET - PIPE_FILM_LIQUID) * wet
    return liquid_side + (gas - liquid_side) * dry


@door
def node_properties(
    P: Vector,
    fl: FluidTables,
    slip: float,
    volume: float,
    mass: float,
    energy: float,
    t_guess: float,
    gas: float,
) -> None:
    """Fill one row of P from a node's volume (m3), mass of refrigerant and of gas (kg) and internal energy (J); ``slip`` is the exponent of the slip ratio."""
    m = max(mass, MASS_FLOOR)
    rho = m / volume
    (
        P[P_P],
        P[P_T],
        P[P_Q],
        P[P_VOID],
        P[P_RHOL],
        P[P_RHOV],
        P[P_HL],
        P[P_HV],
        P[P_H],
        P[P_RHOSAT],
    ) = state_beside(fl, rho, energy / m, t_guess, gas * CV_GAS / m)
    t_top = fl.meta[T_MATCH]
    P[P_SLIP] = slip * min(max((t_top - P[P_T]) / SLIP_FADE_K, 0.0), 1.0)
    supercritical = P[P_T] >= t_top
    if supercritical:
        P[P_RHOL] = rho
        P[P_RHOV] = rho
        P[P_HL] = P[P_H]
        P[P_HV] = P[P_H]
    saturation(fl, P[P_P], P[P_SAT:])
    P[P_TS] = P[P_SAT + SAT_T]
    P[P_HLS] = P[P_SAT + SAT_HL]
    P[P_HFG] = P[P_SAT + SAT_HV] - P[P_HLS]
    reconstruction_row(
        P, slip * min(max((t_top - P[P_TS]) / SLIP_FADE_K, 0.0), 1.0), rho, supercritical
    )
    P[P_GAS_P] = 0.0
    P[P_GAS_RATIO] = 0.0
    if gas != 0.0:
        add_gas(P, volume, gas)


@compiled
def reconstruction_row(P: Row, exponent: float, rho: float, supercritical: bool) -> None:
    """Generalised quality and the reconstruction variable z, from saturation at the node's pressure."""
    P[P_CPL] = min(max(P[P_SAT + SAT_CPL], LEAST_CP), MOST_CP)
    P[P_CPV] = min(max(P[P_SAT + SAT_CPV], LEAST_CP), MOST_CP)
    P[P_VLS] = 1.0 / P[P_SAT + SAT_RHOL]
    P[P_VVS] = 1.0 / P[P_SAT + SAT_RHOV]
    c = (P[P_VLS] / P[P_VVS]) ** (1.0 - exponent)
    P[P_C] = c
    P[P_X] = (P[P_H] - P[P_HLS]) / P[P_HFG]
    if 0.0 < P[P_VOID] < 1.0 and not supercritical:
        # second term: pressure rounded at the liquid line (and a blend's glide) counts here as it does on either side, so that nothing jumps there
        P[P_Z] = c / (1.0 - (1.0 - c) * P[P_VOID]) + (1.0 - c) * (P[P_X] - P[P_Q])
    else:
        P[P_Z] = c + (1.0 - c) * P[P_X]
    x = (P[P_Z] - c) / (1.0 - c)
    P[P_HC] = P[P_HLS] + x * P[P_HFG]
    if supercritical:
        P[P_VC] = 1.0 / rho
    elif x < 0.0:
        P[P_VC] = P[P_VLS]
    else:
        P[P_VC] = P[P_VLS] + x * (P[P_VVS] - P[P_VLS])


@compiled
def coil_films(
    P: Row, row: Row, p_critical: float, area: float, wall_t: float, flow: float
) -> None:
    """Film coefficients of a coil cell at its through-flow and wall flux; condensing and boiling blend where the wall equals saturation."""
    boiling = blend(wall_t - P[P_TS], -0.5, 0.5)
    flux = P[P_UA] * (P[P_TA] - wall_t) / area
    P[P_FL], P[P_FV], P[P_FA], P[P_FB], P[P_FC], P[P_FW] = film.prepare(
        abs(flow) / row[C_SECTION],
        flux,
        row[C_BORE],
        (P[P_P] - P[P_GAS_P]) / p_critical,
        P[P_SAT + SAT_RHOL],
        P[P_SAT + SAT_RHOV],
        P[P_SAT + SAT_MUL],
        P[P_SAT + SAT_MUV],
        P[P_SAT + SAT_KL],
        P[P_SAT + SAT_KV],
        P[P_CPL],
        P[P_CPV],
        P[P_HFG],
        boiling,
    )


@compiled
def coil_air(
    P: Row, row: Row, atmosphere: float, t_in: float, w_in: float, wall_t: float, frost_kg: float
) -> None:
    """Air side of a coil cell at its wall temperature: conductance, temperature felt (latent heat included), water given up, frost grown and melted."""
    heat, water, _, _, freezing = frost.frosted_cell_air(
        row, t_in, w_in, atmosphere, wall_t, frost_kg
    )
    flow, film_w_k = frost.frosted_air(row, frost_kg)
    rate = flow * (CP_DRY_AIR_J_KGK + w_in * CP_VAPOUR_J_KGK)
    ua = air.air_conductance(rate, film_w_k) + row[C_NATURAL]
    P[P_UA] = ua
    P[P_TA] = wall_t + heat / ua
    P[P_WATER] = water
    P[P_FREEZE] = freezing
    P[P_MELT] = frost.melting_kg_s(frost_kg, row[C_FIN_AREA], wall_t)


@compiled
def plain_conductance(P: Row, wall: Row) -> float:
    """Conductance from a pipe's or vessel's wall to what is in it, W/K."""
    film: float = pipe_film(P[P_X], wall[W_GAS_FILM]) * wall[W_AREA]
    return film


@compiled
def plain_wall(P: Row, wall: Row, wall_t: float) -> float:
    """Heat from a pipe's or vessel's wall into its node, W."""
    heat: float = plain_conductance(P, wall) * (wall_t - P[P_T])
    P[P_HEAT] = heat
    return heat


@compiled
def coil_wall(P: Row, area: float, wall_t: float, flow: float, eps: float) -> float:
    """Heat from a coil wall into its cell, W; air side and films must be in the row. Fills P_HEAT and P_VOUT."""
    heat = wall_heat(P, area, wall_t, flow, eps)
    P[P_HEAT] = heat
    P[P_VOUT] = outlet_volume(P, flow, eps)
    P[P_HC] = outlet_enthalpy(P, flow, wall_t, eps)
    return heat

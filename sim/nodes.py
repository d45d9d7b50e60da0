"""What is known of a node: properties from its mass and energy, and the heat its wall gives it."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim import air, film
from sim.cell import outlet_volume, wall_heat
from sim.columns import (
    C_AIR_FLOW,
    C_BORE,
    C_NATURAL,
    C_SECTION,
    C_T_IN,
    C_UA_AIR,
    C_W_IN,
    CI_BOX,
    CI_STATE,
    G_ATMOSPHERE,
    G_FLOW_EPS,
    G_P_CRITICAL,
    G_ROOM_T,
    G_SLIP,
    N_VOLUME,
    P_C,
    P_CPL,
    P_CPV,
    P_FA,
    P_FB,
    P_FC,
    P_FL,
    P_FV,
    P_FW,
    P_H,
    P_HEAT,
    P_HFG,
    P_HL,
    P_HLS,
    P_HV,
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
    W_UA,
    WI_COIL,
    WI_NODE,
)
from sim.compiled import compiled
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
)
from sim.fluid_kernel import saturation, state
from sim.plant import Plant
from sim.psychrometrics import CP_DRY_AIR_J_KGK, CP_VAPOUR_J_KGK
from sim.smooth import blend

Row = NDArray[np.float64]

MASS_FLOOR = 1e-12  # kg; below it a node is as good as empty
SLIP_FADE_K = 10.0  # guess: slip dies out over the last 10 K below the tables' critical knot, so that both sides meet
CP_RANGE = (300.0, 6000.0)  # J/(kg K): keeps the profile's slope finite beside the critical point
# Films in pipes and vessels, where nothing is marched: natural convection of liquid, nucleate boiling at low flux, gas.
PIPE_FILM_LIQUID = 250.0  # W/(m2 K), guess: order of natural convection of a liquid refrigerant
PIPE_FILM_WET = 1500.0  # W/(m2 K), guess: low-flux pool boiling or film condensation
PIPE_FILM_VAPOUR = 80.0  # W/(m2 K), guess: gas at a few m/s in a 10 mm pipe


@compiled
def pipe_film(x: float) -> float:
    """Film coefficient in a pipe or vessel at generalised quality x, W/(m2 K)."""
    wet = blend(x, -0.03, 0.03)
    dry = blend(x, 0.85, 1.05)
    liquid_side = PIPE_FILM_LIQUID + (PIPE_FILM_WET - PIPE_FILM_LIQUID) * wet
    return liquid_side + (PIPE_FILM_VAPOUR - liquid_side) * dry


@compiled
def node_properties(P: Row, pl: Plant, i: int, mass: float, energy: float, t_guess: float) -> None:
    """Fill one row of P from a node's mass (kg) and internal energy (J)."""
    fl = pl.fluid
    m = max(mass, MASS_FLOOR)
    rho = m / pl.node[i, N_VOLUME]
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
    ) = state(fl, rho, energy / m, t_guess)
    t_top = fl.meta[T_MATCH]
    P[P_SLIP] = pl.glob[G_SLIP] * min(max((t_top - P[P_T]) / SLIP_FADE_K, 0.0), 1.0)
    supercritical = P[P_T] >= t_top
    if supercritical:
        P[P_RHOL] = rho
        P[P_RHOV] = rho
        P[P_HL] = P[P_H]
        P[P_HV] = P[P_H]
    saturation_row(P, pl, rho, supercritical)


@compiled
def saturation_row(P: Row, pl: Plant, rho: float, supercritical: bool) -> None:
    """Saturation at the node's pressure, and with it the generalised quality and the reconstruction variable z."""
    fl = pl.fluid
    saturation(fl, P[P_P], P[P_SAT:])
    P[P_TS] = P[P_SAT + SAT_T]
    P[P_HLS] = P[P_SAT + SAT_HL]
    P[P_HFG] = P[P_SAT + SAT_HV] - P[P_HLS]
    P[P_CPL] = min(max(P[P_SAT + SAT_CPL], CP_RANGE[0]), CP_RANGE[1])
    P[P_CPV] = min(max(P[P_SAT + SAT_CPV], CP_RANGE[0]), CP_RANGE[1])
    rho_l = P[P_SAT + SAT_RHOL]
    rho_v = P[P_SAT + SAT_RHOV]
    P[P_VLS] = 1.0 / rho_l
    P[P_VVS] = 1.0 / rho_v
    exponent = pl.glob[G_SLIP] * min(max((fl.meta[T_MATCH] - P[P_TS]) / SLIP_FADE_K, 0.0), 1.0)
    c = (rho_v / rho_l) ** (1.0 - exponent)
    P[P_C] = c
    P[P_X] = (P[P_H] - P[P_HLS]) / P[P_HFG]
    if 0.0 < P[P_VOID] < 1.0 and not supercritical:
        P[P_Z] = c / (1.0 - (1.0 - c) * P[P_VOID])
    else:
        P[P_Z] = c + (1.0 - c) * P[P_X]
    x = (P[P_Z] - c) / (1.0 - c)
    if supercritical:
        P[P_VC] = 1.0 / rho
    elif x < 0.0:
        P[P_VC] = P[P_VLS]
    else:
        P[P_VC] = P[P_VLS] + x * (P[P_VVS] - P[P_VLS])


@compiled
def coil_films(P: Row, pl: Plant, coil: int, area: float, wall_t: float, flow: float) -> None:
    """Film coefficients of a coil cell at its through-flow and wall flux; condensing and boiling blend where the wall equals saturation."""
    boiling = blend(wall_t - P[P_TS], -0.5, 0.5)
    flux = P[P_UA] * (P[P_TA] - wall_t) / area
    P[P_FL], P[P_FV], P[P_FA], P[P_FB], P[P_FC], P[P_FW] = film.prepare(
        abs(flow) / pl.coil[coil, C_SECTION],
        flux,
        pl.coil[coil, C_BORE],
        P[P_P] / pl.glob[G_P_CRITICAL],
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
def coil_air(P: Row, pl: Plant, coil: int, wall_t: float, box_t: float, box_w: float) -> None:
    """Air side of a coil cell at its wall temperature: conductance, temperature felt (latent heat included), water given up."""
    row = pl.coil[coil]
    boxed = pl.coil_i[coil, CI_BOX] == 1
    t_in = box_t if boxed else row[C_T_IN]
    w_in = box_w if boxed else row[C_W_IN]
    heat, water, _, _ = air.cell_air(
        t_in, w_in, pl.glob[G_ATMOSPHERE], row[C_AIR_FLOW], row[C_UA_AIR], row[C_NATURAL], wall_t
    )
    rate = row[C_AIR_FLOW] * (CP_DRY_AIR_J_KGK + w_in * CP_VAPOUR_J_KGK)
    ua = air.air_conductance(rate, row[C_UA_AIR]) + row[C_NATURAL]
    P[P_UA] = ua
    P[P_TA] = wall_t + heat / ua
    P[P_WATER] = water


@compiled
def wall_side(
    P: Row, pl: Plant, k: int, wall_t: float, flow: float, box_t: float, box_w: float, films: bool
) -> tuple[float, float]:
    """(heat from the wall into its node, heat from outside into the wall), W. Fills P_HEAT and P_VOUT.

    ``films`` false keeps the film coefficients already in the row: the Jacobian leaves their slope out.
    """
    coil = pl.wall_i[k, WI_COIL]
    if coil < 0:
        heat = pipe_film(P[P_X]) * pl.wall[k, W_AREA] * (wall_t - P[P_T])
        P[P_HEAT] = heat
        return heat, pl.wall[k, W_UA] * (pl.glob[G_ROOM_T] - wall_t)
    coil_air(P, pl, coil, wall_t, box_t, box_w)
    if films:
        coil_films(P, pl, coil, pl.wall[k, W_AREA], wall_t, flow)
    eps = pl.glob[G_FLOW_EPS]
    heat = wall_heat(P, pl.wall[k, W_AREA], wall_t, flow, eps)
    P[P_HEAT] = heat
    P[P_VOUT] = outlet_volume(P, flow, eps)
    return heat, P[P_UA] * (P[P_TA] - wall_t)


@compiled
def coil_flow(y: Row, pl: Plant, k: int) -> float:
    """Filtered through-flow of the coil that wall k belongs to, kg/s (0 for other walls)."""
    coil = pl.wall_i[k, WI_COIL]
    return y[pl.coil_i[coil, CI_STATE]] if coil >= 0 else 0.0


@compiled
def wall_node(pl: Plant, k: int) -> int:
    """Node that wall k belongs to."""
    return pl.wall_i[k, WI_NODE]

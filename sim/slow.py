"""Slow states and how fast they change: filtered coil flows, valve bulbs, the reversing slide, relief discs and solenoid plungers, what the compressor's oil holds, the load box.

Each is a state that a part or the air remembers, beside mass, energy and metal. Their slopes are in ``sim.slow_slopes``.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from sim.columns import (
    C_FLOW_TAU,
    CI_BOX,
    CI_CELLS,
    CI_FIRST,
    CI_LINK,
    CI_STATE,
    G_ATMOSPHERE,
    G_BOX_AIR,
    G_BOX_CAPACITY,
    G_BOX_CLOSED,
    G_BOX_HEAT,
    G_BOX_LEAK,
    G_BOX_UA,
    G_PILOT,
    G_ROOM_T,
    G_ROOM_W,
    L_PART,
    LI_FROM,
    LI_KIND,
    LI_STATE,
    LI_TO,
    NI_WALL,
    P_FREEZE,
    P_GAS_P,
    P_HV,
    P_P,
    P_TA,
    P_UA,
    P_WATER,
    RELIEF,
    SOLENOID,
    SOLENOID_ENERGISED,
    W_CAPACITY,
)
from sim.compiled import compiled
from sim.fluid_kernel import dew_pressure
from sim.oil import uptake
from sim.parts import relief_valve, reversing_valve, solenoid_valve, thermostatic_valve
from sim.parts.compressor import C_OIL, C_OIL_ENTHALPY
from sim.plant import (
    LEDGER_AIR,
    MACHINE_KIND,
    MACHINE_OIL,
    RECIPROCATING,
    SIZE_BOX,
    SIZE_L,
    SIZE_U,
    SIZE_W,
    Plant,
)
from sim.psychrometrics import CP_DRY_AIR_J_KGK, HEAT_OF_FUSION_J_KG

Floats = NDArray[np.float64]

FLOW_ROUND = 1e-10  # (1e-5 kg/s)^2: rounds the filtered flow's absolute value at rest
BOX_FOLLOWS_S = 5.0  # s, guess: an open box is swept by the fan within seconds
VAPOUR_LATENT = 2.501e6  # J/kg, latent heat of water at 0 degC (ASHRAE Fundamentals ch. 1, enthalpy of saturated vapour)


@compiled
def box_t(y: Floats, pl: Plant) -> float:
    """Air temperature in the load box, K."""
    return float(y[pl.size[SIZE_BOX]])


@compiled
def box_w(y: Floats, pl: Plant) -> float:
    """Humidity ratio in the load box."""
    return float(y[pl.size[SIZE_BOX] + 1])


@compiled
def moves(pl: Plant, k: int) -> bool:
    """Has link k a disc or plunger of its own that pressure or a coil moves?"""
    return pl.link_i[k, LI_KIND] in (RELIEF, SOLENOID)


@compiled
def moving_rate(pl: Plant, k: int, Pi: Floats, Pj: Floats, position: float) -> float:
    """Rate (1/s) at which a relief valve's disc or a solenoid valve's plunger moves; Pi, Pj are the rows of the link's ends."""
    part = pl.link[k, L_PART:]
    dp = Pi[P_P] - (Pj[P_P] if pl.link_i[k, LI_TO] >= 0 else pl.glob[G_ATMOSPHERE])
    if pl.link_i[k, LI_KIND] == RELIEF:
        return relief_valve.lift_rate(part, position, dp)
    return solenoid_valve.position_rate(part, position, part[SOLENOID_ENERGISED], dp)


@compiled
def bulb_wall(pl: Plant, b: int) -> int:
    """State of the metal to which a bulb is clamped."""
    wall: int = pl.size[SIZE_W] + pl.node_i[pl.bulb_i[b, 0], NI_WALL]
    return wall


@compiled
def slow_part(y: Floats, dy: Floats, P: Floats, F: Floats, pl: Plant) -> None:
    """Filtered coil flows, bulbs, the reversing slide, discs and plungers, the load box."""
    for c in range(pl.coil.shape[0]):
        f = F[pl.coil_i[c, CI_LINK], 0]
        k = pl.coil_i[c, CI_STATE]
        dy[k] += (sqrt(f * f + FLOW_ROUND) - y[k]) / pl.coil[c, C_FLOW_TAU]
    for b in range(pl.bulb.shape[0]):
        k = pl.bulb_i[b, 1]
        pipe = y[bulb_wall(pl, b)]
        dy[k] += thermostatic_valve.bulb_rate(pl.bulb[b], y[k], pipe, pl.glob[G_ROOM_T])
    if pl.slide_i[0] >= 0:
        dp = P[pl.slide_i[0], P_P] - P[pl.slide_i[1], P_P]
        k = pl.slide_i[2]
        dy[k] += reversing_valve.slide_rate(pl.slide, y[k], dp, pl.glob[G_PILOT])
    for k in range(pl.link.shape[0]):
        if moves(pl, k):
            i, j, s = pl.link_i[k, LI_FROM], pl.link_i[k, LI_TO], pl.link_i[k, LI_STATE]
            dy[s] += moving_rate(pl, k, P[i], P[max(j, 0)], y[s])
    oil_part(y, dy, P, pl)
    box_part(y, dy, P, pl)


@compiled
def oil_rate(pl: Plant, Ps: Floats, wall_k: float, speed: float, held_kg: float) -> float:
    """Refrigerant going into the shell's oil by its own pressure, kg/s; Ps is the shell's row."""
    return uptake(
        pl.machine, wall_k, Ps[P_P] - Ps[P_GAS_P], dew_pressure(pl.fluid, wall_k), held_kg, speed
    )


@compiled
def oil_part(y: Floats, dy: Floats, P: Floats, pl: Plant) -> None:
    """Refrigerant between the shell's gas and its oil; the wall takes the heat of condensation."""
    if not has_oil(pl):
        return
    shell, wall, state = pl.machine_i[0], pl.machine_i[2], pl.machine_i[3]
    w = pl.size[SIZE_W] + wall
    rate = oil_rate(pl, P[shell], y[w], y[state], y[state + MACHINE_OIL])
    h = P[shell, P_HV]
    dy[shell] -= rate
    dy[pl.size[SIZE_U] + shell] -= rate * h
    dy[state + MACHINE_OIL] += rate
    dy[w] += rate * (h - pl.machine[C_OIL_ENTHALPY]) / pl.wall[wall, W_CAPACITY]


@compiled
def has_oil(pl: Plant) -> bool:
    """Is there a compressor of known build with oil in its shell?"""
    return bool(
        pl.machine_i[0] >= 0
        and pl.machine_i[MACHINE_KIND] == RECIPROCATING
        and pl.machine[C_OIL] > 0.0
    )


@compiled
def box_part(y: Floats, dy: Floats, P: Floats, pl: Plant) -> None:
    """Load box: a well-mixed volume when closed; it follows the room when open."""
    k = pl.size[SIZE_BOX]
    out = pl.size[SIZE_L]
    if pl.glob[G_BOX_CLOSED] == 0.0:
        dy[k] += (pl.glob[G_ROOM_T] - y[k]) / BOX_FOLLOWS_S
        dy[k + 1] += (pl.glob[G_ROOM_W] - y[k + 1]) / BOX_FOLLOWS_S
        return
    taken = 0.0
    water = 0.0
    frozen = 0.0
    for c in range(pl.coil.shape[0]):
        if pl.coil_i[c, CI_BOX] == 1:
            for a in range(pl.coil_i[c, CI_CELLS]):
                i = pl.coil_i[c, CI_FIRST] + a
                tw = y[pl.size[SIZE_W] + pl.node_i[i, NI_WALL]]
                taken += P[i, P_UA] * (P[i, P_TA] - tw)
                water += P[i, P_WATER]
                frozen += P[i, P_FREEZE]
    latent = water * VAPOUR_LATENT + frozen * HEAT_OF_FUSION_J_KG
    through_wall = pl.glob[G_BOX_UA] * (pl.glob[G_ROOM_T] - y[k])
    exchanged = pl.glob[G_BOX_LEAK] * CP_DRY_AIR_J_KGK * (pl.glob[G_ROOM_T] - y[k])
    gain = pl.glob[G_BOX_HEAT] + through_wall + exchanged
    dy[k] += (gain - (taken - latent)) / pl.glob[G_BOX_CAPACITY]
    dy[k + 1] += (pl.glob[G_BOX_LEAK] * (pl.glob[G_ROOM_W] - y[k + 1]) - water) / pl.glob[G_BOX_AIR]
    # the ledger counts what crosses the box, not what the coil takes from the air inside
    dy[out + LEDGER_AIR] += gain - (taken - latent)

"""The right-hand side: how fast every state changes. Reads parameters, commands and state; writes none of them.

A short list of loops, one a kind of thing; the equations themselves live in ``sim/parts``, ``sim.flow``, ``sim.nodes``, ``sim.cell``.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Matrix, Vector
from sim.columns import (
    C_T_IN,
    C_W_IN,
    CI_BOX,
    CI_STATE,
    G_ATMOSPHERE,
    G_FLOW_EPS,
    G_P_CRITICAL,
    G_ROOM_T,
    G_SLIP,
    L_OPENING,
    LI_AUX,
    LI_FROM,
    LI_STATE,
    LI_TO,
    N_GAS,
    N_SINK,
    N_VENT,
    N_VOLUME,
    NI_WALL,
    P_FREEZE,
    P_H,
    P_HL,
    P_MELT,
    P_P,
    P_RHOL,
    P_RHOV,
    P_T,
    P_TA,
    P_UA,
    P_VOID,
    W_AREA,
    W_CAPACITY,
    W_UA,
    WI_COIL,
    WI_NODE,
)
from sim.compiled import compiled
from sim.doors import door
from sim.flow import link, ordinary
from sim.frost import frost_lives, frost_of
from sim.gas import R_GAS, carried, gas_enthalpy, gas_share, joined
from sim.machine import machine
from sim.nodes import MASS_FLOOR, coil_air, coil_films, coil_wall, node_properties, plain_wall
from sim.plant import (
    LEDGER_AIR,
    LEDGER_ELECTRIC,
    LEDGER_OUT_ENERGY,
    LEDGER_OUT_MASS,
    LEDGER_ROTOR,
    SIZE_L,
    SIZE_NODES,
    SIZE_SPECIES,
    SIZE_U,
    SIZE_W,
    Plant,
)
from sim.psychrometrics import HEAT_OF_FUSION_J_KG
from sim.slow import box_t, box_w, slow_part

Floats = NDArray[np.float64]

VENT_ROUND = 1000.0  # Pa, onset of the outflow from a burst part


@compiled
def gas_of(y: Floats, pl: Plant, i: int) -> float:
    """Gas that does not condense in a node, kg."""
    return y[pl.size[SIZE_NODES] + i] if pl.size[SIZE_SPECIES] > 1 else 0.0


@compiled
def leave(pl: Plant, i: int, P: Floats, mass: float, gas: float) -> tuple[float, float, float]:
    """(kg/s, W, kg/s of it gas) that leave a node for good: a forced loss (liquid first) and a hole; through a hole the room's air may come in."""
    m = 0.0
    e = 0.0
    g = 0.0
    sink = pl.node[i, N_SINK]
    if sink != 0.0:
        share = mass / (mass + 0.02 * pl.node[i, N_VOLUME]) if sink > 0.0 else 1.0
        h = P[P_HL] if P[P_VOID] < 1.0 else P[P_H]
        q = carried(P, h) if sink > 0.0 else 0.0
        g = sink * share * q
        m = sink * share + g
        e = m * joined(h, q, P[P_T])
    if pl.node[i, N_GAS] != 0.0:
        put_in = pl.node[i, N_GAS]
        g -= put_in
        m -= put_in
        e -= put_in * gas_enthalpy(pl.glob[G_ROOM_T])
    if pl.node[i, N_VENT] > 0.0:
        dp = P[P_P] - pl.glob[G_ATMOSPHERE]
        fade = dp * dp / (dp * dp + VENT_ROUND * VENT_ROUND)
        if dp > 0.0:
            rho = P[P_RHOL] * (1.0 - P[P_VOID]) + P[P_RHOV] * P[P_VOID] + gas / pl.node[i, N_VOLUME]
            v = fade * ordinary(pl.node[i, N_VENT], VENT_ROUND, rho, dp, P[P_P])
            q = gas / max(mass, MASS_FLOOR)
            m += v
            e += v * joined(P[P_H], q, P[P_T])
            g += v * gas_share(q)
        elif pl.size[SIZE_SPECIES] > 1:
            rho = pl.glob[G_ATMOSPHERE] / (R_GAS * pl.glob[G_ROOM_T])
            v = fade * ordinary(pl.node[i, N_VENT], VENT_ROUND, rho, -dp, pl.glob[G_ATMOSPHERE])
            m -= v
            e -= v * gas_enthalpy(pl.glob[G_ROOM_T])
            g -= v
    return m, e, g


@compiled
def give(dy: Floats, pl: Plant, i: int, j: int, m: float, e: float, g: float) -> None:
    """Move m kg/s, of which g gas, and e W from node i to node j (j < 0: to the account ``outside``)."""
    n = pl.size[SIZE_NODES]
    u = pl.size[SIZE_U]
    out = pl.size[SIZE_L]
    dy[i] -= m - g
    dy[u + i] -= e
    if j >= 0:
        dy[j] += m - g
        dy[u + j] += e
    else:
        dy[out + LEDGER_OUT_MASS] += m - g
        dy[out + LEDGER_OUT_ENERGY] += e
    if pl.size[SIZE_SPECIES] > 1:
        dy[n + i] -= g
        dy[n + j if j >= 0 else out + LEDGER_OUT_MASS + 1] += g


@compiled
def node_part(y: Floats, dy: Floats, t_guess: Floats, P: Floats, pl: Plant) -> None:
    """Properties of every node, and what leaves the circuit."""
    u = pl.size[SIZE_U]
    slip = pl.glob[G_SLIP]
    for i in range(pl.size[SIZE_NODES]):
        gas = gas_of(y, pl, i)
        node_properties(P[i], pl.fluid, slip, pl.node[i, N_VOLUME], y[i], y[u + i], t_guess[i], gas)
        m, e, g = leave(pl, i, P[i], y[i], gas)
        if m != 0.0:
            give(dy, pl, i, -1, m, e, g)


@door
def coil_inlet(y: Vector, pl: Plant, coil: int) -> tuple[float, float]:
    """Temperature (K) and humidity ratio of the air entering a coil."""
    if pl.coil_i[coil, CI_BOX] == 1:
        return box_t(y, pl), box_w(y, pl)
    return pl.coil[coil, C_T_IN], pl.coil[coil, C_W_IN]


@compiled
def wall_part(y: Floats, dy: Floats, P: Floats, pl: Plant) -> None:
    """Heat through every wall, the air that gives it, and the frost that lies on it.

    Frost is booked at the enthalpy of ice at 0 C (water at 0 C is zero): what freezes brings that in from the air, what melts is lifted to zero by the metal.
    """
    u = pl.size[SIZE_U]
    w = pl.size[SIZE_W]
    air_heat_sum = 0.0
    eps = pl.glob[G_FLOW_EPS]
    alive = frost_lives(pl)
    for k in range(pl.wall.shape[0]):
        i = pl.wall_i[k, WI_NODE]
        coil = pl.wall_i[k, WI_COIL]
        row = P[i]
        wall_t = y[w + k]
        melting_w = 0.0
        if coil < 0:
            heat = plain_wall(row, pl.wall[k], wall_t)
            air_heat = pl.wall[k, W_UA] * (pl.glob[G_ROOM_T] - wall_t)
        else:
            t_in, w_in = coil_inlet(y, pl, coil)
            flow = y[pl.coil_i[coil, CI_STATE]]
            area = pl.wall[k, W_AREA]
            f = frost_of(pl, i, coil)
            coil_air(row, pl.coil[coil], pl.glob[G_ATMOSPHERE], t_in, w_in, wall_t, y[f])
            coil_films(row, pl.coil[coil], pl.glob[G_P_CRITICAL], area, wall_t, flow)
            heat = coil_wall(row, area, wall_t, flow, eps)
            air_heat = row[P_UA] * (row[P_TA] - wall_t)
            dy[f] += alive * (row[P_FREEZE] - row[P_MELT])
            melting_w = HEAT_OF_FUSION_J_KG * alive * row[P_MELT]
            air_heat_sum -= HEAT_OF_FUSION_J_KG * alive * row[P_FREEZE]
        dy[u + i] += heat
        air_heat_sum += air_heat
        dy[w + k] += (air_heat - heat - melting_w) / pl.wall[k, W_CAPACITY]
    dy[pl.size[SIZE_L] + LEDGER_AIR] += air_heat_sum


@compiled
def link_part(y: Floats, dy: Floats, P: Floats, F: Floats, pl: Plant) -> None:
    """Flow through every link."""
    for k in range(pl.link.shape[0]):
        if pl.link[k, L_OPENING] <= 0.0:
            F[k, 0] = 0.0
            F[k, 1] = 0.0
            F[k, 2] = 0.0
            continue
        i = pl.link_i[k, LI_FROM]
        j = pl.link_i[k, LI_TO]
        a = pl.link_i[k, LI_AUX]
        ls = pl.link_i[k, LI_STATE]
        m, e, g = link(
            pl,
            k,
            P[i],
            P[max(j, 0)],
            P[max(a, 0)],
            y[pl.size[SIZE_W] + pl.node_i[i, NI_WALL]],
            y[pl.size[SIZE_W] + pl.node_i[max(j, 0), NI_WALL]],
            y[ls] if ls >= 0 else 0.0,
        )
        F[k, 0] = m
        F[k, 1] = e
        F[k, 2] = g
        if m != 0.0 or e != 0.0:
            give(dy, pl, i, j, m, e, g)


@compiled
def machine_part(y: Floats, dy: Floats, P: Floats, F: Floats, pl: Plant) -> None:
    """The compressor: mass from shell to head, heat to gas, shell and winding, speed."""
    shell, head, wall, state = pl.machine_i[0], pl.machine_i[1], pl.machine_i[2], pl.machine_i[3]
    if shell < 0:
        return
    u = pl.size[SIZE_U]
    w = pl.size[SIZE_W] + wall
    out = machine(pl, P[shell], P[head], y[w], y[state], y[state + 1], y[state + 2], y[state + 3], y[state + 4])  # fmt: skip
    last = pl.link.shape[0]
    F[last, 0] = out[0]
    F[last, 1] = out[2]
    F[last, 2] = out[10]
    give(dy, pl, shell, head, out[0], 0.0, out[10])
    dy[u + shell] += out[1]
    dy[u + head] += out[2]
    dy[w] += out[3] / pl.wall[wall, W_CAPACITY]
    dy[state] += out[4]
    dy[state + 1] += out[5]
    dy[state + 2] += out[6]
    dy[state + 3] += out[7]
    dy[pl.size[SIZE_L] + LEDGER_ELECTRIC] += out[8]
    dy[pl.size[SIZE_L] + LEDGER_ROTOR] += out[9]


@door
def rhs(y: Vector, dy: Vector, t_guess: Vector, P: Matrix, F: Matrix, pl: Plant) -> None:
    """Fill ``dy`` (1/s), the node table P and the flows F (a row a link, then the compressor: kg/s, W, kg/s of gas)."""
    dy[:] = 0.0
    node_part(y, dy, t_guess, P, pl)
    wall_part(y, dy, P, pl)
    link_part(y, dy, P, F, pl)
    machine_part(y, dy, P, F, pl)
    slow_part(y, dy, P, F, pl)

"""The right-hand side: how fast every state changes. Reads parameters, commands and state; writes none of them.

A short list of loops, one a kind of thing; the equations themselves live in ``sim/parts``, ``sim.flow``, ``sim.nodes``, ``sim.cell``.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

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
    G_UPWIND,
    L_OPENING,
    LI_AUX,
    LI_FROM,
    LI_STATE,
    LI_TO,
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
from sim.flow import link, ordinary
from sim.frost import frost_lives, frost_of
from sim.machine import machine
from sim.nodes import coil_air, coil_films, coil_wall, node_properties, plain_wall
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
def node_mass(y: Floats, pl: Plant, i: int) -> float:
    """Mass in a node, all species, kg."""
    total = 0.0
    for s in range(pl.size[SIZE_SPECIES]):
        total += y[s * pl.size[SIZE_NODES] + i]
    return total


@compiled
def species_flow(y: Floats, pl: Plant, s: int, i: int, j: int, m: float) -> float:
    """Share of species s in a flow m from i to j (j < 0: the room), carried by whichever end gives, kg/s."""
    if pl.size[SIZE_SPECIES] == 1:
        return m
    n = pl.size[SIZE_NODES]
    round_m = sqrt(m * m + pl.glob[G_UPWIND] ** 2)
    here = y[s * n + i] / node_mass(y, pl, i)
    there = y[s * n + j] / node_mass(y, pl, j) if j >= 0 else here
    return 0.5 * (m + round_m) * here + 0.5 * (m - round_m) * there


@compiled
def leave(pl: Plant, i: int, P: Floats, mass: float) -> tuple[float, float]:
    """(kg/s, W) that leave a node for good: a forced loss (liquid first) and, once burst, the vent."""
    m = 0.0
    e = 0.0
    sink = pl.node[i, N_SINK]
    if sink != 0.0:
        share = mass / (mass + 0.02 * pl.node[i, N_VOLUME]) if sink > 0.0 else 1.0
        m = sink * share
        e = m * (P[P_HL] if P[P_VOID] < 1.0 else P[P_H])
    if pl.node[i, N_VENT] > 0.0:
        dp = P[P_P] - pl.glob[G_ATMOSPHERE]
        if dp > 0.0:
            rho = P[P_RHOL] * (1.0 - P[P_VOID]) + P[P_RHOV] * P[P_VOID]
            v = ordinary(pl.node[i, N_VENT], VENT_ROUND, rho, dp, P[P_P])
            v *= dp * dp / (dp * dp + VENT_ROUND * VENT_ROUND)
            m += v
            e += v * P[P_H]
    return m, e


@compiled
def node_part(y: Floats, dy: Floats, t_guess: Floats, P: Floats, pl: Plant) -> None:
    """Properties of every node, and what leaves the circuit."""
    n = pl.size[SIZE_NODES]
    u = pl.size[SIZE_U]
    out = pl.size[SIZE_L]
    for i in range(n):
        mass = node_mass(y, pl, i)
        node_properties(
            P[i], pl.fluid, pl.glob[G_SLIP], pl.node[i, N_VOLUME], mass, y[u + i], t_guess[i]
        )
        m, e = leave(pl, i, P[i], mass)
        if m != 0.0:
            for s in range(pl.size[SIZE_SPECIES]):
                share = m * y[s * n + i] / max(mass, 1e-12)
                dy[s * n + i] -= share
                dy[out + LEDGER_OUT_MASS + s] += share
            dy[u + i] -= e
            dy[out + LEDGER_OUT_ENERGY] += e


@compiled
def coil_inlet(y: Floats, pl: Plant, coil: int) -> tuple[float, float]:
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
    n = pl.size[SIZE_NODES]
    u = pl.size[SIZE_U]
    out = pl.size[SIZE_L]
    for k in range(pl.link.shape[0]):
        if pl.link[k, L_OPENING] <= 0.0:
            F[k, 0] = 0.0
            F[k, 1] = 0.0
            continue
        i = pl.link_i[k, LI_FROM]
        j = pl.link_i[k, LI_TO]
        a = pl.link_i[k, LI_AUX]
        ls = pl.link_i[k, LI_STATE]
        m, e = link(
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
        if m == 0.0 and e == 0.0:
            continue
        for s in range(pl.size[SIZE_SPECIES]):
            ms = species_flow(y, pl, s, i, j, m)
            dy[s * n + i] -= ms
            if j >= 0:
                dy[s * n + j] += ms
            else:
                dy[out + LEDGER_OUT_MASS + s] += ms
        dy[u + i] -= e
        if j >= 0:
            dy[u + j] += e
        else:
            dy[out + LEDGER_OUT_ENERGY] += e


@compiled
def machine_part(y: Floats, dy: Floats, P: Floats, F: Floats, pl: Plant) -> None:
    """The compressor: mass from shell to head, heat to gas, shell and winding, speed."""
    shell, head, wall, state = pl.machine_i[0], pl.machine_i[1], pl.machine_i[2], pl.machine_i[3]
    if shell < 0:
        return
    n = pl.size[SIZE_NODES]
    u = pl.size[SIZE_U]
    w = pl.size[SIZE_W] + wall
    out = machine(pl, P[shell], P[head], y[w], y[state], y[state + 1], y[state + 2], y[state + 3], y[state + 4])  # fmt: skip
    last = pl.link.shape[0]
    F[last, 0] = out[0]
    F[last, 1] = out[2]
    for s in range(pl.size[SIZE_SPECIES]):
        ms = species_flow(y, pl, s, shell, head, out[0])
        dy[s * n + shell] -= ms
        dy[s * n + head] += ms
    dy[u + shell] += out[1]
    dy[u + head] += out[2]
    dy[w] += out[3] / pl.wall[wall, W_CAPACITY]
    dy[state] += out[4]
    dy[state + 1] += out[5]
    dy[state + 2] += out[6]
    dy[state + 3] += out[7]
    dy[pl.size[SIZE_L] + LEDGER_ELECTRIC] += out[8]
    dy[pl.size[SIZE_L] + LEDGER_ROTOR] += out[9]


@compiled
def rhs(y: Floats, dy: Floats, t_guess: Floats, P: Floats, F: Floats, pl: Plant) -> None:
    """Fill ``dy`` (1/s), the node table P and the flows F (a row a link, then the compressor: kg/s, W)."""
    dy[:] = 0.0
    node_part(y, dy, t_guess, P, pl)
    wall_part(y, dy, P, pl)
    link_part(y, dy, P, F, pl)
    machine_part(y, dy, P, F, pl)
    slow_part(y, dy, P, F, pl)

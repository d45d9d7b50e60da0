"""The Jacobian, element by element: properties are re-evaluated once a node and variable, then each law is differenced in its few local variables.

Rows are filled pairwise, so that every column of the mass rows (and of the energy rows with the ledger) sums to zero: Newton iterates then keep
mass and energy whether or not they have converged. Slopes that are small and only cost time are left out (film coefficients against
pressure, the load box against the coil); that slows a Newton iteration slightly and changes no result.

Over 300 lines: it goes through the equations in the order of ``sim.kernel``.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Cube, Matrix, Vector
from sim.columns import (
    C_FLOW_TAU,
    CI_LINK,
    CI_STATE,
    G_ATMOSPHERE,
    G_FLOW_EPS,
    G_P_CRITICAL,
    L_FALL,
    L_OPENING,
    LI_AUX,
    LI_FROM,
    LI_STATE,
    LI_TO,
    NI_COIL,
    NI_WALL,
    P_DELTA,
    P_FREEZE,
    P_HEAT,
    P_MELT,
    P_TA,
    P_UA,
    W_AREA,
    W_CAPACITY,
    W_UA,
    WI_COIL,
    WI_NODE,
)
from sim.compiled import compiled
from sim.doors import door
from sim.flow import link
from sim.frost import frost_lives, frost_of
from sim.kernel import coil_inlet, give
from sim.machine import Outputs, machine
from sim.nodes import (
    coil_air,
    coil_films,
    coil_wall,
    plain_conductance,
    plain_wall,
)
from sim.perturb import (
    FROST_STEP,
    POSITION_STEP,
    SPEED_STEP,
    WALL_STEP,
    column_of,
    perturb_nodes,
)
from sim.plant import (
    LEDGER_AIR,
    LEDGER_ELECTRIC,
    LEDGER_ROTOR,
    SIZE_L,
    SIZE_SPECIES,
    SIZE_U,
    SIZE_W,
    Plant,
)
from sim.psychrometrics import HEAT_OF_FUSION_J_KG
from sim.slow import FLOW_ROUND
from sim.slow_slopes import slow_slopes

Floats = NDArray[np.float64]


@compiled
def wall_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Slopes of every wall's heats; also completes the perturbed rows with heat and outlet volume."""
    for k in range(pl.wall.shape[0]):
        if pl.wall_i[k, WI_COIL] < 0:
            plain_slopes(y, P, pl, J, k)
        else:
            coil_slopes(y, P, pl, J, k)


@compiled
def plain_slopes(y: Floats, P: Floats, pl: Plant, J: Floats, k: int) -> None:
    """A pipe's or vessel's wall."""
    ns = pl.size[SIZE_SPECIES]
    u = pl.size[SIZE_U]
    w = pl.size[SIZE_W]
    i = pl.wall_i[k, WI_NODE]
    heat0 = P[0, i, P_HEAT]
    capacity = pl.wall[k, W_CAPACITY]
    for v in range(1, ns + 2):
        dh = (plain_wall(P[v, i], pl.wall[k], y[w + k]) - heat0) / P[v, i, P_DELTA]
        c = column_of(pl, v, i)
        J[u + i, c] += dh
        J[w + k, c] -= dh / capacity
    film = plain_conductance(P[0, i], pl.wall[k])
    J[u + i, w + k] += film
    J[w + k, w + k] -= (film + pl.wall[k, W_UA]) / capacity
    J[pl.size[SIZE_L] + LEDGER_AIR, w + k] -= pl.wall[k, W_UA]


@compiled
def coil_slopes(y: Floats, P: Floats, pl: Plant, J: Floats, k: int) -> None:
    """A coil's wall: air side, reconstructed film side. The air side feels the wall and its frost only."""
    ns = pl.size[SIZE_SPECIES]
    u = pl.size[SIZE_U]
    w = pl.size[SIZE_W]
    i = pl.wall_i[k, WI_NODE]
    coil = pl.wall_i[k, WI_COIL]
    wall_t = y[w + k]
    flow = y[pl.coil_i[coil, CI_STATE]]
    eps = pl.glob[G_FLOW_EPS]
    area = pl.wall[k, W_AREA]
    heat0 = P[0, i, P_HEAT]
    air0 = P[0, i, P_UA] * (P[0, i, P_TA] - wall_t)
    f = frost_of(pl, i, coil)
    alive = frost_lives(pl)
    for v in range(1, ns + 5):
        row = P[v, i]
        delta = row[P_DELTA]
        wall_v, flow_v, frost_v, da = wall_t, flow, y[f], 0.0
        freezing, melting = 0.0, 0.0
        row[P_UA] = P[0, i, P_UA]
        row[P_TA] = P[0, i, P_TA]
        if v == ns + 3:
            flow_v += delta
        elif v > ns + 1:
            wall_v += delta if v == ns + 2 else 0.0
            frost_v += delta if v == ns + 4 else 0.0
            t_in, w_in = coil_inlet(y, pl, coil)
            coil_air(row, pl.coil[coil], pl.glob[G_ATMOSPHERE], t_in, w_in, wall_v, frost_v)
            da = (row[P_UA] * (row[P_TA] - wall_v) - air0) / delta
            freezing = alive * (row[P_FREEZE] - P[0, i, P_FREEZE]) / delta
            melting = alive * (row[P_MELT] - P[0, i, P_MELT]) / delta
        if v > ns + 1:
            coil_films(row, pl.coil[coil], pl.glob[G_P_CRITICAL], area, wall_v, flow_v)
        dh = (coil_wall(row, area, wall_v, flow_v, eps) - heat0) / delta
        c = column_of(pl, v, i)
        J[u + i, c] += dh
        J[w + k, c] += (da - dh - HEAT_OF_FUSION_J_KG * melting) / pl.wall[k, W_CAPACITY]
        J[f, c] += freezing - melting
        J[pl.size[SIZE_L] + LEDGER_AIR, c] += da - HEAT_OF_FUSION_J_KG * freezing


@compiled
def scatter(
    pl: Plant, J: Floats, k: int, c: int, m0: float, dm: float, de: float, dg: float, delta: float
) -> None:
    """Put the slopes of link k's flows against state c into the rows of its two ends and of the coil filters."""
    per = 1.0 / delta
    give(J[:, c], pl, pl.link_i[k, LI_FROM], pl.link_i[k, LI_TO], dm * per, de * per, dg * per)
    for q in range(pl.coil.shape[0]):
        if pl.coil_i[q, CI_LINK] == k:
            J[pl.coil_i[q, CI_STATE], c] += (
                dm * per * m0 / sqrt(m0 * m0 + FLOW_ROUND) / pl.coil[q, C_FLOW_TAU]
            )


@compiled
def link_slopes(y: Floats, P: Floats, F: Floats, pl: Plant, J: Floats) -> None:
    """Difference every link in the variables of its two ends, of the node it senses and of its slow state."""
    for k in range(pl.link.shape[0]):
        if pl.link[k, L_OPENING] <= 0.0:
            continue
        i = pl.link_i[k, LI_FROM]
        j = pl.link_i[k, LI_TO]
        a = pl.link_i[k, LI_AUX]
        end_slopes(y, P, F, pl, J, k, i, True, False, a == i)
        if j >= 0:
            end_slopes(y, P, F, pl, J, k, j, False, True, a == j)
        if a >= 0 and a != i and a != j:
            end_slopes(y, P, F, pl, J, k, a, False, False, True)
        if pl.link_i[k, LI_STATE] >= 0:
            state_slope(y, P, F, pl, J, k)


@compiled
def end_slopes(
    y: Floats, P: Floats, F: Floats, pl: Plant, J: Floats,
    k: int, node: int, first: bool, second: bool, sensed: bool,
) -> None:  # fmt: skip
    """Difference link k in the variables of one node: its first end, its second end or the node it senses.

    A coil cell's wall, filtered flow and frost only matter to what pressure drives out of it (gravity may move more the other way); between cells they do not change the mass flow either.
    """
    ns = pl.size[SIZE_SPECIES]
    i = pl.link_i[k, LI_FROM]
    j = max(pl.link_i[k, LI_TO], 0)
    a = max(pl.link_i[k, LI_AUX], 0)
    ls = pl.link_i[k, LI_STATE]
    m0 = F[k, 0]
    last = ns + 1
    if (first or second) and pl.node_i[node, NI_COIL] >= 0:
        other = j if first else i
        if (m0 > 0.0) == first or pl.node_i[other, NI_COIL] < 0 or pl.link[k, L_FALL] != 0.0:
            last = ns + 4
    ti = y[pl.size[SIZE_W] + pl.node_i[i, NI_WALL]]
    tj = y[pl.size[SIZE_W] + pl.node_i[j, NI_WALL]]
    state = y[ls] if ls >= 0 else 0.0
    for v in range(1, last + 1):
        delta = P[v, node, P_DELTA]
        shift = delta if v == ns + 2 else 0.0
        m, e, g = link(
            pl,
            k,
            P[v if first else 0, i],
            P[v if second else 0, j],
            P[v if sensed else 0, a],
            ti + (shift if first else 0.0),
            tj + (shift if second else 0.0),
            state,
        )
        scatter(pl, J, k, column_of(pl, v, node), m0, m - m0, e - F[k, 1], g - F[k, 2], delta)


@compiled
def state_slope(y: Floats, P: Floats, F: Floats, pl: Plant, J: Floats, k: int) -> None:
    """Difference link k in its slow state (a slide's position, a bulb's temperature)."""
    i = pl.link_i[k, LI_FROM]
    j = max(pl.link_i[k, LI_TO], 0)
    a = max(pl.link_i[k, LI_AUX], 0)
    ls = pl.link_i[k, LI_STATE]
    ti = y[pl.size[SIZE_W] + pl.node_i[i, NI_WALL]]
    tj = y[pl.size[SIZE_W] + pl.node_i[j, NI_WALL]]
    delta = WALL_STEP if y[ls] > 10.0 else POSITION_STEP
    m, e, g = link(pl, k, P[0, i], P[0, j], P[0, a], ti, tj, y[ls] + delta)
    scatter(pl, J, k, ls, F[k, 0], m - F[k, 0], e - F[k, 1], g - F[k, 2], delta)


@compiled
def machine_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Difference the compressor in its ten local variables."""
    shell, head, wall, state = pl.machine_i[0], pl.machine_i[1], pl.machine_i[2], pl.machine_i[3]
    if shell < 0:
        return
    ns = pl.size[SIZE_SPECIES]
    wi = pl.size[SIZE_W] + wall
    tw, speed, winding, start, bimetal = y[wi], y[state], y[state + 1], y[state + 2], y[state + 3]
    held = y[state + 4]
    base = machine(pl, P[0, shell], P[0, head], tw, speed, winding, start, bimetal, held)
    for case in range(2 * ns + 8):
        vs, vh, dt, dn, dw, ds, db, do = 0, 0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0
        if case <= ns:
            vs = case + 1
            c = column_of(pl, vs, shell)
            delta = P[vs, shell, P_DELTA]
        elif case <= 2 * ns + 1:
            vh = case - ns
            c = column_of(pl, vh, head)
            delta = P[vh, head, P_DELTA]
        elif case == 2 * ns + 2:
            c, delta, dt = wi, WALL_STEP, WALL_STEP
        elif case == 2 * ns + 3:
            c, delta, dn = state, SPEED_STEP, SPEED_STEP
        elif case == 2 * ns + 4:
            c, delta, dw = state + 1, WALL_STEP, WALL_STEP
        elif case == 2 * ns + 5:
            c, delta, ds = state + 2, WALL_STEP, WALL_STEP
        elif case == 2 * ns + 6:
            c, delta, db = state + 3, WALL_STEP, WALL_STEP
        else:
            c, delta, do = state + 4, FROST_STEP, FROST_STEP
        out = machine(
            pl, P[vs, shell], P[vh, head], tw + dt, speed + dn, winding + dw, start + ds, bimetal + db, held + do
        )  # fmt: skip
        machine_scatter(pl, J, c, base, out, delta)


@compiled
def machine_scatter(
    pl: Plant, J: Floats, c: int, base: Outputs, out: Outputs, delta: float
) -> None:
    """Rows of the compressor's slopes against state c."""
    shell, head, wall, state = pl.machine_i[0], pl.machine_i[1], pl.machine_i[2], pl.machine_i[3]
    u = pl.size[SIZE_U]
    per = 1.0 / delta
    give(J[:, c], pl, shell, head, (out[0] - base[0]) * per, 0.0, (out[10] - base[10]) * per)
    J[u + shell, c] += (out[1] - base[1]) * per
    J[u + head, c] += (out[2] - base[2]) * per
    J[pl.size[SIZE_W] + wall, c] += (out[3] - base[3]) * per / pl.wall[wall, W_CAPACITY]
    J[state, c] += (out[4] - base[4]) * per
    J[state + 1, c] += (out[5] - base[5]) * per
    J[state + 2, c] += (out[6] - base[6]) * per
    J[state + 3, c] += (out[7] - base[7]) * per
    J[pl.size[SIZE_L] + LEDGER_ELECTRIC, c] += (out[8] - base[8]) * per
    J[pl.size[SIZE_L] + LEDGER_ROTOR, c] += (out[9] - base[9]) * per


@door
def jacobian(y: Vector, J: Matrix, t_guess: Vector, P: Cube, F: Matrix, pl: Plant) -> None:
    """Fill J at y. P[0] and F must hold the base state (``rhs`` was called at y)."""
    J[:] = 0.0
    perturb_nodes(y, P, pl, J)
    wall_slopes(y, P, pl, J)
    link_slopes(y, P, F, pl, J)
    machine_slopes(y, P, pl, J)
    slow_slopes(y, P, pl, J)

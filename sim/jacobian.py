"""The Jacobian, element by element: properties are re-evaluated once a node and variable, then each law is differenced in its few local variables.

Rows are filled pairwise, so that every column of the mass rows (and of the energy rows with the ledger) sums to zero: Newton iterates then keep
mass and energy whether or not they have converged. Slopes that are small and only cost time are left out (film coefficients against flux
and flow, the load box against the coil); that slows a Newton iteration slightly and changes no result.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from sim.columns import (
    C_FLOW_TAU,
    CI_LINK,
    CI_STATE,
    G_BOX_AIR,
    G_BOX_CAPACITY,
    G_BOX_CLOSED,
    G_BOX_LEAK,
    G_BOX_UA,
    G_PILOT,
    G_ROOM_T,
    LI_AUX,
    LI_FROM,
    LI_STATE,
    LI_TO,
    N_VOLUME,
    NI_COIL,
    NI_WALL,
    P_COLUMNS,
    P_DELTA,
    P_FA,
    P_FB,
    P_FC,
    P_FL,
    P_FW,
    P_P,
    P_T,
    W_CAPACITY,
    WI_COIL,
)
from sim.compiled import compiled
from sim.flow import link
from sim.kernel import BOX_FOLLOWS_S, FLOW_ROUND, box_t, box_w, coil_flow, leave, node_mass, species_flow
from sim.machine import MACHINE_OUTPUTS, machine
from sim.nodes import node_properties, wall_node, wall_side
from sim.parts import reversing_valve, thermostatic_valve
from sim.plant import (
    LEDGER_AIR,
    LEDGER_ELECTRIC,
    LEDGER_OUT_ENERGY,
    LEDGER_OUT_MASS,
    SIZE_BOX,
    SIZE_L,
    SIZE_NODES,
    SIZE_SPECIES,
    SIZE_U,
    SIZE_W,
    Plant,
)
from sim.psychrometrics import CP_DRY_AIR_J_KGK

Floats = NDArray[np.float64]

MASS_STEP = 1e-7  # relative perturbation of a node's mass
ENERGY_PER_KG = 3e5  # J/kg: turns a mass perturbation into one of energy
WALL_STEP = 1e-5  # K
FLOW_STEP = 1e-8  # kg/s
SPEED_STEP = 1e-4  # rad/s
POSITION_STEP = 1e-7


@compiled
def column_of(pl: Plant, v: int, i: int) -> int:
    """State index of variation v of node i: species masses 1..ns, energy ns+1, wall ns+2, filtered coil flow ns+3."""
    ns = pl.size[SIZE_SPECIES]
    if v <= ns:
        return (v - 1) * pl.size[SIZE_NODES] + i
    if v == ns + 1:
        return pl.size[SIZE_U] + i
    if v == ns + 2:
        return pl.size[SIZE_W] + pl.node_i[i, NI_WALL]
    return pl.coil_i[pl.node_i[i, NI_COIL], CI_STATE]


@compiled
def perturb_nodes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Fill the perturbed copies P[1..ns+3] of the node table, and the slopes of what leaves the circuit."""
    ns = pl.size[SIZE_SPECIES]
    n = pl.size[SIZE_NODES]
    u = pl.size[SIZE_U]
    for i in range(n):
        mass = node_mass(y, pl, i)
        dm = MASS_STEP * (mass + 0.5 * pl.node[i, N_VOLUME])
        for v in range(1, ns + 4):
            delta = dm
            if v <= ns:
                node_properties(P[v, i], pl, i, mass + dm, y[u + i], P[0, i, P_T])
            elif v == ns + 1:
                delta = dm * ENERGY_PER_KG
                node_properties(P[v, i], pl, i, mass, y[u + i] + delta, P[0, i, P_T])
            else:
                for q in range(P_COLUMNS):
                    P[v, i, q] = P[0, i, q]
                delta = WALL_STEP if v == ns + 2 else FLOW_STEP
            P[v, i, P_DELTA] = delta
            for q in range(P_FL, P_FB + 1):
                P[v, i, q] = P[0, i, q]
            P[v, i, P_FC] = P[0, i, P_FC]
            P[v, i, P_FW] = P[0, i, P_FW]
        leave_slopes(y, P, pl, J, i, mass)


@compiled
def leave_slopes(y: Floats, P: Floats, pl: Plant, J: Floats, i: int, mass: float) -> None:
    """Slopes of sink and vent of node i."""
    n = pl.size[SIZE_NODES]
    ns = pl.size[SIZE_SPECIES]
    u = pl.size[SIZE_U]
    out = pl.size[SIZE_L]
    m0, e0 = leave(pl, i, P[0, i], mass)
    if m0 == 0.0:
        return
    for v in range(1, ns + 2):
        delta = P[v, i, P_DELTA]
        m, e = leave(pl, i, P[v, i], mass + delta if v <= ns else mass)
        c = column_of(pl, v, i)
        J[u + i, c] -= (e - e0) / delta
        J[out + LEDGER_OUT_ENERGY, c] += (e - e0) / delta
        for s in range(ns):
            share = y[s * n + i] / max(mass, 1e-12)
            J[s * n + i, c] -= (m - m0) / delta * share
            J[out + LEDGER_OUT_MASS + s, c] += (m - m0) / delta * share


@compiled
def wall_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Slopes of every wall's heats; also completes the perturbed rows with heat and outlet volume."""
    ns = pl.size[SIZE_SPECIES]
    u = pl.size[SIZE_U]
    w = pl.size[SIZE_W]
    out = pl.size[SIZE_L]
    t_box = box_t(y, pl)
    w_box = box_w(y, pl)
    for k in range(pl.wall.shape[0]):
        i = wall_node(pl, k)
        wall_t = y[w + k]
        flow = coil_flow(y, pl, k)
        heat0, air0 = wall_side(P[0, i], pl, k, wall_t, flow, t_box, w_box, False)
        last = ns + 4 if pl.wall_i[k, WI_COIL] >= 0 else ns + 3
        for v in range(1, last):
            delta = P[v, i, P_DELTA]
            heat, air_heat = wall_side(
                P[v, i],
                pl,
                k,
                wall_t + (delta if v == ns + 2 else 0.0),
                flow + (delta if v == ns + 3 else 0.0),
                t_box,
                w_box,
                False,
            )
            c = column_of(pl, v, i)
            dh = (heat - heat0) / delta
            da = (air_heat - air0) / delta
            J[u + i, c] += dh
            J[w + k, c] += (da - dh) / pl.wall[k, W_CAPACITY]
            J[out + LEDGER_AIR, c] += da


@compiled
def scatter(
    y: Floats, pl: Plant, J: Floats, k: int, c: int, m0: float, dm: float, de: float, delta: float
) -> None:
    """Put the slopes of link k's flows against state c into the rows of its two ends and of the coil filters."""
    n = pl.size[SIZE_NODES]
    u = pl.size[SIZE_U]
    out = pl.size[SIZE_L]
    i = pl.link_i[k, LI_FROM]
    j = pl.link_i[k, LI_TO]
    several = pl.size[SIZE_SPECIES] > 1
    for s in range(pl.size[SIZE_SPECIES]):
        slope = dm / delta
        if several:
            kept = y[c]
            before = species_flow(y, pl, s, i, j, m0)
            if c < u:
                y[c] = kept + delta
            slope = (species_flow(y, pl, s, i, j, m0 + dm) - before) / delta
            y[c] = kept
        J[s * n + i, c] -= slope
        if j >= 0:
            J[s * n + j, c] += slope
        else:
            J[out + LEDGER_OUT_MASS + s, c] += slope
    J[u + i, c] -= de / delta
    if j >= 0:
        J[u + j, c] += de / delta
    else:
        J[out + LEDGER_OUT_ENERGY, c] += de / delta
    for q in range(pl.coil.shape[0]):
        if pl.coil_i[q, CI_LINK] == k:
            J[pl.coil_i[q, CI_STATE], c] += (
                dm / delta * m0 / sqrt(m0 * m0 + FLOW_ROUND) / pl.coil[q, C_FLOW_TAU]
            )


@compiled
def link_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Difference every link in the variables of its two ends, of the node it senses and of its slow state."""
    ns = pl.size[SIZE_SPECIES]
    w = pl.size[SIZE_W]
    for k in range(pl.link.shape[0]):
        i = pl.link_i[k, LI_FROM]
        j = pl.link_i[k, LI_TO]
        jj = max(j, 0)
        a = pl.link_i[k, LI_AUX]
        aa = max(a, 0)
        ls = pl.link_i[k, LI_STATE]
        ti = y[w + pl.node_i[i, NI_WALL]]
        tj = y[w + pl.node_i[jj, NI_WALL]]
        s = y[ls] if ls >= 0 else 0.0
        B = P[0]
        m0, e0 = link(pl, k, B[i], B[jj], B[aa], ti, tj, s)
        for v in range(1, ns + 4):
            coil_only = v > ns + 1
            if not (coil_only and pl.node_i[i, NI_COIL] < 0):
                V = P[v]
                d = V[i, P_DELTA]
                m, e = link(
                    pl,
                    k,
                    V[i],
                    B[jj],
                    V[aa] if aa == i else B[aa],
                    ti + (d if v == ns + 2 else 0.0),
                    tj,
                    s,
                )
                scatter(y, pl, J, k, column_of(pl, v, i), m0, m - m0, e - e0, d)
            if j >= 0 and not (coil_only and pl.node_i[j, NI_COIL] < 0):
                V = P[v]
                d = V[j, P_DELTA]
                m, e = link(
                    pl,
                    k,
                    B[i],
                    V[j],
                    V[aa] if aa == j else B[aa],
                    ti,
                    tj + (d if v == ns + 2 else 0.0),
                    s,
                )
                scatter(y, pl, J, k, column_of(pl, v, j), m0, m - m0, e - e0, d)
            if a >= 0 and a != i and a != j and not coil_only:
                V = P[v]
                m, e = link(pl, k, B[i], B[jj], V[a], ti, tj, s)
                scatter(y, pl, J, k, column_of(pl, v, a), m0, m - m0, e - e0, V[a, P_DELTA])
        if ls >= 0:
            d = WALL_STEP if s > 10.0 else POSITION_STEP
            m, e = link(pl, k, B[i], B[jj], B[aa], ti, tj, s + d)
            scatter(y, pl, J, k, ls, m0, m - m0, e - e0, d)


@compiled
def machine_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Difference the compressor in its eight local variables."""
    shell, head, wall, state = pl.machine_i[0], pl.machine_i[1], pl.machine_i[2], pl.machine_i[3]
    if shell < 0:
        return
    ns = pl.size[SIZE_SPECIES]
    wi = pl.size[SIZE_W] + wall
    base = np.empty(MACHINE_OUTPUTS)
    out = np.empty(MACHINE_OUTPUTS)
    B = P[0]
    tw, speed, winding, bimetal = y[wi], y[state], y[state + 1], y[state + 2]
    machine(pl, B[shell], B[head], tw, speed, winding, bimetal, base)
    for v in range(1, ns + 2):
        machine(pl, P[v, shell], B[head], tw, speed, winding, bimetal, out)
        machine_scatter(y, pl, J, column_of(pl, v, shell), base, out, P[v, shell, P_DELTA])
        machine(pl, B[shell], P[v, head], tw, speed, winding, bimetal, out)
        machine_scatter(y, pl, J, column_of(pl, v, head), base, out, P[v, head, P_DELTA])
    machine(pl, B[shell], B[head], tw + WALL_STEP, speed, winding, bimetal, out)
    machine_scatter(y, pl, J, wi, base, out, WALL_STEP)
    machine(pl, B[shell], B[head], tw, speed + SPEED_STEP, winding, bimetal, out)
    machine_scatter(y, pl, J, state, base, out, SPEED_STEP)
    machine(pl, B[shell], B[head], tw, speed, winding + WALL_STEP, bimetal, out)
    machine_scatter(y, pl, J, state + 1, base, out, WALL_STEP)
    machine(pl, B[shell], B[head], tw, speed, winding, bimetal + WALL_STEP, out)
    machine_scatter(y, pl, J, state + 2, base, out, WALL_STEP)


@compiled
def machine_scatter(
    y: Floats, pl: Plant, J: Floats, c: int, base: Floats, out: Floats, delta: float
) -> None:
    """Rows of the compressor's slopes against state c."""
    shell, head, wall, state = pl.machine_i[0], pl.machine_i[1], pl.machine_i[2], pl.machine_i[3]
    n = pl.size[SIZE_NODES]
    u = pl.size[SIZE_U]
    for q in range(MACHINE_OUTPUTS):
        out[q] = (out[q] - base[q]) / delta
    for s in range(pl.size[SIZE_SPECIES]):
        share = species_flow(y, pl, s, shell, head, 1.0)
        J[s * n + shell, c] -= share * out[0]
        J[s * n + head, c] += share * out[0]
    J[u + shell, c] += out[1]
    J[u + head, c] += out[2]
    J[pl.size[SIZE_W] + wall, c] += out[3] / pl.wall[wall, W_CAPACITY]
    J[state, c] += out[4]
    J[state + 1, c] += out[5]
    J[state + 2, c] += out[6]
    J[pl.size[SIZE_L] + LEDGER_ELECTRIC, c] += out[7]


@compiled
def slow_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Filters, bulbs, slide and load box."""
    ns = pl.size[SIZE_SPECIES]
    for c in range(pl.coil.shape[0]):
        k = pl.coil_i[c, CI_STATE]
        J[k, k] -= 1.0 / pl.coil[c, C_FLOW_TAU]
    for b in range(pl.bulb.shape[0]):
        i, k = pl.bulb_i[b, 0], pl.bulb_i[b, 1]
        row = pl.bulb[b]
        room = pl.glob[G_ROOM_T]
        r0 = thermostatic_valve.bulb_rate(row, y[k], P[0, i, P_T], room)
        for v in range(1, ns + 2):
            r = thermostatic_valve.bulb_rate(row, y[k], P[v, i, P_T], room)
            J[k, column_of(pl, v, i)] += (r - r0) / P[v, i, P_DELTA]
        r = thermostatic_valve.bulb_rate(row, y[k] + WALL_STEP, P[0, i, P_T], room)
        J[k, k] += (r - r0) / WALL_STEP
    if pl.slide_i[0] >= 0:
        slide_slopes(y, P, pl, J)
    k = pl.size[SIZE_BOX]
    if pl.glob[G_BOX_CLOSED] == 0.0:
        J[k, k] -= 1.0 / BOX_FOLLOWS_S
        J[k + 1, k + 1] -= 1.0 / BOX_FOLLOWS_S
        return
    loss = pl.glob[G_BOX_UA] + pl.glob[G_BOX_LEAK] * CP_DRY_AIR_J_KGK
    J[k, k] -= loss / pl.glob[G_BOX_CAPACITY]
    J[pl.size[SIZE_L] + LEDGER_AIR, k] -= loss
    J[k + 1, k + 1] -= pl.glob[G_BOX_LEAK] / pl.glob[G_BOX_AIR]


@compiled
def slide_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """The reversing slide against the two pressures and its own position."""
    ns = pl.size[SIZE_SPECIES]
    i, j, k = pl.slide_i[0], pl.slide_i[1], pl.slide_i[2]
    pilot = pl.glob[G_PILOT]
    dp = P[0, i, P_P] - P[0, j, P_P]
    r0 = reversing_valve.slide_rate(pl.slide, y[k], dp, pilot)
    for v in range(1, ns + 2):
        up = P[v, i, P_P] - P[0, j, P_P]
        r = reversing_valve.slide_rate(pl.slide, y[k], up, pilot)
        J[k, column_of(pl, v, i)] += (r - r0) / P[v, i, P_DELTA]
        down = P[0, i, P_P] - P[v, j, P_P]
        r = reversing_valve.slide_rate(pl.slide, y[k], down, pilot)
        J[k, column_of(pl, v, j)] += (r - r0) / P[v, j, P_DELTA]
    r = reversing_valve.slide_rate(pl.slide, y[k] + POSITION_STEP, dp, pilot)
    J[k, k] += (r - r0) / POSITION_STEP


@compiled
def jacobian(y: Floats, J: Floats, t_guess: Floats, P: Floats, F: Floats, pl: Plant) -> None:
    """Fill J at y. P[0] and F must hold the base state (``rhs`` was called at y)."""
    J[:] = 0.0
    perturb_nodes(y, P, pl, J)
    wall_slopes(y, P, pl, J)
    link_slopes(y, P, pl, J)
    machine_slopes(y, P, pl, J)
    slow_slopes(y, P, pl, J)

"""Perturbed copies of the node table for the Jacobian: one a variable, evaluated once and used by every law that sees the node."""

import numpy as np
from numpy.typing import NDArray

from sim.columns import (
    CI_STATE,
    G_SLIP,
    N_VOLUME,
    NI_COIL,
    NI_WALL,
    P_COLUMNS,
    P_DELTA,
    P_FB,
    P_FC,
    P_FL,
    P_FW,
    P_T,
)
from sim.compiled import compiled
from sim.frost import frost_of
from sim.kernel import gas_of, give, leave
from sim.nodes import (
    node_properties,
)
from sim.plant import (
    SIZE_NODES,
    SIZE_SPECIES,
    SIZE_U,
    SIZE_W,
    Plant,
)

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]

MASS_STEP = 1e-7  # relative perturbation of a node's mass for its properties
LINK_STEP = 1e-3  # share of that perturbation passed on to links: the flow between two condenser cells changes by a per cent for 1e-7
ENERGY_PER_KG = 3e5  # J/kg: turns a mass perturbation into one of energy
WALL_STEP = 1e-5  # K
FLOW_STEP = 1e-8  # kg/s
SPEED_STEP = 1e-4  # rad/s
POSITION_STEP = 1e-7
FROST_STEP = 1e-7  # kg


@compiled
def column_of(pl: Plant, v: int, i: int) -> int:
    """State index of variation v of node i: species masses 1..ns, energy ns+1, wall ns+2, filtered coil flow ns+3, frost ns+4."""
    ns = pl.size[SIZE_SPECIES]
    if v <= ns:
        return (v - 1) * pl.size[SIZE_NODES] + i
    if v == ns + 1:
        return pl.size[SIZE_U] + i
    if v == ns + 2:
        return pl.size[SIZE_W] + pl.node_i[i, NI_WALL]
    if v == ns + 3:
        return pl.coil_i[pl.node_i[i, NI_COIL], CI_STATE]
    return frost_of(pl, i, pl.node_i[i, NI_COIL])


@compiled
def perturb_nodes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Fill the perturbed copies P[1..ns+1] of the node table (of coil cells also ns+2 to ns+4), and the slopes of what leaves the circuit."""
    ns = pl.size[SIZE_SPECIES]
    u = pl.size[SIZE_U]
    slip = pl.glob[G_SLIP]
    for i in range(pl.size[SIZE_NODES]):
        gas = gas_of(y, pl, i)
        volume = pl.node[i, N_VOLUME]
        dm = MASS_STEP * (y[i] + 0.5 * volume)
        du = dm * ENERGY_PER_KG
        base = P[0, i]
        for v in range(1, ns + 2):
            row = P[v, i]
            m = y[i] + dm if v == 1 else y[i]
            g = gas + dm if 1 < v <= ns else gas
            e = y[u + i] + du if v == ns + 1 else y[u + i]
            node_properties(row, pl.fluid, slip, volume, m, e, base[P_T], g)
            delta = dm if v <= ns else du
            for q in range(P_COLUMNS):
                row[q] = base[q] + LINK_STEP * (row[q] - base[q])
            row[P_DELTA] = LINK_STEP * delta
            keep_films(row, base)
        if pl.node_i[i, NI_COIL] >= 0:
            for v, step in ((ns + 2, WALL_STEP), (ns + 3, FLOW_STEP), (ns + 4, FROST_STEP)):
                row = P[v, i]
                for q in range(P_COLUMNS):
                    row[q] = base[q]
                row[P_DELTA] = step
        leave_slopes(y, P, pl, J, i, gas)


@compiled
def keep_films(row: Floats, base: Floats) -> None:
    """Film coefficients as in the base state: their slopes against pressure are left out."""
    for q in range(P_FL, P_FB + 1):
        row[q] = base[q]
    row[P_FC] = base[P_FC]
    row[P_FW] = base[P_FW]


@compiled
def leave_slopes(y: Floats, P: Floats, pl: Plant, J: Floats, i: int, gas: float) -> None:
    """Slopes of sink and hole of node i."""
    ns = pl.size[SIZE_SPECIES]
    m0, e0, g0 = leave(pl, i, P[0, i], y[i], gas)
    if m0 == 0.0:
        return
    for v in range(1, ns + 2):
        delta = P[v, i, P_DELTA]
        mass = y[i] + delta if v == 1 else y[i]
        more = gas + delta if 1 < v <= ns else gas
        m, e, g = leave(pl, i, P[v, i], mass, more)
        give(J[:, column_of(pl, v, i)], pl, i, -1, (m - m0) / delta, (e - e0) / delta, (g - g0) / delta)  # fmt: skip

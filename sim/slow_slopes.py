"""Slopes of the slow states (``sim.slow``): each rate differenced in the few variables it feels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.columns import (
    C_FLOW_TAU,
    CI_STATE,
    G_BOX_AIR,
    G_BOX_CAPACITY,
    G_BOX_CLOSED,
    G_BOX_LEAK,
    G_BOX_UA,
    G_PILOT,
    G_ROOM_T,
    LI_FROM,
    LI_STATE,
    LI_TO,
    P_DELTA,
    P_HV,
    P_P,
    W_CAPACITY,
)
from sim.compiled import compiled
from sim.parts import reversing_valve, thermostatic_valve
from sim.parts.compressor import C_OIL_ENTHALPY
from sim.perturb import FROST_STEP, POSITION_STEP, SPEED_STEP, WALL_STEP, column_of
from sim.plant import (
    LEDGER_AIR,
    MACHINE_OIL,
    SIZE_BOX,
    SIZE_L,
    SIZE_SPECIES,
    SIZE_U,
    SIZE_W,
    Plant,
)
from sim.psychrometrics import CP_DRY_AIR_J_KGK
from sim.slow import BOX_FOLLOWS_S, bulb_wall, has_oil, moves, moving_rate, oil_rate

Floats = NDArray[np.float64]


@compiled
def slow_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """Filters, bulbs, slide, discs and plungers, oil, load box."""
    for c in range(pl.coil.shape[0]):
        k = pl.coil_i[c, CI_STATE]
        J[k, k] -= 1.0 / pl.coil[c, C_FLOW_TAU]
    for b in range(pl.bulb.shape[0]):
        k, w = pl.bulb_i[b, 1], bulb_wall(pl, b)
        row = pl.bulb[b]
        room = pl.glob[G_ROOM_T]
        r0 = thermostatic_valve.bulb_rate(row, y[k], y[w], room)
        r = thermostatic_valve.bulb_rate(row, y[k], y[w] + WALL_STEP, room)
        J[k, w] += (r - r0) / WALL_STEP
        r = thermostatic_valve.bulb_rate(row, y[k] + WALL_STEP, y[w], room)
        J[k, k] += (r - r0) / WALL_STEP
    if pl.slide_i[0] >= 0:
        slide_slopes(y, P, pl, J)
    for k in range(pl.link.shape[0]):
        if moves(pl, k):
            moving_slopes(y, P, pl, J, k)
    oil_slopes(y, P, pl, J)
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
def moving_slopes(y: Floats, P: Floats, pl: Plant, J: Floats, k: int) -> None:
    """A relief disc or solenoid plunger against the pressures at its ends and its own position."""
    ns = pl.size[SIZE_SPECIES]
    i, j, s = pl.link_i[k, LI_FROM], pl.link_i[k, LI_TO], pl.link_i[k, LI_STATE]
    o = max(j, 0)
    r0 = moving_rate(pl, k, P[0, i], P[0, o], y[s])
    for v in range(1, ns + 2):
        r = moving_rate(pl, k, P[v, i], P[0, o], y[s])
        J[s, column_of(pl, v, i)] += (r - r0) / P[v, i, P_DELTA]
        if j >= 0:
            r = moving_rate(pl, k, P[0, i], P[v, j], y[s])
            J[s, column_of(pl, v, j)] += (r - r0) / P[v, j, P_DELTA]
    r = moving_rate(pl, k, P[0, i], P[0, o], y[s] + POSITION_STEP)
    J[s, s] += (r - r0) / POSITION_STEP


@compiled
def oil_slopes(y: Floats, P: Floats, pl: Plant, J: Floats) -> None:
    """What the oil takes up against the shell's contents, its wall, the speed and what it holds."""
    if not has_oil(pl):
        return
    ns = pl.size[SIZE_SPECIES]
    shell, state = pl.machine_i[0], pl.machine_i[3]
    w, o = pl.size[SIZE_W] + pl.machine_i[2], state + MACHINE_OIL
    r0, h0 = oil_rate(pl, P[0, shell], y[w], y[state], y[o]), P[0, shell, P_HV]
    for v in range(1, ns + 2):
        r, h, delta = oil_rate(pl, P[v, shell], y[w], y[state], y[o]), P[v, shell, P_HV], P[v, shell, P_DELTA]  # fmt: skip
        oil_scatter(pl, J, column_of(pl, v, shell), (r - r0) / delta, (r * h - r0 * h0) / delta)
    r = oil_rate(pl, P[0, shell], y[w] + WALL_STEP, y[state], y[o])
    oil_scatter(pl, J, w, (r - r0) / WALL_STEP, (r - r0) / WALL_STEP * h0)
    r = oil_rate(pl, P[0, shell], y[w], y[state] + SPEED_STEP, y[o])
    oil_scatter(pl, J, state, (r - r0) / SPEED_STEP, (r - r0) / SPEED_STEP * h0)
    r = oil_rate(pl, P[0, shell], y[w], y[state], y[o] + FROST_STEP)
    oil_scatter(pl, J, o, (r - r0) / FROST_STEP, (r - r0) / FROST_STEP * h0)


@compiled
def oil_scatter(pl: Plant, J: Floats, c: int, rate: float, energy: float) -> None:
    """Rows of what goes into the oil against state c."""
    shell, wall = pl.machine_i[0], pl.machine_i[2]
    J[shell, c] -= rate
    J[pl.size[SIZE_U] + shell, c] -= energy
    J[pl.machine_i[3] + MACHINE_OIL, c] += rate
    J[pl.size[SIZE_W] + wall, c] += (energy - rate * pl.machine[C_OIL_ENTHALPY]) / pl.wall[wall, W_CAPACITY]  # fmt: skip

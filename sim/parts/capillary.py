"""Capillary tube: a metre or three of narrow bore that meters liquid by friction and flashing.

The law is ``sim.tube_flow`` (homogeneous equilibrium, choked outlet), tabulated when a rig is loaded:

* over ln p1 and the inlet coordinate asinh(x1/0.04), x1 the generalised quality (below 0 subcooled, above 1 superheated): the choked flow m* and the ratio
  r = p_choke/p1 of the outlet pressure below which the flow no longer rises;
* over t = sqrt(eta), eta = (p1 - p2)/(p1 (1 - r)), as well: K = m/(m* t sqrt(2 - t^2)). The factor carries the square root at p2 -> p1 and the flat
  approach to choking at t = 1, so that K itself is tame.

    flow = m* t sqrt(2 - t^2) K(t) (eta^2/(eta^2 + eta0^2))^(1/4),   eta0 from ``linear_below_pa``: linear through zero

Interpolation is cubic (Catmull-Rom), so value and slopes are continuous. Backwards the same tables serve with the other end's state.
Beyond the table the flow is scaled, with p1 below 0.2 bar (gas) and with sqrt(p1) above the matching temperature's pressure.
Sources: see ``sim.tube_flow``; compared with the ASHRAE dimensionless correlation in tests/published.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial
from math import asinh, exp, log, pi, sqrt
from typing import ClassVar, NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Cube, Matrix, Stack, Vector
from sim.cache import kept
from sim.compiled import compiled
from sim.doors import door
from sim.fluid_columns import N_SAT
from sim.fluid_kernel import T_MATCH, FluidTables, bubble_pressure
from sim.part import Part
from sim.smooth import smoothstep
from sim.tube_flow import HL, HLV, N_PROPERTIES, P, property_grid, solve_flux

Array = NDArray[np.float64]
Weights = tuple[float, float, float, float]

P_LOWEST = 2e4  # Pa, first inlet pressure of the tables (a pump-down ends well above)
N_P = 24  # inlet pressures
N_FINE = 6  # steps of the property grid per inlet pressure
N_BELOW = 72  # property rows below the first inlet pressure, for outlets
X_SCALE = 0.04  # the inlet coordinate is about linear within +-this quality, logarithmic beyond
XI_FIRST, XI_STEP, N_XI = -4.0, 0.2, 45  # x1 from -1.09 to 2.43; saturated liquid lies on a node
N_T = 17  # places in t, from T_SMALL (standing for 0) to 1
T_SMALL = 0.03
G_FIRST_GUESS = 4000.0  # kg/(m2 s), start of the first flux iteration
TOLERANCE = 3e-5  # of the length, in the flux iteration; 1.5e-5 of the flow
N_COLUMNS = 3 + N_T + 1  # ln m*, r, ghost, K..., ghost

# meta
LN_P_FIRST, PER_LN_P, D0_PA = range(3)


class CapillaryTables(NamedTuple):
    """Stacked tables of all capillaries of a rig: meta[k, 3], data[k, N_P + 2, N_XI + 2, N_COLUMNS] (one ghost row on each side)."""

    meta: Matrix
    data: Stack


@dataclass(frozen=True, kw_only=True)
class Capillary(Part):
    """Parameters of a capillary tube."""

    KIND: ClassVar[str] = "capillary"
    HAZARDS: ClassVar[tuple[str, ...]] = ("pressure", "hot/cold")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "bore_m": (0.0003, 0.003),
        "length_m": (0.3, 8.0),
        "roughness_m": (1e-8, 2e-5),
        "coil_diameter_m": (0.02, 1.0),
        "entrance_loss": (0.0, 1.5),
        "linear_below_pa": (10.0, 20e3),
    }

    bore_m: float
    length_m: float
    roughness_m: float = 5e-7
    """Drawn copper capillary: 0.53 um measured (Mikol 1963, ASHRAE J. 5(11), 75-86, from memory)."""
    coil_diameter_m: float | None = None
    """Diameter of the coil it is wound to; none for a straight tube."""
    entrance_loss: float = 0.5
    """Loss coefficient of the entrance, sharp-edged 0.5."""
    linear_below_pa: float = 1e3

    def check(self) -> list[tuple[str, str]]:
        wrong = super().check()
        if self.length_m < 300.0 * self.bore_m:
            wrong.append(
                (
                    "length_m",
                    f"length_m is {self.length_m:g}; the model holds from 300 bores ({300 * self.bore_m:g})",
                )
            )
        return wrong

    def tube(self) -> Array:
        """The row that ``sim.tube_flow`` reads."""
        curvature = self.bore_m / self.coil_diameter_m if self.coil_diameter_m else 0.0
        return np.array(
            [self.bore_m, self.length_m, self.roughness_m, curvature, self.entrance_loss]
        )


@compiled
def _fill_state(
    grid: Array, place: float, x1: float, tube: Array, guess: float, row: Array
) -> float:
    """One inlet state: fill ``row`` (ghosts excepted) and return the choked flux."""
    i = int(place)
    p1 = grid[i, P]
    h0 = grid[i, HL] + x1 * grid[i, HLV]
    G, p_choke = solve_flux(grid, place, h0, tube, 0.0, guess, TOLERANCE)
    r = min(p_choke / p1, 0.999)
    row[0] = log(0.25 * pi * tube[0] * tube[0] * G)
    row[1] = r
    shape = 1.0
    for j in range(N_T - 1, -1, -1):
        t = max(j / (N_T - 1.0), T_SMALL)
        base = t * sqrt(2.0 - t * t)
        if j < N_T - 1:
            p2 = p1 * (1.0 - t * t * (1.0 - r))
            shape = solve_flux(grid, place, h0, tube, p2, G * base * shape, TOLERANCE)[0] / (
                G * base
            )
        row[3 + j] = shape
    return G


@door
def _fill(grid: Matrix, tube: Vector, data: Cube) -> None:
    """All inlet states of one tube, each started from its neighbour, then the ghosts."""
    first = G_FIRST_GUESS
    for a in range(N_P):
        guess = first
        for b in range(N_XI):
            x1 = X_SCALE * np.sinh(XI_FIRST + b * XI_STEP)
            place = float(N_BELOW + a * N_FINE)
            guess = _fill_state(grid, place, x1, tube, guess, data[a + 1, b + 1])
            if b == 0:
                first = guess
            data[a + 1, b + 1, 2] = 2.0 * data[a + 1, b + 1, 3] - data[a + 1, b + 1, 4]
            data[a + 1, b + 1, N_COLUMNS - 1] = data[a + 1, b + 1, N_COLUMNS - 3]
    for c in range(N_COLUMNS):
        for b in range(1, N_XI + 1):
            data[0, b, c] = 2.0 * data[1, b, c] - data[2, b, c]
            data[N_P + 1, b, c] = 2.0 * data[N_P, b, c] - data[N_P - 1, b, c]
        for a in range(N_P + 2):
            data[a, 0, c] = data[a, 1, c]
            data[a, N_XI + 1, c] = data[a, N_XI, c]


def build_tables(fl: FluidTables, parts: Sequence[Capillary]) -> CapillaryTables:
    """Tabulate the capillaries of a rig for one fluid."""
    top = bubble_pressure(fl, fl.meta[T_MATCH])
    step = log(top / P_LOWEST) / (N_P - 1)
    fine = step / N_FINE
    grid = np.zeros((N_BELOW + (N_P - 1) * N_FINE + 1, N_PROPERTIES))
    meta = np.zeros((len(parts), 3))
    data = np.zeros((len(parts), N_P + 2, N_XI + 2, N_COLUMNS))
    if parts:
        property_grid(fl, log(P_LOWEST) - N_BELOW * fine, fine, np.empty(N_SAT), grid)
    for k, part in enumerate(parts):
        meta[k] = log(P_LOWEST), 1.0 / step, part.linear_below_pa
        data[k] = kept(part.KIND, [grid, part.tube()], partial(_filled, grid, part.tube()))
    return CapillaryTables(meta, data)


def _filled(grid: Array, tube: Array) -> Array:
    data = np.zeros((N_P + 2, N_XI + 2, N_COLUMNS))
    _fill(grid, tube, data)
    return data


@compiled
def _weights(t: float) -> Weights:
    """Catmull-Rom weights of four neighbours at t between the middle two."""
    u = 1.0 - t
    return (
        -0.5 * t * u * u,
        u * (1.0 + t - 1.5 * t * t),
        t * (1.0 + u - 1.5 * u * u),
        -0.5 * u * t * t,
    )


@compiled
def _place(s: float, cells: int) -> tuple[int, float]:
    """Cell and place in it, held inside the table."""
    s = min(max(s, 0.0), cells - 1e-9)
    i = int(s)
    return i, s - i


@compiled
def _pick(k: int, w: Weights) -> float:
    return w[0] if k == 0 else (w[1] if k == 1 else (w[2] if k == 2 else w[3]))


@compiled
def _choked(table: Array, i: int, j: int, wp: Weights, wx: Weights) -> tuple[float, float]:
    """(ln m*, r) at an inlet state."""
    ln_m, r = 0.0, 0.0
    for a in range(4):
        for b in range(4):
            w = _pick(a, wp) * _pick(b, wx)
            ln_m += w * table[i + a, j + b, 0]
            r += w * table[i + a, j + b, 1]
    return ln_m, r


@compiled
def _shape(table: Array, i: int, j: int, wp: Weights, wx: Weights, t: float) -> float:
    """K at an inlet state and a place t in the outlet pressure."""
    n, z = _place(t * (N_T - 1.0), N_T - 1)
    c0, c1, c2, c3 = _weights(z)
    shape = 0.0
    for a in range(4):
        for b in range(4):
            row = table[i + a, j + b]
            along = c0 * row[n + 2] + c1 * row[n + 3] + c2 * row[n + 4] + c3 * row[n + 5]
            shape += _pick(a, wp) * _pick(b, wx) * along
    return shape


@compiled
def capillary_flow(tables: CapillaryTables, k: int, p1: float, x1: float, p2: float) -> float:
    """Mass flow (kg/s, >= 0) of capillary k from an inlet at p1 (Pa) and generalised quality x1 to an outlet at p2 <= p1."""
    dp = p1 - p2
    if dp <= 0.0:
        return 0.0
    table, meta = tables.data[k], tables.meta
    s = (log(p1) - meta[k, LN_P_FIRST]) * meta[k, PER_LN_P]
    i, u = _place(s, N_P - 1)
    j, v = _place((asinh(x1 / X_SCALE) - XI_FIRST) / XI_STEP, N_XI - 1)
    wp, wx = _weights(u), _weights(v)
    ln_m, r = _choked(table, i, j, wp, wx)
    over = (s - i - u) / meta[k, PER_LN_P]
    m = exp(ln_m + (over if over < 0.0 else 0.5 * over))
    span = p1 * (1.0 - min(r, 0.999))
    eta = dp / span
    if eta >= 1.0:
        return m
    eta0 = meta[k, D0_PA] / span
    soft = sqrt(sqrt((1.0 + eta0 * eta0) / (eta * eta + eta0 * eta0)))
    return m * eta * soft * sqrt(2.0 - eta) * _shape(table, i, j, wp, wx, sqrt(eta))


@compiled
def capillary_two_way(
    tables: CapillaryTables, k: int, p1: float, x1: float, p2: float, x2: float, width: float
) -> float:
    """Mass flow (kg/s) from end 1 to end 2, negative backwards; within +-width (Pa) of rest the two ends' laws are blended, so the slope is one."""
    dp = p1 - p2
    forward = smoothstep(0.5 + 0.5 * dp / width)
    size = abs(dp)
    flow = 0.0
    if forward > 0.0:
        flow += forward * capillary_flow(tables, k, p1, x1, p1 - size)
    if forward < 1.0:
        flow += (1.0 - forward) * capillary_flow(tables, k, p2, x2, p2 - size)
    return flow if dp >= 0.0 else -flow

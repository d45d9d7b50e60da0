"""Hand valve: a shut-off or service valve in a pipe, opened and closed by hand.

    flow = A o sqrt(2 rho) D/(D^2 + d0^2)^(1/4),   A = Kv 0.1/(3600 sqrt 2) m2,   o = opening 0..1 (linear in the handle)

For D above d0 this is the definition of the flow coefficient, Q[m3/h] = Kv sqrt(dp[bar]/(rho/1000)) (IEC 60534-1:2005, 60534-2-1:2011 eq. 1), below d0 the law
is linear so that flow at rest has a finite slope. Gas near its critical pressure ratio and flashing liquid are bounded by ``sim.throttle``.
Holds for turbulent flow; Kv of small line valves 0.2 to 30 m3/h.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Vector
from sim.compiled import compiled
from sim.doors import door
from sim.part import Part
from sim.throttle import area_from_kv

AREA, D0, LEAK = range(3)  # columns of row()
N_COLUMNS = 3


@dataclass(frozen=True, kw_only=True)
class HandValve(Part):
    """Parameters of a hand valve."""

    KIND: ClassVar[str] = "hand_valve"
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "kv_m3_h": (0.005, 30.0),
        "linear_below_pa": (10.0, 50e3),
        "seat_leak": (0.0, 0.05),
    }

    kv_m3_h: float
    """Flow coefficient fully open, m3/h of water at 1 bar."""
    linear_below_pa: float = 1e4
    """Pressure difference below which the flow is linear in it, Pa."""
    seat_leak: float = 0.0
    """Share of the full area that passes when shut."""

    def row(self) -> NDArray[np.float64]:
        return np.array([area_from_kv(self.kv_m3_h), self.linear_below_pa, self.seat_leak])


@door
def opening(row: Vector, handle: float) -> float:
    """Share of the full area at a handle position 0..1."""
    share: float = row[LEAK] + (1.0 - row[LEAK]) * handle
    return share


@compiled
def flow(row: NDArray[np.float64], handle: float, rho: float, dp: float) -> float:
    """Mass flow (kg/s) of a stream of density rho (kg/m3), odd in dp (Pa); no choking."""
    d0 = row[D0]
    m: float = (
        row[AREA] * opening(row, handle) * sqrt(2.0 * rho) * dp / sqrt(sqrt(dp * dp + d0 * d0))
    )
    return m

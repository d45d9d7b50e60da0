"""Check valve: passes one way only.

    flow = A sqrt(2 rho) D/(D^2 + d0^2)^(1/4) (leak + (1 - leak) onset(D - crack)),   onset(d) = d^2/(d^2 + w^2) for d > 0, else 0

w = 1000 Pa: a poppet lifts over a band of pressure, and a narrower one makes the implicit solver hunt between open and shut.
Reverse flow only through ``seat_leak``. Kv as in IEC 60534-1. Cracking pressure of spring-loaded line valves 0.5 to 20 kPa (trade data, common practice).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.compiled import compiled
from sim.part import Part
from sim.throttle import area_from_kv

AREA, D0, LEAK, CRACK = range(4)  # columns of row()
N_COLUMNS = 4
ONSET_WIDTH = 1000.0  # Pa, guess: lift band of a light poppet


@dataclass(frozen=True, kw_only=True)
class CheckValve(Part):
    """Parameters of a check valve."""

    KIND: ClassVar[str] = "check_valve"
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "kv_m3_h": (0.005, 30.0),
        "cracking_pa": (0.0, 2e4),
        "seat_leak": (0.0, 0.1),
        "linear_below_pa": (10.0, 50e3),
    }

    kv_m3_h: float
    cracking_pa: float = 0.0
    """Spring pressure that must be overcome before it opens."""
    seat_leak: float = 0.0
    """Share of the full area that passes backwards."""
    linear_below_pa: float = 1e4

    def row(self) -> NDArray[np.float64]:
        return np.array(
            [area_from_kv(self.kv_m3_h), self.linear_below_pa, self.seat_leak, self.cracking_pa]
        )


@compiled
def onset(dp: float) -> float:
    """Opening 0..1 of an ideal check valve without spring at a pressure difference (Pa)."""
    if dp <= 0.0:
        return 0.0
    square = dp * dp
    return square / (square + ONSET_WIDTH * ONSET_WIDTH)


@compiled
def opening(row: NDArray[np.float64], dp: float) -> float:
    """Share of the full area at a pressure difference (Pa), spring and leak included."""
    share: float = row[LEAK] + (1.0 - row[LEAK]) * onset(dp - row[CRACK])
    return share

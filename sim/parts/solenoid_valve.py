"""Solenoid valve: a coil lifts a plunger; without current a spring and the flow shut it.

Plunger position z, 0 shut, 1 open, moves at 1/travel towards its target and is cushioned at the stops:  dz/dt = e/(travel sqrt(e^2 + 0.05^2)),  e = target - z
    target = energised (1 - seated blend(D, MOPD, 1.1 MOPD)),     or at least   blend(-D, lift_back, 2 lift_back)
    seated = 1 - blend(z, 0, 0.2);  area share = leak + (1 - leak) blend(z, 0.01, 1)
D is inlet minus outlet pressure. A shut valve does not lift against more than its maximum opening pressure difference (MOPD); once lifted it stays up.
Against the arrow it does not hold: a back pressure beyond the spring lifts the plunger (common practice: a solenoid valve holds one way).
MOPD 20 to 35 bar for direct-acting valves, opening time 0.1 to 0.3 s (trade data, from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.compiled import compiled
from sim.part import Part
from sim.smooth import blend
from sim.throttle import area_from_kv

AREA, D0, LEAK, TRAVEL_S, MOPD, LIFT_BACK = range(6)  # columns of row()
N_COLUMNS = 6
END_WIDTH = 0.05  # guess: share of the travel in which the plunger slows at its stop
SEAT = 0.01  # guess: share of the travel within which plunger and seat still touch
SEAT_TRAVEL = (
    0.2  # guess: share of the travel after which the flow no longer holds the plunger down
)


@dataclass(frozen=True, kw_only=True)
class SolenoidValve(Part):
    """Parameters of a normally shut solenoid valve."""

    KIND: ClassVar[str] = "solenoid_valve"
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "kv_m3_h": (0.005, 30.0),
        "travel_s": (0.05, 2.0),
        "opens_against_pa": (1e5, 5e6),
        "lifts_back_pa": (1e3, 2e5),
        "seat_leak": (0.0, 0.05),
        "linear_below_pa": (10.0, 50e3),
    }

    kv_m3_h: float
    travel_s: float = 0.2
    opens_against_pa: float = 25e5
    """Maximum opening pressure difference."""
    lifts_back_pa: float = 20e3
    """Back pressure that lifts the plunger off its seat. guess: a light closing spring."""
    seat_leak: float = 0.0
    linear_below_pa: float = 1e4

    def row(self) -> NDArray[np.float64]:
        return np.array(
            [
                area_from_kv(self.kv_m3_h),
                self.linear_below_pa,
                self.seat_leak,
                self.travel_s,
                self.opens_against_pa,
                self.lifts_back_pa,
            ]
        )


@compiled
def target(row: NDArray[np.float64], position: float, energised: float, dp: float) -> float:
    """Where the plunger wants to be, 0..1, at inlet minus outlet pressure dp (Pa)."""
    held = (1.0 - blend(position, 0.0, SEAT_TRAVEL)) * blend(dp, row[MOPD], 1.1 * row[MOPD])
    pulled = energised * (1.0 - held)
    pushed = blend(-dp, row[LIFT_BACK], 2.0 * row[LIFT_BACK])
    return pulled + pushed - pulled * pushed


@compiled
def position_rate(row: NDArray[np.float64], position: float, energised: float, dp: float) -> float:
    """dz/dt, 1/s."""
    e = target(row, position, energised, dp) - position
    rate: float = e / (row[TRAVEL_S] * sqrt(e * e + END_WIDTH * END_WIDTH))
    return rate


@compiled
def opening(row: NDArray[np.float64], position: float) -> float:
    """Share of the full area at a plunger position."""
    share: float = row[LEAK] + (1.0 - row[LEAK]) * blend(position, SEAT, 1.0)
    return share

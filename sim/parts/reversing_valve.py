"""Reversing valve: a pilot vents one end of a piston, the pressure difference drives a slide that swaps the two coils between discharge and suction.

Ports: discharge, suction, coil a (condenser in cooling), coil b (evaporator in cooling). Slide position s: 0 cooling, 1 heating.
Slide, with way = pilot - s and D = discharge minus suction pressure:
    ds/dt = way/sqrt(way^2 + 0.02^2) v/travel,   v = blend(D, need, 1.15 need),   need = D_moving + (D_min - D_moving) blend(|way|, 0.9, 1)
It leaves its seat above the minimum difference D_min and keeps moving above the smaller D_moving (friction at rest and in motion);
when cross-flow at mid travel lowers D below that, it stops where it is. D < 0 never moves it.
Passages (area shares): open to the old side (1 - b)^3, to the new side b^3, b = blend(s, (1-w)/2, (1+w)/2), with w = overlap; around mid travel both
coils see both lines through an eighth of the ports and gas goes straight across. The slide's own leak from discharge to suction is a separate area.
Sources: minimum difference 1 to 3.5 bar by make (trade data, common practice); stall by cross-flow: common practice. No flow law of its own: ``sim.throttle``.
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

# columns of row()
AREA, D0, LEAK_AREA, D_MIN, D_MOVING, TRAVEL_S, OVERLAP = range(7)
N_COLUMNS = 7
START_BAND = 0.15  # guess: share of the needed difference over which the slide comes up to speed
END_WIDTH = 0.02  # guess: share of the travel in which the slide is cushioned at its stop
SEAT_TRAVEL = 0.9  # guess: after a tenth of its travel the slide only has sliding friction


@dataclass(frozen=True, kw_only=True)
class ReversingValve(Part):
    """Parameters of a pilot-operated reversing valve."""

    KIND: ClassVar[str] = "reversing_valve"
    PORTS: ClassVar[tuple[str, ...]] = ("discharge", "suction", "coil_a", "coil_b")
    HAZARDS: ClassVar[tuple[str, ...]] = ("pressure", "hot/cold")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "kv_m3_h": (0.05, 30.0),
        "leak_area_m2": (0.0, 2e-5),
        "minimum_difference_pa": (2e4, 4e5),
        "moving_difference_pa": (0.0, 4e5),
        "travel_s": (0.1, 3.0),
        "overlap": (0.1, 1.0),
        "linear_below_pa": (10.0, 50e3),
    }

    kv_m3_h: float
    """Flow coefficient of one passage fully open."""
    minimum_difference_pa: float = 1.0e5
    moving_difference_pa: float = 0.2e5
    """guess: once off its seat the slide needs little; a fifth of the minimum."""
    travel_s: float = 0.4
    overlap: float = 0.5
    """Share of the travel during which the ports of both coils are partly uncovered to both lines."""
    leak_area_m2: float = 0.0
    """Effective area of the leak from discharge to suction under the slide."""
    linear_below_pa: float = 1e4

    def check(self) -> list[tuple[str, str]]:
        wrong = super().check()
        if self.moving_difference_pa > self.minimum_difference_pa:
            wrong.append(
                (
                    "moving_difference_pa",
                    "moving_difference_pa is above minimum_difference_pa; a slide needs most to leave its seat",
                )
            )
        return wrong

    def row(self) -> NDArray[np.float64]:
        return np.array(
            [
                area_from_kv(self.kv_m3_h),
                self.linear_below_pa,
                self.leak_area_m2,
                self.minimum_difference_pa,
                self.moving_difference_pa,
                self.travel_s,
                self.overlap,
            ]
        )


@compiled
def needed_difference(row: NDArray[np.float64], position: float, pilot: float) -> float:
    """Pressure difference (Pa) below which the slide does not move from this position."""
    seated = blend(abs(pilot - position), SEAT_TRAVEL, 1.0)
    need: float = row[D_MOVING] + (row[D_MIN] - row[D_MOVING]) * seated
    return need


@compiled
def slide_rate(row: NDArray[np.float64], position: float, dp_pa: float, pilot: float) -> float:
    """ds/dt (1/s) towards the pilot's side (0 cooling, 1 heating); dp_pa is discharge minus suction."""
    need = needed_difference(row, position, pilot)
    speed = blend(dp_pa, need, need * (1.0 + START_BAND) + 1.0)
    way = pilot - position
    rate: float = speed * way / sqrt(way * way + END_WIDTH * END_WIDTH) / row[TRAVEL_S]
    return rate


@compiled
def passages(row: NDArray[np.float64], position: float) -> tuple[float, float, float, float]:
    """Area shares (discharge to a, discharge to b, a to suction, b to suction)."""
    half = 0.5 * row[OVERLAP]
    heating = blend(position, 0.5 - half, 0.5 + half)
    cooling = (1.0 - heating) ** 3
    heating = heating**3
    return cooling, heating, heating, cooling

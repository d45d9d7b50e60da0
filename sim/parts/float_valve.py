"""Low-side float valve: a float in the drum opens the needle when the level falls.

    lift = 1 - smoothstep((level - band_bottom)/(band_top - band_bottom)),     area = full_area (leak + (1 - leak) lift)

It answers to level alone, not to superheat; the level at which it settles lies inside its proportional band. ``stuck`` (a fault) freezes the lift.
Flow follows from the area by ``sim.throttle``. Source of the proportional form: ASHRAE Handbook Refrigeration, ch. 11, low-side float valves (description).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Vector
from sim.compiled import compiled
from sim.doors import door
from sim.part import Part
from sim.smooth import smoothstep

AREA, D0, LEAK, BOTTOM, TOP, STUCK = range(6)  # columns of row(); STUCK < 0: free
N_COLUMNS = 6


@dataclass(frozen=True, kw_only=True)
class FloatValve(Part):
    """Parameters of a low-side float valve."""

    KIND: ClassVar[str] = "float_valve"
    HAZARDS: ClassVar[tuple[str, ...]] = ("pressure", "hot/cold")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "full_area_m2": (2e-8, 1e-5),
        "band_bottom": (0.05, 0.9),
        "band_top": (0.1, 0.95),
        "needle_leak": (0.0, 0.05),
        "linear_below_pa": (10.0, 20e3),
    }

    full_area_m2: float
    """Effective area (discharge coefficient included) with the float down."""
    band_bottom: float
    """Drum level (share of its volume) at and below which the needle is fully open."""
    band_top: float
    """Drum level at and above which it is shut."""
    needle_leak: float = 0.0
    """Share of the full area that passes when shut."""
    linear_below_pa: float = 1e3

    def check(self) -> list[tuple[str, str]]:
        wrong = super().check()
        if self.band_top - self.band_bottom < 0.02:
            wrong.append(
                (
                    "band_top",
                    f"band_top is {self.band_top:g}; it must lie at least 0.02 above band_bottom ({self.band_bottom:g})",
                )
            )
        return wrong

    def row(self) -> NDArray[np.float64]:
        return np.array(
            [
                self.full_area_m2,
                self.linear_below_pa,
                self.needle_leak,
                self.band_bottom,
                self.band_top,
                -1.0,
            ]
        )


@door
def lift(row: Vector, level: float) -> float:
    """Needle lift 0..1 at a drum level 0..1."""
    if row[STUCK] >= 0.0:
        stuck: float = row[STUCK]
        return stuck
    return 1.0 - smoothstep((level - row[BOTTOM]) / (row[TOP] - row[BOTTOM]))


@compiled
def opening(row: NDArray[np.float64], lifted: float) -> float:
    """Share of the full area at a lift 0..1."""
    share: float = row[LEAK] + (1.0 - row[LEAK]) * lifted
    return share

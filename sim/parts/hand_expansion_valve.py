"""Hand expansion valve: a tapered needle that meters liquid by hand; what it passes flashes and chokes.

    area = full_area ((1 - leak) a(n) + leak),   n = needle 0..1
    a = n  ("linear", a slender needle on a multi-turn spindle)   or   a = s(n) R^(n - 1)  ("equal-percentage", IEC 60534-2-4:2009, 5.2)

R is the rangeability; s(n), a smoothstep over the first 5 % of travel, shuts the equal-percentage needle, whose formula never reaches zero.
Flow follows from the area by ``sim.throttle``: with barely subcooled liquid it is choked and then depends on the entering state alone.
Range: needle ports of 0.02 to 10 mm2.
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

AREA, D0, LEAK, RANGEABILITY = range(4)  # columns of row(); rangeability 0 means linear
N_COLUMNS = 4
SEAT_TRAVEL = 0.05  # guess: share of the travel in which an equal-percentage needle leaves its seat


@dataclass(frozen=True, kw_only=True)
class HandExpansionValve(Part):
    """Parameters of a hand expansion valve."""

    KIND: ClassVar[str] = "hand_expansion_valve"
    HAZARDS: ClassVar[tuple[str, ...]] = ("pressure", "hot/cold")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "full_area_m2": (2e-8, 1e-5),
        "linear_below_pa": (10.0, 20e3),
        "seat_leak": (0.0, 0.05),
        "rangeability": (10.0, 100.0),
    }
    CHARACTERISTICS: ClassVar[tuple[str, ...]] = ("linear", "equal-percentage")

    full_area_m2: float
    """Effective area (discharge coefficient included) with the needle fully out."""
    characteristic: str = "linear"
    rangeability: float = 50.0
    """Equal-percentage needles only: largest over smallest controllable area (IEC 60534-2-4)."""
    linear_below_pa: float = 1e3
    seat_leak: float = 0.0

    def check(self) -> list[tuple[str, str]]:
        wrong = super().check()
        if self.characteristic not in self.CHARACTERISTICS:
            choices = " or ".join(self.CHARACTERISTICS)
            wrong.append(
                (
                    "characteristic",
                    f"characteristic is {self.characteristic!r}; it must be {choices}",
                )
            )
        return wrong

    def row(self) -> NDArray[np.float64]:
        r = self.rangeability if self.characteristic == "equal-percentage" else 0.0
        return np.array([self.full_area_m2, self.linear_below_pa, self.seat_leak, r])


@door
def opening(row: Vector, needle: float) -> float:
    """Share of the full area at a needle position 0..1."""
    a = needle
    if row[RANGEABILITY] > 0.0:
        a = smoothstep(needle / SEAT_TRAVEL) * row[RANGEABILITY] ** (needle - 1.0)
    share: float = row[LEAK] + (1.0 - row[LEAK]) * a
    return share


@compiled
def area(row: NDArray[np.float64], needle: float) -> float:
    """Effective area (m2) at a needle position 0..1."""
    open_m2: float = row[AREA] * opening(row, needle)
    return open_m2

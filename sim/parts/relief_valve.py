"""Relief valve: opens at its set pressure, is fully open at the set pressure plus the overpressure, reseats below the set pressure.

p is measured above the outlet or the room. The escaping flow acts on a larger disc, so the lifted valve feels (1 + huddle lift) p (pop action):
    d lift/dt = (smoothstep(((1 + huddle lift) p - set)/(overpressure set)) - lift)/lift_time
    huddle = 1/(1 - blowdown) - 1 + overpressure (blowdown: share of the set pressure by which reseating lies lower)
The steady branch so folds: it pops at the set pressure and reseats near (1 - blowdown) set. Flow area: a smooth share of the full one, tight on the seat. Terms: set pressure, overpressure (at most 10 %), reseating pressure,
blowdown (ISO 4126-1:2013, clause 3; EN 378-2:2016). Flow from the area by ``sim.throttle``; certified discharge coefficient inside ``area_m2``.
A proportional one has a plain spring and no huddling chamber, huddle = 0: it opens only as far as it has to, and is shut at the set pressure again (ISO 4126-1,
terms, from memory). So are a compressor's internal ones.
``RELIEF_TO`` a second node instead of the room makes it a difference relief (a compressor's internal one): p is then the difference.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.compiled import compiled
from sim.part import Part
from sim.smooth import blend, smoothstep

AREA, D0, SET, BAND, HUDDLE, LIFT_S = range(6)  # columns of row()
N_COLUMNS = 6
SHUT_BELOW = 0.02  # guess: share of the set pressure below it at which a proportional one is said to be shut, so that a pressure at its edge is no news
SEAT = 0.01  # guess: share of the lift within which disc and seat still touch


@dataclass(frozen=True, kw_only=True)
class ReliefValve(Part):
    """Parameters of a spring-loaded relief valve."""

    KIND: ClassVar[str] = "relief_valve"
    HAZARDS: ClassVar[tuple[str, ...]] = ("relief", "pressure")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "set_pa": (1e5, 6e6),
        "area_m2": (1e-8, 1e-3),
        "overpressure": (0.03, 0.25),
        "blowdown": (0.0, 0.3),
        "lift_s": (0.005, 1.0),
        "linear_below_pa": (10.0, 50e3),
    }

    set_pa: float
    """Set pressure above the outlet (gauge when it blows to the room)."""
    area_m2: float
    """Effective area at full lift, discharge coefficient included."""
    overpressure: float = 0.10
    """Share of the set pressure above it at which the lift is full (ISO 4126-1: at most 0.10)."""
    blowdown: float = 0.10
    """Share of the set pressure below it at which the valve reseats (ISO 4126-1: at most 0.15 for compressible fluids)."""
    lift_s: float = 0.05
    proportional: bool = False
    linear_below_pa: float = 1e4

    @property
    def reseat_share(self) -> float:
        """Of the set pressure at which it is shut again."""
        return 1.0 - (SHUT_BELOW if self.proportional else self.blowdown)

    def row(self) -> NDArray[np.float64]:
        return np.array(
            [
                self.area_m2,
                self.linear_below_pa,
                self.set_pa,
                self.overpressure * self.set_pa,
                0.0 if self.proportional else 1.0 / (1.0 - self.blowdown) - 1.0 + self.overpressure,
                self.lift_s,
            ]
        )


@compiled
def opening(lift: float) -> float:
    """Share of the full area at a lift 0..1; exactly none on the seat."""
    return blend(lift, SEAT, 1.0)


@compiled
def lift_rate(row: NDArray[np.float64], lift: float, excess_pa: float) -> float:
    """d lift/dt (1/s) of a valve with pop action: opens at the set pressure, reseats lower."""
    force = (1.0 + row[HUDDLE] * lift) * excess_pa
    rate: float = (smoothstep((force - row[SET]) / row[BAND]) - lift) / row[LIFT_S]
    return rate

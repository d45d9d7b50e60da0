"""Fan on a coil: off, low, high; low also closes a damper.

It moves a volume, so the mass flow follows the density of the entering air (fan laws at constant speed; ASHRAE Handbook HVAC Systems and
Equipment, chapter on fans):
    dry air m = V / v(T, w, p),   V = V_high share,   share: 1 at high, ``low_share`` at low
Speed is a number 0 off, 1 low, 2 high; between two steps air and power change in proportion, so that a slow fan can be set.
``health`` is the share of the air that a fault leaves (blocked grille, weak motor); it acts on the fan's own air, not on natural draught.
Stopped, the coil still draws by its own warmth or cold: ``natural_share`` of the high flow, held constant (a real draught grows with the root
of the temperature difference). Natural draught and fan air combine as the root of the sum of squares, as two pressures across one resistance do.
Range: small axial fans, 0.005 to 0.5 m3/s, 2 to 100 W.
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
from sim.psychrometrics import specific_volume_m3_kg

FLOW_HIGH, LOW_SHARE, NATURAL_SHARE, POWER_HIGH, POWER_LOW = range(5)  # columns of row()
N_COLUMNS = 5


@dataclass(frozen=True, kw_only=True)
class Fan(Part):
    """Parameters of a two-speed fan with a damper."""

    KIND: ClassVar[str] = "fan"
    PORTS: ClassVar[tuple[str, ...]] = ()
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "flow_high_m3_s": (0.005, 0.5),
        "low_share": (0.05, 1.0),
        "natural_share": (0.005, 0.2),
        "power_high_w": (2.0, 100.0),
        "power_low_w": (2.0, 100.0),
    }
    HAZARDS: ClassVar[tuple[str, ...]] = ("restart",)

    flow_high_m3_s: float
    """Air at high speed with the damper open."""
    low_share: float = 0.25
    """Share of the high flow at low speed with the damper shut. guess: a quarter is what a two-tap motor and a half-shut damper give."""
    natural_share: float = 0.05
    """Share of the high flow that natural draught moves. guess: 0.2 Pa of buoyancy against some 30 Pa at high speed, root law."""
    power_high_w: float = 25.0
    """Electrical input at high speed. common practice: 15 to 25 W for a shaded-pole fan of this size."""
    power_low_w: float = 15.0
    """Electrical input at low speed. common practice, as above."""

    def check(self) -> list[tuple[str, str]]:
        """Ranges, and that low is the lower of the two."""
        wrong = super().check()
        if self.power_low_w > self.power_high_w:
            wrong.append(("power_low_w", "the fan takes more power at low speed than at high"))
        if self.natural_share >= self.low_share:
            wrong.append(
                ("natural_share", "natural draught moves as much air as the fan at low speed")
            )
        return wrong

    def row(self) -> NDArray[np.float64]:
        """Parameters in the order of the column names above."""
        return np.array(
            [
                self.flow_high_m3_s,
                self.low_share,
                self.natural_share,
                self.power_high_w,
                self.power_low_w,
            ]
        )


@compiled
def step_value(speed: float, low: float, high: float) -> float:
    """0 at speed 0, ``low`` at 1, ``high`` at 2, straight between."""
    s = min(max(speed, 0.0), 2.0)
    return float(low * s if s <= 1.0 else low + (high - low) * (s - 1.0))


@compiled
def volume_flow_m3_s(row: NDArray[np.float64], speed: float, health: float) -> float:
    """Air through the coil at a speed 0 to 2, natural draught included."""
    driven = health * step_value(speed, row[LOW_SHARE], 1.0)
    return float(row[FLOW_HIGH]) * sqrt(driven * driven + row[NATURAL_SHARE] * row[NATURAL_SHARE])


@door
def dry_air_flow_kg_s(
    row: Vector,
    speed: float,
    health: float,
    air_k: float,
    w: float,
    pressure_pa: float,
) -> float:
    """Dry air through the coil, the stream's density taken where it enters."""
    return volume_flow_m3_s(row, speed, health) / specific_volume_m3_kg(air_k, w, pressure_pa)


@door
def power_w(row: Vector, speed: float) -> float:
    """Electrical input of the fan motor."""
    return step_value(speed, row[POWER_LOW], row[POWER_HIGH])

"""Pipe: joins two nodes. Stores nothing; the volume belongs to its ends.

m = K sqrt(2 rho) dp/(dp^2+d0^2)^(1/4), K from Kv as for a valve (IEC 60534-1: Q = Kv sqrt(dp[bar]/(rho/1000))), linear below d0, plus the
weight of a liquid leg (``liquid_leg_m``: height of liquid above the outlet when the upstream vessel is full) or of a riser (``riser_m``: the
stream has to climb). The weight adds no energy term: 1 m is 10 J/kg, a millionth of what the stream carries.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from sim.part import Part
from sim.throttle import area_from_kv


@dataclass(frozen=True, kw_only=True)
class Pipe(Part):
    """Parameters of a pipe."""

    KIND: ClassVar[str] = "pipe"
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "kv_m3_h": (1e-4, 50.0),
        "linear_below_pa": (100.0, 5e4),
        "liquid_leg_m": (0.0, 5.0),
        "riser_m": (0.0, 10.0),
    }

    kv_m3_h: float
    """Flow coefficient of the whole run, m3/h of water at 1 bar."""
    linear_below_pa: float = 1e4
    liquid_leg_m: float = 0.0
    riser_m: float = 0.0
    shut_with: str = ""
    """Tag of a valve whose handle shuts this line too."""

    @property
    def area_m2(self) -> float:
        """Effective area."""
        return area_from_kv(self.kv_m3_h)

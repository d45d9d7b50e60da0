"""A variable-area flowmeter: a float that the stream lifts in a tapered tube, with a scale drawn for another liquid.

    q = (m/rho) sqrt((f - s) rho / ((f - rho) s))        f float, s the scale's liquid, rho what flows, kg/m3        VDI/VDE 3513-1

q (m3/s) is where the float stands on its scale. Holds while the drag coefficient stays as it was when the scale was drawn (turbulent, the usual
case), for a float denser than what flows. A stream the other way leaves the float on its stop.
"""

from __future__ import annotations

from math import sqrt

from sim.compiled import compiled

THINNEST_KG_M3 = 1.0  # guess: thinner gas than the thinnest in a plant lifts no steel float


@compiled
def scale_reading(flow_kg_s: float, rho: float, float_kg_m3: float, scale_kg_m3: float) -> float:
    """m3/s of the scale's liquid at which the float stands."""
    f, s = float_kg_m3, scale_kg_m3
    rho = max(rho, THINNEST_KG_M3)
    return float(max(flow_kg_s, 0.0) / rho * sqrt((f - s) * rho / ((f - rho) * s)))

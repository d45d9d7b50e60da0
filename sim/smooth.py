"""Smooth switches: every law of the plant must be continuous with its slope, or the implicit integrator chatters on the kink."""

from __future__ import annotations

from math import sqrt

from sim.compiled import compiled


@compiled
def smoothstep(x: float) -> float:
    """0 below 0, 1 above 1, 3x^2-2x^3 between: value and slope are continuous."""
    if x <= 0.0:
        return 0.0
    if x >= 1.0:
        return 1.0
    return x * x * (3.0 - 2.0 * x)


@compiled
def blend(x: float, low: float, high: float) -> float:
    """Smoothstep of x from 0 at ``low`` to 1 at ``high``."""
    return smoothstep((x - low) / (high - low))


@compiled
def softplus_sqrt(x: float, width: float) -> float:
    """Smooth max(x, 0): (x + sqrt(x^2 + width^2)) / 2."""
    return 0.5 * (x + sqrt(x * x + width * width))

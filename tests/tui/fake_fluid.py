"""A stand-in refrigerant: a dome of the right shape, and the saturation line that the stand-in bench goes by."""

from __future__ import annotations

import math

import numpy as np

from tui.fluid_chart import FluidChart

BAR = 1e5
ICE = 273.15


def boiling_k(pressure_pa: float) -> float:
    """Saturation temperature near that of R134a: a straight line in ln p against 1/T through (1.01 bar, 247 K) and (10.2 bar, 313 K)."""
    slope = math.log(10.2 / 1.013) / (1 / 247.08 - 1 / 313.15)
    return 1 / (1 / 247.08 - math.log(pressure_pa / 1.013e5) / slope)


def fake_chart() -> FluidChart:
    """A dome of the right shape: straight lines for what is nearly straight."""
    pressure = np.geomspace(0.3 * BAR, 40 * BAR, 60)
    boiling = np.array([boiling_k(value) for value in pressure])
    celsius = boiling - ICE
    closing = np.clip((pressure / (40 * BAR)) ** 4, 0, 1)
    liquid = 200e3 + 1.36e3 * celsius + 30e3 * closing
    vapour = 398.6e3 + 0.53e3 * celsius - 70e3 * closing
    vapour[-1] = liquid[-1] = (vapour[-1] + liquid[-1]) / 2
    superheat = np.linspace(0, 120, 13)
    return FluidChart(
        "R134a",
        "A1",
        pressure,
        boiling,
        boiling,
        liquid,
        vapour,
        superheat,
        vapour[:, None] + 0.95e3 * superheat,
        1000.0 + (liquid - 200e3) / 273.15,
        1000.0 + (liquid - 200e3) / 273.15 + (vapour - liquid) / boiling,
        (1000.0 + (liquid - 200e3) / 273.15 + (vapour - liquid) / boiling)[:, None]
        + 0.95e3 * np.log1p(superheat / boiling[:, None]),
        1295.0 - 3.7 * celsius,
    )

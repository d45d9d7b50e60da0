"""The passages between a coil's cells as numbers, and those that fall from a coil's low end to what hangs below it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import copysign, sqrt

import numpy as np

from sim.drainage import fall
from sim.fluid import Fluid
from sim.fluid_columns import N_SAT, SAT_MUL, SAT_MUV, SAT_RHOL, SAT_RHOV
from sim.fluid_kernel import dew_pressure, saturation
from sim.friction import coil_slope
from sim.parts.coil import Coil

COIL_D0 = 1e4  # Pa: coil passages are linear well beyond their nominal drop


def coil_conductance(coil: Coil, fluid: Fluid) -> float:
    """Conductance of one passage between cells, m2 (see ``sim.parts.coil``)."""
    sat = np.zeros(N_SAT)
    p = dew_pressure(fluid.tables, coil.nominal_saturation_k)
    saturation(fluid.tables, p, sat)
    slope = coil_slope(
        coil.nominal_flow_kg_s,
        coil.bore_m,
        coil.length_m,
        coil.bends,
        coil.quality_in,
        coil.quality_out,
        sat[SAT_RHOL],
        sat[SAT_RHOV],
        sat[SAT_MUL],
        sat[SAT_MUV],
    )
    x = 0.5 * (coil.quality_in + coil.quality_out)
    rho = 1.0 / (x / sat[SAT_RHOV] + (1.0 - x) / sat[SAT_RHOL])
    return sqrt(COIL_D0) / (slope * sqrt(2.0 * rho)) * coil.cells


def coil_fall(coil: Coil) -> float:
    """``sim.drainage.fall`` of one passage between cells, m3/s: positive towards the last cell, negative towards the first, 0 in a level coil."""
    if coil.fall_m == 0.0:
        return 0.0
    return copysign(fall(coil.section_m2, coil.bore_m), coil.fall_m)


def fall_between(
    coils: Sequence[Coil], elevation_m: Mapping[str, float], start: str, end: str
) -> float:
    """The same of a pipe or valve between two nodes (positive towards ``end``): 0 unless one is a coil's low end and the other lies lower."""
    for coil in coils:
        for node, other, sign in ((start, end, 1.0), (end, start, -1.0)):
            if node == coil.low_cell and elevation_m[other] < elevation_m[node]:
                return sign * fall(coil.section_m2, coil.bore_m)
    return 0.0

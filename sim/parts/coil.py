"""Finned coil: a bare tube of n cells in series on the refrigerant side, cross-flow of air on the other.

Geometry gives film area pi d L and volume pi d^2/4 L. Each cell has its share of wall, air and film; what happens inside a cell is
``sim.cell`` (reconstruction), ``sim.film`` (film coefficients) and ``sim.air`` (air side).

Pressure drop is linear in flow. Its slope is the published one at the nominal flow (Mueller-Steinhagen and Heck 1986 over the given
qualities, return bends as equivalent length), so both agree there; away from it the linear law is low at higher flows and high at lower ones.
In the kernel's form m = K sqrt(2 rho) dp/(dp^2+d0^2)^(1/4) with dp << d0 the conductance of the whole coil is
K = sqrt(d0) / (slope sqrt(2 rho_mean)), rho_mean the mean density of the stream at the nominal point.

In a coil that falls from one end to the other (``fall_m``) what stands between two cells has its weight, and liquid drains (``sim.drainage``).

Range: 6 cells or more (fewer hunt on a thermostatic valve), bores of 4 to 16 mm, mass flux up to about 300 kg/(m2 s).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import ClassVar

from sim.part import Part


@dataclass(frozen=True, kw_only=True)
class Coil(Part):
    """Parameters of a finned coil."""

    KIND: ClassVar[str] = "coil"
    PORTS: ClassVar[tuple[str, ...]] = ()
    HAZARDS: ClassVar[tuple[str, ...]] = ("pressure", "hot/cold")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "cells": (6, 64),
        "bore_m": (0.004, 0.016),
        "length_m": (0.5, 50.0),
        "bends": (0, 200),
        "nominal_flow_kg_s": (1e-4, 0.1),
        "nominal_saturation_k": (220.0, 345.0),
        "quality_in": (0.0, 1.0),
        "quality_out": (0.0, 1.0),
        "wall_heat_capacity_j_k": (20.0, 2e4),
        "air_conductance_w_k": (1.0, 2000.0),
        "nominal_air_flow_kg_s": (0.001, 5.0),
        "still_conductance_w_k": (0.01, 50.0),
        "fin_area_m2": (0.05, 50.0),
        "fin_gap_m": (0.0005, 0.02),
        "air_drop_share": (0.01, 0.9),
        "flow_filter_s": (0.2, 5.0),
        "fall_m": (-2.0, 2.0),
    }

    prefix: str
    """Cell nodes are called prefix1 .. prefixN, in the direction of flow in cooling."""
    cells: int
    bore_m: float
    length_m: float
    bends: int
    nominal_flow_kg_s: float
    nominal_saturation_k: float
    """Saturation temperature at which the slope of the pressure drop is taken."""
    quality_in: float
    quality_out: float
    wall_heat_capacity_j_k: float
    """Tube and fins."""
    air_conductance_w_k: float
    """Air to metal, fin efficiency included, at ``nominal_air_flow_kg_s``."""
    nominal_air_flow_kg_s: float
    still_conductance_w_k: float
    """Natural convection and radiation of the whole coil, present whether or not the fan turns."""
    fin_area_m2: float
    """Fins of the whole coil, both sides: where frost lies (``sim.frost``)."""
    fin_gap_m: float
    """Clear distance between two fins."""
    air_drop_share: float
    """Share of the fan's shut-off pressure that the clean coil takes."""
    air: str
    """Tag of the air stream."""
    flow_filter_s: float = 1.0
    """Time constant of the through-flow that the reconstruction reads."""
    fall_m: float = 0.0
    """How far the last cell lies below the first: a column has its weight, and what does not stream runs down (``sim.drainage``). Negative: the first lies lower; 0: level."""

    @property
    def volume_m3(self) -> float:
        """Inner volume."""
        return pi / 4.0 * self.bore_m**2 * self.length_m

    @property
    def film_area_m2(self) -> float:
        """Inner surface."""
        return pi * self.bore_m * self.length_m

    @property
    def low_cell(self) -> str:
        """Node of the cell at the low end, '' if the coil lies level."""
        return (
            "" if self.fall_m == 0.0 else f"{self.prefix}{self.cells if self.fall_m > 0.0 else 1}"
        )

    def elevation_m(self, cell: int) -> float:
        """Of a cell, counted from 0, above the low end."""
        return max(self.fall_m, 0.0) - self.fall_m * cell / (self.cells - 1)

    @property
    def section_m2(self) -> float:
        """Flow cross-section."""
        return pi / 4.0 * self.bore_m**2

"""What the screen knows of the refrigerant: the saturation line, and superheated vapour for the charts.

Plain arrays, so that drawing needs neither the fluid tables nor their compiler. They are filled once, in the runner's thread, from ``sim.fluid``.
Liquid is taken as saturated at its temperature: pressure hardly matters to it (common practice on such charts).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


class State(NamedTuple):
    """One point of the charts: J/kg, Pa, K, J/(kg K)."""

    enthalpy: float
    pressure: float
    temperature: float
    entropy: float
    quality: float
    """(h - hL)/(hV - hL) at its pressure: below 0 in liquid, above 1 in gas."""


@dataclass(frozen=True, eq=False)
class FluidChart:
    """Rows run over ``pressure_pa``, ascending; enthalpies in J/kg, entropies in J/(kg K)."""

    name: str
    safety_class: str
    pressure_pa: Array
    dew_k: Array
    bubble_k: Array
    liquid_j_kg: Array
    vapour_j_kg: Array
    superheat_k: Array
    """Columns of ``superheated_j_kg``; the first is 0."""
    superheated_j_kg: Array
    liquid_j_kg_k: Array
    vapour_j_kg_k: Array
    superheated_j_kg_k: Array
    liquid_kg_m3: Array

    @cached_property
    def log_pressure(self) -> Array:
        """Natural logarithms of ``pressure_pa``."""
        logs: Array = np.log(self.pressure_pa)
        return logs

    def boiling_k(self, pressure_pa: float) -> float:
        """Dew temperature; not a number outside the line."""
        return self._along(self.dew_k, pressure_pa)

    def bubbling_k(self, pressure_pa: float) -> float:
        """Bubble temperature."""
        return self._along(self.bubble_k, pressure_pa)

    def dew_pa(self, temperature_k: float) -> float:
        """Pressure whose dew temperature is ``temperature_k``."""
        if not self.dew_k[0] <= temperature_k <= self.dew_k[-1]:
            return float("nan")
        return float(np.exp(np.interp(temperature_k, self.dew_k, self.log_pressure)))

    def _along(self, column: Array, pressure_pa: float) -> float:
        if not self.pressure_pa[0] <= pressure_pa <= self.pressure_pa[-1]:
            return float("nan")
        return float(np.interp(math.log(pressure_pa), self.log_pressure, column))

    def enthalpy(self, pressure_pa: float, quality: float) -> float:
        """From the generalised quality of a place, (h - hL)/(hV - hL)."""
        liquid = self._along(self.liquid_j_kg, pressure_pa)
        return liquid + quality * (self._along(self.vapour_j_kg, pressure_pa) - liquid)

    def vapour_enthalpy(self, pressure_pa: float, temperature_k: float) -> float:
        """Superheated vapour from what two instruments say."""
        superheat = temperature_k - self.boiling_k(pressure_pa)
        if not superheat >= 0:
            return self._along(self.vapour_j_kg, pressure_pa)
        row = float(np.interp(math.log(pressure_pa), self.log_pressure, np.arange(self.pressure_pa.size)))  # fmt: skip
        low = min(int(row), self.pressure_pa.size - 2)
        ends = [np.interp(superheat, self.superheat_k, self.superheated_j_kg[i]) for i in (low, low + 1)]  # fmt: skip
        return float(ends[0] + (ends[1] - ends[0]) * (row - low))

    def liquid_enthalpy(self, temperature_k: float) -> float:
        """Liquid at a temperature, taken as saturated: pressure hardly matters (common practice)."""
        return float(np.interp(temperature_k, self.bubble_k, self.liquid_j_kg))

    def liquid_density(self, temperature_k: float) -> float:
        """The same, kg/m3."""
        return float(np.interp(temperature_k, self.bubble_k, self.liquid_kg_m3))

    def state(self, pressure_pa: float, enthalpy: float) -> State:
        """All that the charts know of a point; not numbers above the critical point and outside the line."""
        if not self.pressure_pa[0] <= pressure_pa <= self.pressure_pa[-1]:
            return State(enthalpy, pressure_pa, math.nan, math.nan, math.nan)
        at = float(np.interp(math.log(pressure_pa), self.log_pressure, np.arange(self.pressure_pa.size)))  # fmt: skip
        low = min(int(at), self.pressure_pa.size - 2)
        share = at - low
        liquid, vapour = (self._along(line, pressure_pa) for line in (self.liquid_j_kg, self.vapour_j_kg))  # fmt: skip
        quality = (enthalpy - liquid) / (vapour - liquid)
        if quality <= 0.0:
            temperature = float(np.interp(enthalpy, self.liquid_j_kg, self.bubble_k))
            entropy = float(np.interp(enthalpy, self.liquid_j_kg, self.liquid_j_kg_k))
        elif quality < 1.0:
            bubble, dew = self.bubbling_k(pressure_pa), self.boiling_k(pressure_pa)
            ends = (self._along(line, pressure_pa) for line in (self.liquid_j_kg_k, self.vapour_j_kg_k))  # fmt: skip
            first, last = ends
            temperature, entropy = bubble + quality * (dew - bubble), first + quality * (last - first)  # fmt: skip
        else:
            # along the two neighbouring isobars at the same distance from their dew points
            beyond = enthalpy - vapour
            found = [self._gas_row(row, self.vapour_j_kg[row] + beyond) for row in (low, low + 1)]
            temperature, entropy = (a + share * (b - a) for a, b in zip(*found, strict=True))
        return State(enthalpy, pressure_pa, temperature, entropy, quality)

    def _gas_row(self, row: int, enthalpy: float) -> tuple[float, float]:
        """(temperature, entropy) of gas on one isobar."""
        more = float(np.interp(enthalpy, self.superheated_j_kg[row], self.superheat_k))
        entropy = float(np.interp(more, self.superheat_k, self.superheated_j_kg_k[row]))
        return float(self.dew_k[row]) + more, entropy

    def state_at(self, temperature_k: float, entropy: float) -> State:
        """The point of a temperature and an entropy; liquid is taken as saturated. Not numbers where the chart ends."""
        pressure = self.dew_pa(temperature_k)
        if math.isfinite(pressure) and entropy <= self._along(self.vapour_j_kg_k, pressure):
            first, last = (self._along(line, pressure) for line in (self.liquid_j_kg_k, self.vapour_j_kg_k))  # fmt: skip
            return self.state(pressure, self.enthalpy(pressure, max((entropy - first) / (last - first), 0.0)))  # fmt: skip
        more = temperature_k - self.dew_k
        rows = np.flatnonzero((more >= 0.0) & (more <= self.superheat_k[-1]))
        found = np.array([np.interp(more[row], self.superheat_k, self.superheated_j_kg_k[row]) for row in rows])  # fmt: skip
        if not found.size or not found[-1] <= entropy <= found[0]:
            return State(math.nan, math.nan, temperature_k, entropy, math.nan)
        logs = np.interp(-entropy, -found, self.log_pressure[rows])
        pressure = float(np.exp(logs))
        return self.state(pressure, self.vapour_enthalpy(pressure, temperature_k))

    def isentrope(self, entropy: float) -> tuple[Array, Array]:
        """(pressure, enthalpy) of the superheated branch of one entropy."""
        inside = (self.vapour_j_kg_k <= entropy) & (entropy <= self.superheated_j_kg_k[:, -1])
        rows = np.flatnonzero(inside)
        found = [np.interp(entropy, self.superheated_j_kg_k[row], self.superheated_j_kg[row]) for row in rows]  # fmt: skip
        return self.pressure_pa[rows], np.array(found, float)

    def isotherm(self, temperature_k: float) -> tuple[Array, Array]:
        """(pressure, enthalpy) of the superheated branch of one temperature."""
        rows = [
            (pressure, self.vapour_enthalpy(pressure, temperature_k))
            for pressure, dew in zip(self.pressure_pa, self.dew_k, strict=True)
            if 0 <= temperature_k - dew <= self.superheat_k[-1]
        ]
        both = np.array(rows, float).reshape(-1, 2)
        return both[:, 0], both[:, 1]

"""What the screen knows of the refrigerant: the saturation line, and superheated vapour for the p-h chart.

Plain arrays, so that drawing needs neither the fluid tables nor their compiler. They are filled once, in the runner's thread, from ``sim.fluid``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


@dataclass(frozen=True)
class FluidChart:
    """Rows run over ``pressure_pa``, ascending; enthalpies in J/kg."""

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
        return float(np.exp(np.interp(temperature_k, self.dew_k, np.log(self.pressure_pa))))

    def _along(self, column: Array, pressure_pa: float) -> float:
        if not self.pressure_pa[0] <= pressure_pa <= self.pressure_pa[-1]:
            return float("nan")
        return float(np.interp(np.log(pressure_pa), np.log(self.pressure_pa), column))

    def enthalpy(self, pressure_pa: float, quality: float) -> float:
        """From the generalised quality of a place, (h - hL)/(hV - hL)."""
        liquid = self._along(self.liquid_j_kg, pressure_pa)
        return liquid + quality * (self._along(self.vapour_j_kg, pressure_pa) - liquid)

    def vapour_enthalpy(self, pressure_pa: float, temperature_k: float) -> float:
        """Superheated vapour from what two instruments say."""
        superheat = temperature_k - self.boiling_k(pressure_pa)
        if not superheat >= 0:
            return self._along(self.vapour_j_kg, pressure_pa)
        row = float(np.interp(np.log(pressure_pa), np.log(self.pressure_pa), np.arange(self.pressure_pa.size)))  # fmt: skip
        low = min(int(row), self.pressure_pa.size - 2)
        ends = [np.interp(superheat, self.superheat_k, self.superheated_j_kg[i]) for i in (low, low + 1)]  # fmt: skip
        return float(ends[0] + (ends[1] - ends[0]) * (row - low))

    def liquid_enthalpy(self, temperature_k: float) -> float:
        """Liquid at a temperature, taken as saturated: pressure hardly matters (common practice)."""
        return float(np.interp(temperature_k, self.bubble_k, self.liquid_j_kg))

    def isotherm(self, temperature_k: float) -> tuple[Array, Array]:
        """(pressure, enthalpy) of the superheated branch of one temperature."""
        rows = [
            (pressure, self.vapour_enthalpy(pressure, temperature_k))
            for pressure, dew in zip(self.pressure_pa, self.dew_k, strict=True)
            if 0 <= temperature_k - dew <= self.superheat_k[-1]
        ]
        both = np.array(rows, float).reshape(-1, 2)
        return both[:, 0], both[:, 1]

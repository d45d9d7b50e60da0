"""The arithmetic of refrigeration practice, each formula once. SI inside: absolute Pa, K, J/kg, kg/m3, W.

Sources: EN 378-1:2016 clause 3 (gauge and absolute pressure); ASHRAE Handbook Fundamentals 2017 ch. 2 (cycle, first law on each part, throttling keeps the enthalpy);
VDI/VDE 3513-1 (a variable-area meter read with another density); IEC 60050-131 (apparent power, power factor). Superheat and subcooling: common practice. The clauses
are named from memory.
"""

from __future__ import annotations

from math import nan, sqrt
from typing import Protocol


class Saturation(Protocol):
    """The two lines of a refrigerant's table."""

    def boiling_k(self, pressure_pa: float) -> float:
        """Dew temperature; nan outside the table."""

    def bubbling_k(self, pressure_pa: float) -> float:
        """Bubble temperature; nan outside the table."""


class Refrigerant(Saturation, Protocol):
    """A table with enthalpies and liquid densities as well."""

    def vapour_enthalpy(self, pressure_pa: float, temperature_k: float) -> float:
        """Gas, J/kg."""

    def liquid_enthalpy(self, temperature_k: float) -> float:
        """Liquid, taken as saturated at its temperature, J/kg."""

    def liquid_density(self, temperature_k: float) -> float:
        """The same, kg/m3."""

    def enthalpy(self, pressure_pa: float, quality: float) -> float:
        """Mixture of a vapour share by mass, J/kg."""


def absolute_pa(gauge_pa: float, atmosphere_pa: float) -> float:
    """A gauge counts from the room's air (EN 378-1)."""
    return gauge_pa + atmosphere_pa


def superheat_k(gas_k: float, boiling_k: float) -> float:
    """How far a gas stands above its boiling point (common practice: dew line)."""
    return gas_k - boiling_k


def subcooling_k(bubbling_k: float, liquid_k: float) -> float:
    """How far a liquid stands below its boiling point (common practice: bubble line)."""
    return bubbling_k - liquid_k


def rise(first: float, second: float) -> float:
    """The second less the first: of air through a coil, of enthalpy through a part."""
    return second - first


def ratio(above: float, below: float) -> float:
    """One over the other; nan over nothing."""
    return above / below if below else nan


def flash_share(liquid_j_kg: float, pressure_pa: float, fluid: Refrigerant) -> float:
    """Vapour share behind a throttle, which keeps the enthalpy (ASHRAE Fundamentals ch. 2)."""
    boiling, dry = fluid.enthalpy(pressure_pa, 0.0), fluid.enthalpy(pressure_pa, 1.0)
    return ratio(liquid_j_kg - boiling, dry - boiling)


def float_factor(float_kg_m3: float, scale_kg_m3: float, liquid_kg_m3: float) -> float:
    """True volume flow over the scale's, for a liquid that is not the scale's (VDI/VDE 3513-1): weight less buoyancy carries the float, its drag goes with density."""
    above = (float_kg_m3 - liquid_kg_m3) * scale_kg_m3
    below = (float_kg_m3 - scale_kg_m3) * liquid_kg_m3
    return sqrt(above / below) if above > 0.0 and below > 0.0 else nan


def product(first: float, second: float) -> float:
    """Volume flow times density, mass flow times enthalpy, volts times amps."""
    return first * second


def residual_w(taken_up_w: float, driven_w: float, given_off_w: float) -> float:
    """What goes in less what is counted as coming out (first law, steady)."""
    return taken_up_w + driven_w - given_off_w

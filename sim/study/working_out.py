"""What a person works out from displays: superheat, subcooling, air differences, pressure ratio, power. The formulas are those of ``sim.working``; here are the bands: what a lesson sheet would call normal."""

from __future__ import annotations

from dataclasses import dataclass
from math import nan

from sim.fluid import Fluid
from sim.study.dials import MOVED_STEPS, Dial, Readings
from sim.working.steps import worked

ABSOLUTE = {
    "suction_absolute_pa": "suction_pressure_pa",
    "discharge_absolute_pa": "discharge_pressure_pa",
}
"""Readings hold absolute pressures, so the step from the gauge is not taken here."""


@dataclass(frozen=True)
class Table:
    """A refrigerant as the formulas ask for it."""

    fluid: Fluid

    def boiling_k(self, pressure_pa: float) -> float:
        """Dew temperature."""
        return self.fluid.dew_temperature(pressure_pa)

    def bubbling_k(self, pressure_pa: float) -> float:
        """Bubble temperature."""
        return self.fluid.bubble_temperature(pressure_pa)


@dataclass(frozen=True)
class Sum:
    """One calculation. ``band``: how far it may stray and still be called normal."""

    name: str
    unit: str
    band: float
    needs: tuple[str, ...]
    """Displays that it is worked out from."""
    step: str

    def possible(self, readings: Readings) -> bool:
        """Does this rig have the instruments?"""
        return all(key in readings for key in self.needs)

    def way(self, readings: Readings, fluid: Fluid) -> float:
        """Its result."""

        def look(name: str) -> float:
            return float(readings.get(f"{ABSOLUTE.get(name, name)}_shown", nan))

        return worked(self.step, look, Table(fluid))

    def told(self, readings: Readings, fluid: Fluid, dials: dict[str, Dial]) -> float:
        """The least change that the sum tells: its band, or what two steps of every display in it make of it."""
        here = self.way(readings, fluid)
        steps = 0.0
        for key in self.needs:
            dial = dials[key]
            moved = {**readings, key: float(readings[key]) + dial.step * dial.factor}
            steps += abs(self.way(moved, fluid) - here)
        return max(self.band, MOVED_STEPS * steps)


def _keys(*names: str) -> tuple[str, ...]:
    return tuple(f"{name}_shown" for name in names)


SUMS = (
    Sum("superheat at the evaporator", "K", 1.5, _keys("evaporator_outlet_temperature_k", "suction_pressure_pa"), "superheat_at_outlet_k"),  # common practice: ±1.5 K
    Sum("superheat at the compressor", "K", 1.5, _keys("suction_temperature_k", "suction_pressure_pa"), "superheat_at_compressor_k"),  # common practice: as above
    Sum("subcooling before the device", "K", 1.0, _keys("liquid_temperature_k", "discharge_pressure_pa"), "subcooling_at_device_k"),  # common practice: ±1 K
    Sum("air difference over coil B", "K", 0.7, _keys("evaporator_air_in_k", "evaporator_air_out_k"), "evaporator_air_drop_k"),  # common practice: ±0.7 K
    Sum("air difference over coil A", "K", 0.7, _keys("condenser_air_in_k", "condenser_air_out_k"), "condenser_air_rise_k"),  # common practice: as above
    Sum("pressure ratio", "", 0.2, _keys("discharge_pressure_pa", "suction_pressure_pa"), "compression_ratio"),  # guess: a twentieth of the usual 4
    Sum("volts times amps", "VA", 8.0, _keys("voltage_v", "current_a"), "apparent_va"),  # common practice: ±8 W
    Sum("power factor", "", 0.02, _keys("power_w", "voltage_v", "current_a"), "power_factor"),  # guess: 8 W of 400 VA
)  # fmt: skip
IN_HEATING = ("superheat at the compressor", "air difference over coil B", "air difference over coil A", "pressure ratio", "volts times amps", "power factor")  # fmt: skip
"""What still means something when the coils have changed their work and the thermometers have not."""


def sums_for(readings: Readings, mode: str) -> list[Sum]:
    """The calculations that this rig's instruments allow."""
    return [one for one in SUMS if one.possible(readings) and (mode == "cooling" or one.name in IN_HEATING)]  # fmt: skip

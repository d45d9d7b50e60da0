"""What a person works out from displays: superheat, subcooling, air differences, pressure ratio, power. Bands: what a lesson sheet would call normal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from sim.fluid import Fluid
from sim.study.dials import MOVED_STEPS, Dial, Readings

Way = Callable[[Readings, Fluid], float]


@dataclass(frozen=True)
class Sum:
    """One calculation. ``band``: how far it may stray and still be called normal."""

    name: str
    unit: str
    band: float
    needs: tuple[str, ...]
    """Displays that it is worked out from."""
    way: Way

    def possible(self, readings: Readings) -> bool:
        """Does this rig have the instruments?"""
        return all(key in readings for key in self.needs)

    def told(self, readings: Readings, fluid: Fluid, dials: dict[str, Dial]) -> float:
        """The least change that the sum tells: its band, or what two steps of every display in it make of it."""
        here = self.way(readings, fluid)
        steps = 0.0
        for key in self.needs:
            dial = dials[key]
            moved = {**readings, key: float(readings[key]) + dial.step * dial.factor}
            steps += abs(self.way(moved, fluid) - here)
        return max(self.band, MOVED_STEPS * steps)


def _of(readings: Readings, name: str) -> float:
    return float(readings[f"{name}_shown"])


def _superheat(temperature: str) -> Way:
    return lambda r, fluid: _of(r, temperature) - fluid.dew_temperature(_of(r, "suction_pressure_pa"))  # fmt: skip


def _subcooling(r: Readings, fluid: Fluid) -> float:
    return fluid.bubble_temperature(_of(r, "discharge_pressure_pa")) - _of(r, "liquid_temperature_k")  # fmt: skip


def _difference(first: str, second: str) -> Way:
    return lambda r, _: _of(r, second) - _of(r, first)


def _ratio(r: Readings, _: Fluid) -> float:
    return _of(r, "discharge_pressure_pa") / max(_of(r, "suction_pressure_pa"), 1e3)


def _apparent(r: Readings, _: Fluid) -> float:
    return _of(r, "voltage_v") * _of(r, "current_a")


def _power_factor(r: Readings, fluid: Fluid) -> float:
    return _of(r, "power_w") / max(_apparent(r, fluid), 1.0)


def _keys(*names: str) -> tuple[str, ...]:
    return tuple(f"{name}_shown" for name in names)


SUMS = (
    Sum("superheat at the evaporator", "K", 1.5, _keys("evaporator_outlet_temperature_k", "suction_pressure_pa"), _superheat("evaporator_outlet_temperature_k")),  # common practice: ±1.5 K
    Sum("superheat at the compressor", "K", 1.5, _keys("suction_temperature_k", "suction_pressure_pa"), _superheat("suction_temperature_k")),  # common practice: as above
    Sum("subcooling before the device", "K", 1.0, _keys("liquid_temperature_k", "discharge_pressure_pa"), _subcooling),  # common practice: ±1 K
    Sum("air difference over coil B", "K", 0.7, _keys("evaporator_air_in_k", "evaporator_air_out_k"), _difference("evaporator_air_out_k", "evaporator_air_in_k")),  # common practice: ±0.7 K
    Sum("air difference over coil A", "K", 0.7, _keys("condenser_air_in_k", "condenser_air_out_k"), _difference("condenser_air_in_k", "condenser_air_out_k")),  # common practice: as above
    Sum("pressure ratio", "", 0.2, _keys("discharge_pressure_pa", "suction_pressure_pa"), _ratio),  # guess: a twentieth of the usual 4
    Sum("volts times amps", "VA", 8.0, _keys("voltage_v", "current_a"), _apparent),  # common practice: ±8 W
    Sum("power factor", "", 0.02, _keys("power_w", "voltage_v", "current_a"), _power_factor),  # guess: 8 W of 400 VA
)  # fmt: skip
IN_HEATING = ("superheat at the compressor", "air difference over coil B", "air difference over coil A", "pressure ratio", "volts times amps", "power factor")  # fmt: skip
"""What still means something when the coils have changed their work and the thermometers have not."""


def sums_for(readings: Readings, mode: str) -> list[Sum]:
    """The calculations that this rig's instruments allow."""
    return [one for one in SUMS if one.possible(readings) and (mode == "cooling" or one.name in IN_HEATING)]  # fmt: skip

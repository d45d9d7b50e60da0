"""What a technician works out from gauge and thermometer: saturation temperatures, superheat, subcooling.

They come from the displays in the learner's view and from the truth in the instructor's, so that a wrong gauge gives a wrong superheat, as on a real bench. In heating the
thermometer at coil B's outlet is on the hot gas and the one at the liquid line's end stands behind the metering device: superheat is then worked out at the compressor, and
no instrument gives a subcooling.
"""

from __future__ import annotations

import math
from collections.abc import Callable

from tui.fluid_chart import FluidChart

Look = Callable[[str], float]
"""Reading name -> number, or nan."""


def _low_saturation(look: Look, fluid: FluidChart) -> float:
    return fluid.boiling_k(look("suction_pressure_pa"))


def _high_saturation(look: Look, fluid: FluidChart) -> float:
    return fluid.bubbling_k(look("discharge_pressure_pa"))


def _superheat(look: Look, fluid: FluidChart) -> float:
    """Thermometer at the evaporator's outlet against the suction gauge (common practice); without that thermometer, the one at the compressor."""
    outlet = look("evaporator_outlet_temperature_k")
    gas = outlet if math.isfinite(outlet) else look("suction_temperature_k")
    return gas - _low_saturation(look, fluid)


def _suction_superheat(look: Look, fluid: FluidChart) -> float:
    return look("suction_temperature_k") - _low_saturation(look, fluid)


def _subcooling(look: Look, fluid: FluidChart) -> float:
    return _high_saturation(look, fluid) - look("liquid_temperature_k")


DERIVED: dict[str, Callable[[Look, FluidChart], float]] = {
    "gauge_superheat_k": _superheat,
    "suction_gauge_superheat_k": _suction_superheat,
    "gauge_subcooling_k": _subcooling,
    "suction_saturation_temperature_k": _low_saturation,
    "discharge_saturation_temperature_k": _high_saturation,
}
"""Name -> how it is worked out."""
IN_HEATING: dict[str, Callable[[Look, FluidChart], float]] = {
    "gauge_superheat_k": _suction_superheat,
    "gauge_subcooling_k": lambda look, fluid: math.nan,
}
"""The same for what the thermometers of cooling cannot give in heating."""


def derive(key: str, look: Look, fluid: FluidChart | None, heating: bool = False) -> float:
    """One of ``DERIVED``; nan while the fluid is not known."""
    if fluid is None:
        return math.nan
    way = IN_HEATING.get(key, DERIVED[key]) if heating else DERIVED[key]
    return way(look, fluid)

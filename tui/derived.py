"""What a technician works out from gauge and thermometer: saturation temperatures, superheat, subcooling. The formulas are those of ``sim.working``.

They come from the displays in the learner's view and from the truth in the instructor's, so that a wrong gauge gives a wrong superheat, as on a real bench. In heating the
thermometer at coil B's outlet is on the hot gas and the one at the liquid line's end stands behind the metering device: no instrument then gives an evaporator's superheat or
a subcooling, and the superheat at the compressor is the only one.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from sim.working.steps import worked
from tui.fluid_chart import FluidChart

Look = Callable[[str], float]
"""Reading name -> number, or nan."""
OUTLET = "evaporator_outlet_temperature_k"
PRESSURES = {
    "suction_absolute_pa": "suction_pressure_pa",
    "discharge_absolute_pa": "discharge_pressure_pa",
}
"""Readings hold absolute pressures, so the step from the gauge is not taken here."""
DERIVED: dict[str, str] = {
    "gauge_superheat_k": "superheat_at_outlet_k",
    "suction_gauge_superheat_k": "superheat_at_compressor_k",
    "gauge_subcooling_k": "subcooling_at_device_k",
    "suction_saturation_temperature_k": "evaporating_point_k",
    "discharge_saturation_temperature_k": "condensing_point_k",
}
"""Name -> the step that gives it."""
COOLING_ONLY = ("gauge_superheat_k", "gauge_subcooling_k")
SUPERHEATS = ("gauge_superheat_k", "suction_gauge_superheat_k")
WET, WET_SAID = "wet?", "wet by these readings"
"""What a superheat at or below zero means: pressure and temperature then do not tell the state. Short, and in a sentence."""


def wet(key: str, value: object) -> bool:
    """True for a superheat that is none."""
    return key in SUPERHEATS and isinstance(value, float) and value <= 0.0


def derive(key: str, look: Look, fluid: FluidChart | None, heating: bool = False) -> float:
    """One of ``DERIVED``; nan while the fluid is not known. Without a thermometer at the evaporator's outlet (common practice: superheat is taken there) the one at the compressor stands in."""
    return derive_all((key,), look, fluid, heating)[key]


def derive_all(keys: Iterable[str], look: Look, fluid: FluidChart | None, heating: bool = False) -> dict[str, float]:  # fmt: skip
    """Several of ``DERIVED``; what two of them rest on is looked at and worked out once."""
    if fluid is None:
        return dict.fromkeys(keys, math.nan)
    known: dict[str, float] = {}

    def told(name: str) -> float:
        if name not in known:
            known[name] = math.nan  # while it is worked out
            read = name in PRESSURES or name.endswith("temperature_k")
            known[name] = look(PRESSURES.get(name, name)) if read else worked(name, told, fluid)
        return known[name]

    return {key: math.nan if heating and key in COOLING_ONLY else told(_step(key, told)) for key in keys}  # fmt: skip


def _step(key: str, told: Look) -> str:
    other = key == "gauge_superheat_k" and not math.isfinite(told(OUTLET))
    return DERIVED["suction_gauge_superheat_k" if other else key]

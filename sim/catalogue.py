"""The catalogue: part kind -> class. Adding a part means its file, one line here and its loop in the kernel."""

from __future__ import annotations

from sim.part import Part
from sim.parts.float_valve import FloatValve
from sim.parts.hand_expansion_valve import HandExpansionValve
from sim.parts.hand_valve import HandValve
from sim.parts.motor import SinglePhaseMotor
from sim.parts.reversing_valve import ReversingValve
from sim.parts.thermostatic_valve import ThermostaticValve

CATALOGUE: dict[str, type[Part]] = {
    FloatValve.KIND: FloatValve,
    HandExpansionValve.KIND: HandExpansionValve,
    HandValve.KIND: HandValve,
    ReversingValve.KIND: ReversingValve,
    SinglePhaseMotor.KIND: SinglePhaseMotor,
    ThermostaticValve.KIND: ThermostaticValve,
}

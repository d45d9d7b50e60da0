"""The catalogue: part kind -> class. Adding a part means its file, one line here and its loop in the kernel."""

from __future__ import annotations

from sim.part import Part
from sim.parts.capillary import Capillary
from sim.parts.check_valve import CheckValve
from sim.parts.coil import Coil
from sim.parts.compressor import ReciprocatingCompressor
from sim.parts.compressor_map import MappedCompressor
from sim.parts.fan import Fan
from sim.parts.float_valve import FloatValve
from sim.parts.hand_expansion_valve import HandExpansionValve
from sim.parts.hand_valve import HandValve
from sim.parts.motor import SinglePhaseMotor
from sim.parts.pipe import Pipe
from sim.parts.relief_valve import ReliefValve
from sim.parts.reversing_valve import ReversingValve
from sim.parts.service_port import ServicePort
from sim.parts.solenoid_valve import SolenoidValve
from sim.parts.thermostatic_valve import ThermostaticValve
from sim.parts.water_bath import WaterBath

CATALOGUE: dict[str, type[Part]] = {
    kind.KIND: kind
    for kind in (
        Capillary,
        CheckValve,
        Coil,
        Fan,
        FloatValve,
        HandExpansionValve,
        HandValve,
        MappedCompressor,
        Pipe,
        ReciprocatingCompressor,
        ReliefValve,
        ReversingValve,
        SinglePhaseMotor,
        ServicePort,
        SolenoidValve,
        ThermostaticValve,
        WaterBath,
    )
}
"""Part kind -> class."""

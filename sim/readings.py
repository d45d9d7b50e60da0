"""The table of readings: name -> (unit, one plain sentence). The unit is also the end of the name, but for numbers without one.

Evaporator and condenser follow the function: in heating "the evaporator" is the other coil. Instruments stay where they are bolted: ``X_shown`` is what
the instrument for reading X displays, in X's unit.
"""

from __future__ import annotations

from sim.units import SUFFIXES, split_key

_SENTENCES: dict[str, str] = {
    "suction_pressure_pa": "Absolute pressure at the compressor's suction service valve, compressor side.",
    "discharge_pressure_pa": "Absolute pressure at the discharge service valve, plant side.",
    "suction_temperature_k": "Temperature of the gas entering the compressor.",
    "discharge_temperature_k": "Temperature of the gas leaving the compressor.",
    "suction_superheat_k": "Suction temperature minus the dew point at suction pressure.",
    "suction_quality": "Vapour share by mass of what enters the compressor; 1 is dry.",
    "evaporating_temperature_k": "Dew point at the evaporator's outlet pressure.",
    "condensing_temperature_k": "Dew point at the condenser's pressure.",
    "condensing_bubble_temperature_k": "Bubble point at the condenser's pressure; differs from the dew point for blends.",
    "evaporator_superheat_k": "Temperature at the evaporator's outlet minus the dew point there; 0 when wet.",
    "evaporator_outlet_temperature_k": "Temperature at the evaporator's outlet.",
    "condenser_outlet_temperature_k": "Temperature of the liquid leaving the condenser.",
    "strap_on_temperature_k": "Temperature where the strap-on thermometer has been put.",
    "evaporator_outlet_quality": "Vapour share by mass at the evaporator's outlet.",
    "condenser_subcooling_k": "Bubble point at the condenser's outlet minus the temperature there.",
    "liquid_subcooling_k": "Bubble point before the metering device minus the temperature there.",
    "liquid_temperature_k": "Temperature of the liquid header: in cooling before the metering device, in heating behind it.",
    "evaporator_air_in_k": "Air temperature entering the evaporator.",
    "evaporator_air_out_k": "Air temperature leaving the evaporator.",
    "condenser_air_in_k": "Air temperature entering the condenser.",
    "condenser_air_out_k": "Air temperature leaving the condenser.",
    "evaporator_air_flow_kg_s": "Dry air through the evaporator.",
    "condenser_air_flow_kg_s": "Dry air through the condenser.",
    "evaporator_frost_kg": "Frost on the evaporator.",
    "condenser_frost_kg": "Frost on the condenser: what a reversed cycle has to melt.",
    "evaporator_air_in_humidity_ratio": "Water per dry air by mass entering the evaporator.",
    "evaporator_air_out_humidity_ratio": "Water per dry air by mass leaving the evaporator.",
    "evaporator_condensate_kg_s": "Water that the evaporator takes out of the air.",
    "mass_flow_kg_s": "Refrigerant through the compressor.",
    "liquid_flow_kg_s": "Refrigerant through the liquid-line flowmeter.",
    "receiver_level": "Liquid in the receiver, share of its volume.",
    "float_level": "Liquid in the float drum, share of its volume.",
    "sight_glass": "What the glass before the metering devices holds: clear, bubbles, foam, wet or empty.",
    "refrigerating_capacity_w": "Heat taken up between the metering device's inlet and the evaporator's outlet.",
    "heat_rejected_w": "Heat given off by the condenser.",
    "compressor_power_w": "Electrical power of the compressor alone.",
    "cop": "Useful heat over compressor power: capacity in cooling, heat rejected in heating.",
    "pressure_ratio": "Discharge over suction pressure, both absolute.",
    "shell_temperature_k": "Temperature of the compressor's shell.",
    "winding_temperature_k": "Temperature of the motor's windings.",
    "compressor_speed_rpm": "Shaft speed of the compressor.",
    "supply_voltage_v": "Voltage of the supply.",
    "voltage_v": "Voltage at the panel.",
    "current_a": "Current into the panel.",
    "power_w": "Electrical power into the panel: compressor, fans and coils.",
    "power_factor": "Panel power over volts times amps.",
    "room_temperature_k": "Air temperature of the room.",
    "atmospheric_pressure_pa": "Pressure of the room's air.",
    "charge_kg": "Refrigerant in the plant.",
}


def _unit(name: str) -> str:
    suffix = split_key(name)[1]
    return SUFFIXES[suffix].symbol if suffix else ""


READINGS: dict[str, tuple[str, str]] = {
    name: (_unit(name), sentence) for name, sentence in _SENTENCES.items()
}
"""Reading -> (unit, sentence). Text readings and plain numbers have the unit ''."""

TEXT_READINGS = frozenset(("sight_glass",))
"""Readings that are words; also every ``sight_glass_<tag>``."""
SIGHT_GLASS_WORDS = ("clear", "bubbles", "foam", "wet", "empty")


IN_HEATING = {
    "evaporator_": "at the condenser",
    "condenser_": "at the evaporator",
    "liquid_temperature_": "behind the metering device",
}
"""Beginning of a reading -> where its instrument stands when the cycle is reversed."""


def _in_heating(name: str) -> str:
    """What the end of ``describe`` says of an instrument that a reversed cycle leaves in another place of the cycle."""
    for beginning, place in IN_HEATING.items():
        if name.startswith(beginning):
            return f"; it stays where it is bolted, so in heating it stands {place}"
    return ""


def describe(name: str) -> tuple[str, str]:
    """(unit, sentence) of any reading, those of single instruments and glasses too. Raises KeyError."""
    if name in READINGS:
        return READINGS[name]
    if name == "flowmeter_shown":
        return "", "What the flowmeter displays, in its scale's unit."
    if name.endswith("_shown"):
        unit, sentence = describe(name.removesuffix("_shown"))
        return unit, f"What the instrument displays of: {sentence[:-1]}{_in_heating(name)}."
    if name.startswith("sight_glass_"):
        return (
            "",
            f"What the glass {name.removeprefix('sight_glass_')} holds: clear, bubbles, foam, wet or empty.",
        )
    raise KeyError(name)

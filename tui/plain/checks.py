"""What a technician would look at on a part before believing it is sound, by kind. All of it common practice; the maker's instructions come first."""

from __future__ import annotations

CHECKS = {
    "hand_valve": "the handle's position against the drawing; open, the pipe has the same temperature on both sides, and a step in temperature or frost behind it means that it throttles.",
    "hand_expansion_valve": "superheat at the coil's outlet, some minutes after every small turn; frost that begins at the valve is where the pressure falls.",
    "thermostatic_valve": "the bulb: clamped tight on clean pipe, insulated, charged; then superheat over several minutes, and only after that the spring.",
    "spring": "superheat over several minutes before and after a quarter turn, never more than one turn without waiting.",
    "capillary": "superheat and subcooling together: little of the first and none of the second speak of charge, not of the tube; a frosted inlet speaks of a blockage.",
    "float_valve": "the level in the drum's glass against the superheat behind it.",
    "solenoid_valve": "voltage at the coil, the click, and the same temperature on both sides when it is open.",
    "reversing_valve": "the temperatures of its four pipes in pairs; a difference between suction in and suction out means gas leaking inside.",
    "relief_valve": "traces of oil or refrigerant at its outlet, the date of its last test; it is never plugged or adjusted.",
    "coil": "clean fins, free air, air temperature before and behind it, and whether it is frosted evenly.",
    "fan": "that it turns, in the right direction, at the speed that its switch says; guards on.",
    "reciprocating_compressor": "amps against the plate, both pressures, the temperature of the discharge pipe and of the shell; listen.",
    "single_phase_motor": "voltage under load, running and starting amps; dead, locked off and discharged: the ohms of both windings and to the frame.",
    "service_port": "the cap is on and tight; nothing is opened without recovery equipment.",
    "selector": "that what it works really starts, stops or changes over when it is turned: look, listen, or hold an ammeter to it. The words on its plate prove nothing.",
    "emergency_stop": "pressed, everything in the control circuit is dead: compressor, fans, solenoid, pilot; tried at every shift, with the plant at rest. It is released only when the cause is found, and no machine may start by that alone.",
    "load_box": "the door's seal and the air temperature at the coil's inlet.",
    "high_pressure_trip": "why the pressure was high: air or fan of the condenser, charge, a shut valve. One reset after the cause is found.",
    "low_pressure_control": "why the pressure was low: liquid feed, air over the evaporator, charge. It closes again by itself, so hands stay clear.",
    "thermostat": "the air temperature at its sensor against its set point.",
    "gauge": "plant stopped and pressures equal: both gauges against each other, and against the saturation pressure at the room's temperature. Its zero shows only when it is open to the room; taking refrigerant off for that is work for those who are licensed to.",
    "thermometer": "contact with the pipe, insulation over it, and the same reading as its neighbours when everything stands at room temperature.",
    "flowmeter": "that the tube stands upright and the float moves freely; and for which liquid its scale is drawn.",
    "level": "that the glass is not simply full or empty: a level that never moves tells nothing.",
    "glass": "bubbles, foam or nothing; a clear glass may be full of liquid or of vapour, so the subcooling decides.",
    "suction glass": "liquid or oil running along it; a clear one holds gas, or liquid that is at rest, so superheat at the compressor and the thermometer on its suction pipe decide.",
    "receiver": "its level, running and pumped down: never above four fifths, and never so low that gas goes out with the liquid; the relief valve and the date of its last test; never both its valves shut while it is full.",
    "accumulator": "frost or sweat and how high it stands: that is where liquid is; superheat at the compressor, and whether liquid reached it (the glass before it, the shell's temperature). Liquid in it for long means too much charge or too much feed.",
    "float drum": "its level in the glass, steady and below its outlet; frost that begins at its liquid leg; its valves open in cooling, so that it boils dry, and never both shut while liquid is in it.",
    "filter drier": "the same temperature on both sides; a step in temperature behind it, or frost, means that it is blocked and throttles.",
    "meter": "zero with the panel dead, and a hand meter beside it.",
    "contactor": "volts at its coil first, then volts behind its contacts under load; dead and proved dead: pitted or welded contacts.",
    "restart_timer": "the time from stop to start by a watch against its dial. While it waits there is voltage before its contact and none behind: that is its work; none behind after its time is a fault. It closes by itself, so hands stay clear.",
    "current_relay": "dead and proved dead: its contact open or closed as its make has it, its coil whole; running: no current in the start winding a second after the start.",
    "start_capacitor": "discharged and proved so: microfarads against the plate, no bulge, no leak, the bleed resistor whole.",
    "run_capacitor": "discharged and proved so, one lead off: microfarads against the plate, 5 to 10 % below is the end of it; no bulge, no leak.",
    "bimetal_overload": "amps and shell temperature before it is blamed; cold, it is closed. It closes again by itself, so hands stay clear.",
    "fuse": "the cause before the replacement; the same rating again, never a larger one.",
    "residual_current_device": "its test button, as often as the local code asks; a trip means current to earth until the opposite is proved.",
    "limiter": "air over the heater, and why it got hot, before it is replaced.",
    "heater": "dead and proved dead: its ohms against its watts, and none to the case.",
    "lead": "the supply dead and proved dead; then tight terminals, no discoloured insulation.",
}  # fmt: skip
"""Kind of part, switch or instrument -> what to look at. Source: common practice."""


def check_of(kind: str) -> str:
    """One sentence, or nothing for kinds that a technician passes by."""
    return CHECKS.get(kind, "")

"""What the stand-in bench can be set by: the tags that the screen's tests press."""

from __future__ import annotations

from dataclasses import dataclass

from tui.plant import Setting


@dataclass(frozen=True)
class FakeTag:
    tag: str
    kind: str
    what: str
    low: float | None
    high: float | None
    choices: tuple[str, ...]
    value: Setting


def _valve(tag: str, what: str, value: float) -> FakeTag:
    return FakeTag(tag, "hand_valve", what, 0.0, 1.0, (), value)


def _switch(tag: str, what: str, choices: str, value: str) -> FakeTag:
    return FakeTag(tag, "switch", what, None, None, tuple(choices.split()), value)


def _number(tag: str, kind: str, what: str, low: float, high: float, value: float) -> FakeTag:
    return FakeTag(tag, kind, what, low, high, (), value)


TAGS = (
    _valve("HV-11", "receiver inlet valve", 1.0),
    _valve("HV-12", "receiver outlet valve", 1.0),
    _valve("HV-13", "receiver bypass valve", 0.0),
    _valve("HV-21", "shut-off before the capillary tube", 0.0),
    _valve("HV-22", "shut-off before the hand expansion valve", 1.0),
    _valve("HV-23", "shut-off before the thermostatic expansion valve", 0.0),
    _valve("HV-24", "shut-off before the float valve", 0.0),
    _valve("HV-31", "liquid leg of the float drum", 0.0),
    _valve("HV-32", "vapour line of the float drum", 1.0),
    _valve("HV-41", "compressor suction service valve", 1.0),
    _valve("HV-42", "compressor discharge service valve", 1.0),
    _number("HCV-22", "hand_expansion_valve", "needle of the hand expansion valve", 0.0, 1.0, 0.35),
    _number("TCV-23.spring", "thermostatic_valve", "spring of the thermostatic expansion valve, quarter turns", -8.0, 8.0, 0.0),
    _switch("HS-0", "emergency stop", "released pressed", "released"),
    _switch("HS-1", "main switch", "off on", "off"),
    _switch("HS-2", "evaporator fan", "off low high", "off"),
    _switch("HS-3", "condenser fan", "off low high", "off"),
    _switch("HS-4", "compressor", "off on", "off"),
    _switch("HS-5", "mode selector", "cooling heating", "cooling"),
    _switch("HS-6", "liquid solenoid", "off on", "on"),
    _switch("HS-7", "load box", "open closed heated", "open"),
    _number("HS-7.watts", "heater", "heater of the load box", 0.0, 500.0, 0.0),
    _switch("HS-1.lock", "padlock of the main switch", "free locked", "free"),
    _switch("M1.cover", "cover of the compressor's terminals", "shut open", "shut"),
    _number("C1.discharge", "press", "start capacitor: 1 holds a resistor across it", 0.0, 1.0, 0.0),
    *(_switch(f"jumper.{k}", f"jumper lead, clip {k}", "none TS-1.1 TS-1.2", "none") for k in (1, 2)),
    *(FakeTag(tag, "lead", f"lead {tag}", None, None, ("connected", "lifted"), "connected") for tag in ("W21", "W32", "W56", "W60")),
    _number("PSHH-1.set", "pressure_switch", "set point of the high-pressure trip", 9e5, 17.1e5, 17.01e5),
    FakeTag("PSHH-1.reset", "button", "reset of the high-pressure trip", None, None, ("press",), ""),
    _number("PSL-1.set", "pressure_switch", "set point of the low-pressure control", 0.9e5, 4e5, 1.31e5),
    _number("TS-1.set", "thermostat", "set point of the thermostat", 263.15, 303.15, 283.15),
)  # fmt: skip

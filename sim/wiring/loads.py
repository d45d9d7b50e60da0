"""Devices that take power or show it: fans, heater, lamps, panel meters, and the buses that wires end on."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import ClassVar

from sim.parts.motor import SinglePhaseMotor
from sim.record import range_faults
from sim.wiring.branch import Branch, Impedance
from sim.wiring.device import Device, Limits, Place

INSULATION_OHM = 1e9  # common practice: a sound small motor or heater measures hundreds of megohms and more to its frame


def insulation(device: Device, pin: str, ohm: float = INSULATION_OHM) -> Branch:
    """What keeps a winding from the metal round it."""
    name, frame = f"{device.tag}.insulation", device.at(device.FRAME)
    return Branch(name=name, a=device.at(pin), b=frame, role="hidden", rest=Impedance(ohm))


@dataclass(frozen=True, kw_only=True)
class Bus(Device):
    """A bar or rail on which several wires end. One terminal."""

    KIND: ClassVar[str] = "bus"
    PINS: ClassVar[tuple[str, ...]] = ("1",)

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return ()


@dataclass(frozen=True, kw_only=True)
class ShadedPoleFan(Device):
    """A fan motor: winding 1-3 for high, a second tap 2 for low (so many more turns in series); frame PE."""

    KIND: ClassVar[str] = "shaded_pole_fan"
    HAZARDS: ClassVar[tuple[str, ...]] = ("restart",)
    ON_RIG: ClassVar[Place] = "fan"
    PINS: ClassVar[tuple[str, ...]] = ("1", "2", "3", "PE")
    FRAME: ClassVar[str] = "PE"
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "3"), ("2", "3"))
    RANGES: ClassVar[Limits] = {
        "resistance_ohm": (10.0, 1e4),
        "reactance_ohm": (10.0, 1e4),
        "stalled_resistance_ohm": (10.0, 1e4),
        "stalled_reactance_ohm": (10.0, 1e4),
        "tap_resistance_ohm": (1.0, 1e4),
        "tap_reactance_ohm": (1.0, 1e4),
        "direct_ohm": (1.0, 1e4),
        "stall_v": (5.0, 250.0),
        "start_v": (5.0, 250.0),
    }

    resistance_ohm: float
    """Turning at full speed."""
    reactance_ohm: float
    stalled_resistance_ohm: float
    stalled_reactance_ohm: float
    tap_resistance_ohm: float
    """Of the turns between the two taps."""
    tap_reactance_ohm: float
    direct_ohm: float
    """Of the winding 1-3, as an ohmmeter sees it."""
    stall_v: float
    """Below this across 1-3 it stops."""
    start_v: float
    """Above this it starts."""

    def check(self) -> list[tuple[str, str]]:
        """Ranges; it needs more to start than to keep turning."""
        wrong = range_faults(self)
        if self.start_v <= self.stall_v:
            wrong.append(
                ("start_v", f"start_v ({self.start_v:g}) is not above stall_v ({self.stall_v:g})")
            )
        return wrong

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        winding = Branch(
            name=self.tag,
            a=self.at("1"),
            b=self.at("3"),
            role="fan",
            rest=Impedance(self.stalled_resistance_ohm, self.stalled_reactance_ohm),
            moved=Impedance(self.resistance_ohm, self.reactance_ohm),
            dc_ohm=self.direct_ohm,
        )
        tap = Branch(
            name=f"{self.tag}.tap",
            a=self.at("2"),
            b=self.at("1"),
            role="load",
            rest=Impedance(self.tap_resistance_ohm, self.tap_reactance_ohm),
        )
        return (winding, tap, insulation(self, "1"))


@dataclass(frozen=True, kw_only=True)
class Heater(Device):
    """A resistance heater 1-2 in a metal sheath PE; a regulator in front of it is a factor on its ohms."""

    KIND: ClassVar[str] = "heater"
    PINS: ClassVar[tuple[str, ...]] = ("1", "2", "PE")
    FRAME: ClassVar[str] = "PE"
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "2"),)
    RANGES: ClassVar[Limits] = {"resistance_ohm": (1.0, 1e4)}

    resistance_ohm: float

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        element = Branch(
            name=self.tag,
            a=self.at("1"),
            b=self.at("2"),
            role="load",
            rest=Impedance(self.resistance_ohm),
        )
        return (element, insulation(self, "1"))


@dataclass(frozen=True, kw_only=True)
class Lamp(Device):
    """A pilot lamp with its series resistor; a neon lamp does not conduct at an ohmmeter's volts."""

    KIND: ClassVar[str] = "lamp"
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "2"),)
    RANGES: ClassVar[Limits] = {"resistance_ohm": (100.0, 1e7), "strike_v": (0.5, 250.0)}

    resistance_ohm: float
    strike_v: float
    """It glows above this."""

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        shape = Impedance(self.resistance_ohm)
        return (
            Branch(name=self.tag, a=self.at("1"), b=self.at("2"), role="load", rest=shape, dc_ohm=inf),
        )  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Voltmeter(Device):
    """A panel voltmeter."""

    KIND: ClassVar[str] = "voltmeter"
    ON_RIG: ClassVar[Place] = "instrument"
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "2"),)
    RANGES: ClassVar[Limits] = {"resistance_ohm": (1e3, 1e8)}

    resistance_ohm: float

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        shape = Impedance(self.resistance_ohm)
        return (Branch(name=self.tag, a=self.at("1"), b=self.at("2"), role="load", rest=shape),)


@dataclass(frozen=True, kw_only=True)
class Ammeter(Device):
    """A panel ammeter."""

    KIND: ClassVar[str] = "ammeter"
    ON_RIG: ClassVar[Place] = "instrument"
    JOINS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "2"),)
    RANGES: ClassVar[Limits] = {"resistance_ohm": (1e-4, 1.0)}

    resistance_ohm: float

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        shape = Impedance(self.resistance_ohm)
        return (Branch(name=self.tag, a=self.at("1"), b=self.at("2"), role="load", rest=shape),)


@dataclass(frozen=True, kw_only=True)
class Wattmeter(Device):
    """A panel wattmeter: current path 1-2, voltage path 3-4."""

    KIND: ClassVar[str] = "wattmeter"
    ON_RIG: ClassVar[Place] = "instrument"
    PINS: ClassVar[tuple[str, ...]] = ("1", "2", "3", "4")
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("3", "4"),)
    JOINS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "2"),)
    RANGES: ClassVar[Limits] = {
        "current_path_ohm": (1e-4, 1.0),
        "voltage_path_ohm": (1e3, 1e8),
    }

    current_path_ohm: float
    voltage_path_ohm: float

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        paths = (
            ("current", "1", "2", self.current_path_ohm),
            ("voltage", "3", "4", self.voltage_path_ohm),
        )
        return tuple(
            Branch(name=f"{self.tag}.{name}", a=self.at(a), b=self.at(b), role="load", rest=Impedance(ohm))
            for name, a, b, ohm in paths
        )  # fmt: skip

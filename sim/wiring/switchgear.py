"""Devices that open and close: plug, protection, hand switches, controls, contactor."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import ClassVar

from sim.parts.motor import SinglePhaseMotor
from sim.record import NOT_IN_FILE, range_faults
from sim.wiring.branch import Branch, Impedance, Magnet, contact
from sim.wiring.device import Device, Limits, Place


@dataclass(frozen=True, kw_only=True)
class Plug(Device):
    """Plug and socket: line 1-2, neutral 3-4, earth 5-6; the even pins are on the bench's side."""

    KIND: ClassVar[str] = "plug"
    PINS: ClassVar[tuple[str, ...]] = ("1", "2", "3", "4", "5", "6")

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        poles = (("line", "1", "2"), ("neutral", "3", "4"), ("earth", "5", "6"))
        return tuple(
            contact(f"{self.tag}.{name}", self.at(a), self.at(b), closed=True)
            for name, a, b in poles
        )


@dataclass(frozen=True, kw_only=True)
class Fuse(Device):
    """A fuse link: melts when the square of its current, less what it carries for ever, has added up."""

    KIND: ClassVar[str] = "fuse"
    RANGES: ClassVar[Limits] = {"rated_a": (0.1, 63.0), "melting_a2s": (0.1, 1e5)}

    rated_a: float
    melting_a2s: float

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return (contact(self.tag, self.at("1"), self.at("2"), closed=True),)


@dataclass(frozen=True, kw_only=True)
class Breaker(Device):
    """A circuit breaker: opens at once above ``magnetic_a``, after a while on overload."""

    KIND: ClassVar[str] = "breaker"
    RANGES: ClassVar[Limits] = {"rated_a": (0.5, 63.0), "magnetic_a": (2.0, 1000.0)}

    rated_a: float
    magnetic_a: float

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return (contact(self.tag, self.at("1"), self.at("2"), closed=True),)


@dataclass(frozen=True, kw_only=True)
class ResidualCurrentDevice(Device):
    """Opens both poles when line (1-2) and neutral (3-4) do not carry the same current."""

    KIND: ClassVar[str] = "residual_current_device"
    PINS: ClassVar[tuple[str, ...]] = ("1", "2", "3", "4")
    RANGES: ClassVar[Limits] = {"trip_a": (0.003, 0.5), "delay_s": (0.0, 0.5)}

    trip_a: float
    delay_s: float

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return (
            contact(f"{self.tag}.line", self.at("1"), self.at("2"), closed=True),
            contact(f"{self.tag}.neutral", self.at("3"), self.at("4"), closed=True),
        )


@dataclass(frozen=True, kw_only=True)
class SelectorContact:
    """One contact of a hand switch: its name, its two pins, and the positions in which it is closed."""

    name: str
    pins: tuple[str, ...]
    closed_in: tuple[str, ...]

    def check(self) -> list[tuple[str, str]]:
        """Two different pins, at least one position."""
        wrong = []
        if len(self.pins) != 2 or len(set(self.pins)) != 2:
            wrong.append(("pins", "a contact lies between two different pins"))
        if not self.closed_in:
            wrong.append(("closed_in", "a contact that is closed in no position does nothing"))
        return wrong


@dataclass(frozen=True, kw_only=True)
class SelectorSwitch(Device):
    """A hand switch of the rig and its contacts."""

    KIND: ClassVar[str] = "selector"
    ON_RIG: ClassVar[Place] = "hand switch"

    contacts: tuple[SelectorContact, ...] = field(default=(), metadata=NOT_IN_FILE)
    initial: str = field(default="", metadata=NOT_IN_FILE)

    def pins(self) -> tuple[str, ...]:
        return tuple(dict.fromkeys(pin for made in self.contacts for pin in made.pins))

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return tuple(
            contact(
                f"{self.tag}.{made.name}",
                *map(self.at, made.pins),
                closed=self.initial in made.closed_in,
                closes_in=made.closed_in,
            )
            for made in self.contacts
        )


@dataclass(frozen=True, kw_only=True)
class ControlContact(Device):
    """The contact of a pressure control or thermostat of the rig; the plant moves it."""

    KIND: ClassVar[str] = "control"
    ON_RIG: ClassVar[Place] = "control"

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return (contact(self.tag, self.at("1"), self.at("2"), closed=True),)


@dataclass(frozen=True, kw_only=True)
class Limiter(Device):
    """A bimetal limiter that opens when what it is clipped on gets too hot, and closes again by itself."""

    KIND: ClassVar[str] = "limiter"
    HAZARDS: ClassVar[tuple[str, ...]] = ("restart",)

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return (contact(self.tag, self.at("1"), self.at("2"), closed=True),)


@dataclass(frozen=True, kw_only=True)
class Coil(Device):
    """An alternating-current magnet: its reactance grows when the armature closes the iron. Pins A1 and A2."""

    KIND: ClassVar[str] = "solenoid"
    ON_RIG: ClassVar[Place] = "valve"
    PINS: ClassVar[tuple[str, ...]] = ("A1", "A2")
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("A1", "A2"),)
    RANGES: ClassVar[Limits] = {
        "resistance_ohm": (1.0, 1e5),
        "open_reactance_ohm": (1.0, 1e5),
        "seated_reactance_ohm": (1.0, 1e5),
        "pull_in_v": (1.0, 400.0),
        "drop_out_v": (1.0, 400.0),
        "delay_s": (0.005, 0.1),
    }

    resistance_ohm: float
    open_reactance_ohm: float
    seated_reactance_ohm: float
    pull_in_v: float
    drop_out_v: float
    delay_s: float
    """Time for which the condition must hold before it moves."""

    def check(self) -> list[tuple[str, str]]:
        """Ranges; it drops out below its pull-in, and the closed iron has the higher reactance."""
        wrong = range_faults(self)
        if self.drop_out_v >= self.pull_in_v:
            wrong.append(
                (
                    "drop_out_v",
                    f"drop_out_v ({self.drop_out_v:g}) is not below pull_in_v ({self.pull_in_v:g})",
                )
            )
        if self.seated_reactance_ohm <= self.open_reactance_ohm:
            wrong.append(
                ("seated_reactance_ohm", "closed iron must have more reactance than open iron")
            )
        return wrong

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return (self._coil(self.tag),)

    def _coil(self, name: str) -> Branch:
        return Branch(
            name=name,
            a=self.at("A1"),
            b=self.at("A2"),
            role="magnet",
            rest=Impedance(self.resistance_ohm, self.open_reactance_ohm),
            moved=Impedance(self.resistance_ohm, self.seated_reactance_ohm),
        )

    def magnets(self, motor: SinglePhaseMotor) -> tuple[Magnet, ...]:
        return (self._magnet(self.tag, ()),)

    def _magnet(self, branch: str, contacts: tuple[str, ...]) -> Magnet:
        return Magnet(
            name=self.tag,
            branch=branch,
            quantity="volts",
            pull_in=self.pull_in_v,
            drop_out=self.drop_out_v,
            delay_s=self.delay_s,
            contacts=contacts,
        )


@dataclass(frozen=True, kw_only=True)
class Contactor(Coil):
    """A coil A1-A2 and the main contact 1-2 that it closes."""

    KIND: ClassVar[str] = "contactor"
    ON_RIG: ClassVar[Place] = ""
    PINS: ClassVar[tuple[str, ...]] = ("A1", "A2", "1", "2")

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        main = contact(f"{self.tag}.main", self.at("1"), self.at("2"))
        return (self._coil(f"{self.tag}.coil"), main)

    def magnets(self, motor: SinglePhaseMotor) -> tuple[Magnet, ...]:
        return (self._magnet(f"{self.tag}.coil", (f"{self.tag}.main",)),)


@dataclass(frozen=True, kw_only=True)
class RestartTimer(Device):
    """An off-delay time relay before the contactor's coil: once the compressor has been stopped it keeps it off for a while, so that pressures draw together.

    Contact 1-2 lies in the call's line; the input 2-A2 feels what the contact lets through to the coil.

        input loses its voltage    the contact opens, and the off-time set at the dial begins
        off-time over              the contact closes: a call gets through again
        input gets voltage         the off-time ends at once (only a jumper or a weld can do that)

    It counts without a supply of its own (IEC 61812-1: power off-delay), so switching the panel off and on does not shorten the wait; and
    what has stood for long starts at once. Common practice: 3 to 5 min.
    """

    KIND: ClassVar[str] = "restart_timer"
    HAZARDS: ClassVar[tuple[str, ...]] = ("restart",)
    PINS: ClassVar[tuple[str, ...]] = ("1", "2", "A2")
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("2", "A2"),)
    RANGES: ClassVar[Limits] = {
        "off_time_s": (1.0, 3600.0),
        "least_off_time_s": (1.0, 3600.0),
        "most_off_time_s": (1.0, 3600.0),
        "input_ohm": (1e3, 1e6),
        "pull_in_v": (1.0, 400.0),
        "drop_out_v": (1.0, 400.0),
        "delay_s": (0.005, 0.5),
    }

    off_time_s: float
    """As its dial is set when delivered."""
    least_off_time_s: float
    """The dial's ends."""
    most_off_time_s: float
    input_ohm: float
    pull_in_v: float
    """Above this the input counts as live."""
    drop_out_v: float
    delay_s: float
    """A dip shorter than this does not begin an off-time."""

    def check(self) -> list[tuple[str, str]]:
        """Ranges, the dial in order, and an input that lets go below its pull-in."""
        wrong = range_faults(self)
        if not self.least_off_time_s <= self.off_time_s <= self.most_off_time_s:
            wrong.append(("off_time_s", f"off_time_s ({self.off_time_s:g}) is not on its dial, {self.least_off_time_s:g} to {self.most_off_time_s:g}"))  # fmt: skip
        if self.drop_out_v >= self.pull_in_v:
            wrong.append(("drop_out_v", f"drop_out_v ({self.drop_out_v:g}) is not below pull_in_v ({self.pull_in_v:g})"))  # fmt: skip
        return wrong

    @property
    def contact(self) -> str:
        """Name of its contact."""
        return f"{self.tag}.contact"

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        shape = Impedance(self.input_ohm)
        feels = Branch(name=f"{self.tag}.input", a=self.at("2"), b=self.at("A2"), role="magnet", rest=shape, moved=shape)  # fmt: skip
        return (contact(self.contact, self.at("1"), self.at("2"), closed=True), feels)

    def magnets(self, motor: SinglePhaseMotor) -> tuple[Magnet, ...]:
        return (
            Magnet(
                name=self.tag,
                branch=f"{self.tag}.input",
                quantity="volts",
                pull_in=self.pull_in_v,
                drop_out=self.drop_out_v,
                delay_s=self.delay_s,
            ),
        )

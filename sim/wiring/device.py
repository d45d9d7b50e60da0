"""The base of all device kinds of a wiring file: a tag, terminals, branches, and ranges like those of a part."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

from sim.parts.motor import SinglePhaseMotor
from sim.record import range_faults
from sim.wiring.branch import Branch, Magnet

Limits = dict[str, tuple[float, float]]
Place = Literal["hand switch", "control", "fan", "valve", "instrument", ""]


@dataclass(frozen=True, kw_only=True)
class Device:
    """One device. ``tag`` is its name in plant, wiring and panel alike; a terminal is ``TAG.n``."""

    KIND: ClassVar[str] = ""
    RANGES: ClassVar[Limits] = {}
    HAZARDS: ClassVar[tuple[str, ...]] = ()
    """Ids of the cautions in rigs/cautions.toml that belong to this kind."""
    ON_RIG: ClassVar[Place] = ""
    """What the rig calls the thing with this tag; '' when it exists in the wiring only."""
    PINS: ClassVar[tuple[str, ...]] = ("1", "2")
    FRAME: ClassVar[str] = ""
    """The pin of a metal case that must be earthed, or ''."""
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = ()
    """Pairs of pins that must lie between line and neutral for the device to work."""
    JOINS: ClassVar[tuple[tuple[str, str], ...]] = ()
    """Pairs of pins, besides contacts, that are as good as joined (a meter's current path, a series coil)."""

    tag: str
    what: str = ""

    def pins(self) -> tuple[str, ...]:
        """Names of its terminals, without the tag."""
        return self.PINS

    def at(self, pin: str) -> str:
        """The terminal ``TAG.pin``."""
        return f"{self.tag}.{pin}"

    def inside(self) -> dict[str, str]:
        """Inner ends of windings, which no probe reaches, and the terminal at the other end of each."""
        return {}

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        """What lies between the terminals. ``motor`` is the motor of this wiring, for the devices that were made for it."""
        raise NotImplementedError

    def magnets(self, motor: SinglePhaseMotor) -> tuple[Magnet, ...]:
        """Coils that move something."""
        return ()

    def check(self) -> list[tuple[str, str]]:
        """Every (field, sentence) that is wrong."""
        return range_faults(self)

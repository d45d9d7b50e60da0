"""A wiring as data: supply, devices, wires. Read by ``sim.wiring.load``."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar, TypeVar

from sim.errors import InputError
from sim.parts.motor import SinglePhaseMotor
from sim.record import NOT_IN_FILE
from sim.wiring.branch import Branch, Impedance, Magnet
from sim.wiring.device import Device, Limits
from sim.wiring.fan_motor import CapacitorFan, RunCapacitor
from sim.wiring.loads import ShadedPoleFan
from sim.wiring.machine import HermeticMotor, StartCapacitor

D = TypeVar("D", bound=Device)

SUPPLY = "SUPPLY"
LINE, NEUTRAL, EARTH = f"{SUPPLY}.L", f"{SUPPLY}.N", f"{SUPPLY}.PE"
"""The three terminals of the socket. Earth is the node that all voltages are counted from."""
BOND_OHM = 0.002  # guess: the neutral's bond to earth at the origin of the installation
UNBONDED_OHM = 1e9  # guess: insulation of a supply whose neutral is not earthed


@dataclass(frozen=True, kw_only=True)
class WiringTable:
    """``[wiring]``: what holds for the whole of it."""

    RANGES: ClassVar[Limits] = {
        "wire_ohm": (1e-4, 1.0),
        "stray_farad": (1e-12, 1e-9),
        "coupling_farad": (1e-12, 1e-9),
        "insulation_ohm": (1e8, 1e13),
    }

    title: str
    chassis: str
    """Terminal of the metal that everything is mounted on."""
    harness: str
    """Terminal of the live conductor that runs beside the others and couples into them."""
    wire_ohm: float
    """A wire with both crimps, when it says nothing else."""
    stray_farad: float
    """Every terminal to the chassis."""
    coupling_farad: float
    """Every terminal to the harness conductor."""
    insulation_ohm: float
    """Every terminal to the chassis."""
    extends: str = ""
    """Another wiring of the rig that this one is laid over: devices and wires of the same tag key by key, others besides."""


@dataclass(frozen=True, kw_only=True)
class Supply:
    """``[supply]``: the socket that the plug goes into."""

    RANGES: ClassVar[Limits] = {
        "volts_v": (50.0, 280.0),
        "frequency_hz": (45.0, 65.0),
        "resistance_ohm": (0.01, 5.0),
        "reactance_ohm": (0.0, 5.0),
    }

    volts_v: float
    """Open circuit, rms."""
    frequency_hz: float
    """Rated; reactances in the file are at this frequency."""
    resistance_ohm: float
    reactance_ohm: float
    neutral_bonded: bool


@dataclass(frozen=True, kw_only=True)
class Wire:
    """A wire between two terminals. Each is a branch that can break, rust or be lifted, and that a clamp goes round."""

    RANGES: ClassVar[Limits] = {"ohm": (1e-4, 10.0)}

    tag: str
    ohm: float | None = None
    a: str = field(default="", metadata=NOT_IN_FILE)
    b: str = field(default="", metadata=NOT_IN_FILE)


@dataclass(frozen=True, kw_only=True)
class Wiring:
    """A wiring that passed every check."""

    path: Path
    table: WiringTable
    supply: Supply
    devices: tuple[Device, ...]
    wires: tuple[Wire, ...]

    @property
    def machine(self) -> HermeticMotor:
        """The compressor's motor as a device."""
        return self.of_kind(HermeticMotor)[0]

    @property
    def motor(self) -> SinglePhaseMotor:
        """The motor's values on this supply; the plant takes them from here too."""
        assert self.machine.rated is not None
        return self.machine.rated

    @property
    def fans(self) -> tuple[ShadedPoleFan, ...]:
        """The fans of one winding."""
        return self.of_kind(ShadedPoleFan)

    @property
    def capacitor_fans(self) -> tuple[CapacitorFan, ...]:
        """The fans with a run capacitor."""
        return self.of_kind(CapacitorFan)

    @property
    def capacitors(self) -> tuple[StartCapacitor | RunCapacitor, ...]:
        """The capacitors that can hold a charge."""
        return (*self.of_kind(StartCapacitor), *self.of_kind(RunCapacitor))

    def of_kind(self, kind: type[D]) -> tuple[D, ...]:
        """All devices of a kind."""
        return tuple(device for device in self.devices if isinstance(device, kind))

    def device(self, tag: str) -> Device:
        """The device called ``tag``. Raises InputError when there is none."""
        for device in self.devices:
            if device.tag == tag:
                return device
        raise InputError(f"the wiring has no device {tag}")

    @property
    def terminals(self) -> tuple[str, ...]:
        """Every terminal, the supply's first: all the places where a probe can be put."""
        return (EARTH, LINE, NEUTRAL, *(d.at(pin) for d in self.devices for pin in d.pins()))

    def branches(self) -> tuple[Branch, ...]:
        """Wires, then what lies in the devices, then the neutral's bond. The supply itself and the strays are not among them."""
        return (*self._wires(), *(b for d in self.devices for b in d.branches(self.motor)), self._bond())  # fmt: skip

    def _wires(self) -> Iterator[Branch]:
        for wire in self.wires:
            shape = Impedance(self.table.wire_ohm if wire.ohm is None else wire.ohm)
            yield Branch(name=wire.tag, a=wire.a, b=wire.b, role="wire", rest=shape)

    def _bond(self) -> Branch:
        shape = Impedance(BOND_OHM if self.supply.neutral_bonded else UNBONDED_OHM)
        return Branch(name=f"{SUPPLY}.bond", a=NEUTRAL, b=EARTH, role="hidden", rest=shape)

    def magnets(self) -> tuple[Magnet, ...]:
        """Every coil that moves contacts or a plunger."""
        return tuple(m for d in self.devices for m in d.magnets(self.motor))

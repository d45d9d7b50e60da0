"""Where the compressor, fans, coils and heater get their current: what is energised, and the feed that the motor runs on.

``Supply`` says what the bench may ask. ``PlainSupply`` answers for a rig without a wiring file: ideal contacts on a supply of no impedance. A rig with one
has ``sim.supply_wired``.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, NamedTuple, Protocol

from sim import columns as c
from sim.controls import Controls
from sim.errors import InputError
from sim.feed import Contacts, plain_feed
from sim.parts import fan
from sim.parts.fan import Fan
from sim.parts.motor import SinglePhaseMotor
from sim.parts.solenoid_valve import SolenoidValve
from sim.plant import Plant
from sim.rig import Rig
from sim.surroundings import Surroundings
from sim.tags import Setting
from sim.wiring.now import CircuitNow

FAN_POWER_FACTOR = (
    0.6  # common practice: shaded-pole fan motors run at a power factor of 0.5 to 0.65
)
COIL_W = 8.0  # guess: a solenoid, pilot or contactor coil of this size takes 6 to 10 W
COIL_POWER_FACTOR = 0.35  # guess: a seated AC solenoid coil
RELAY = "K2"
"""The start relay of a rig without a wiring file."""

MotorState = Callable[[], tuple[float, float, float]]


class Coil(NamedTuple):
    """An electromagnet: it pulls in above one value of its feed row and drops out below another, each held for ``delay_s``."""

    name: str
    row: int
    pull_in: float
    drop_out: float
    delay_s: float


@dataclass(frozen=True)
class FanDrive:
    """How a fan is driven now."""

    speed: float
    """0 off, 1 low, 2 high."""
    share: float
    """Of the air at that speed and rated volts."""
    watts: float


class Supply(Protocol):
    """What the bench asks of the electrical half."""

    coils: tuple[Coil, ...]

    @property
    def seated(self) -> frozenset[str]:
        """Coils whose armature is in."""

    @property
    def motor(self) -> SinglePhaseMotor | None:
        """The motor's values on this supply."""

    def seat(self, name: str, seated: bool) -> None:
        """Move an armature and its contacts."""

    def refresh(self, now: Surroundings, motor: MotorState, time_s: float) -> None:
        """Solve for the present positions; ``motor`` tells speed (rad/s), main and start winding temperature (K) when asked."""

    def powered(self) -> bool:
        """Is the panel live?"""

    def fan(self, tag: str) -> FanDrive:
        """How a fan is driven."""

    def energised(self, part: str) -> bool:
        """Is the plunger or pilot of this part pulled?"""

    def contactor_closed(self) -> bool:
        """Is the compressor's contactor in?"""

    def motor_on(self) -> bool:
        """Has the compressor's motor voltage across its main winding?"""

    def heater_w(self) -> float:
        """Heat of the load box's heater."""

    def sound(self) -> None:
        """Take out what faults of the catalogue have spoilt."""

    def spoil(self, place: str, what: str, value: float) -> None:
        """Spoil a branch, value or terminal of the wiring."""

    def write(self) -> None:
        """Put the feed into the plant."""

    def now(self, main_a: complex, start_a: complex) -> CircuitNow | None:
        """The circuit with these winding currents, for a screen; None without a wiring."""

    def frozen(self) -> dict[str, Any]:
        """What is remembered, for a save (plain JSON values)."""

    def thawed(self, values: dict[str, Any]) -> None:
        """Put back what ``frozen`` gave."""


class PlainSupply:
    """Ideal contacts, no wires: a part is under voltage when its switch says so and the panel is live."""

    def __init__(self, rig: Rig, plant: Plant, controls: Controls, commands: dict[str, Setting]) -> None:  # fmt: skip
        self.plant, self.controls, self.commands = plant, controls, commands
        self.fans = {p.tag: p.part for p in rig.parts if isinstance(p.part, Fan)}
        self.valves = [p.tag for p in rig.parts if isinstance(p.part, SolenoidValve)]
        self.machine = next((p.tag for p in rig.parts if p.kind.endswith("compressor")), "")
        self.motor = next((p.part for p in rig.parts if isinstance(p.part, SinglePhaseMotor)), None)
        self.seated: frozenset[str] = frozenset()
        self.coils: tuple[Coil, ...] = ()
        if (m := self.motor) is not None:
            self.coils = (Coil(RELAY, c.FEED_RELAY, m.relay_pull_in_a, m.relay_drop_out_a, m.relay_delay_s),)  # fmt: skip

    def refresh(self, now: Surroundings, motor: MotorState, time_s: float) -> None:
        """Nothing to solve."""

    def sound(self) -> None:
        """Nothing of it is ever spoilt."""

    def spoil(self, place: str, what: str, value: float) -> None:
        """Faults that live in the wiring are refused on a rig without one. Raises InputError."""
        raise InputError(f"{place} lives in the wiring, and this rig has none.")

    def powered(self) -> bool:
        """Main switch on, emergency stop released."""
        return self.controls.powered

    def fan(self, tag: str) -> FanDrive:
        """As its switch stands."""
        speed = self.controls.fan_speed(tag)
        return FanDrive(speed, 1.0, float(fan.power_w(self.fans[tag].row(), speed)))

    def energised(self, part: str) -> bool:
        """As its switch stands."""
        return self.controls.energised(part)

    def contactor_closed(self) -> bool:
        """All contacts of the compressor's control circuit conduct."""
        return self.controls.contactor_closed(self.machine)

    def motor_on(self) -> bool:
        """Contactor and overload closed."""
        return self.controls.motor_on(self.machine)

    def heater_w(self) -> float:
        """What the heater is set to, when it is on."""
        box = self.controls.box()
        on = box is not None and self.controls.box_heater_on()
        return float(self.commands[f"{box.tag}.watts"]) if box and on else 0.0

    def write(self) -> None:
        """The feed of an ideal supply."""
        now = Contacts(self.powered(), self.motor_on(), RELAY in self.seated, self.other_va())
        plain_feed(self.plant, now)

    def other_va(self) -> complex:
        """What the panel takes beside the compressor, W + j var; the heater has its own socket."""
        fans = sum(self.fan(tag).watts for tag in self.fans)
        pulled = [tag for tag in self.valves if self.energised(tag)]
        pilot = self.powered() and self.controls.heating
        coils = COIL_W * (len(pulled) + int(pilot) + int(self.contactor_closed()))
        return fans * lagging(FAN_POWER_FACTOR) + coils * lagging(COIL_POWER_FACTOR)

    def seat(self, name: str, seated: bool) -> None:
        """The start relay."""
        self.seated = self.seated | {name} if seated else self.seated - {name}

    def now(self, main_a: complex, start_a: complex) -> CircuitNow | None:
        """Nothing to draw."""
        return None

    def frozen(self) -> dict[str, Any]:
        """The armatures."""
        return {"seated": sorted(self.seated)}

    def thawed(self, values: dict[str, Any]) -> None:
        """The armatures."""
        self.seated = frozenset(values["seated"])


def lagging(power_factor: float) -> complex:
    """Volt-amperes that go with one watt."""
    return complex(1.0, (1.0 / power_factor**2 - 1.0) ** 0.5)

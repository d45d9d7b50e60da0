"""What changes on a wiring: positions of contacts, coils and fans, the supply, faults, bridges, charges, and the motor's speed and warmth."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Literal, NamedTuple

FaultKind = Literal["open", "series", "short", "stuck-closed"]
FAULT_KINDS: tuple[FaultKind, ...] = ("open", "series", "short", "stuck-closed")
SHORT_OHM = 0.005  # guess: a bolted short with its own contact


class BranchFault(NamedTuple):
    """open: broken; series: ``ohm`` more; short: ``ohm`` beside it; stuck-closed: a contact that stays closed with ``ohm``."""

    kind: FaultKind
    ohm: float


class Bridge(NamedTuple):
    """``ohm`` between two terminals that do not belong together."""

    a: str
    b: str
    ohm: float


class Charge(NamedTuple):
    """Direct volts left on a capacitor at a time, positive at its first terminal, and the ohms it discharges through."""

    volts: float
    at_s: float
    ohm: float


@dataclass
class State:
    """Everything that a solve depends on besides the wiring itself. Plain data: copy, save and compare at will."""

    supply_v: float
    hertz: float
    closed: dict[str, bool]
    """Contact to whether it is closed."""
    seated: dict[str, bool]
    """Magnet to whether its armature is in."""
    fan_turning: dict[str, bool]
    speed_rad_s: float
    main_k: float
    """Temperature of the main winding; the rotor's cage follows it."""
    start_k: float
    factor: dict[str, float] = field(default_factory=dict)
    """Changed values: "C1.farad" or "E1.ohm" to a factor; absent is 1."""
    faults: dict[str, BranchFault] = field(default_factory=dict)
    bridges: list[Bridge] = field(default_factory=list)
    charge: dict[str, Charge] = field(default_factory=dict)
    """Capacitor to the charge that it kept when its circuit opened."""
    fan_rad_s: dict[str, float] = field(default_factory=dict)
    """Fan with a run capacitor to its speed; one that is not here is not in the circuit."""

    def copy(self) -> State:
        """An independent copy."""
        return replace(
            self,
            closed=dict(self.closed),
            seated=dict(self.seated),
            fan_turning=dict(self.fan_turning),
            factor=dict(self.factor),
            faults=dict(self.faults),
            bridges=list(self.bridges),
            charge=dict(self.charge),
            fan_rad_s=dict(self.fan_rad_s),
        )

"""The compressor's motor and what was made for it: overload, start relay, start capacitor. Their values are those of the rig's motor part."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf
from typing import ClassVar

from sim.parts.motor import SinglePhaseMotor
from sim.record import NOT_IN_FILE
from sim.wiring.branch import CLOSED, CLOSED_OHM, LINK_OHM, OPEN, Branch, Impedance, Magnet
from sim.wiring.device import Device, Limits
from sim.wiring.loads import insulation

WINDING_INSULATION_OHM = (
    5e8  # common practice: a sound hermetic motor measures hundreds of megohms to its shell
)


@dataclass(frozen=True, kw_only=True)
class HermeticMotor(Device):
    """Terminals C (common), R (run), S (start) and the shell PE. Each winding hangs on C by a joint that can fail.

    The windings themselves are the motor's 2 x 2 impedance (``sim.wiring.windings``); the iron loss is a conductance across the main winding.
    """

    KIND: ClassVar[str] = "hermetic_motor"
    HAZARDS: ClassVar[tuple[str, ...]] = ("terminals", "restart")
    PINS: ClassVar[tuple[str, ...]] = ("C", "R", "S", "PE")
    FRAME: ClassVar[str] = "PE"
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("C", "R"), ("C", "S"))

    part: str
    """Tag of the motor on the rig."""
    rated: SinglePhaseMotor | None = field(default=None, metadata=NOT_IN_FILE)
    """That part, with what ``[device.rated]`` changes in it for this supply."""

    @property
    def main_node(self) -> str:
        """Inner end of the main winding; no probe gets there."""
        return self.at("main-inside")

    @property
    def start_node(self) -> str:
        """Inner end of the start winding."""
        return self.at("start-inside")

    def inside(self) -> dict[str, str]:
        return {self.main_node: self.at("R"), self.start_node: self.at("S")}

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        joints = tuple(
            Branch(name=f"{self.tag}.{name}", a=self.at("C"), b=node, role="link", rest=Impedance(LINK_OHM))
            for name, node in (("main", self.main_node), ("start", self.start_node))
        )  # fmt: skip
        made = (*joints, insulation(self, "R", WINDING_INSULATION_OHM))
        if motor.core_loss_w == 0.0:
            return made
        core = Branch(
            name=f"{self.tag}.core",
            a=self.main_node,
            b=self.at("R"),
            role="hidden",
            rest=Impedance(motor.rated_voltage_v**2 / motor.core_loss_w),
            dc_ohm=inf,
        )
        return (*made, core)


@dataclass(frozen=True, kw_only=True)
class BimetalOverload(Device):
    """Heater and contact in one line, 1-2, clipped on the shell."""

    KIND: ClassVar[str] = "bimetal_overload"
    HAZARDS: ClassVar[tuple[str, ...]] = ("protective", "restart")

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        return (
            Branch(
                name=self.tag,
                a=self.at("1"),
                b=self.at("2"),
                role="contact",
                rest=OPEN,
                moved=Impedance(max(motor.overload_resistance_ohm, CLOSED_OHM)),
                closed_at_rest=True,
            ),
        )


@dataclass(frozen=True, kw_only=True)
class CurrentRelay(Device):
    """Start relay: coil L-M in the run winding's line, contact L-S for the start circuit, closed while the coil pulls."""

    KIND: ClassVar[str] = "current_relay"
    PINS: ClassVar[tuple[str, ...]] = ("L", "M", "S")
    JOINS: ClassVar[tuple[tuple[str, str], ...]] = (("L", "M"),)

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        ohm = max(motor.relay_resistance_ohm, LINK_OHM)  # no branch is an ideal wire
        shape = Impedance(ohm, motor.relay_reactance_ohm)
        coil = Branch(name=f"{self.tag}.coil", a=self.at("M"), b=self.at("L"), role="magnet", rest=shape, moved=shape)  # fmt: skip
        start = Branch(
            name=f"{self.tag}.start",
            a=self.at("S"),
            b=self.at("L"),
            role="contact",
            rest=OPEN,
            moved=CLOSED,
        )
        return (coil, start)

    def magnets(self, motor: SinglePhaseMotor) -> tuple[Magnet, ...]:
        return (
            Magnet(
                name=self.tag,
                branch=f"{self.tag}.coil",
                quantity="amps",
                pull_in=motor.relay_pull_in_a,
                drop_out=motor.relay_drop_out_a,
                delay_s=motor.relay_delay_s,
                contacts=(f"{self.tag}.start",),
            ),
        )


@dataclass(frozen=True, kw_only=True)
class StartCapacitor(Device):
    """The motor's start capacitor 1-2 and the resistor across it that bleeds its charge; without ``bleed_ohm`` there is none."""

    KIND: ClassVar[str] = "start_capacitor"
    HAZARDS: ClassVar[tuple[str, ...]] = ("capacitor",)
    JOINS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "2"),)
    RANGES: ClassVar[Limits] = {"bleed_ohm": (1e3, 1e7)}

    bleed_ohm: float | None = None

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        plates = Branch(
            name=self.tag,
            a=self.at("1"),
            b=self.at("2"),
            role="capacitor",
            rest=Impedance(motor.start_capacitor_resistance_ohm, farad=motor.start_capacitor_farad),
            dc_ohm=inf,
        )
        if self.bleed_ohm is None:
            return (plates,)
        bleed = Branch(
            name=f"{self.tag}.bleed",
            a=self.at("1"),
            b=self.at("2"),
            role="load",
            rest=Impedance(self.bleed_ohm),
        )
        return (plates, bleed)

"""What hands do to the wiring, judged: isolating, lifting leads, opening the terminal cover, jumpers, discharging, replacing and resetting.

Nothing is forbidden that a person could do; what may hurt or kill is an event of kind ``violation`` that says why, and the plant answers as it must.
Order of isolation: switch off, lock off, prove the tester on a known supply, prove dead on all poles, prove the tester again; stored charge next
(EN 50110-1, NFPA 70E; from memory). Texts defer to ``rigs/cautions.toml`` by id.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.cautions import all_cautions
from sim.errors import InputError
from sim.switches import MAIN_SWITCH
from sim.tags import LIFTED
from sim.wiring.machine import BimetalOverload, HermeticMotor
from sim.wiring.switchgear import ControlContact, Limiter, ResidualCurrentDevice, RestartTimer

if TYPE_CHECKING:
    from sim.bench import Bench
    from sim.supply_wired import WiredSupply

LIVE_V = 50.0  # source: IEC 61140, touch voltage limit of 50 V AC in dry conditions
PROTECTIVE = (ControlContact, BimetalOverload, Limiter, ResidualCurrentDevice, RestartTimer)
__all__ = ["LIVE_V", "Acts"]


class Acts:
    """The judge of one bench's hands."""

    def __init__(self, bench: Bench, supply: WiredSupply) -> None:
        self.bench, self.supply = bench, supply
        self.cover_warned = False

    def volts(self, terminal: str) -> float:
        """rms volts to earth now, with a light load on it."""
        bench = self.bench
        bench.look()
        now = self.supply.now(complex(bench.watch.current[0]), complex(bench.watch.current[1]))
        return now.volts[terminal]

    def violation(self, tag: str, caution: str, text: str) -> None:
        """Put a violation on record, with the caution of this id."""
        self.bench.note(tag, "violation", f"{text} {all_cautions()[caution].text}")

    # --- before the hand moves ---

    def may(self, tag: str, value: object) -> None:
        """Raises InputError for what cannot be done at all."""
        locked = self.bench.commands.get(f"{MAIN_SWITCH}.lock") == "locked"
        if tag == MAIN_SWITCH and locked:
            raise InputError(f"{MAIN_SWITCH} is locked off: whoever holds the key unlocks it ({MAIN_SWITCH}.lock).")  # fmt: skip
        if tag == f"{MAIN_SWITCH}.lock" and value == "locked" and self.bench.commands[MAIN_SWITCH] != "off":  # fmt: skip
            raise InputError(f"{MAIN_SWITCH} can only be locked when it is off.")

    # --- after it ---

    def did(self, tag: str, value: object) -> None:
        """Judge what was just set; the circuit is still the one before."""
        wires = {wire.tag: wire for wire in self.supply.wiring.wires}
        if tag in wires:
            self.lead(tag, wires[tag].a, wires[tag].b, value == LIFTED)
        elif tag.startswith("jumper."):
            self.jumper()
        elif tag.endswith(".cover"):
            self.cover_warned = False
            self.cover()

    def lead(self, tag: str, a: str, b: str, lifted: bool) -> None:
        """A lead taken off or put back."""
        volts = max(self.volts(a), self.volts(b))
        if volts > LIVE_V:
            verb = "lifted" if lifted else "put back"
            self.violation(tag, "isolate", f"{tag} was {verb} live, with {volts:.0f} V on it: an arc in the hand.")  # fmt: skip

    def jumper(self) -> None:
        """A test lead clipped from one terminal to another."""
        ends = self.supply.jumper()
        if ends is None:
            return
        if max(self.volts(end) for end in ends) > LIVE_V:
            self.violation("jumper", "isolate", f"A jumper was clipped onto live terminals {ends[0]} and {ends[1]}: flash and shock.")  # fmt: skip
        for device in self.supply.wiring.devices:
            if isinstance(device, PROTECTIVE) and {end.rpartition(".")[0] for end in ends} == {device.tag}:  # fmt: skip
                self.violation(device.tag, "protective", f"{device.tag} is bridged.")  # fmt: skip

    def cover(self) -> None:
        """The cover of the hermetic terminals open while they are live."""
        machine = self.supply.wiring.of_kind(HermeticMotor)[0]
        open_cover = self.bench.commands.get(f"{machine.tag}.cover") == "open"
        live = open_cover and max(self.volts(machine.at(pin)) for pin in ("C", "R", "S")) > LIVE_V
        if live and not self.cover_warned:
            self.violation(machine.tag, "terminals", f"The terminal cover of {machine.tag} is open while its terminals are live; measurements are made at the panel end.")  # fmt: skip
        self.cover_warned = live

    def discharge(self, tag: str) -> None:
        """A resistor held across a capacitor."""
        branch = self.supply.circuit.branch(tag)
        volts = max(self.volts(branch.a), self.volts(branch.b))
        if volts > LIVE_V:
            self.violation(tag, "capacitor", f"{tag} was to be discharged while its circuit is live ({volts:.0f} V).")  # fmt: skip
            return
        held = self.supply.kept_volts(tag, self.bench.time_s)
        self.supply.state.charge.pop(tag, None)
        self.bench.note(tag, "note", f"{tag} has been discharged through a resistor; it held {held:.0f} V DC. Measure again.")  # fmt: skip

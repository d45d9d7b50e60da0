"""Commands at the wiring: probes, clamp, the meter's keys, leads."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.command import Command

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


class ProbeOne(Command):
    """Put probe 1 on the terminal under the cursor, or take it off. Mouse: left button."""

    name, keys, shown_key, footer, group, ready_only = "probe_1", ("p",), "p", "probe 1", "meter", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.probe(0)


class ProbeTwo(Command):
    """Put probe 2 on the terminal under the cursor, or take it off. Mouse: right button."""

    name, keys, shown_key, footer, group, ready_only = "probe_2", ("P",), "P", "2", "meter", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.probe(1)


class Clamp(Command):
    """Clamp the wire under the cursor; again: the other way round; again: off. Several wires add up."""

    name, keys, shown_key, footer, group, ready_only = "clamp", ("l",), "l", "clamp", "meter", True

    def run(self, screen: BenchScreen) -> None:
        screen.clamp()


class Knob(Command):
    """Turn the meter's knob: volts, low impedance, dc, ohms, continuity, farads, amps, watts, power factor."""

    name, keys, shown_key, footer, group, ready_only = "knob", ("v",), "v", "mode", "meter", True

    def run(self, screen: BenchScreen) -> None:
        screen.turn_knob(1)


class KnobBack(Command):
    """Turn the meter's knob back."""

    name, keys, shown_key, group, ready_only = "knob_back", ("V",), "V", "meter", True

    def run(self, screen: BenchScreen) -> None:
        screen.turn_knob(-1)


class Zero(Command):
    """Zero the meter's leads, so that their ohms do not count."""

    name, keys, shown_key, footer, group, ready_only = "zero_leads", ("z",), "z", "zero", "meter", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.zero_leads()


class PeakHold(Command):
    """Peak hold: from now on keep the largest reading of the panel meters and of the hand meter, or let it go."""

    name, keys, shown_key, footer, group, ready_only = "peak_hold", ("k",), "k", "peak", "meter", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.hold_peaks()


class RecordReading(Command):
    """Write down what the meter shows in the list of events: a tester proved, a panel proved dead."""

    name, keys, shown_key, footer, group, ready_only = "record_reading", ("d",), "d", "write down", "meter", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.record_reading()


class LiftLead(Command):
    """Lift the lead under the cursor, or put it back. Asks first when it is live."""

    name, keys, shown_key, footer, group, ready_only = "lift_lead", ("x",), "x", "lift", "meter", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.lift_lead()


class Jumper(Command):
    """Clip a jumper lead on the terminal under the cursor: first end, second end, off."""

    name, keys, shown_key, group, ready_only = "jumper", ("j",), "j", "meter", True

    def run(self, screen: BenchScreen) -> None:
        screen.clip_jumper()


class WireTags(Command):
    """Write every wire's tag on it, or leave them out."""

    name, keys, shown_key, footer, group = "wire_tags", ("e",), "e", "wire tags", "meter"

    def run(self, screen: BenchScreen) -> None:
        screen.show_wire_tags()


METER_COMMANDS: tuple[type[Command], ...] = (
    ProbeOne, ProbeTwo, Clamp, Knob, KnobBack, Zero, PeakHold, RecordReading, LiftLead, Jumper, WireTags,
)  # fmt: skip
"""In the order in which help and palette list them."""
AT_WIRING = ("emergency_stop", "probe_1", "probe_2", "clamp", "knob", "lift_lead", "help", "hold", "act", "wire_tags", "record_reading", "peak_hold", "zero_leads", "slower", "faster", "quit")  # fmt: skip
"""The last line at the wiring."""

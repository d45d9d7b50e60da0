"""Restart timers of a bench: when they hold the compressor off, and when they let it start again.

What each does stands with its kind, ``sim.wiring.switchgear.RestartTimer``. The contact's position is the circuit's state, the time that is left is
what was put off to a later tick: a save and a fork keep both.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.clock import take_back
from sim.wiring.switchgear import RestartTimer

if TYPE_CHECKING:
    from sim.bench import Bench
    from sim.supply_wired import WiredSupply


class RestartTimers:
    """Those of one wiring."""

    def __init__(self, bench: Bench, supply: WiredSupply) -> None:
        self.bench, self.supply = bench, supply
        self.timers = {timer.tag: timer for timer in supply.wiring.of_kind(RestartTimer)}

    def moved(self, tag: str) -> None:
        """The voltage at its input has come or gone; a tag that is no timer's is passed by."""
        if tag not in self.timers:
            return
        take_back(self.bench._due, "time_over", tag)
        if self.supply.state.seated[tag]:
            self.turn(tag, closed=True)
            return
        wait_s = float(self.bench.commands[f"{tag}.off_time"])
        self.turn(tag, closed=False)
        self.bench.later(wait_s, "time_over", tag)
        self.say(tag, f"{tag} has opened its contact and keeps the compressor off for {wait_s:.0f} s.")  # fmt: skip

    def over(self, tag: str) -> None:
        """The off-time is over."""
        self.turn(tag, closed=True)
        self.say(tag, f"{tag} has closed its contact: the compressor may start again.")

    def turn(self, tag: str, *, closed: bool) -> None:
        """Move the contact."""
        self.supply.state.closed[self.timers[tag].contact] = closed

    def say(self, tag: str, text: str) -> None:
        """Of a welded contact nothing: the works move, and it does not."""
        if self.timers[tag].contact not in self.bench.controls.stuck:
            self.bench.note(tag, "contact", text)

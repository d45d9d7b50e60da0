"""Fuses, breakers and residual-current devices of a bench: when their current has lasted too long, they open.

    fuse            melts when  integral (I^2 - (1.25 I_rated)^2) dt = melting I^2 t         (conventional non-fusing current, IEC 60269-1: 1.25 I_n)
    breaker         at once above its magnetic setting; else its bimetal, d h/dt = ((I/I_rated)^2 - h)/30 s, opens at h = 1.45^2   (IEC 60898-1: 1.45 I_n)
    residual        opens ``delay_s`` after line and neutral differ by more than its rating

The current between two moves of a contact is taken as the one at the last of them, so a start's inrush counts at its first value: on the safe side.
"""

from __future__ import annotations

from math import exp, inf, log
from typing import TYPE_CHECKING

from sim.clock import take_back
from sim.wiring.switchgear import Breaker, Fuse, ResidualCurrentDevice

if TYPE_CHECKING:
    from sim.bench import Bench
    from sim.supply_wired import WiredSupply

CARRIES = 1.25  # source: IEC 60269-1, conventional non-fusing current, from memory
OVERLOADED = 1.45  # source: IEC 60898-1, conventional tripping current
BIMETAL_S = 30.0  # guess: opens at twice its rating within some 20 s
AT_ONCE_S = 0.01  # source: IEC 60898-1, instantaneous tripping below 0.1 s; half a cycle is usual


class Protection:
    """Watches the protective devices of one wiring."""

    def __init__(self, bench: Bench, supply: WiredSupply) -> None:
        self.bench, self.supply = bench, supply
        kinds = (Fuse, Breaker, ResidualCurrentDevice)
        self.devices = {d.tag: d for d in supply.wiring.devices if isinstance(d, kinds)}
        self.heat = dict.fromkeys(self.devices, 0.0)
        """What has added up: A2s of a fuse, (I/I_rated)^2 of a breaker's bimetal."""
        self.amps = dict.fromkeys(self.devices, 0.0)
        self.since_s = 0.0
        self.turn = 0
        """Counts the changes, so that what was foreseen before one of them is forgotten."""

    def settle(self) -> None:
        """After any change: add up what has passed, and foresee which device opens when."""
        now = self.bench.time_s
        for tag in self.devices:
            self.heat[tag] = self.after(tag, now - self.since_s)
            self.amps[tag] = self.supply.protective_amps(tag)
        self.since_s = now
        self.turn += 1
        # what was foreseen before is forgotten, so that its instant leaves no trace in the run
        take_back(self.bench._due, "protection")
        for tag in self.devices:
            wait = self.opens_in(tag)
            if wait < inf and tag not in self.supply.opened:
                self.bench.later(wait, "protection", tag, self.turn)

    def after(self, tag: str, seconds: float) -> float:
        """What has added up after so long at the present current."""
        device, amps, heat = self.devices[tag], self.amps[tag], self.heat[tag]
        if isinstance(device, Fuse):
            return max(0.0, heat + (amps**2 - (CARRIES * device.rated_a) ** 2) * seconds)
        if isinstance(device, Breaker):
            end = (amps / device.rated_a) ** 2
            return end + (heat - end) * exp(-seconds / BIMETAL_S)
        return 0.0

    def opens_in(self, tag: str) -> float:
        """Seconds until it opens at the present current, inf for never."""
        device, amps, heat = self.devices[tag], self.amps[tag], self.heat[tag]
        if isinstance(device, ResidualCurrentDevice):
            return device.delay_s if amps > device.trip_a else inf
        if isinstance(device, Fuse):
            rate = amps**2 - (CARRIES * device.rated_a) ** 2
            return (device.melting_a2s - heat) / rate if rate > 0.0 else inf
        end = (amps / device.rated_a) ** 2
        if amps > device.magnetic_a:
            return AT_ONCE_S
        if end <= OVERLOADED**2:
            return inf
        return BIMETAL_S * log((end - heat) / (end - OVERLOADED**2))

    def open(self, tag: str, turn: int) -> None:
        """What was foreseen has come, unless something has changed since."""
        if turn != self.turn or tag in self.supply.opened:
            return
        self.supply.opened.add(tag)
        self.heat[tag] = 0.0
        what: dict[type, str] = {
            Fuse: f"Fuse {tag} has melted. Find the fault before it is replaced; never a larger one.",
            Breaker: f"Breaker {tag} has opened. Test before re-closing.",
            ResidualCurrentDevice: f"{tag} has opened: current leaks to earth. Find where before it is reset.",
        }
        self.bench.note(tag, "trip", what[type(self.devices[tag])])

    def close(self, tag: str) -> None:
        """Reset it, or put a new link in."""
        if tag not in self.supply.opened:
            self.bench.note(tag, "note", f"{tag} is closed; nothing to reset.")
            return
        self.supply.opened.discard(tag)
        self.bench.note(tag, "reset", f"{tag} is closed again.")

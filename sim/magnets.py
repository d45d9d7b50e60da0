"""Electromagnets of a bench: armatures that pull in and drop out, each a little after its condition has come and only if it still holds.

Contactor, start relay, solenoid and pilot coils alike. A condition is met at a root on the dense solution (a monitor), or at once when a contact elsewhere has
moved; nothing moves in the instant in which it was measured, so that chatter on a low supply is physical and not numerical.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.supply import Coil

if TYPE_CHECKING:
    from sim.bench import Bench

CHATTER_S = 0.5  # guess: moves closer together than this belong to one chatter
CHATTER_MOVES = 6  # guess: nobody works a switch so often in so short a time


class Magnets:
    """Watches the coils of one bench's supply."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.coils = {coil.name: coil for coil in bench.supply.coils}
        self.sensor = bench.watching.coil_sensors
        self.moving: set[str] = set()
        """Coils whose condition has come and whose delay runs."""
        self.moved: list[float] = []
        """Instants at which the contactor moved, since it was last quiet."""

    def wants(self, coil: Coil, value: float) -> bool:
        """Would this armature be in, at this voltage or current?"""
        return value > (coil.drop_out if coil.name in self.bench.supply.seated else coil.pull_in)

    def arm(self) -> None:
        """Listen for pull-in of what is out and for drop-out of what is in."""
        happenings = self.bench.happenings
        for name in self.coils:
            free, seated = name not in self.moving, name in self.bench.supply.seated
            happenings.arm(f"{name}.pull", free and not seated)
            happenings.arm(f"{name}.drop", free and seated)

    def settle(self) -> None:
        """After any change: start the delay of every coil whose condition has come with it."""
        for name, coil in self.coils.items():
            value = float(self.bench.watch.now[self.sensor[name]])
            if name not in self.moving and self.wants(coil, value) != (name in self.bench.supply.seated):  # fmt: skip
                self.begin(name)

    def begin(self, name: str) -> None:
        """The condition has come: the armature follows after its delay."""
        self.moving.add(name)
        self.arm()
        self.bench.later(self.coils[name].delay_s, "armature", name)

    def move(self, name: str) -> bool:
        """The delay is over: move if the condition still holds. True when the armature has moved."""
        self.moving.discard(name)
        bench, coil = self.bench, self.coils[name]
        bench.look()
        wanted = self.wants(coil, float(bench.watch.value[self.sensor[name]]))
        if wanted == (name in bench.supply.seated):
            return False
        bench.supply.seat(name, wanted)
        return True

    def contactor(self, closed: bool) -> None:
        """Note a move of the contactor; of chatter say so once, until it has been quiet for a second."""
        now = self.bench.time_s
        quiet = not self.moved or now - self.moved[-1] > CHATTER_S
        self.moved = [now] if quiet else [*self.moved, now]
        if len(self.moved) < CHATTER_MOVES:
            self.bench.note("K1", "contact", f"Contactor {'closes' if closed else 'opens'}.")
        elif len(self.moved) == CHATTER_MOVES:
            self.bench.note("K1", "contact", "Contactor chatters: each start drags its own coil's voltage below drop-out.")  # fmt: skip

"""The hand meter and the hands of whoever stands at the wiring: cursor, two probes, clamp, knob. No Textual, no physics.

``Use`` is what crosses to the plant's thread; the opener knows how the model is asked (see ``Opened.measure``).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

from tui.desk import Direction, step_cost
from tui.draw.ladder_cells import Ladder, Spot

MODES: tuple[tuple[str, str, str], ...] = (
    ("volts", "volts ac", "V ac"),
    ("volts-low-impedance", "volts ac, low impedance", "V low Z"),
    ("dc-volts", "volts dc", "V dc"),
    ("ohms", "ohms", "ohm"),
    ("continuity", "continuity", "beep"),
    ("farads", "farads", "F"),
    ("amps", "amps, clamp", "A"),
    ("watts", "watts, clamp and probes", "W"),
    ("power-factor", "power factor, clamp and probes", "pf"),
)
"""Positions of the knob: the meter's name for it, words, short words."""
ON_DEAD_ONLY = ("ohms", "continuity", "farads")
"""Modes for a circuit that was proved dead."""
CLAMPED = ("amps", "watts", "power-factor")


@dataclass(frozen=True, slots=True)
class Use:
    """One use of the meter."""

    mode: str = "volts"
    between: tuple[str, ...] = ()
    around: tuple[str, ...] = ()
    """Wires in the clamp's jaws; "-W9" lies the other way round."""
    leads_zeroed: bool = False
    holding: bool = False
    """Peak hold is on: the largest reading is kept."""

    @property
    def complete(self) -> bool:
        """Everything is placed that this mode needs."""
        probes = self.mode == "amps" or len(self.between) == 2
        return probes and (self.mode not in CLAMPED or bool(self.around))

    @property
    def missing(self) -> str:
        """What has to be placed first, in words."""
        if self.mode != "amps" and len(self.between) < 2:
            return "Place both probes."
        return "" if self.complete else "Clamp a wire."


FIRST_USE = Use()


class Jaw(NamedTuple):
    """A wire in the clamp."""

    tag: str
    backwards: bool = False


@dataclass
class MeterDesk:
    """Choices at the wiring."""

    cursor: str = ""
    cell: tuple[int, int] = (0, 0)
    """Where the cursor stands: a rail has many cells."""
    probes: list[str] = field(default_factory=lambda: ["", ""])
    jaws: list[Jaw] = field(default_factory=list)
    knob: int = 0
    zeroed: bool = False
    holding: bool = False
    tags_shown: bool = False

    @property
    def mode(self) -> str:
        """The meter's name for its mode."""
        return MODES[self.knob][0]

    @property
    def use(self) -> Use:
        """What is asked of the meter; probes that the mode has no use for are left out."""
        between = tuple(end for end in self.probes if end) if self.mode != "amps" else ()
        around = tuple(("-" if jaw.backwards else "") + jaw.tag for jaw in self.jaws) if self.mode in CLAMPED else ()  # fmt: skip
        return Use(self.mode, between, around, self.zeroed, self.holding)

    def turn_knob(self, step: int) -> None:
        """The next or the previous mode."""
        self.knob = (self.knob + step) % len(MODES)

    def probe(self, number: int, terminal: str) -> None:
        """Put a probe on a terminal, or take it away from there."""
        self.probes[number] = "" if self.probes[number] == terminal else terminal

    def clamp(self, tag: str) -> None:
        """Round a wire: along it, the other way round, off."""
        for i, jaw in enumerate(self.jaws):
            if jaw.tag == tag:
                if jaw.backwards:
                    del self.jaws[i]
                else:
                    self.jaws[i] = jaw._replace(backwards=True)
                return
        self.jaws.append(Jaw(tag))

    def stand(self, spot: Spot) -> None:
        """Put the cursor somewhere."""
        self.cursor, self.cell = spot.name, (spot.x, spot.y)

    def here(self, ladder: Ladder) -> Spot:
        """The spot under the cursor; another size of the ladder has it elsewhere."""
        same = [spot for spot in ladder.spots if spot.name == self.cursor]
        exact = [spot for spot in same if (spot.x, spot.y) == self.cell]
        first = next(iter(ladder.spots))
        found = (exact or same or [first])[0]
        self.stand(found)
        return found

    def move(self, ladder: Ladder, direction: Direction) -> None:
        """To the nearest terminal or wire in a direction."""
        here = self.here(ladder)
        costs = [(step_cost((spot.x, spot.y), (here.x, here.y), direction), spot) for spot in ladder.spots]  # fmt: skip
        cost, spot = min(costs, key=lambda found: found[0])
        if cost < float("inf"):
            self.stand(spot)

    def step(self, ladder: Ladder, step: int) -> None:
        """To the next or previous terminal or wire, row by row."""
        order = sorted(ladder.spots, key=lambda spot: (spot.y, spot.x))
        self.stand(order[(order.index(self.here(ladder)) + step) % len(order)])

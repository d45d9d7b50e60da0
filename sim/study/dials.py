"""What the instruments of a rig can tell apart: how far two displays stand from each other, in steps and in shares of the dial.

Two forks of a bench have the same fixed errors and the same noise at the same instant, so their displays differ only by what differs in the plant, and by one step
of rounding at most.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sim.rig import Instrument, Rig
from sim.units import SYMBOLS

Readings = Mapping[str, float | str]

MOVED_STEPS = 2  # contract of the rehearsal card: a display has moved at twice its resolution
PLAIN_SHARE = (
    0.05  # contract of the rehearsal card: 5 % of the dial is seen from the back of the room
)
ALMOST = 1e-6  # of a step; displays are whole steps, converted to SI and back


@dataclass(frozen=True)
class Dial:
    """One instrument that shows a number, or a glass that shows a word."""

    tag: str
    what: str
    key: str
    """Name of what it shows among the readings."""
    unit: str
    """Of its scale; '' for a share, a level or a glass."""
    span: float
    step: float
    class_percent: float
    glass: bool = False

    @property
    def factor(self) -> float:
        """SI per unit of the scale, for differences; the flowmeter's display is in its scale's unit already."""
        return SYMBOLS[self.unit].factor if self.unit and self.key != "flowmeter_shown" else 1.0

    @property
    def least_told(self) -> float:
        """The least difference that this instrument tells from a written-down value: twice its step, or its class."""
        return max(MOVED_STEPS * self.step, self.class_percent / 100.0 * self.span)

    def word(self, readings: Readings) -> str:
        """What a glass looks like; one with vapour alone in it is as clear as one with liquid alone."""
        seen = str(readings[self.key])
        return "clear" if seen == "empty" else seen

    def shift(self, healthy: Readings, faulty: Readings) -> float:
        """How far the second display stands from the first, in units of the scale; a glass whose word has changed: 1."""
        if self.glass:
            return float(self.word(healthy) != self.word(faulty))
        return (float(faulty[self.key]) - float(healthy[self.key])) / self.factor

    def has_moved(self, shift: float) -> bool:
        """By twice its resolution; a glass by a change of its word."""
        return (self.glass and shift > 0.0) or (not self.glass and abs(shift) >= (MOVED_STEPS - ALMOST) * self.step)  # fmt: skip

    def is_plain(self, shift: float) -> bool:
        """Seen from the back of the room: 5 % of the dial, and more than rounding can do."""
        return self.has_moved(shift) and abs(shift) >= PLAIN_SHARE * self.span * (1.0 - ALMOST)

    def is_back(self, shift: float) -> bool:
        """Within its resolution of where it stood."""
        return abs(shift) <= (1.0 + ALMOST) * self.step


def dials_of(rig: Rig) -> tuple[Dial, ...]:
    """The instruments of a rig, one a reading."""
    found: dict[str, Dial] = {}
    for instrument in rig.instruments:
        dial = _dial(instrument)
        found.setdefault(dial.key, dial)
    return tuple(found.values())


def _dial(one: Instrument) -> Dial:
    if one.kind == "glass":
        return Dial(one.tag, one.what, f"sight_glass_{one.tag}", "", 1.0, 0.0, 0.0, glass=True)
    key = "flowmeter_shown" if one.kind == "flowmeter" else f"{one.reading}_shown"
    unit = "" if one.kind == "level" else one.unit
    return Dial(one.tag, one.what, key, unit, one.high - one.low, one.resolution, one.class_percent)

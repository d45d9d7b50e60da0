"""What happened, in the units of the person who is told: the plant notes set points and temperatures in SI people's units, once, for everybody.

Only what can mean one thing is put into other units: a gauge pressure, a temperature in degrees Celsius, which on a bench is never a difference, and kelvins, which always are one.
What a person has written is left as it is.
"""

from __future__ import annotations

import re

from sim.units import SYMBOLS, to_si
from tui.plant import Event
from tui.words import Units, in_words

_KEYS = {"bar g": "pressure_pa", "°C": "temperature_k", "K": "superheat_k"}
"""Unit in which the plant has noted it -> a name with that quantity."""
_NOTED = re.compile(rf"(?<![\w.])(-?\d+(?:\.\d+)?) ({'|'.join(map(re.escape, _KEYS))})(?!\w)")


def own_words(event: Event) -> bool:
    """A note that a person has written."""
    return event.kind == "note" and not event.tag


def in_own_units(event: Event, units: Units, atmosphere_pa: float) -> str:
    """The event's sentence."""
    return event.text if own_words(event) else told_in(event.text, units, atmosphere_pa)


def told_in(text: str, units: Units, atmosphere_pa: float) -> str:
    """What the plant says. Where the unit is the person's own the plant's digits stay."""

    def said(found: re.Match[str]) -> str:
        key, unit = _KEYS[found[2]], SYMBOLS[found[2]]
        words = in_words(key, to_si(float(found[1]), unit, atmosphere_pa), units, atmosphere_pa, short=True)  # fmt: skip
        return units.figure(found[0]) if words.endswith(f" {found[2]}") else words

    return _NOTED.sub(said, text)

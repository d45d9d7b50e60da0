"""Looking ahead: a copy of a bench runs on by itself, and what it trips, lifts, bursts or passes is listed in the order of time. The bench itself is not touched.

A forecast by a model: nobody moves anything in these minutes, and a limit counts from the last look at which it was still kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from sim.bench import Bench
from sim.errors import FluidRangeError, PlantError
from sim.events import RECORD, Event
from sim.study.limits import Lookout
from sim.study.twins import look_times

AHEAD_S = 600.0
LOOKS = ((AHEAD_S, 2.0),)
"""(up to, every) in s; guess: two seconds are read from a table as one instant."""
TELLING = ("trip", "contact", "reset", "lift", "burst", "slug", "stall", "damage", "empty", "beyond-tables", "violation")  # fmt: skip
"""Kinds of events that say what becomes of a plant; what an instructor does is none of them."""
WINDING = "winding_temperature_k"
MARK = "ahead"
"""Stands for a tag beside the note that somebody looked."""


class Coming(NamedTuple):
    """Something that happens on the copy, ``after_s`` from now. ``limit``: it is a limit that the plant passes."""

    after_s: float
    tag: str
    text: str
    limit: bool
    kind: str = ""
    """Of the event, for its cautions; '' of a bound that is passed."""


class Ahead(NamedTuple):
    """What has been seen up to ``seen_s`` of ``AHEAD_S``."""

    seen_s: float = 0.0
    coming: tuple[Coming, ...] = ()
    warmest_k: float = 0.0
    """Highest temperature of the winding, K."""
    warmest_s: float = 0.0
    ended: bool = False
    unable: str = ""
    """Why the copy could not be computed to the end."""

    @property
    def first_limit(self) -> Coming | None:
        """The earliest limit."""
        return next((one for one in self.coming if one.limit), None)

    @property
    def words(self) -> str:
        """One sentence for the record."""
        first = self.first_limit
        text = f"first limit after {first.after_s:.0f} s: {first.text}" if first is not None else "no limit was reached"  # fmt: skip
        warm = f"; winding at most {self.warmest_k - 273.15:.0f} °C" if self.warmest_k else ""
        return f"Looked {self.seen_s / 60:.0f} minutes ahead on a copy; {text.rstrip('.')}{warm}."


def look_ahead(copy: Bench, seconds: float = AHEAD_S) -> Iterator[Ahead]:
    """Run a copy and say after each look what has been seen so far; the last one has ``ended``."""
    begun, lookout, heard = copy.time_s, Lookout(copy), len(copy.events)
    seen = Ahead()
    for at_s in look_times(LOOKS, seconds):
        try:
            copy.advance(begun + at_s - copy.time_s)
            readings = copy.readings()
        except (PlantError, FluidRangeError) as error:
            yield seen._replace(ended=True, unable=str(error))
            return
        limits = lookout.look(copy, readings)
        kinds = {event.text: event.kind for event in copy.events[heard:]}
        new = [Coming(max(one.time_s, 0.0), one.tag, one.text, True, kinds.get(one.text, "")) for one in limits]  # fmt: skip
        texts = {one.text for one in limits}
        new += [Coming(one.time_s - begun, one.tag, one.text, False, one.kind) for one in _telling(copy.events[heard:]) if one.text not in texts]  # fmt: skip
        heard = len(copy.events)
        winding = float(readings.get(WINDING, 0.0))
        if winding > seen.warmest_k:
            seen = seen._replace(warmest_k=winding, warmest_s=at_s)
        seen = seen._replace(seen_s=at_s, coming=tuple(sorted((*seen.coming, *new))), ended=at_s >= seconds)  # fmt: skip
        yield seen


def _telling(events: list[Event]) -> list[Event]:
    return [event for event in events if event.kind in TELLING]


def note_that_somebody_looked(bench: Bench, seen: Ahead) -> None:
    """Put it on record. Nothing on the plant starts by it: being looked at changes no course."""
    bench.events.append(Event(bench.time_s, MARK, RECORD, seen.words))

"""Limits that a bench reaches: what trips, what lifts, what the compressor does not bear. A forecast by a model, never a time called safe."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from sim.bench import Bench
from sim.events import Event
from sim.study.dials import Readings
from sim.switches import LowPressureControl

OVERLOAD = "F1"
ENDING = ("trip", "lift", "burst", "stall", "beyond-tables")
"""Kinds of events after which a demonstration is over."""
DRY = 0.995  # guess: half a percent of droplets is no more than mist, which small compressors bear
DISCHARGE_LIMIT_K = 380.4  # common practice: 225 degF (107 degC) on the discharge pipe; hotter than that at the valve oil breaks down; from memory
WINDING_LIMIT_K = 403.15  # source: IEC 60085, thermal class 130 (B)
FULL_SHARE = 0.8  # common practice: a receiver or cylinder is filled to 80 % at most


class Limit(NamedTuple):
    """A limit that was reached."""

    time_s: float
    tag: str
    text: str
    ends: bool
    """Does the machine stop, or something break, so that there is nothing more to show?"""


class Bound(NamedTuple):
    """Something that readings must not pass."""

    tag: str
    text: str
    passed: Callable[[Readings, Bench], bool]


def _above(key: str, most: float) -> Callable[[Readings, Bench], bool]:
    return lambda readings, _: float(readings.get(key, 0.0)) > most


BOUNDS = (
    Bound("M1", "wet suction: liquid reaches the compressor", lambda r, _: float(r["suction_quality"]) < DRY),
    Bound("M1", "suction below the room's pressure: a leak would draw air in", lambda r, _: float(r["suction_pressure_pa"]) < float(r["atmospheric_pressure_pa"])),
    Bound("PS", "discharge pressure above the maximum allowable pressure PS", lambda r, b: float(r["discharge_pressure_pa"]) > b.rig.ps_pa),
    Bound("M1", "discharge gas above 107 °C", _above("discharge_temperature_k", DISCHARGE_LIMIT_K)),
    Bound("M1", "winding above 130 °C (thermal class 130)", _above("winding_temperature_k", WINDING_LIMIT_K)),
    Bound("LG-1", "receiver more than 80 % full", _above("receiver_level", FULL_SHARE)),
)  # fmt: skip


class Lookout:
    """Notes every limit the first time it is reached; a bound that was passed before the fault does not count.

    The time of an event is its own. A bound counts from the last look at which it was still kept: what is rarely looked at is forecast too early, never too late.
    """

    def __init__(self, bench: Bench) -> None:
        before = bench.readings()
        self.begun_s = self.last_look_s = bench.time_s
        self.open = [bound for bound in BOUNDS if not bound.passed(before, bench)]
        self.seen = len(bench.events)
        self.protectors = {OVERLOAD} | {
            tag
            for tag, switch in bench.controls.switches.items()
            if isinstance(switch, LowPressureControl)
        }
        self.protectors -= bench.controls.open_contacts
        self.found: list[Limit] = []

    def look(self, bench: Bench, readings: Readings) -> list[Limit]:
        """What has been reached since the last look."""
        new = [self._of_event(event) for event in bench.events[self.seen :]]
        self.seen = len(bench.events)
        reached = [limit for limit in new if limit is not None]
        for bound in [one for one in self.open if one.passed(readings, bench)]:
            self.open.remove(bound)
            reached.append(Limit(self.last_look_s - self.begun_s, bound.tag, bound.text, False))
        self.last_look_s = bench.time_s
        reached.sort()
        self.found += reached
        return reached

    def _of_event(self, event: Event) -> Limit | None:
        at_s = event.time_s - self.begun_s
        if event.kind == "contact" and event.tag in self.protectors:
            self.protectors.discard(event.tag)
            return Limit(at_s, event.tag, event.text, True)
        if event.kind == "slug" and not any(limit.text == event.text for limit in self.found):
            return Limit(at_s, event.tag, event.text, False)
        if event.kind in ENDING or (event.kind == "damage" and "burnt" in event.text):
            return Limit(at_s, event.tag, event.text, True)
        return None

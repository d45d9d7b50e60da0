"""What stays on record whatever becomes of the clock: mishaps, and that somebody looked ahead.

The plant's events belong to one course of the plant; going back, beginning again or going on with another plant leaves them behind. What no one can take back on a real plant
is carried over to the new events as a line of the kind ``record``, and so it is in every log, report and save. A line says when the mishap was, so that it is carried over once.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sim.events import RECORD
from sim.events import Event as Line
from tui.plant import Event

MISHAPS = ("violation", "burst", "slug", "damage", "lift")
"""What no one can take back on a real plant."""


def on_record(events: Sequence[Event]) -> list[Line]:
    """The lines that have to outlive these events."""
    return [_line(event) for event in events if event.kind == RECORD or event.kind in MISHAPS]


def carry_over(record: Sequence[Line], bench: Any) -> None:
    """Put on the bench's record what is not there yet. Nothing on the plant starts by it, as it would by a note."""
    there = {(line.tag, line.text) for line in on_record(bench.events)}
    bench.events.extend(Line(bench.time_s, line.tag, RECORD, line.text) for line in record if (line.tag, line.text) not in there)  # fmt: skip


def left_behind(events: Sequence[Event], found: Sequence[Event]) -> list[Event]:
    """Mishaps among ``events`` that ``found`` does not have."""
    there = {(event.time_s, event.text) for event in found}
    return [event for event in events if event.kind in MISHAPS and (event.time_s, event.text) not in there]  # fmt: skip


def taken_back(passed: Sequence[Event]) -> str:
    """The sentence about mishaps that are left behind; '' without any."""
    if not passed:
        return ""
    more = f" and {len(passed) - 1} more" if len(passed) > 1 else ""
    return f" That takes back: {passed[0].kind} at {passed[0].tag}{more}. A real plant has no way back."  # fmt: skip


def _line(event: Event) -> Line:
    text = event.text if event.kind == RECORD else f"Stays on record: {event.kind} at {event.time_s:.1f} s. {event.text}"  # fmt: skip
    return Line(event.time_s, event.tag, RECORD, text)

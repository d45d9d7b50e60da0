"""What a plant says of itself names no fault: only what an instructor does is on record under a fault's name, and that kind of event is the instructor's."""

from __future__ import annotations

import json
from collections.abc import Callable

import pytest

from sim import Bench
from sim.faults import all_faults


@pytest.mark.parametrize("name", sorted(all_faults()))
def test_no_other_event_warning_or_reading_names_a_fault(fit_for: Callable[[str], Bench], name: str) -> None:  # fmt: skip
    bench = fit_for(name)
    bench.insert_fault(name, 0.8)
    bench.advance(5.0)
    bench.set("HV-13", 1.0)
    said = [f"{event.tag} {event.kind} {event.text}" for event in bench.events if event.kind != "fault"]  # fmt: skip
    tags = [f"{info.tag} {info.what}" for info in bench.tags()]
    text = json.dumps([said, bench.warnings, tags, bench.readings()])
    assert said
    assert not [
        other for other in all_faults() if other in text or all_faults()[other].what in text
    ]
    assert "fault" not in text
    assert [event for event in bench.events if event.kind == "fault"]


def test_putting_a_fault_in_takes_no_longer_than_moving_a_switch(running: Bench) -> None:
    """Both write the tables and begin the integrator anew; steps are counted, not time."""
    moved, spoilt = running.fork(), running.fork()
    before = running.statistics["steps"]
    moved.set("HS-3", "low")
    spoilt.insert_fault("condenser-air-low", 0.4)
    for bench in (moved, spoilt):
        bench.advance(5.0)
    assert spoilt.statistics["steps"] - before <= 1.5 * (moved.statistics["steps"] - before) + 5

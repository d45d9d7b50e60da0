"""Looking ahead on a copy, against the same minutes lived through."""

from __future__ import annotations

import pytest

from sim.bench import Bench
from sim.session import open_bench
from sim.study.ahead import MARK, look_ahead, note_that_somebody_looked


@pytest.fixture(scope="module")
def steady() -> Bench:
    return open_bench("fennick_bench", "steady")


def test_the_trip_seen_ahead_comes_when_the_minutes_are_lived_through(steady: Bench) -> None:
    bench = steady.fork()
    bench.insert_fault("condenser-air-low", 0.9)
    begun = bench.time_s
    *_, seen = look_ahead(bench.fork(), 300.0)
    bench.advance(300.0)
    [lived] = [event for event in bench.events if event.tag == "PSHH-1" and event.time_s > begun]
    [ahead] = [one for one in seen.coming if one.tag == "PSHH-1"]
    assert ahead.limit
    assert ahead.after_s == pytest.approx(lived.time_s - begun, abs=1e-6)
    assert seen.coming == tuple(sorted(seen.coming))
    assert seen.ended


def test_looking_ahead_changes_nothing_but_the_record(steady: Bench) -> None:
    looked, other = steady.fork(), steady.fork()
    looked.insert_fault("condenser-air-low", 0.5)
    other.insert_fault("condenser-air-low", 0.5)
    *_, seen = look_ahead(looked.fork(), 20.0)
    note_that_somebody_looked(looked, seen)
    assert looked.events[-1].tag == MARK
    looked.advance(30.0)
    other.advance(30.0)
    assert looked.readings() == other.readings()


def test_a_quiet_bench_reaches_no_limit(steady: Bench) -> None:
    *_, seen = look_ahead(steady.fork(), 30.0)
    assert seen.first_limit is None
    assert "no limit was reached" in seen.words


def test_what_an_instructor_does_is_not_listed(steady: Bench) -> None:
    bench = steady.fork()
    bench.insert_fault("condenser-air-low", 0.9)
    *_, seen = look_ahead(bench, 60.0)
    assert not [one for one in seen.coming if "condenser-air-low" in one.tag + one.text]

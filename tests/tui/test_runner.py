"""The thread that owns the plant: paces held, time that is owed, orders, holding, failing. On the stand-in plant; ``tests/speed/pace_lag.py`` does it on the real one."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator

import pytest

from tests.tui.fake_bench import FakeBench, fake_chart
from tui.orders import Begin, Pace, SetTag
from tui.runner import MOST_DEBT_S, Opened, Progress, Runner, Stage

LATE_S = 0.3
"""A busy test machine may be this late without the plant being to blame."""


def wait_for(true: Callable[[], bool], seconds: float = 5.0) -> None:
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "nothing happened in time"
        time.sleep(0.005)


class Clock:
    """The wall clock, and how often the plant's thread looked at it."""

    def __init__(self) -> None:
        self.looks = 0

    def __call__(self) -> float:
        self.looks += threading.current_thread().name == "plant"
        return time.monotonic()


class Desk:
    """A runner on a bench that the test can see. ``slowness`` is the wall time that a simulated second takes, ``stall_s`` what the next step takes beside."""

    def __init__(self, patience_s: float = 60.0) -> None:
        self.bench, self.clock = FakeBench(), Clock()
        self.slowness, self.stall_s, self.broken = 0.0, 0.0, False
        self._advance = self.bench.advance
        self.bench.advance = self.advance  # type: ignore[method-assign]
        self.runner = Runner(self.open, Begin(first_pace=0), clock=self.clock, patience_s=patience_s)  # fmt: skip
        self.runner.start()
        wait_for(lambda: self.runner.take().stage is Stage.HELD)

    def open(self, begin: Begin, progress: Progress) -> Opened:
        if begin.load is not None:
            raise OSError("no such file")
        return Opened(self.bench, fake_chart())

    def advance(self, seconds: float) -> None:
        if self.broken:
            raise RuntimeError("no step")
        stall, self.stall_s = self.stall_s, 0.0
        time.sleep(self.slowness * seconds + stall)
        self._advance(seconds)

    def pace(self, pace: int) -> float:
        """Set it; the instant from which it holds."""
        number = self.runner.send(Pace(pace=pace))
        wait_for(lambda: self.runner.take().applied >= number)
        return time.monotonic()


@pytest.fixture
def desk() -> Iterator[Desk]:
    made = Desk()
    yield made
    made.runner.stop()


@pytest.mark.parametrize("pace", [1, 60])
def test_a_pace_is_held(desk: Desk, pace: int) -> None:
    sent = time.monotonic()
    began = desk.pace(pace)
    time.sleep(0.6)
    now, passed_s = time.monotonic(), desk.bench.time_s / pace
    assert now - began - LATE_S < passed_s < now - sent + 0.02
    report = desk.runner.take()
    assert report.reached == pytest.approx(pace, rel=0.3)
    assert (report.lag_s < LATE_S, report.dropped_s) == (True, 0.0)


def test_time_that_passed_while_held_is_not_made_up_for(desk: Desk) -> None:
    time.sleep(0.3)
    began = time.monotonic()
    desk.pace(60)
    time.sleep(0.1)
    assert desk.bench.time_s <= 60 * (time.monotonic() - began + 0.02)


def test_time_before_a_change_of_pace_counts_at_the_old_pace(desk: Desk) -> None:
    began = desk.pace(1)
    time.sleep(0.2)
    changing = time.monotonic()
    changed = desk.pace(60)
    desk.pace(0)
    stopped = time.monotonic()
    assert desk.bench.time_s <= changed - began + 60 * (stopped - changing) + 0.1


def test_a_moment_without_the_machine_is_caught_up_with(desk: Desk) -> None:
    desk.stall_s = 0.5
    began = desk.pace(60)
    wait_for(lambda: desk.runner.take().lag_s > 0.3)
    wait_for(lambda: desk.runner.take().lag_s < 0.05)
    assert desk.runner.take().dropped_s == 0.0
    assert time.monotonic() - began - desk.bench.time_s / 60 < LATE_S


def test_a_plant_that_cannot_keep_up_loses_time_and_says_so(desk: Desk) -> None:
    desk.slowness = 0.2  # five simulated seconds a second at the most
    began = time.monotonic()
    desk.pace(60)
    wait_for(lambda: desk.runner.take().dropped_s > 0.2)
    report = desk.runner.take()
    assert report.reached < 0.5 * 60 * (time.monotonic() - began)
    assert report.lag_s < MOST_DEBT_S + 2.0
    desk.slowness = 0.0


def test_a_held_plant_wakes_nobody(desk: Desk) -> None:
    time.sleep(0.05)
    before = desk.clock.looks
    time.sleep(0.3)
    assert desk.clock.looks == before


def test_an_order_reaches_a_held_plant_at_once(desk: Desk) -> None:
    sent = time.monotonic()
    number = desk.runner.send(SetTag(tag="HV-12", value=0.0))
    wait_for(lambda: desk.runner.latest.applied == number)
    assert time.monotonic() - sent < LATE_S
    snapshot = desk.runner.latest.snapshot
    assert snapshot is not None
    assert snapshot.commands["HV-12"] == 0.0


def test_a_wrong_order_is_refused_with_its_reason(desk: Desk) -> None:
    number = desk.runner.send(SetTag(tag="HV-99", value=0.0))
    wait_for(lambda: desk.runner.latest.applied == number)
    refused = desk.runner.latest.refused
    assert refused is not None
    assert (refused.number, refused.tag) == (number, "HV-99")


def test_a_plant_that_nobody_watches_is_held_until_somebody_looks() -> None:
    desk = Desk(patience_s=0.2)
    desk.pace(1)
    wait_for(lambda: desk.runner.latest.stage is Stage.HELD)
    stood = desk.bench.time_s
    assert desk.runner.latest.held_because
    time.sleep(0.3)
    assert desk.bench.time_s == stood
    wait_for(lambda: desk.runner.take().stage is Stage.RUNNING)
    time.sleep(0.1)
    assert desk.bench.time_s - stood < 0.3, "the time away is not made up for"
    desk.runner.stop()


def test_a_failure_is_a_report_and_one_can_begin_again(desk: Desk) -> None:
    desk.broken = True
    desk.runner.send(Pace(pace=1))
    wait_for(lambda: desk.runner.take().stage is Stage.FAILED)
    assert desk.runner.latest.failure == "no step"
    assert "Traceback" in desk.runner.latest.detail
    desk.broken = False
    desk.runner.send(Begin())
    wait_for(lambda: desk.runner.take().stage is Stage.RUNNING)


def test_a_bench_that_cannot_be_opened_is_told_and_another_can_be_opened(desk: Desk) -> None:
    number = desk.runner.send(Begin(load="nothing.rime"))
    wait_for(lambda: desk.runner.take().applied == number)
    assert (desk.runner.latest.stage, desk.runner.latest.failure) == (Stage.FAILED, "no such file")
    desk.runner.send(Begin())
    wait_for(lambda: desk.runner.take().stage is Stage.RUNNING)

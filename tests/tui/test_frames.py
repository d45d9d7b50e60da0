"""When to paint."""

from __future__ import annotations

from tests.tui.fake_bench import FakeBench
from tui.frames import FrameClock


def painted(clock: FrameClock, seconds: float, *, changing: bool, tick: float = 0.01) -> int:
    count = 0
    for step in range(round(seconds / tick)):
        count += clock.due(step * tick, (step if changing else 0,), False)
    return count


def test_ten_frames_a_second_while_something_changes() -> None:
    assert 9 <= painted(FrameClock(), 1.0, changing=True) <= 11


def test_one_frame_and_then_none_while_nothing_changes() -> None:
    assert painted(FrameClock(), 5.0, changing=False) == 1


def test_two_frames_a_second_while_nobody_looks() -> None:
    assert 4 <= painted(FrameClock(away=True), 2.0, changing=True) <= 5


def test_two_frames_a_second_behind_a_dialog_but_what_the_plant_has_become_at_once() -> None:
    clock = FrameClock(behind=True)
    assert 4 <= painted(clock, 2.0, changing=True) <= 5
    assert not clock.due(2.01, ("new",), False)
    assert clock.due(2.01, ("new",), False, at_once=True)


def test_painting_that_takes_too_long_steps_the_rate_down_and_says_so() -> None:
    clock = FrameClock()
    for step in range(30):
        clock.painted(step * 0.1, 0.06)
    assert clock.rate == 5.0
    assert clock.slowed


def test_one_slow_frame_changes_nothing() -> None:
    clock = FrameClock()
    clock.painted(0.0, 0.5)
    clock.painted(0.1, 0.01)
    clock.painted(5.0, 0.5)
    assert clock.rate == 10.0


def test_numbers_change_at_most_four_times_a_second() -> None:
    clock, bench = FrameClock(), FakeBench()
    shown = set()
    for step in range(100):
        bench.advance(0.01)
        snapshot = clock.numbers_from(step * 0.01, bench.snapshot())
        assert snapshot is not None
        shown.add(snapshot.time_s)
    assert 3 <= len(shown) <= 5


def test_numbers_follow_a_hand_at_once() -> None:
    clock, bench = FrameClock(), FakeBench()
    clock.numbers_from(0.0, bench.snapshot())
    bench.advance(0.01)
    clock.fresh_numbers()
    newest = bench.snapshot()
    assert clock.numbers_from(0.01, newest) is newest


def test_marks_move_by_plant_time_over_pace_so_that_they_never_race() -> None:
    clock, bench = FrameClock(), FakeBench()
    clock.passed_s(bench.snapshot(), 60)
    bench.advance(6.0)
    assert abs(clock.passed_s(bench.snapshot(), 60) - 0.1) < 1e-9
    assert clock.passed_s(bench.snapshot(), 60) == 0.0

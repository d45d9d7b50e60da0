"""The record behind the trends."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from tests.tui.fake_bench import FakeBench, fake_chart, steady_bench
from tui.history import History

KEYS = ("suction_pressure_pa", "gauge_superheat_k")


def run(bench: FakeBench, history: History, seconds: int, step: float = 1.0) -> None:
    for _ in range(round(seconds / step)):
        bench.advance(step)
        history.add(bench.snapshot(), fake_chart())


def test_samples_come_back_in_order_with_their_times() -> None:
    bench, history = FakeBench(), History()
    run(bench, history, 50)
    times, lows, highs = history.window(KEYS, 30.0, 50.0, False)
    assert times.tolist() == list(range(30, 51))
    assert lows[0][-1] == highs[0][-1] == pytest.approx(bench.suction_pa, rel=1e-6)


def test_frames_closer_than_half_a_second_share_a_span() -> None:
    bench, history = FakeBench(), History()
    run(bench, history, 5, 0.05)
    assert len(history.window(KEYS, 0.0, 100.0, False)[0]) <= 11


def test_any_reading_that_is_a_number_is_kept() -> None:
    bench, history = steady_bench(), History()
    run(bench, history, 3)
    numbers = {key.removesuffix("_shown") for key, value in bench.snapshot().readings.items() if isinstance(value, int | float)}  # fmt: skip
    assert numbers <= set(history.keys)


def test_a_full_record_halves_its_resolution_and_still_begins_at_the_beginning() -> None:
    bench, history = FakeBench(), History(capacity=16)
    run(bench, history, 40)
    times, _, _ = history.window(KEYS, 0.0, 1e6, True)
    assert times[0] == 1.0
    assert times.size <= 16
    assert history.step_s == 2.0


def test_no_peak_is_lost_when_spans_are_joined() -> None:
    bench, history = FakeBench(), History(capacity=16)
    run(bench, history, 10)
    bench.advance(1.0)
    usual = bench.suction_pa
    peak = bench.suction_pa = 3.0 * usual
    history.add(bench.snapshot(), fake_chart())
    bench.suction_pa = usual
    run(bench, history, 200)
    _, _, highs = history.window(KEYS, 0.0, 1e6, True)
    assert np.nanmax(highs[0]) >= 0.9 * peak


def test_time_that_runs_backwards_takes_back_what_was_to_come() -> None:
    bench, history = FakeBench(), History()
    run(bench, history, 20)
    history.add(FakeBench(time_s=10.0).snapshot(), fake_chart())
    assert history.window(KEYS, 0.0, 1e6, False)[0].tolist() == list(range(1, 11))
    assert history.now_s == 10.0


def test_a_new_beginning_starts_a_new_record() -> None:
    bench, history = steady_bench(), History()
    run(bench, history, 5)
    history.clear()
    history.add(FakeBench().snapshot(), fake_chart())
    assert history.window(KEYS, 0.0, 1e6, False)[0].tolist() == [0.0]


def test_a_span_that_the_windows_left_edge_cuts_is_in_it_from_the_edge_on() -> None:
    """By hand: 16 spans of 0.5 s become 8 of 1 s; that from 3.0 s holds the peak at 3.5 s, which a window from 3.2 s on must not lose."""
    bench, history = steady_bench(), History(capacity=16)
    plain = bench.snapshot()
    for k in range(17):
        amps = 13.7 if k == 7 else 2.9
        history.add(replace(plain, time_s=k / 2, readings=plain.readings | {"current_a_shown": amps}), None)  # fmt: skip
    assert history.step_s == 1.0
    times, _, (highs,) = history.window(("current_a",), 3.2, 8.0, False)
    assert times[0] == pytest.approx(3.2)
    assert highs.max() == pytest.approx(13.7, rel=1e-6)
    assert history.window(("current_a",), 4.0, 8.0, False)[0][0] == 4.0

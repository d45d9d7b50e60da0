"""The ring behind the trends."""

from __future__ import annotations

import numpy as np

from tests.tui.fake_bench import FakeBench, fake_chart, steady_bench
from tui.history import History

KEYS = ("suction_pressure_pa", "gauge_superheat_k")


def test_samples_come_back_in_order_with_their_times() -> None:
    bench, history = FakeBench(), History(KEYS)
    for _ in range(50):
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    times, (pressure, _) = history.window(KEYS, 20.0, False)
    assert times.tolist() == list(range(30, 51))
    assert np.allclose(pressure[-1], bench.suction_pa, rtol=1e-6)


def test_frames_closer_than_half_a_second_add_nothing() -> None:
    bench, history = FakeBench(), History(KEYS)
    for _ in range(100):
        bench.advance(0.05)
        history.add(bench.snapshot(), fake_chart())
    assert len(history.window(KEYS, 100.0, False)[0]) <= 11


def test_the_ring_forgets_the_oldest_and_keeps_its_size() -> None:
    bench, history = FakeBench(), History(KEYS, capacity=16)
    for _ in range(40):
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    times, _ = history.window(KEYS, 1e6, True)
    assert times.tolist() == list(range(25, 41))


def test_a_new_beginning_starts_a_new_record() -> None:
    bench, history = steady_bench(), History(KEYS)
    history.add(bench.snapshot(), fake_chart())
    history.add(FakeBench().snapshot(), fake_chart())
    assert history.window(KEYS, 1e6, False)[0].tolist() == [0.0]


def test_times_stay_exact_after_days() -> None:
    bench, history = FakeBench(time_s=1e6), History(KEYS)
    for _ in range(5):
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    assert np.diff(history.window(KEYS, 100.0, False)[0]).tolist() == [1.0] * 4

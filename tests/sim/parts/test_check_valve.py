"""Check valve: one way, smoothly."""

from __future__ import annotations

import numpy as np
import pytest

from sim.parts.check_valve import CheckValve, onset, opening

ROW = CheckValve(tag="NRV-1", kv_m3_h=1.0).row()


def test_nothing_passes_backwards() -> None:
    assert opening(ROW, -1e6) == 0.0
    assert opening(ROW, 0.0) == 0.0


def test_it_opens_over_about_a_kilopascal_without_a_corner() -> None:
    d = np.linspace(-2e3, 1e4, 12001)
    o = np.array([onset(x) for x in d])
    assert onset(1000.0) == pytest.approx(0.5)
    assert o[-1] > 0.98
    assert np.all(np.diff(o) >= 0.0)
    assert np.abs(np.diff(o, 2)).max() < 3e-6


def test_a_spring_must_be_overcome_first() -> None:
    row = CheckValve(tag="NRV-1", kv_m3_h=1.0, cracking_pa=5e3).row()
    assert opening(row, 4.9e3) == 0.0
    assert opening(row, 20e3) > 0.98


def test_a_worn_seat_passes_backwards() -> None:
    row = CheckValve(tag="NRV-1", kv_m3_h=1.0, seat_leak=0.03).row()
    assert opening(row, -1e5) == pytest.approx(0.03)

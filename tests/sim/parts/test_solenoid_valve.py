"""Solenoid valve: current lifts it, pressure may hold it down, and backwards it does not hold."""

from __future__ import annotations

import pytest

from sim.parts.solenoid_valve import SolenoidValve, opening, position_rate, target

ROW = SolenoidValve(tag="XV-1", kv_m3_h=0.2).row()
BAR = 1e5
STEP = 5e-4


def after(seconds: float, start: float, energised: float, dp: float) -> float:
    z = start
    for _ in range(round(seconds / STEP)):
        z += STEP * position_rate(ROW, z, energised, dp)
    return z


def test_it_opens_and_shuts_within_a_few_tenths_of_a_second() -> None:
    assert 0.3 < after(0.1, 0.0, 1.0, 5 * BAR) < 0.6
    assert opening(ROW, after(0.3, 0.0, 1.0, 5 * BAR)) > 0.98
    assert opening(ROW, after(0.3, 1.0, 0.0, 5 * BAR)) < 0.02


def test_it_does_not_lift_against_more_than_its_opening_difference() -> None:
    assert after(5.0, 0.0, 1.0, 30 * BAR) == 0.0
    assert after(5.0, 1.0, 1.0, 30 * BAR) == pytest.approx(1.0)  # once lifted it stays up


def test_back_pressure_lifts_a_shut_valve() -> None:
    # common practice: a solenoid valve holds one way
    assert target(ROW, 0.0, 0.0, 10 * BAR) == 0.0
    assert target(ROW, 0.0, 0.0, -0.1 * BAR) == 0.0
    assert after(1.0, 0.0, 0.0, -1.0 * BAR) == pytest.approx(1.0, abs=1e-3)


def test_a_dirty_seat_leaks() -> None:
    row = SolenoidValve(tag="XV-1", kv_m3_h=0.2, seat_leak=0.01).row()
    assert opening(row, 0.0) == pytest.approx(0.01)

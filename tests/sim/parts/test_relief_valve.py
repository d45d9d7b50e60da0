"""Relief valve: shut below the set pressure, fully open a tenth above, and it reseats lower."""

from __future__ import annotations

import numpy as np
import pytest

from sim.parts.relief_valve import ReliefValve, lift_rate, opening

VALVE = ReliefValve(tag="PSV-1", set_pa=20e5, area_m2=4e-6)
ROW = VALVE.row()
STEP = 1e-3


def ramp(pressures: np.ndarray, start: float, row: np.ndarray = ROW) -> np.ndarray:
    lift, history = start, []
    for p in pressures:
        for _ in range(50):
            lift += STEP * lift_rate(row, lift, p)
        history.append(lift)
    return np.array(history)


def test_it_is_tight_to_its_set_pressure_and_full_at_ten_per_cent_over() -> None:
    # ISO 4126-1: overpressure at most 10 %
    assert opening(ramp(np.full(40, 19.99e5), 0.0)[-1]) == 0.0
    assert opening(ramp(np.full(40, 22.0e5), 0.0)[-1]) > 0.999


def test_the_area_grows_smoothly_with_the_lift() -> None:
    shares = np.array([opening(lift) for lift in np.linspace(0.0, 1.0, 2001)])
    assert shares[0] == 0.0
    assert shares[-1] == 1.0
    assert np.all(np.diff(shares) >= 0.0)
    assert np.abs(np.diff(shares, 2)).max() < 1e-5


def test_it_pops_at_its_set_pressure_and_reseats_a_blowdown_lower() -> None:
    up, down = np.linspace(18e5, 22e5, 801), np.linspace(22e5, 17e5, 1001)
    rising = ramp(up, 0.0)
    falling = ramp(down, 1.0)
    assert up[np.argmax(rising > 0.5)] == pytest.approx(20e5, rel=0.01)
    assert down[np.argmax(falling < 0.5)] == pytest.approx(18e5, rel=0.015)


def test_between_reseating_and_set_pressure_it_keeps_the_state_it_had() -> None:
    p = np.full(40, 19e5)
    assert ramp(p, 0.0)[-1] == pytest.approx(0.0, abs=1e-3)
    assert ramp(p, 1.0)[-1] > 0.9


def test_without_blowdown_the_lift_hardly_remembers() -> None:
    row = ReliefValve(tag="PSV-1", set_pa=20e5, area_m2=4e-6, blowdown=0.0).row()
    assert lift_rate(row, 0.0, 19.9e5) == 0.0
    assert lift_rate(row, 1.0, 17e5) < 0.0


def test_a_proportional_one_opens_as_far_as_it_has_to_and_comes_back_the_same_way() -> None:
    """A plain spring: lift goes with the overpressure, (p - set)/(0.1 set) rounded at its ends, and half of it is half open, up and down alike."""
    row = ReliefValve(tag="M1-relief", set_pa=20e5, area_m2=4e-6, proportional=True).row()
    pressures = np.linspace(19e5, 23e5, 41)
    up, down = (np.array([ramp(np.full(12, p), start, row)[-1] for p in pressures]) for start in (0.0, 1.0))  # fmt: skip
    assert up == pytest.approx(down, abs=1e-3)
    assert np.interp(21e5, pressures, up) == pytest.approx(0.5, abs=0.02)
    assert up[pressures < 19.99e5].max() < 1e-6


def test_a_valve_set_beyond_the_model_is_named() -> None:
    wrong = ReliefValve(tag="PSV-1", set_pa=1e8, area_m2=4e-6).check()
    assert [field for field, _ in wrong] == ["set_pa"]

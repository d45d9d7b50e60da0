"""Float valve: it answers to level and to nothing else."""

from __future__ import annotations

import numpy as np
import pytest

from sim.parts.float_valve import STUCK, FloatValve, lift, opening

VALVE = FloatValve(tag="LCV-24", full_area_m2=3e-7, band_bottom=0.35, band_top=0.45)
ROW = VALVE.row()


def test_it_is_open_below_its_band_shut_above_and_half_way_in_the_middle() -> None:
    assert lift(ROW, 0.2) == 1.0
    assert lift(ROW, 0.6) == 0.0
    assert lift(ROW, 0.40) == pytest.approx(0.5)


def test_a_rising_level_closes_it_without_a_corner() -> None:
    lifts = np.array([lift(ROW, x) for x in np.linspace(0.3, 0.5, 2001)])
    assert np.all(np.diff(lifts) <= 0.0)
    assert np.abs(np.diff(lifts, 2)).max() < 1e-5


def test_a_worn_needle_leaks_when_shut() -> None:
    row = FloatValve(**{**VALVE.__dict__, "needle_leak": 0.02}).row()
    assert opening(row, 0.0) == pytest.approx(0.02)
    assert opening(row, 1.0) == 1.0


def test_a_stuck_float_ignores_the_level() -> None:
    row = VALVE.row()
    row[STUCK] = 0.3
    assert lift(row, 0.0) == lift(row, 1.0) == 0.3


def test_a_band_upside_down_is_refused() -> None:
    wrong = FloatValve(**{**VALVE.__dict__, "band_top": 0.30}).check()
    assert [field for field, _ in wrong] == ["band_top"]

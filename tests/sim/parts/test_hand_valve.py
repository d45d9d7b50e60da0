"""Hand valve: proportional to the handle, odd in the pressure difference, linear near rest."""

from __future__ import annotations

from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.parts.hand_valve import HandValve, flow, opening
from sim.throttle import AREA_PER_KV

VALVE = HandValve(tag="HV-11", kv_m3_h=1.0)
ROW = VALVE.row()


def test_a_shut_valve_passes_nothing_and_half_the_handle_half_the_flow() -> None:
    full = flow(ROW, 1.0, 1150.0, 2e5)
    assert flow(ROW, 0.0, 1150.0, 2e5) == 0.0
    assert flow(ROW, 0.5, 1150.0, 2e5) == pytest.approx(0.5 * full)


@given(st.floats(0.0, 30e5), st.floats(1.0, 1400.0))
def test_swapping_the_ends_reverses_the_flow(dp: float, rho: float) -> None:
    assert flow(ROW, 1.0, rho, -dp) == -flow(ROW, 1.0, rho, dp)


def test_far_above_the_linear_range_the_square_root_law_holds() -> None:
    # A sqrt(2 rho D) = 1.9642e-5 sqrt(2 1000 1e6) = 0.8784 kg/s
    assert flow(ROW, 1.0, 1000.0, 1e6) == pytest.approx(0.8784, rel=1e-3)


def test_near_rest_the_flow_is_linear_with_a_finite_slope() -> None:
    slope = AREA_PER_KV * sqrt(2.0 * 1000.0) / sqrt(VALVE.linear_below_pa)
    assert flow(ROW, 1.0, 1000.0, 1e-3) == pytest.approx(slope * 1e-3, rel=1e-9)


def test_a_leaking_seat_passes_its_share() -> None:
    row = HandValve(tag="HV-1", kv_m3_h=1.0, seat_leak=0.01).row()
    assert opening(row, 0.0) == pytest.approx(0.01)
    assert opening(row, 1.0) == 1.0


def test_an_impossible_flow_coefficient_is_named() -> None:
    wrong = HandValve(tag="HV-1", kv_m3_h=-1.0).check()
    assert [field for field, _ in wrong] == ["kv_m3_h"]
    assert "holds from" in wrong[0][1]

"""Reversing valve: the slide needs a pressure difference, and can lose it on the way."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.parts.reversing_valve import ReversingValve, passages, slide_rate

VALVE = ReversingValve(tag="XV-2", kv_m3_h=2.0)
ROW = VALVE.row()
BAR = 1e5
STEP = 1e-3


def travel(
    difference: Callable[[float], float], start: float, pilot: float, seconds: float
) -> float:
    s = start
    for _ in range(int(seconds / STEP)):
        s += STEP * slide_rate(ROW, s, difference(s), pilot)
    return s


def test_below_its_minimum_difference_it_does_not_shift() -> None:
    # common practice: order of 15 psi
    assert travel(lambda s: 0.95 * BAR, 0.0, 1.0, 60.0) == 0.0
    assert travel(lambda s: -5.0 * BAR, 0.0, 1.0, 60.0) == 0.0


@pytest.mark.parametrize(("start", "pilot"), [(0.0, 1.0), (1.0, 0.0)])
def test_with_head_it_crosses_in_its_travel_time_both_ways(start: float, pilot: float) -> None:
    assert travel(lambda s: 5 * BAR, start, pilot, 0.3) == pytest.approx(
        start + 0.75 * (pilot - start), abs=0.02
    )
    assert travel(lambda s: 5 * BAR, start, pilot, 0.6) == pytest.approx(pilot, abs=1e-3)


def test_once_off_its_seat_it_needs_less() -> None:
    assert slide_rate(ROW, 0.5, 0.4 * BAR, 1.0) > 0.0
    assert slide_rate(ROW, 0.0, 0.8 * BAR, 1.0) == 0.0


def test_cross_flow_stalls_a_weak_machine_half_way_and_head_frees_it() -> None:
    def weak(s: float) -> float:
        _, heating, cooling_a, _ = passages(ROW, s)
        return 1.3 * BAR * (1.0 - 60.0 * heating * cooling_a)

    stuck = travel(weak, 0.0, 1.0, 20.0)
    assert 0.2 < stuck < 0.8
    assert slide_rate(ROW, stuck, weak(stuck), 1.0) < 1e-3
    assert travel(lambda s: 4 * BAR, stuck, 1.0, 1.0) == pytest.approx(1.0, abs=1e-3)


def test_at_rest_each_coil_sees_one_line_and_reversal_swaps_them() -> None:
    assert passages(ROW, 0.0) == (1.0, 0.0, 0.0, 1.0)
    assert passages(ROW, 1.0) == (0.0, 1.0, 1.0, 0.0)


@given(st.floats(0.0, 1.0))
def test_the_two_halves_mirror_each_other(s: float) -> None:
    to_a, to_b, from_a, from_b = passages(ROW, s)
    assert passages(ROW, 1.0 - s) == pytest.approx((to_b, to_a, from_b, from_a), abs=1e-12)
    assert to_a == from_b
    assert to_b == from_a


def test_at_mid_travel_gas_goes_straight_across() -> None:
    to_a, _, from_a, _ = passages(ROW, 0.5)
    assert min(to_a, from_a) == pytest.approx(1.0 / 8.0)  # half way through both blends: (1/2)^3


def test_passages_and_speed_have_no_corner() -> None:
    s = np.linspace(0.0, 1.0, 4001)
    share = np.array([passages(ROW, x)[0] for x in s])
    assert np.abs(np.diff(share, 2)).max() < 4e-5  # a corner would show 1e-3
    speed = np.array([slide_rate(ROW, 0.4, d, 1.0) for d in np.linspace(0.0, 3 * BAR, 4001)])
    assert np.abs(np.diff(speed, 2)).max() < 0.012  # a corner would show 0.09


def test_more_friction_in_motion_than_at_rest_is_refused() -> None:
    wrong = ReversingValve(tag="XV-2", kv_m3_h=2.0, moving_difference_pa=2e5).check()
    assert [field for field, _ in wrong] == ["moving_difference_pa"]

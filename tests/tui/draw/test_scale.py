"""Places on the screen and round numbers."""

from __future__ import annotations

import math

from hypothesis import given
from hypothesis import strategies as st

from tui.draw.scale import Scale, log_ticks, round_step, ticks, widen
from tui.draw.trend import axis_ticks


def test_ends_and_middle_of_a_straight_scale() -> None:
    scale = Scale(0.0, 10.0, 100.0, 0.0)
    assert [scale.at(value) for value in (0, 5, 10)] == [100, 50, 0]


def test_equal_ratios_are_equal_distances_on_a_log_scale() -> None:
    scale = Scale(1.0, 100.0, 0.0, 80.0, log=True)
    assert math.isclose(scale.at(10) - scale.at(1), scale.at(100) - scale.at(10))
    assert math.isnan(scale.at(-1.0))


@given(st.floats(-1e4, 1e4), st.floats(1e-2, 1e4), st.integers(1, 12))
def test_ticks_are_round_inside_and_not_too_many(low: float, span: float, most: int) -> None:
    found = ticks(low, low + span, most)
    step = round_step(span, most)
    assert len(found) <= most + 1
    assert all(low - step * 1e-6 <= tick <= low + span + step * 1e-6 for tick in found)


def test_log_ticks_are_one_two_and_five() -> None:
    assert log_ticks(0.9, 21.0) == [1, 2, 5, 10, 20]


def test_a_flat_curve_still_gets_an_axis() -> None:
    low, high = widen(5.0, 5.0, 2.0)
    assert high - low == 2.0
    assert (low + high) / 2 == 5.0


@given(st.floats(-100.0, 100.0), st.floats(0.05, 500.0), st.integers(4, 40))
def test_the_ticks_of_a_trend_are_two_at_least_and_rows_apart(low: float, span: float, height: int) -> None:  # fmt: skip
    """Equal steps have to look equal: where there are more than two, they are two rows apart or more."""
    found = axis_ticks(low, low + span, height)
    assert len(found) >= 2
    if len(found) > 2:
        assert (found[1] - found[0]) / span * height >= 1.99

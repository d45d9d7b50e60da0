"""Hand expansion valve: the two needle shapes."""

from __future__ import annotations

import numpy as np
import pytest

from sim.parts.hand_expansion_valve import HandExpansionValve, area, opening

LINEAR = HandExpansionValve(tag="HCV-22", full_area_m2=3.5e-7).row()
EQUAL = HandExpansionValve(
    tag="HCV-22", full_area_m2=3.5e-7, characteristic="equal-percentage"
).row()


def test_a_linear_needle_opened_by_30_per_cent_gives_30_per_cent_more_area() -> None:
    assert area(LINEAR, 0.4 * 1.3) == pytest.approx(1.3 * area(LINEAR, 0.4))
    assert area(LINEAR, 1.0) == 3.5e-7


def test_equal_travel_gives_equal_percentage() -> None:
    # IEC 60534-2-4: R^(dn): 50^0.1 = 1.479 for each tenth of travel
    for n in (0.1, 0.3, 0.6, 0.9):
        assert opening(EQUAL, n + 0.1) / opening(EQUAL, n) == pytest.approx(1.479, rel=1e-3)


@pytest.mark.parametrize("row", [LINEAR, EQUAL])
def test_every_needle_shuts_and_opens_without_a_jump(row: np.ndarray) -> None:
    shares = np.array([opening(row, n) for n in np.linspace(0.0, 1.0, 2001)])
    assert shares[0] == 0.0
    assert shares[-1] == 1.0
    assert np.all(np.diff(shares) > 0.0)
    assert np.diff(shares).max() < 0.005


def test_a_scored_seat_leaks() -> None:
    row = HandExpansionValve(tag="HCV-1", full_area_m2=1e-7, seat_leak=0.02).row()
    assert area(row, 0.0) == pytest.approx(2e-9)


def test_an_unknown_needle_shape_is_refused_with_the_choices() -> None:
    ((field, text),) = HandExpansionValve(
        tag="HCV-1", full_area_m2=1e-7, characteristic="quick"
    ).check()
    assert field == "characteristic"
    assert "linear or equal-percentage" in text

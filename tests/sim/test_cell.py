"""The reconstruction of a coil cell: closed forms worked by hand."""

from __future__ import annotations

from math import log, tanh

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.cell import centre, half_change


@given(st.floats(0.02, 1.0), st.floats(-0.9, 0.9))
def test_the_centre_reproduces_the_stored_mean(z_centre: float, share: float) -> None:
    """With z linear, the mean of 1/z over the cell is ln((z+d)/(z-d))/(2d); the stored mean is its reciprocal, and centre() inverts it."""
    d = share * z_centre
    if abs(d) < 1e-4:
        return
    stored = 2.0 * d / log((z_centre + d) / (z_centre - d))
    assert centre(stored, 1e-3, d) == pytest.approx(z_centre, rel=1e-6)


def test_a_cell_without_change_is_its_own_centre() -> None:
    assert centre(0.3, 0.01, 0.0) == 0.3


def test_the_outlet_of_a_boiling_cell_stays_on_the_positive_side() -> None:
    """z_c - d > 0 however large the change: coth is above one."""
    stored, d = 0.05, -0.4
    assert centre(stored, 0.01, d) - abs(d) > 0.0
    assert centre(stored, 0.01, d) == pytest.approx(0.4 / tanh(0.4 / 0.05))


def test_half_change_is_heat_over_flow_and_latent_heat() -> None:
    """60 W into 3 g/s at 180 kJ/kg: 60/0.003/180e3 = 0.1111, half of it 0.0556, less the soft bound's 0.2 %."""
    assert half_change(60.0, 0.003, 180e3, 1e-9) == pytest.approx(0.0556, rel=5e-3)


def test_no_flow_means_no_change() -> None:
    assert half_change(60.0, 0.0, 180e3, 5e-4) == 0.0


def test_the_change_never_spans_the_dome() -> None:
    assert abs(half_change(5000.0, 1e-3, 180e3, 5e-4)) < 0.82

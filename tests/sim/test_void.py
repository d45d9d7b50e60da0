"""Slip and void fraction: limits, inverse, and the order of the models."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import void

RHO_L, RHO_V = 1146.7, 50.1  # R134a at 40 C


@settings(deadline=None)
@given(
    x=st.floats(0.0, 1.0), exponent=st.sampled_from([void.ZIVI_EXPONENT, void.HOMOGENEOUS_EXPONENT])
)
def test_quality_and_void_are_each_others_inverse(x: float, exponent: float) -> None:
    alpha = void.void_fraction(x, RHO_L, RHO_V, exponent)
    assert 0.0 <= alpha <= 1.0
    assert void.flow_quality(alpha, RHO_L, RHO_V, exponent) == pytest.approx(x, abs=1e-12)


def test_zivi_slip_is_the_cube_root_of_the_density_ratio() -> None:
    # (1146.7/50.1)^(1/3) = 22.888^(1/3) = 2.839
    assert void.slip_ratio(RHO_L, RHO_V, void.ZIVI_EXPONENT) == pytest.approx(2.839, abs=1e-3)


def test_without_slip_the_void_is_the_volume_share() -> None:
    # x = 0.2: 0.2/50.1 / (0.2/50.1 + 0.8/1146.7) = 3.992e-3 / 4.690e-3 = 0.8512
    assert void.void_fraction(0.2, RHO_L, RHO_V, void.HOMOGENEOUS_EXPONENT) == pytest.approx(
        0.8512, abs=1e-4
    )


def test_slip_leaves_more_liquid_in_the_tube() -> None:
    slip = void.void_fraction(0.2, RHO_L, RHO_V, void.ZIVI_EXPONENT)
    assert slip < void.void_fraction(0.2, RHO_L, RHO_V, void.HOMOGENEOUS_EXPONENT)


def test_slip_dies_out_as_the_densities_meet() -> None:
    assert void.slip_ratio(512.0, 511.0, void.ZIVI_EXPONENT) == pytest.approx(1.0, abs=1e-3)

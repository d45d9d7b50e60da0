"""The compressor known by its rating: units, superheat correction, limits, refusals."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.fluid import Fluid
from sim.fluid_inverse import density_at_pT_vapour
from sim.fluid_kernel import dew_pressure, energy
from sim.parts import compressor_map
from sim.parts.compressor_map import MappedCompressor

R134A = Fluid.load("R134a").tables
unhurried = settings(deadline=None, max_examples=60)  # the first call compiles

# a flat rating, in degC, kg/s and W: flow 5 g/s + 0.1 g/s per K of S - 0.02 g/s per K of D, power 150 W + 2 S + 2 D
SMALL = MappedCompressor(
    tag="small",
    flow_coefficients=(5e-3, 1e-4, -2e-5, 0, 0, 0, 0, 0, 0, 0),
    power_coefficients=(150.0, 2.0, 2.0, 0, 0, 0, 0, 0, 0, 0),
    degrees="celsius",
    rating_return_gas_k=305.0,
    loss_share=0.2,
    suction_dew_low_k=245.0,
    suction_dew_high_k=285.0,
    discharge_dew_low_k=300.0,
    discharge_dew_high_k=335.0,
)
ROW = compressor_map.row(SMALL)
Result = tuple[float, float, float, float, float]
FLOW, H_IN, GAS, POWER, LOST = range(5)


def at(dew1: float, t1: float, dew2: float, hertz: float = 60.0, running: float = 1.0) -> Result:
    p1, p2 = dew_pressure(R134A, dew1), dew_pressure(R134A, dew2)
    rho = density_at_pT_vapour(R134A, p1, t1)
    h = energy(R134A, rho, t1) + p1 / rho
    return compressor_map.mapped(ROW, R134A, p1, t1, rho, h, dew1, p2, dew2, hertz, running)


def test_at_the_ratings_own_suction_gas_the_rating_comes_out() -> None:
    r = at(263.15, 305.0, 313.15)
    # S = -10, D = 40 degC: 5 - 1 - 0.8 = 3.2 g/s, 150 - 20 + 80 = 210 W
    assert r[FLOW] == pytest.approx(3.2e-3, rel=2e-3)
    assert r[POWER] == pytest.approx(210.0, rel=2e-3)


def test_colder_suction_gas_brings_three_quarters_of_the_density_gain() -> None:
    p1 = PropsSI("P", "T", 263.15, "Q", 1, "R134a")
    denser = PropsSI("D", "P", p1, "T", 275.0, "R134a") / PropsSI("D", "P", p1, "T", 305.0, "R134a")
    gain = at(263.15, 275.0, 313.15)[FLOW] / at(263.15, 305.0, 313.15)[FLOW]
    assert gain - 1.0 == pytest.approx(0.75 * (denser - 1.0), rel=2e-3)


def test_power_hardly_moves_with_suction_superheat() -> None:
    """AHRI 540 practice: less flow and more work per kilogram nearly cancel."""
    assert at(263.15, 275.0, 313.15)[POWER] == pytest.approx(
        at(263.15, 305.0, 313.15)[POWER], rel=0.05
    )


@unhurried
@given(
    dew1=st.floats(225.0, 310.0),
    superheat=st.floats(0.5, 50.0),
    dew2=st.floats(240.0, 350.0),
    running=st.floats(0.0, 1.0),
)
def test_everything_stays_finite_and_balanced_far_outside_the_rating(
    dew1: float, superheat: float, dew2: float, running: float
) -> None:
    r = at(dew1, dew1 + superheat, dew2, running=running)
    assert all(np.isfinite(r))
    assert r[FLOW] >= 0.0
    assert r[GAS] + r[LOST] == pytest.approx(r[POWER], rel=1e-12, abs=1e-12)


def test_a_state_outside_the_rating_says_by_how_much() -> None:
    assert compressor_map.outside(ROW, 263.15, 313.15) == 0.0
    assert compressor_map.outside(ROW, 240.0, 313.15) == pytest.approx(5.0)
    assert compressor_map.outside(ROW, 263.15, 340.0) == pytest.approx(5.0)


def test_below_the_rating_flow_follows_suction_density() -> None:
    edge, below = at(245.0, 305.0, 313.15), at(235.0, 305.0, 313.15)
    p_edge, p_below = (PropsSI("P", "T", t, "Q", 1, "R134a") for t in (245.0, 235.0))
    assert below[FLOW] / edge[FLOW] == pytest.approx(p_below / p_edge, rel=0.03)


def test_switched_off_it_passes_nothing_and_takes_nothing() -> None:
    r = at(263.15, 305.0, 313.15, running=0.0)
    assert (r[FLOW], r[POWER]) == (0.0, 0.0)


def test_fifty_hertz_moves_five_sixths() -> None:
    assert at(263.15, 300.0, 313.15, hertz=50.0)[FLOW] == pytest.approx(
        at(263.15, 300.0, 313.15)[FLOW] * 5.0 / 6.0
    )


def test_fahrenheit_pounds_and_celsius_kilograms_describe_the_same_machine() -> None:
    # X(S) = a + b S with S in degF = 1.8 degC + 32
    pound_per_hour = 0.45359237 / 3600.0
    us = dataclasses.replace(
        SMALL,
        degrees="fahrenheit",
        flow_coefficients=(
            (5e-3 - 32.0 / 1.8 * 8e-5) / pound_per_hour,
            1e-4 / 1.8 / pound_per_hour,
            -2e-5 / 1.8 / pound_per_hour,
            *(7 * (0.0,)),
        ),
        power_coefficients=(
            150.0 - 32.0 / 1.8 * 4.0,
            2.0 / 1.8,
            2.0 / 1.8,
            *(7 * (0.0,)),
        ),
    )
    si, american = (compressor_map.rating(compressor_map.row(p), 260.0, 315.0) for p in (SMALL, us))
    assert american == pytest.approx(si, rel=1e-9)


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"flow_coefficients": (1.0, 2.0)}, "flow_coefficients"),
        ({"rating_superheat_k": 10.0}, "rating_superheat_k"),
        ({"rating_return_gas_k": None}, "rating_superheat_k"),
        ({"suction_dew_high_k": 244.0}, "suction_dew_low_k"),
        ({"loss_share": 1.5}, "loss_share"),
    ],
)
def test_a_rating_that_cannot_be_meant_is_refused(change: dict[str, object], field: str) -> None:
    wrong = dataclasses.replace(SMALL, **change).check()  # type: ignore[arg-type]
    assert field in [name for name, _ in wrong]
    assert SMALL.check() == []

"""The tabulated capillary: what interpolation, direction and range do to it."""

from __future__ import annotations

from math import log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.fluid import Fluid
from sim.fluid_columns import N_SAT
from sim.parts.capillary import (
    Capillary,
    CapillaryTables,
    build_tables,
    capillary_flow,
    capillary_two_way,
)
from sim.tube_flow import HL, HLV, N_PROPERTIES, property_grid, solve_flux

TUBE = Capillary(tag="FO-21", bore_m=1.1e-3, length_m=2.2, coil_diameter_m=0.10)
TABLES: CapillaryTables = build_tables(Fluid.load("R134a").tables, [TUBE])
P1, X1, P2 = 9.5e5, -0.03, 2.35e5
BLEND = 30.0

pressures = st.floats(0.6e5, 30e5)
qualities = st.floats(-0.3, 1.8)


def marched(p1: float, x1: float, p2: float) -> tuple[float, float]:
    """(flow, choked flow), kg/s, marched on a grid of its own that has p1 on a row."""
    step = 0.02
    below = int(log(p1 / 2e3) / step)
    grid = np.zeros((below + 4, N_PROPERTIES))
    property_grid(Fluid.load("R134a").tables, log(p1) - below * step, step, np.empty(N_SAT), grid)
    h = grid[below, HL] + x1 * grid[below, HLV]
    area = 0.25 * np.pi * TUBE.bore_m**2
    choked, p_choke = solve_flux(grid, float(below), h, TUBE.tube(), 0.0, 3000.0, 1e-7)
    flux = choked
    if p2 > p_choke:
        flux, _ = solve_flux(grid, float(below), h, TUBE.tube(), p2, choked, 1e-7)
    return flux * area, choked * area


def test_the_table_keeps_the_flow_of_the_march_where_plants_run() -> None:
    rng = np.random.default_rng(7)
    errors = []
    for _ in range(200):
        p1, x1 = (
            rng.uniform(4e5, 20e5),
            rng.choice([rng.uniform(-0.25, 0.05), rng.uniform(0.0, 1.4)]),
        )
        p2 = p1 * rng.uniform(0.1, 0.98)
        direct, choked = marched(p1, x1, p2)
        errors.append(abs(capillary_flow(TABLES, 0, p1, x1, p2) - direct) / choked)
    assert np.median(errors) < 0.001
    assert np.quantile(errors, 0.95) < 0.01
    assert max(errors) < 0.04


def test_swapping_the_ends_reverses_the_flow() -> None:
    there = capillary_two_way(TABLES, 0, P1, X1, P2, 0.3, BLEND)
    back = capillary_two_way(TABLES, 0, P2, 0.3, P1, X1, BLEND)
    assert there > 0.0
    assert back == -there


def test_equal_pressures_pass_nothing_whatever_stands_at_the_ends() -> None:
    assert capillary_two_way(TABLES, 0, 6e5, -0.1, 6e5, 1.1, BLEND) == 0.0
    assert capillary_flow(TABLES, 0, 6e5, -0.1, 6e5) == 0.0


@settings(max_examples=200, deadline=None)
@given(pressures, qualities, st.floats(0.02, 0.99), st.floats(0.02, 0.99))
def test_a_lower_outlet_pressure_never_lowers_the_flow(
    p1: float, x1: float, a: float, b: float
) -> None:
    high, low = max(a, b), min(a, b)
    choked = capillary_flow(TABLES, 0, p1, x1, 0.0)
    more = capillary_flow(TABLES, 0, p1, x1, low * p1)
    # between the nodes the cubic may overshoot by up to 0.6 % of the choked flow (worst of 20,000 states)
    assert more >= capillary_flow(TABLES, 0, p1, x1, high * p1) - 6e-3 * choked


@settings(max_examples=200, deadline=None)
@given(st.floats(-0.28, 0.9), st.floats(1.5e5, 25e5))
def test_more_vapour_at_the_inlet_means_less_flow(x1: float, p1: float) -> None:
    wetter = capillary_flow(TABLES, 0, p1, x1, 0.1 * p1)
    drier = capillary_flow(TABLES, 0, p1, x1 + 0.05, 0.1 * p1)
    assert drier < wetter


@settings(max_examples=200, deadline=None)
@given(st.floats(1e3, 1e7), st.floats(-50.0, 50.0), st.floats(0.0, 1.0))
def test_any_state_gives_a_finite_flow(p1: float, x1: float, ratio: float) -> None:
    m = capillary_flow(TABLES, 0, p1, x1, ratio * p1)
    assert np.isfinite(m)
    assert 0.0 <= m < 0.05


def slope(f: object, at: float, side: float, h: float) -> float:
    value = f(at + side * h) - f(at)  # type: ignore[operator]
    return float(value / (side * h))


@pytest.mark.parametrize("x1", [-0.2, -0.03, 0.0, 0.1, 1.0, 1.2])
def test_flow_and_slope_are_continuous_in_every_direction(x1: float) -> None:
    laws = (
        (lambda p: capillary_flow(TABLES, 0, p, x1, P2), P1, 1.0),
        (lambda x: capillary_flow(TABLES, 0, P1, x, P2), x1, 1e-6),
        (lambda p: capillary_flow(TABLES, 0, P1, x1, p), 5e5, 1.0),
        (lambda d: capillary_two_way(TABLES, 0, 6e5 + d, x1, 6e5, 0.9, BLEND), 0.0, 1e-4),
    )
    for law, at, h in laws:
        left, right = slope(law, at, -1.0, h), slope(law, at, 1.0, h)
        assert right == pytest.approx(left, rel=1e-3, abs=1e-15)


def test_the_choked_plateau_is_entered_without_a_corner() -> None:
    flows = np.array([capillary_flow(TABLES, 0, P1, X1, p) for p in np.linspace(4e5, 1e5, 601)])
    second = np.abs(np.diff(flows, 2))
    assert flows[-1] == flows[-2]
    assert second.max() < 2e-3 * flows[-1]


def test_several_capillaries_share_one_stack() -> None:
    wide = Capillary(tag="FO-22", bore_m=1.3e-3, length_m=2.2)
    both = build_tables(Fluid.load("R134a").tables, [TUBE, wide])
    assert capillary_flow(both, 0, P1, X1, P2) == capillary_flow(TABLES, 0, P1, X1, P2)
    assert capillary_flow(both, 1, P1, X1, P2) > capillary_flow(both, 0, P1, X1, P2)
    assert build_tables(Fluid.load("R134a").tables, []).data.shape[0] == 0


def test_a_tube_shorter_than_the_model_holds_for_is_refused() -> None:
    wrong = Capillary(tag="FO-1", bore_m=2e-3, length_m=0.4).check()
    assert [field for field, _ in wrong] == ["length_m"]
    assert TUBE.check() == []

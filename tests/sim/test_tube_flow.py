"""The march along a narrow tube against an oracle that shares no code: CoolProp properties and scipy's integrator."""

from __future__ import annotations

from math import exp, log

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.friction import Churchill_1977
from scipy.integrate import solve_ivp

from sim.fluid import Fluid
from sim.fluid_columns import N_SAT
from sim.tube_flow import (
    DELAY,
    HL,
    HLV,
    N_PROPERTIES,
    boiling_delay,
    friction_factor,
    liquid_at,
    march,
    property_grid,
    solve_flux,
)

LN_FIRST, STEP, ROWS = log(1e3), 0.04, 205
STRAIGHT = np.array([0.8e-3, 2.0, 1.5e-6, 0.0, 0.5])


def grid(name: str = "R134a", delay: bool = True) -> np.ndarray:
    out = np.zeros((ROWS, N_PROPERTIES))
    property_grid(Fluid.load(name).tables, LN_FIRST, STEP, np.empty(N_SAT), out)
    if not delay:
        out[:, DELAY] = 0.0
    return out


def place(p: float) -> float:
    return (log(p) - LN_FIRST) / STEP


def enthalpy(table: np.ndarray, p: float, x: float) -> float:
    i, w = int(place(p)), place(p) - int(place(p))
    row = (1.0 - w) * table[i] + w * table[i + 1]
    h: float = row[HL] + x * row[HLV]
    return h


def flow_kg_h(table: np.ndarray, tube: np.ndarray, p: float, h: float, p_out: float) -> float:
    flux, p_choke = solve_flux(table, place(p), h, tube, 0.0, 3000.0, 1e-7)
    if p_out > p_choke:
        flux, _ = solve_flux(table, place(p), h, tube, p_out, flux, 1e-7)
    return float(flux * 0.25 * np.pi * tube[0] ** 2 * 3600.0)


def oracle_length(name: str, d: float, rough: float, p1: float, x1: float, flux: float) -> float:
    """Longest tube for a flux: the Fanno balance in z, CoolProp properties with a mixture in equilibrium, until dp/dz is infinite."""
    state = {q: PropsSI("H", "P", p1, "Q", q, name) for q in (0, 1)}
    h0 = state[0] + x1 * (state[1] - state[0])

    def volume(p: float) -> float:
        v = 1.0 / PropsSI("D", "P", p, "H", h0, name)
        for _ in range(8):
            v = 1.0 / PropsSI("D", "P", p, "H", h0 - 0.5 * flux**2 * v * v, name)
        return float(v)

    def slope(ln_p: float, z: np.ndarray) -> list[float]:
        p = exp(ln_p)
        v, higher = volume(p), volume(p * 1.001)
        dv_dp = (higher - v) / (0.001 * p)
        h = h0 - 0.5 * flux**2 * v * v
        x = (h - PropsSI("H", "P", p, "Q", 0, name)) / (
            PropsSI("H", "P", p, "Q", 1, name) - PropsSI("H", "P", p, "Q", 0, name)
        )
        mu_l, mu_v = (PropsSI("V", "P", p, "Q", q, name) for q in (0, 1))
        mu = 1.0 / (x / mu_v + (1.0 - x) / mu_l) if x < 1.0 else PropsSI("V", "P", p, "H", h, name)
        f = Churchill_1977(flux * d / mu, rough / d)
        return [-(1.0 + flux**2 * dv_dp) * 2.0 * d / (f * flux**2 * v) * p]

    v1 = 1.0 / PropsSI("D", "P", p1, "H", h0, name)
    start = p1 - 1.5 * 0.5 * flux**2 * v1

    def choked(ln_p: float, z: np.ndarray) -> float:
        return slope(ln_p, z)[0]

    choked.terminal = True  # type: ignore[attr-defined]
    run = solve_ivp(
        slope, (log(start), log(2e4)), [0.0], events=choked, rtol=1e-6, atol=1e-9, max_step=0.1
    )
    return float(np.max(run.y[0]))


@pytest.mark.parametrize(
    ("p1", "x1", "flux"), [(1.0e6, 0.05, 2000.0), (1.0e6, 0.4, 1000.0), (5e5, 1.2, 300.0)]
)
def test_the_longest_tube_agrees_with_an_integration_by_coolprop_and_scipy(
    p1: float, x1: float, flux: float
) -> None:
    table = grid()
    ours, _ = march(table, place(p1), enthalpy(table, p1, x1), flux, STRAIGHT, 0.0)
    # trapezoids of 4 % in pressure, the gas as a parabola and its viscosity as a straight line: 1 %
    assert ours == pytest.approx(oracle_length("R134a", 0.8e-3, 1.5e-6, p1, x1, flux), rel=0.01)


@pytest.mark.parametrize(
    ("d", "length", "p", "subcooling", "kg_h"),
    [
        (0.66e-3, 2.0, 1.017e6, 5.0, 3.09024487),
        (0.8e-3, 2.0, 1.017e6, 5.0, 5.13610823),
        (0.8e-3, 3.0, 1.017e6, 8.0, 4.57238239),
        (0.77e-3, 2.973, 1.1e6, 5.0, 3.9915755),
    ],
)
def test_without_boiling_delay_it_is_the_homogeneous_equilibrium_model(
    d: float, length: float, p: float, subcooling: float, kg_h: float
) -> None:
    # an independent program for the same equations (D2, reference values: Churchill friction, 1.5 um, McAdams viscosity, choked exit, entrance loss 1.5)
    table = grid(delay=False)
    kelvin = PropsSI("T", "P", p, "Q", 0, "R134a") - subcooling
    h = PropsSI("H", "P", p, "T", kelvin, "R134a") - PropsSI("H", "P", p, "Q", 0, "R134a")
    h += enthalpy(table, p, 0.0)
    tube = np.array([d, length, 1.5e-6, 0.0, 0.5])
    assert flow_kg_h(table, tube, p, h, 2e5) == pytest.approx(kg_h, rel=0.003)


def test_churchill_friction_agrees_with_the_fluids_library() -> None:
    for re in (100.0, 1500.0, 3000.0, 1e4, 1e5, 1e6):
        for rough in (0.0, 1e-4, 2e-3):
            assert friction_factor(re, rough, 0.0) == pytest.approx(
                Churchill_1977(re, rough), rel=1e-9
            )


def test_a_coiled_tube_rubs_more_than_a_straight_one_and_by_ito() -> None:
    # Ito 1959: f_coil/f_straight = [Re (d/D)^2]^(1/20); d/D = 0.1, Re = 1e4 gives 100^0.05 = 1.2589
    assert friction_factor(1e4, 0.0, 0.1) / friction_factor(1e4, 0.0, 0.0) == pytest.approx(
        1.2589, rel=1e-3
    )


def test_the_boiling_delay_has_the_size_that_was_measured() -> None:
    # Chen et al. 1990 evaluated by hand: R134a at 35 degC, 5 K subcooling, 0.8 mm, Re = 14000.
    # sigma 6.7e-3 N/m, kT = 4.25e-21 J, D' = 7.96e-6 m, d/D' = 100.5, vV/(vV-vL) = 1.04:
    # 0.679 1.04 14000^0.914 (5/374.2)^-0.208 100.5^-3.18 = 4.6e-3; times sigma^1.5/sqrt(kT) = 8.41e6 Pa gives 0.39 bar
    table = grid()
    p_s = PropsSI("P", "T", 308.15, "Q", 0, "R134a")
    i, w = liquid_at(table, enthalpy(table, p_s, 0.0))
    assert boiling_delay(table, i, w, 313.15, p_s, 14000.0, 0.8e-3) == pytest.approx(
        0.39e5, rel=0.05
    )


def test_a_tube_fed_with_bubbles_has_no_boiling_delay() -> None:
    with_delay, without = grid(), grid(delay=False)
    h = enthalpy(without, 1e6, 0.02)
    assert flow_kg_h(with_delay, STRAIGHT, 1e6, h, 2e5) == pytest.approx(
        flow_kg_h(without, STRAIGHT, 1e6, h, 2e5), rel=1e-12
    )


def test_a_wider_or_shorter_or_smoother_tube_passes_more() -> None:
    table = grid()
    h = enthalpy(table, 1e6, -0.03)
    base = flow_kg_h(table, STRAIGHT, 1e6, h, 2e5)
    for column, factor in ((0, 1.1), (1, 0.9), (2, 0.5)):
        tube = STRAIGHT.copy()
        tube[column] *= factor
        assert flow_kg_h(table, tube, 1e6, h, 2e5) > base

"""The law of short restrictions: its limits, its joints, its symmetry."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from math import log, sqrt

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import brentq

from sim import throttle
from sim.throttle import FL, GAMMA, XT, choking, liquid_limit, omega_flux, throttle_flow

AREA, D0 = 1e-7, 1e3
PC = PropsSI("PCRIT", "R134a")


def saturation(p: float) -> dict[str, float]:
    both = {q: {k: PropsSI(k, "P", p, "Q", q, "R134a") for k in "DHTC"} for q in (0, 1)}
    return {
        "T": both[0]["T"],
        "h_lv": both[1]["H"] - both[0]["H"],
        "rho_l": both[0]["D"],
        "rho_v": both[1]["D"],
        "cp_l": both[0]["C"],
    }


def entering(p: float, x: float, subcooling: float = 0.0) -> tuple[float, float, float]:
    """(rho, g^2, kappa) of R134a at quality x, or as liquid of a given subcooling."""
    sat = saturation(p)
    p_sat = p
    if subcooling > 0.0:
        p_sat = PropsSI("P", "T", sat["T"] - subcooling, "Q", 0, "R134a")
        rho = PropsSI("D", "P", p, "T", sat["T"] - subcooling, "R134a")
        x = -sat["cp_l"] * subcooling / sat["h_lv"]
    else:
        rho = PropsSI(
            "D", "P", p, "H", PropsSI("H", "P", p, "Q", 0, "R134a") + x * sat["h_lv"], "R134a"
        )
    g2, kappa = choking(p, x, rho, p_sat, PC, *sat.values())
    return rho, g2, kappa


def equilibrium_flux(p: float, x: float) -> float:
    """Largest isentropic flux of a mixture in equilibrium, CoolProp, over sqrt(p rho)."""
    s, h, rho = (PropsSI(k, "P", p, "Q", x, "R134a") for k in "SHD")
    fluxes = [
        PropsSI("D", "P", q, "S", s, "R134a")
        * sqrt(2 * (h - PropsSI("H", "P", q, "S", s, "R134a")))
        for q in p * np.linspace(0.4, 0.99, 60)
    ]
    return float(max(fluxes) / sqrt(p * rho))


@pytest.mark.parametrize("omega", [0.6, 0.91, 1.0, 2.0, 3.9, 4.1, 10.0, 30.0])
def test_the_fitted_choked_flux_is_the_root_of_the_omega_equation(omega: float) -> None:
    # Leung 1986: eta^2 + (omega^2 - 2 omega)(1 - eta)^2 + 2 omega^2 ln eta + 2 omega^2 (1 - eta) = 0, G* = eta/sqrt(omega)
    def f(eta: float) -> float:
        w2 = omega * omega
        return eta**2 + (w2 - 2 * omega) * (1 - eta) ** 2 + 2 * w2 * log(eta) + 2 * w2 * (1 - eta)

    eta = brentq(f, 1e-3, 1.0 - 1e-6)
    assert omega_flux(omega) == pytest.approx(eta / sqrt(omega), rel=0.015)


def test_the_gas_factor_is_the_ratio_of_valve_to_nozzle() -> None:
    ratio = sqrt(throttle.GAS_FLUX2) / omega_flux(1.0 / GAMMA)
    assert ratio - 1.0 == pytest.approx(throttle.GAS_COEFFICIENT, abs=1e-3)


@pytest.mark.parametrize("p", [3e5, 9.5e5, 20e5])
@pytest.mark.parametrize("x", [0.06, 0.1, 0.3])
def test_a_mixture_passes_more_than_in_equilibrium_and_less_than_frozen(p: float, x: float) -> None:
    rho, g2, _ = entering(p, x)
    void = 1.0 - (1.0 - x) * rho / saturation(p)["rho_l"]
    g = sqrt(g2) / (1.0 + void * throttle.GAS_COEFFICIENT)
    assert equilibrium_flux(p, x) < g < omega_flux(max(void, 0.5) / GAMMA)


def test_cold_liquid_passes_what_bernoulli_says() -> None:
    rho, g2, kappa = entering(9.5e5, 0.0, subcooling=40.0)
    m = throttle_flow(9.5e5, rho, g2, kappa, 2e5, AREA, D0)
    assert m == pytest.approx(AREA * sqrt(2.0 * rho * 2e5), rel=1e-4)


def test_choked_liquid_passes_what_iec_says() -> None:
    p, subcooling = 9.5e5, 5.0
    rho, g2, kappa = entering(p, 0.0, subcooling)
    p_sat = PropsSI("P", "T", saturation(p)["T"] - subcooling, "Q", 0, "R134a")
    limit = FL**2 * (p - (0.96 - 0.28 * sqrt(p_sat / PC)) * p_sat)
    m = throttle_flow(p, rho, g2, kappa, 7e5, AREA, D0)
    assert m == pytest.approx(AREA * sqrt(2.0 * rho * limit), rel=0.01)


def test_choked_gas_passes_what_iec_says() -> None:
    p, rho = 9.5e5, 40.0
    _, g2, kappa = entering(p, 1.05)
    m = throttle_flow(p, rho, g2, kappa, 9e5, AREA, D0)
    assert m == pytest.approx(AREA * sqrt(2 * rho * GAMMA / 1.4 * XT * p) * 2 / 3, rel=1e-6)


def test_barely_subcooled_liquid_chokes_and_forgets_the_evaporator() -> None:
    rho, g2, kappa = entering(9.5e5, 0.0, subcooling=3.0)
    flows = [throttle_flow(9.5e5, rho, g2, kappa, 9.5e5 - p, AREA, D0) for p in (1e5, 2.4e5, 4e5)]
    assert max(flows) - min(flows) < 1e-5 * flows[0]


def test_bubbles_at_the_inlet_starve_a_valve() -> None:
    flows = []
    for x in (0.0, 0.01, 0.03, 0.06, 0.1, 0.2, 0.5, 0.85):
        rho, g2, kappa = entering(9.5e5, x)
        flows.append(throttle_flow(9.5e5, rho, g2, kappa, 7e5, AREA, D0))
    assert all(b < a for a, b in pairwise(flows))
    assert flows[4] < 0.62 * flows[0]


@settings(max_examples=300, deadline=None)
@given(
    st.floats(2e4, 4e6),
    st.floats(1.0, 1300.0),
    st.floats(0.05, 1.5),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
)
def test_flow_rises_with_the_difference_and_is_odd_in_it(
    p: float, rho: float, g2: float, kappa: float, a: float, b: float
) -> None:
    low, high = sorted((a * p, b * p))
    small = throttle_flow(p, rho, g2, kappa, low, AREA, D0)
    large = throttle_flow(p, rho, g2, kappa, high, AREA, D0)
    assert large >= small * (1.0 - 1e-12)
    assert throttle_flow(p, rho, g2, kappa, -high, AREA, D0) == -large
    assert throttle_flow(p, rho, g2, kappa, high, 2 * AREA, D0) == pytest.approx(2 * large)


def one_sided(f: Callable[[float], float], at: float, h: float) -> tuple[float, float]:
    return (f(at) - f(at - h)) / h, (f(at + h) - f(at)) / h


@pytest.mark.parametrize("x", [-0.02, 0.0, 0.02, 0.3, 1.0])
def test_the_slope_is_continuous_through_rest_and_through_the_onset_of_choking(x: float) -> None:
    p = 9.5e5
    rho, g2, kappa = entering(p, max(x, 0.0), 5.0 if x < 0 else 0.0)
    limit = 0.5 * g2 * p / (1.0 - kappa / 3.0) ** 2
    scale = AREA * sqrt(2.0 * rho / limit)
    for at in (0.0, limit * (1 - throttle.CORNER), limit, limit * (1 + throttle.CORNER)):
        left, right = one_sided(lambda d: throttle_flow(p, rho, g2, kappa, d, AREA, D0), at, 1e-3)
        assert right == pytest.approx(left, rel=1e-4, abs=2e-5 * scale)


def test_the_choked_flux_has_one_slope_where_subcooling_ends_and_where_gas_begins() -> None:
    p = 9.5e5
    sat = saturation(p)

    def g2_of_x(x: float) -> float:
        p_sat = p * (1.0 + 4.0 * min(x, 0.0))  # d ln p_sat/dx of cooling liquid is about 4 here
        rho = 1.0 / (1 / sat["rho_l"] + max(x, 0.0) * (1 / sat["rho_v"] - 1 / sat["rho_l"]))
        return choking(p, x, rho, p_sat, PC, *sat.values())[0]

    for at in (0.0, throttle.LIQUID_JOINT, throttle.GAS_JOINT, 1.0):
        left, right = one_sided(g2_of_x, at, 1e-6)
        assert right == pytest.approx(left, abs=0.01)  # inside the liquid the slope is about 6


def test_subcooling_raises_the_flow_that_a_valve_can_pass() -> None:
    limits = [liquid_limit(9.5e5, p_sat, PC) for p_sat in (9.5e5, 9e5, 8e5, 5e5)]
    assert limits == sorted(limits)
    assert limits[-1] < FL * FL

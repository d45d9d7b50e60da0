"""Friction: the limits of the published curves, and a coil whose resistance follows its geometry."""

from __future__ import annotations

from math import pi

import pytest

from sim import friction

LIQUID_VAPOUR = (1310.0, 12.0, 2.8e-4, 1.08e-5)  # R134a near -5 C: rhoL, rhoV, muL, muV (rounded)


@pytest.mark.parametrize("re", [10.0, 300.0, 1500.0])
@pytest.mark.parametrize("roughness", [0.0, 1e-3, 1e-2])
def test_slow_flow_follows_hagen_and_poiseuille_whatever_the_roughness(
    re: float, roughness: float
) -> None:
    assert friction.churchill(re, roughness) == pytest.approx(64.0 / re, rel=5e-3)


def test_fast_flow_in_a_rough_tube_forgets_the_viscosity() -> None:
    # Nikuradse, fully rough: 1/sqrt(f) = 2 log10(3.7 d/e) = 7.136 at e/d 1e-3, f = 0.01964
    assert friction.churchill(1e9, 1e-3) == pytest.approx(0.01964, rel=0.01)


def test_two_phase_ends_are_the_single_phases() -> None:
    g, d = 100.0, 0.008
    rho_l, rho_v, mu_l, mu_v = LIQUID_VAPOUR
    # Blasius by hand: Re_L = 2857, f = 0.3164/2857^0.25 = 0.04328; 0.04328*1e4/(2*1310*0.008) = 20.65 Pa/m
    assert friction.muller_steinhagen_heck(g, 0.0, d, *LIQUID_VAPOUR) == pytest.approx(
        20.65, rel=1e-3
    )
    # Re_V = 74074, f = 0.01918; 0.01918*1e4/(2*12*0.008) = 998.9 Pa/m
    assert friction.muller_steinhagen_heck(g, 1.0, d, *LIQUID_VAPOUR) == pytest.approx(
        998.9, rel=1e-3
    )
    # laminar liquid: Re 500, f = 0.128
    slow = 500.0 * mu_l / d
    assert friction.muller_steinhagen_heck(slow, 0.0, d, rho_l, rho_v, mu_l, mu_v) == pytest.approx(
        0.128 * slow**2 / (2 * rho_l * d)
    )


def test_the_two_phase_drop_peaks_before_the_flow_is_all_vapour() -> None:
    gradients = [
        friction.muller_steinhagen_heck(100.0, k / 100, 0.008, *LIQUID_VAPOUR) for k in range(101)
    ]
    peak = gradients.index(max(gradients))
    assert 75 <= peak <= 95  # Muller-Steinhagen & Heck: the maximum lies near x = 0.85


def test_a_coil_of_twice_the_length_has_twice_the_slope() -> None:
    one = friction.coil_slope(3e-3, 0.007, 2.0, 0.0, 0.25, 1.0, *LIQUID_VAPOUR)
    two = friction.coil_slope(3e-3, 0.007, 4.0, 0.0, 0.25, 1.0, *LIQUID_VAPOUR)
    assert two == pytest.approx(2 * one)


def test_a_return_bend_counts_as_fifty_bores_of_tube() -> None:
    bent = friction.coil_slope(3e-3, 0.007, 2.0, 8.0, 0.25, 1.0, *LIQUID_VAPOUR)
    straight = friction.coil_slope(
        3e-3, 0.007, 2.0 + 8 * 50 * 0.007, 0.0, 0.25, 1.0, *LIQUID_VAPOUR
    )
    assert bent == pytest.approx(straight)


def test_the_linear_law_meets_the_published_drop_at_the_nominal_flow() -> None:
    flow, bore, length = 3e-3, 0.007, 1.5
    g = flow / (pi / 4 * bore**2)
    drop = friction.mean_gradient(g, bore, 0.25, 1.0, *LIQUID_VAPOUR) * length
    assert friction.coil_slope(
        flow, bore, length, 0.0, 0.25, 1.0, *LIQUID_VAPOUR
    ) * flow == pytest.approx(drop)


def test_the_mean_over_quality_is_resolved() -> None:
    # Simpson by hand on 2000 intervals against the 50 midpoints
    n = 2000
    f = [
        friction.muller_steinhagen_heck(80.0, 0.25 + 0.75 * k / n, 0.007, *LIQUID_VAPOUR)
        for k in range(n + 1)
    ]
    simpson = (f[0] + f[-1] + 4 * sum(f[1:-1:2]) + 2 * sum(f[2:-1:2])) / (3 * n)
    assert friction.mean_gradient(80.0, 0.007, 0.25, 1.0, *LIQUID_VAPOUR) == pytest.approx(
        simpson, rel=2e-3
    )


def test_ten_metres_of_water_weigh_nearly_one_bar() -> None:
    assert friction.static_head_pa(1000.0, 10.0) == pytest.approx(98066.5)

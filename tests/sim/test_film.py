"""The film coefficient: the published relations where they hold, smooth everywhere, finite at rest."""

from __future__ import annotations

from math import pi

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import film

Film = tuple[float, float, float, float, float, float]


def saturated(fluid: str, kelvin: float) -> tuple[float, ...]:
    """pr, rhoL, rhoV, muL, muV, kL, kV, cpL, cpV, hfg from CoolProp."""
    pr = PropsSI("P", "T", kelvin, "Q", 1, fluid) / PropsSI("PCRIT", fluid)
    pairs = [PropsSI(key, "T", kelvin, "Q", q, fluid) for key in "DVLC" for q in (0, 1)]
    latent = PropsSI("H", "T", kelvin, "Q", 1, fluid) - PropsSI("H", "T", kelvin, "Q", 0, fluid)
    return (pr, *pairs, latent)


COLD = saturated("R134a", 268.15)
WARM = saturated("R134a", 310.15)


def film_of(
    g_flux: float, flux: float, bore: float, properties: tuple[float, ...], boiling: float
) -> Film:
    return film.prepare(g_flux, flux, bore, *properties, boiling)  # type: ignore[call-arg]


def gungor_winterton(g: float, q: float, d: float, p: tuple[float, ...], x: float) -> float:
    """Written out a second time from the 1987 paper's three lines."""
    _, rho_l, rho_v, mu_l, _, k_l, _, cp_l, _, hfg = p
    liquid = 0.023 * (g * (1 - x) * d / mu_l) ** 0.8 * (mu_l * cp_l / k_l) ** 0.4 * k_l / d
    froude = g**2 / (rho_l**2 * 9.80665 * d)
    stratified = froude ** (0.1 - 2 * froude) if froude < 0.05 else 1.0
    boost = (
        1 + 3000 * (q / (g * hfg)) ** 0.86 + 1.12 * (x / (1 - x)) ** 0.75 * (rho_l / rho_v) ** 0.41
    )
    return float(liquid * boost * stratified)


def shah_2009(g: float, d: float, p: tuple[float, ...], x: float) -> float:
    """Written out a second time, regime read at the quality itself."""
    pr, rho_l, rho_v, mu_l, mu_v, k_l, _, cp_l, _, _ = p
    all_liquid = 0.023 * (g * d / mu_l) ** 0.8 * (mu_l * cp_l / k_l) ** 0.4 * k_l / d
    power = 0.0058 + 0.557 * pr
    dragged = (
        all_liquid
        * ((1 - x) ** 0.8 + 3.8 * x**0.76 * (1 - x) ** 0.04 / pr**0.38)
        * (mu_l / 14 / mu_v) ** power
    )
    speed = x * g / (9.80665 * d * rho_v * (rho_l - rho_v)) ** 0.5
    z = (1 / x - 1) ** 0.8 * pr**0.4
    if speed >= 0.98 * (z + 0.263) ** -0.62:
        return float(dragged)
    reynolds = g * (1 - x) * d / mu_l
    drained = (
        1.32
        * reynolds ** (-1 / 3)
        * (rho_l * (rho_l - rho_v) * 9.80665 * k_l**3 / mu_l**2) ** (1 / 3)
    )
    return float(dragged + drained)


@pytest.mark.parametrize("g_flux", [60.0, 150.0, 400.0])
@pytest.mark.parametrize("x", [0.1, 0.3, 0.5, 0.7, 0.84])
def test_boiling_is_gungor_and_winterton_up_to_the_dry_out(g_flux: float, x: float) -> None:
    ours = film.at(x, *film_of(g_flux, 9e3, 0.008, COLD, 1.0))
    assert ours == pytest.approx(gungor_winterton(g_flux, 9e3, 0.008, COLD, x), rel=0.015)


@pytest.mark.parametrize(
    ("g_flux", "x"),
    [
        (60.0, 0.1),
        (60.0, 0.3),
        (60.0, 0.5),
        (60.0, 0.7),
        (60.0, 0.9),
        (500.0, 0.4),
        (500.0, 0.6),
        (500.0, 0.9),
    ],
)
def test_condensing_is_shah_2009_where_one_regime_covers_the_tube(g_flux: float, x: float) -> None:
    ours = film.at(x, *film_of(g_flux, -5e3, 0.007, WARM, 0.0))
    assert ours == pytest.approx(shah_2009(g_flux, 0.007, WARM, x), rel=0.03)


def test_liquid_in_turbulent_flow_is_gnielinski() -> None:
    # Re 4e4 well above the blend; friction of Filonenko
    _, _, _, mu_l, _, k_l, _, cp_l, _, _ = WARM
    re, pr = 4e4, mu_l * cp_l / k_l
    friction = (1.82 * np.log10(re) - 1.64) ** -2
    nusselt = (
        friction / 8 * (re - 1000) * pr / (1 + 12.7 * (friction / 8) ** 0.5 * (pr ** (2 / 3) - 1))
    )
    h_liquid = film_of(re * mu_l / 0.008, 0.0, 0.008, WARM, 0.0)[0]
    assert h_liquid == pytest.approx(nusselt * k_l / 0.008, rel=1e-4)


def test_liquid_in_laminar_flow_has_nusselt_3_66() -> None:
    _, _, _, mu_l, _, k_l, _, _, _, _ = WARM
    h_liquid = film_of(2000.0 * mu_l / 0.008, 0.0, 0.008, WARM, 0.0)[0]
    assert h_liquid * 0.008 / k_l == pytest.approx(3.66, rel=0.005)


@settings(max_examples=60, deadline=None)
@given(
    g_flux=st.floats(0.0, 600.0),
    flux=st.floats(-3e4, 3e4),
    boiling=st.floats(0.0, 1.0),
    bore=st.floats(0.004, 0.016),
    kelvin=st.sampled_from([243.15, 273.15, 310.15, 340.15]),
)
def test_neighbouring_qualities_have_neighbouring_coefficients(
    g_flux: float, flux: float, boiling: float, bore: float, kelvin: float
) -> None:
    prepared = film_of(g_flux, flux, bore, saturated("R134a", kelvin), boiling)
    x = np.linspace(-0.1, 1.15, 25001)
    h = np.array([film.at(v, *prepared) for v in x])
    assert np.all(np.isfinite(h))
    assert h.min() > 1.0
    step = x[1] - x[0]
    # the steepest change is liquid to two-phase over 0.06 in quality: slope at most about 1.5 (h_max - h_min) / 0.03
    assert np.abs(np.diff(h)).max() < 60.0 * (h.max() - h.min()) * step + 1e-9
    # a kink would show as a change of slope that does not shrink with the step
    bend = np.abs(np.diff(h, 2)).max() / step
    assert bend < 1.0 * (h.max() - h.min()) + 1e-6


def test_the_slope_over_quality_has_no_jump() -> None:
    prepared = film_of(60.0, 9e3, 0.008, COLD, 0.5)
    for scale in (1e-4, 1e-5):
        x = np.arange(-0.06, 1.08, scale)
        h = np.array([film.at(v, *prepared) for v in x])
        jump = np.abs(np.diff(h, 2)).max() / scale
        # curvature is bounded, so the change of slope shrinks with the step
        assert jump < 2.0e6 * scale * 4


def test_direction_of_flow_does_not_matter() -> None:
    assert film_of(-80.0, 5e3, 0.008, COLD, 1.0) == film_of(80.0, 5e3, 0.008, COLD, 1.0)


@pytest.mark.parametrize("boiling", [0.0, 0.3, 1.0])
def test_nothing_jumps_when_the_flow_stops(boiling: float) -> None:
    g = np.linspace(-3.0, 3.0, 6001)
    h = np.array([film.at(0.4, *film_of(v, 2e3, 0.008, COLD, boiling)) for v in g])
    assert np.abs(np.diff(h, 2)).max() < 1e-3 * h.max()


def test_nothing_jumps_when_the_heat_changes_sign() -> None:
    q = np.linspace(-500.0, 500.0, 4001)
    h = np.array([film.at(0.4, *film_of(60.0, v, 0.008, COLD, 1.0)) for v in q])
    assert np.abs(np.diff(h, 2)).max() < 1e-4 * h.max()


def test_boiling_and_condensing_meet_without_a_jump() -> None:
    weight = np.linspace(0.0, 1.0, 2001)
    h = np.array([film.at(0.5, *film_of(60.0, 10.0, 0.008, COLD, v)) for v in weight])
    assert np.abs(np.diff(h)).max() < 0.01 * h.max()


def test_a_stopped_coil_still_exchanges_heat() -> None:
    # order of magnitude: natural convection of liquid some 100, of gas some 10, a draining condensate film some 1000 W/m2K
    h_liquid, h_vapour, *_ = film_of(0.0, 0.0, 0.008, WARM, 0.0)
    assert 50.0 < h_liquid < 300.0
    assert 4.0 < h_vapour < 30.0
    assert 500.0 < film.at(0.4, *film_of(0.0, -500.0, 0.008, WARM, 0.0)) < 3000.0
    assert film.at(0.02, *film_of(0.0, 3e3, 0.008, WARM, 1.0)) > h_liquid


def test_more_flow_never_means_a_poorer_dry_film() -> None:
    g = np.linspace(0.0, 400.0, 801)
    vapour = np.array([film_of(v, 0.0, 0.008, COLD, 1.0)[1] for v in g])
    # below, natural convection hands over to a laminar stream
    assert np.all(np.diff(vapour[g > 3.0]) > 0)


def test_a_dry_wall_is_far_poorer_than_a_wet_one() -> None:
    prepared = film_of(0.00285 / (pi / 4 * 0.007**2), 12e3, 0.007, COLD, 1.0)
    assert film.at(0.6, *prepared) > 8.0 * film.at(1.03, *prepared)
    assert film.at(1.0, *prepared) == pytest.approx(prepared[1], rel=0.01)


def test_a_wall_below_saturation_condenses_from_superheated_vapour() -> None:
    prepared = film_of(60.0, -5e3, 0.007, WARM, 0.0)
    assert film.at(1.02, *prepared) > 3.0 * prepared[1]
    assert film.at(1.06, *prepared) == pytest.approx(prepared[1], rel=1e-6)


@pytest.mark.parametrize("fluid", ["R134a", "R290", "R32", "R600a", "R1234yf", "R22", "R410A"])
def test_every_fluid_of_the_bench_gives_lifelike_coefficients(fluid: str) -> None:
    cold, warm = saturated(fluid, 268.15), saturated(fluid, 310.15)
    # a small evaporator and condenser tube, 10 kW/m2; published data for these fluids lie between 500 and 8000 W/m2K
    assert 500.0 < film.at(0.5, *film_of(100.0, 1e4, 0.007, cold, 1.0)) < 8000.0
    assert 500.0 < film.at(0.5, *film_of(100.0, -1e4, 0.007, warm, 0.0)) < 8000.0


def test_it_stays_finite_beside_the_critical_point() -> None:
    near = saturated("R134a", 373.9)
    for boiling in (0.0, 1.0):
        h = [
            film.at(x, *film_of(60.0, 1e4, 0.008, near, boiling))
            for x in np.linspace(-0.1, 1.1, 200)
        ]
        assert np.all(np.isfinite(h))
        assert max(h) < 1e5
    same = (1.2, 500.0, 500.0, 3e-5, 3e-5, 0.05, 0.05, 3000.0, 3000.0, 0.0)
    assert np.isfinite(film.at(0.5, *film_of(60.0, 1e4, 0.008, same, 0.5)))

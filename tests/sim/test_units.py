"""Units against published conversion factors."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from sim.units import (
    SUFFIXES,
    SYMBOLS,
    from_si,
    is_difference,
    on_screen,
    split_key,
    to_si,
)

# NIST Special Publication 811 (2008), appendix B.8: "to convert from ... to ... multiply by", as printed there.
NIST_SP_811 = [
    ("psi", 6.894757e3),
    ("btu_h", 2.930711e-1),
    ("hp", 7.456999e2),
    ("in", 2.54e-2),
    ("ft", 3.048e-1),
    ("lb", 4.535924e-1),
    ("oz", 2.834952e-2),
    ("bar", 1e5),
    ("in_hg_g", 3.386389e3),
    ("kwh", 3.6e6),
    ("ft_min", 5.08e-3),
    ("lb_h", 1.259979e-4),
    ("gal_h", 1.051503e-6),
]


@pytest.mark.parametrize(("suffix", "factor"), NIST_SP_811)
def test_factors_are_those_of_nist_sp_811(suffix: str, factor: float) -> None:
    assert SUFFIXES[suffix].factor == pytest.approx(factor, rel=5e-7)


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [
        (-40.0, -40.0),
        (32.0, 0.0),
        (212.0, 100.0),
    ],  # NIST SP 811, appendix B.9: t/C = (t/F - 32)/1.8
)
def test_fahrenheit_meets_celsius_at_the_fixed_points(fahrenheit: float, celsius: float) -> None:
    kelvin = to_si(fahrenheit, SUFFIXES["f"])
    assert from_si(kelvin, SUFFIXES["c"]) == pytest.approx(celsius, abs=1e-9)


def test_a_difference_in_fahrenheit_has_no_32_in_it() -> None:
    # 9 F of superheat are 5 K, by hand
    assert to_si(9.0, SUFFIXES["f"], difference=True) == pytest.approx(5.0)
    assert on_screen("suction_superheat_k", 5.0, "us")[0] == pytest.approx(9.0)


def test_a_superheat_on_an_si_screen_is_in_kelvin() -> None:
    assert on_screen("evaporator_superheat_k", 6.5, "si") == (6.5, "K")


def test_a_gauge_dial_stands_at_zero_in_the_open() -> None:
    # station pressure of Denver, about 83.4 kPa
    assert on_screen("suction_pressure_pa", 83_400.0, "si", 83_400.0) == (0.0, "bar g")


def test_psi_gauge_of_a_standing_plant_agrees_with_the_pressure_chart() -> None:
    # R134a at 73.4 F (23 C): 76 psig, trade pressure-temperature chart (common practice, whole psi)
    assert on_screen("discharge_pressure_pa", 5.25e5 + 101_325.0, "us")[0] == pytest.approx(
        76, abs=0.5
    )


def test_electrical_power_stays_in_watts_everywhere() -> None:
    assert on_screen("compressor_power_w", 200.0, "us") == (200.0, "W")
    assert on_screen("refrigerating_capacity_w", 293.07107, "us")[0] == pytest.approx(1000.0)


@pytest.mark.parametrize("symbol", sorted(SYMBOLS))
@given(value=st.floats(-1e6, 1e6))
def test_every_unit_comes_back_from_si(symbol: str, value: float) -> None:
    unit = SYMBOLS[symbol]
    assert from_si(to_si(value, unit), unit) == pytest.approx(value, rel=1e-9, abs=1e-3)


@pytest.mark.parametrize(
    ("key", "parts"),
    [
        ("bore_m", ("bore", "m")),
        ("heat_capacity_j_kg_k", ("heat_capacity", "j_kg_k")),
        ("set_bar_g", ("set", "bar_g")),
        ("receiver_level", ("receiver_level", "")),
        ("kv_m3_h", ("kv", "m3_h")),
        ("m", ("m", "")),
    ],
)
def test_the_longest_known_ending_of_a_key_is_its_unit(key: str, parts: tuple[str, str]) -> None:
    assert split_key(key) == parts


def test_only_differences_are_taken_for_differences() -> None:
    assert is_difference("minimum_difference_pa")
    assert not is_difference("suction_temperature_k")

"""Moist air against psychrolib (the same ASHRAE equations, written by others) and against handbook tables."""

from __future__ import annotations

import numpy as np
import psychrolib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import psychrometrics as moist

psychrolib.SetUnitSystem(psychrolib.SI)
ATMOSPHERE = 101325.0

# ASHRAE Handbook Fundamentals (2017, SI) ch. 1 table 2, pressure at saturation in kPa; from memory
HANDBOOK_PWS = [(-40.0, 0.01284), (-20.0, 0.10324), (-10.0, 0.25987), (0.0, 0.6112), (10.0, 1.2282), (20.0, 2.3392), (30.0, 4.2467), (40.0, 7.3838)]  # fmt: skip
# same table: humidity ratio at saturation, kg/kg, 101.325 kPa; from memory; the real-gas enhancement of 0.4 % is in the table, not in eq. 20
HANDBOOK_WS = [(0.0, 0.003789), (10.0, 0.007661), (20.0, 0.014758), (30.0, 0.027329)]


@pytest.mark.parametrize(("celsius", "kilopascal"), HANDBOOK_PWS)
def test_vapour_pressure_is_that_of_the_handbook(celsius: float, kilopascal: float) -> None:
    assert moist.saturation_pressure_pa(celsius + 273.15) / 1e3 == pytest.approx(
        kilopascal, rel=1.5e-3
    )


@pytest.mark.parametrize(("celsius", "ratio"), HANDBOOK_WS)
def test_saturated_humidity_ratio_is_that_of_the_handbook(celsius: float, ratio: float) -> None:
    assert moist.saturated_humidity_ratio(celsius + 273.15, ATMOSPHERE) == pytest.approx(
        ratio, rel=6e-3
    )


@settings(deadline=None)
@given(celsius=st.floats(-60.0, 80.0))
def test_vapour_pressure_agrees_with_psychrolib(celsius: float) -> None:
    # within the half kelvin where ice and water are blended the two curves differ by less than 0.5 %
    tolerance = 5e-3 if abs(celsius - 0.01) < 0.51 else 1e-9
    assert moist.saturation_pressure_pa(celsius + 273.15) == pytest.approx(
        psychrolib.GetSatVapPres(celsius), rel=tolerance
    )


@settings(deadline=None)
@given(
    celsius=st.floats(-30.0, 60.0), relative=st.floats(0.05, 1.0), pressure=st.floats(8e4, 1.05e5)
)
def test_humidity_density_and_enthalpy_agree_with_psychrolib(
    celsius: float, relative: float, pressure: float
) -> None:
    if abs(celsius - 0.01) < 0.6:
        celsius += 1.3
    kelvin = celsius + 273.15
    w = moist.humidity_ratio_from_relative(kelvin, relative, pressure)
    assert w == pytest.approx(
        psychrolib.GetHumRatioFromRelHum(celsius, relative, pressure), rel=1e-8, abs=1.0001e-7
    )
    assert moist.density_kg_m3(kelvin, w, pressure) == pytest.approx(
        psychrolib.GetMoistAirDensity(celsius, w, pressure), rel=2e-4
    )
    # the library adds 273.15 as 1.607858 w rounded; enthalpy: same equation
    assert moist.enthalpy_j_kg(kelvin, w) == pytest.approx(
        psychrolib.GetMoistAirEnthalpy(celsius, w), rel=1e-9, abs=1e-3
    )
    assert moist.relative_humidity(kelvin, w, pressure) == pytest.approx(relative, rel=1e-9)


@pytest.mark.parametrize("celsius", [-40.0, -10.0, -2.0, 5.0, 12.0, 35.0])
def test_dew_point_undoes_saturation(celsius: float) -> None:
    w = moist.saturated_humidity_ratio(celsius + 273.15, ATMOSPHERE)
    assert moist.dew_point_k(w, ATMOSPHERE) - 273.15 == pytest.approx(celsius, abs=1e-5)


def test_room_of_the_bench_has_a_dew_point_near_nine_degrees() -> None:
    # 23 C and 40 %: 0.4 * 2810 Pa = 1124 Pa, saturated at 8.7 C (handbook table, interpolated by hand between 8 C 1.0730 and 9 C 1.1482 kPa)
    w = moist.humidity_ratio_from_relative(296.15, 0.4, ATMOSPHERE)
    assert moist.dew_point_k(w, ATMOSPHERE) - 273.15 == pytest.approx(8.68, abs=0.05)


def test_freezing_brings_no_jump_in_value_or_slope() -> None:
    kelvin = np.arange(271.0, 275.0, 1e-3)
    value = np.array([moist.saturation_pressure_pa(t) for t in kelvin])
    slope = np.diff(value) / 1e-3
    assert np.abs(np.diff(value)).max() < 2e-3 * np.ptp(value)
    assert np.abs(np.diff(slope)).max() < 6e-3 * np.abs(slope).max()


def test_ice_holds_the_heat_of_fusion_less_than_water() -> None:
    # 333.4 kJ/kg at 0 C; 3 K around it: 2 K of water and 1 K of ice besides
    gap = moist.deposit_enthalpy_j_kg(275.15, 0.0) - moist.deposit_enthalpy_j_kg(272.15, 1.0)
    assert gap == pytest.approx(333.4e3 + 2 * 4186 + 2100, rel=1e-6)

"""The chart's numbers are the fluid's: held to CoolProp, which the chart never sees."""

from __future__ import annotations

import pytest

from tui.fluid_chart import FluidChart
from tui.opening import chart_of

CoolProp = pytest.importorskip("CoolProp.CoolProp")


@pytest.fixture(scope="module", params=["R134a", "R290"])
def chart(request: pytest.FixtureRequest) -> FluidChart:
    return chart_of(request.param)


@pytest.mark.parametrize("pressure_pa", [1.5e5, 2.4e5, 9.5e5, 20e5])
def test_saturation_temperature_within_a_tenth_of_a_kelvin(chart: FluidChart, pressure_pa: float) -> None:  # fmt: skip
    assert chart.boiling_k(pressure_pa) == pytest.approx(CoolProp.PropsSI("T", "P", pressure_pa, "Q", 1, chart.name), abs=0.1)  # fmt: skip
    assert chart.dew_pa(chart.boiling_k(pressure_pa)) == pytest.approx(pressure_pa, rel=1e-6)


@pytest.mark.parametrize(("pressure_pa", "superheat_k"), [(2.4e5, 5.0), (2.4e5, 20.0), (9.5e5, 35.0), (16e5, 70.0)])  # fmt: skip
def test_superheated_gas_within_one_percent_of_the_latent_heat(chart: FluidChart, pressure_pa: float, superheat_k: float) -> None:  # fmt: skip
    # Differences against saturated liquid at the same pressure, so that the reference state of enthalpies does not matter.
    liquid, gas = (CoolProp.PropsSI("H", "P", pressure_pa, "Q", q, chart.name) for q in (0, 1))
    temperature = CoolProp.PropsSI("T", "P", pressure_pa, "Q", 1, chart.name) + superheat_k
    expected = CoolProp.PropsSI("H", "P", pressure_pa, "T", temperature, chart.name) - liquid
    found = chart.vapour_enthalpy(pressure_pa, temperature) - chart.enthalpy(pressure_pa, 0.0)
    assert abs(found - expected) < 0.01 * (gas - liquid)


def test_a_generalised_quality_of_a_half_lies_half_way(chart: FluidChart) -> None:
    ends = [chart.enthalpy(5e5, quality) for quality in (0.0, 1.0)]
    assert chart.enthalpy(5e5, 0.5) == pytest.approx(sum(ends) / 2)


def test_outside_the_line_there_is_no_number(chart: FluidChart) -> None:
    assert chart.boiling_k(1.0) != chart.boiling_k(1.0)
    assert chart.dew_pa(10.0) != chart.dew_pa(10.0)


def test_the_safety_class_stands_beside_the_fluid(chart: FluidChart) -> None:
    # ISO 817:2014 classes: R134a A1, R290 A3.
    assert chart.safety_class == {"R134a": "A1", "R290": "A3"}[chart.name]

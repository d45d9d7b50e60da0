"""The chart's numbers are the fluid's: held to CoolProp, which the chart never sees."""

from __future__ import annotations

import numpy as np
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


@pytest.mark.parametrize("pressure_pa", [2.4e5, 9.5e5, 16e5])
@pytest.mark.parametrize("quality", [-0.1, 0.3, 0.9, 1.05, 1.3])
def test_a_point_of_the_chart_is_the_fluids(chart: FluidChart, pressure_pa: float, quality: float) -> None:  # fmt: skip
    # against CoolProp from saturated liquid at -40 degC, so that reference states do not matter; the liquid's tolerance is the chart's "saturated at its temperature"
    enthalpy = chart.enthalpy(pressure_pa, quality)
    found = chart.state(pressure_pa, enthalpy)
    foot_h, foot_s = (CoolProp.PropsSI(key, "T", 233.15, "Q", 0, chart.name) for key in "HS")
    foot = chart.state(chart.dew_pa(233.15), chart.enthalpy(chart.dew_pa(233.15), 0.0))
    h = foot_h + enthalpy - foot.enthalpy
    assert found.temperature == pytest.approx(CoolProp.PropsSI("T", "P", pressure_pa, "H", h, chart.name), abs=1.0)  # fmt: skip
    s = foot_s + found.entropy - foot.entropy
    latent_s = chart.state(pressure_pa, chart.enthalpy(pressure_pa, 1.0)).entropy - chart.state(pressure_pa, chart.enthalpy(pressure_pa, 0.0)).entropy  # fmt: skip
    assert abs(s - CoolProp.PropsSI("S", "P", pressure_pa, "H", h, chart.name)) < 0.01 * latent_s


def test_an_isentrope_keeps_its_entropy(chart: FluidChart) -> None:
    start = chart.state(2.4e5, chart.enthalpy(2.4e5, 1.05))
    pressures, enthalpies = chart.isentrope(start.entropy)
    h = float(np.interp(9.5e5, pressures, enthalpies))
    rise = CoolProp.PropsSI("H", "P", 9.5e5, "S", CoolProp.PropsSI("S", "P", 2.4e5, "T", start.temperature, chart.name), chart.name) - CoolProp.PropsSI("H", "P", 2.4e5, "T", start.temperature, chart.name)  # fmt: skip
    assert h - start.enthalpy == pytest.approx(rise, rel=0.02)


def test_outside_the_line_there_is_no_number(chart: FluidChart) -> None:
    assert chart.boiling_k(1.0) != chart.boiling_k(1.0)
    assert chart.dew_pa(10.0) != chart.dew_pa(10.0)


def test_the_safety_class_stands_beside_the_fluid(chart: FluidChart) -> None:
    # ISO 817:2014 classes: R134a A1, R290 A3.
    assert chart.safety_class == {"R134a": "A1", "R290": "A3"}[chart.name]

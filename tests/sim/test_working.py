"""What is worked out from readings: against CoolProp, against a published worked example, against closed forms."""

from __future__ import annotations

from dataclasses import replace
from math import isnan, nan, sqrt

import pytest
from CoolProp.CoolProp import PropsSI

from sim.session import open_bench
from sim.working.formulas import float_factor
from sim.working.scales import Scale, scales_of
from sim.working.sheet import BARELY, FLASHING, OTHER_WAY, STOPPED, WET, Held, Sheet
from sim.working.steps import STEPS, ground_of, worked
from tests.tui.fake_scales import fake_scales
from tui.fluid_chart import FluidChart
from tui.opening import chart_of
from tui.working import held_of

BAR, ICE, AIR = 1e5, 273.15, 101325.0
SHOWN: dict[str, float | str] = {
    "suction_pressure_pa": 1.25 * BAR + AIR, "discharge_pressure_pa": 8.25 * BAR + AIR,
    "evaporator_outlet_temperature_k": -0.4 + ICE, "suction_temperature_k": 7.4 + ICE, "discharge_temperature_k": 69.7 + ICE, "liquid_temperature_k": 33.8 + ICE,
    "evaporator_air_in_k": 23.0 + ICE, "evaporator_air_out_k": 14.8 + ICE, "condenser_air_in_k": 22.9 + ICE, "condenser_air_out_k": 29.2 + ICE,
    "flowmeter": 9.5, "voltage_v": 119.0, "current_a": 3.40, "power_w": 240.0, "sight_glass": "clear",
}  # fmt: skip
"""Read from the default rig, running steady on the thermostatic valve."""
HELD = Held(600.0, SHOWN, AIR, running=True, heating=False)


@pytest.fixture(scope="module")
def r134a() -> FluidChart:
    """As the screen has it."""
    return chart_of("R134a")


def sheet_of(fluid: FluidChart, held: Held = HELD, **shown: float | str) -> Sheet:
    return Sheet(replace(held, shown=SHOWN | shown), fake_scales(), fluid)


def ref(output: str, **at: float) -> float:
    """CoolProp, with the IIR reference state for enthalpies: 200 kJ/kg for liquid at 0 °C."""
    names = {"p": "P", "t": "T", "x": "Q"}
    (first, one), (second, other) = ((names[name], value) for name, value in at.items())
    value = float(PropsSI(output, first, one, second, other, "R134a"))
    return value - float(PropsSI("H", "T", ICE, "Q", 0, "R134a")) + 200e3 if output == "H" else value  # fmt: skip


def test_a_recorded_set_is_worked_out_as_coolprop_does(r134a: FluidChart) -> None:
    # tolerances: the screen's table has 120 rows and straight lines between them; liquid is taken
    # as saturated at its temperature, where CoolProp takes it at its pressure
    p0, pc = 1.25 * BAR + AIR, 8.25 * BAR + AIR
    t0, tc = ref("T", p=p0, x=1), ref("T", p=pc, x=0)
    he, h1, h2 = (ref("H", p=p, t=t + ICE) for p, t in ((p0, -0.4), (p0, 7.4), (pc, 69.7)))
    h3, rho = ref("H", p=pc, t=33.8 + ICE), ref("D", p=pc, t=33.8 + ICE)
    factor = sqrt((8000.0 - rho) * 1000.0 / (7000.0 * rho))  # VDI/VDE 3513-1
    m = 9.5 / 3.6e6 * factor * rho
    q0, qc = m * (he - h3), m * (h2 - h3)
    wet, dry = ref("H", p=p0, x=0), ref("H", p=p0, x=1)
    expected = {
        "evaporating_point_k": (t0, 0.02), "condensing_point_k": (tc, 0.02), "superheat_at_outlet_k": (ICE - 0.4 - t0, 0.02), "superheat_at_compressor_k": (ICE + 7.4 - t0, 0.02),
        "subcooling_at_device_k": (tc - ICE - 33.8, 0.02), "compression_ratio": (pc / p0, 1e-9), "outlet_gas_j_kg": (he, 100.0), "suction_gas_j_kg": (h1, 100.0), "discharge_gas_j_kg": (h2, 100.0),
        "liquid_j_kg": (h3, 100.0), "flash_share": ((h3 - wet) / (dry - wet), 0.001), "effect_j_kg": (he - h3, 150.0), "work_j_kg": (h2 - h1, 150.0), "liquid_kg_m3": (rho, 0.8),
        "float_factor": (factor, 0.001), "flow_kg_s": (m, 2e-6), "taken_up_w": (q0, 0.5), "rejected_w": (qc, 0.5), "cop_of_gas": ((he - h3) / (h2 - h1), 0.02),
        "apparent_va": (404.6, 1e-9), "power_factor": (240.0 / 404.6, 1e-9), "cop_of_panel": (q0 / 240.0, 0.005), "residual_w": (q0 + 240.0 - qc, 0.5),
    }  # fmt: skip
    sheet = sheet_of(r134a)
    for key, (value, tolerance) in expected.items():
        assert sheet.number(key) == pytest.approx(value, abs=tolerance), key


def test_a_textbooks_measured_cycle_is_worked_out_as_the_textbook_does(r134a: FluidChart) -> None:
    # Cengel & Boles, Thermodynamics, 7th ed., Example 11-2 (from memory): R134a enters the compressor at 0.14 MPa and -10 °C, 0.05 kg/s, leaves it at 0.8 MPa
    # and 50 °C, leaves the condenser as liquid of 26 °C. QL = 7.93 kW, W = 2.02 kW, COP 3.93 (h1 246.36, h2 286.69, h3 87.83 kJ/kg, another reference state:
    # only differences compare; its table is rounded to 0.01 kJ/kg and of an older equation of state: 1 %)
    look = {
        "suction_absolute_pa": 0.14e6, "discharge_absolute_pa": 0.8e6, "suction_temperature_k": ICE - 10.0, "evaporator_outlet_temperature_k": ICE - 10.0,
        "discharge_temperature_k": ICE + 50.0, "liquid_temperature_k": ICE + 26.0, "flow_kg_s": 0.05,
    }  # fmt: skip
    expected = {"taken_up_w": 7930.0, "gas_work_w": 2020.0, "cop_of_gas": 3.93, "effect_j_kg": 246.36e3 - 87.83e3, "work_j_kg": 286.69e3 - 246.36e3}  # fmt: skip
    for key, value in expected.items():
        assert worked(key, lambda name: look.get(name, nan), r134a) == pytest.approx(value, rel=0.01), key  # fmt: skip


def test_a_water_scale_reads_r134a_too_high_by_the_guidelines_factor() -> None:
    # VDI/VDE 3513-1: sqrt((8000 - 1165) 1000 / ((8000 - 1000) 1165)) = sqrt(6835 / 8155) = 0.9155
    assert float_factor(8000.0, 1000.0, 1165.0) == pytest.approx(0.9155, abs=1e-4)
    assert float_factor(8000.0, 1000.0, 1000.0) == 1.0
    assert isnan(float_factor(900.0, 1000.0, 1100.0)), "a float that would swim"


# How sure a result is.


def test_the_tolerance_of_volts_times_amps_is_that_of_a_product(r134a: FluidChart) -> None:
    # limits: EI-1 1.5 % of 150 V and half of 0.5 V: hypot(2.25, 0.25) = 2.2638 V; II-1 1.5 % of 10 A and half of 0.05 A: hypot(0.15, 0.025) = 0.15207 A
    # Kline & McClintock: w = hypot(3.40 x 2.2638, 119 x 0.15207) = hypot(7.697, 18.096) = 19.665 VA
    line = sheet_of(r134a).line("apparent_va")
    assert line.tolerance == pytest.approx(19.665, abs=2e-3)
    assert line.reading == pytest.approx(sqrt((3.40 * 0.25) ** 2 + (119.0 * 0.025) ** 2), rel=1e-6)


def test_a_gauge_counts_by_the_slope_of_the_dew_line(r134a: FluidChart) -> None:
    # PI-1, class 1.6 of 11 bar: 0.176 bar; slope of the dew line at 2.26 bar from CoolProp; TI-4 0.3 % of 165 K: 0.495 K, half a step 0.05 K
    slope = ref("T", p=2.27e5, x=1) - ref("T", p=2.26e5, x=1)  # K per 0.01 bar
    gauge, thermometer = sqrt(17.6**2 + 2.5**2) * slope, sqrt(0.495**2 + 0.05**2)
    line = sheet_of(r134a).line("superheat_at_outlet_k")
    assert line.tolerance == pytest.approx(sqrt(gauge**2 + thermometer**2), rel=0.02)


def test_one_instrument_counts_once_however_often_it_comes_in(r134a: FluidChart) -> None:
    # subcooling less subcooling is no result at all: the same instruments on both sides; here the liquid's temperature is in density, factor and enthalpy, and flow goes with
    # the square root of density: both ways that it comes in are added before they are squared
    sheet = sheet_of(r134a)
    only = {"flowmeter": replace(fake_scales()["flowmeter"], class_percent=0.0, step=0.0)}
    alone = Sheet(HELD, fake_scales() | only, r134a)
    up, down = (sheet_of(r134a, liquid_temperature_k=33.8 + ICE + d).number("flow_kg_s") for d in (0.4975, -0.4975))  # fmt: skip
    assert alone.line("flow_kg_s").tolerance == pytest.approx(abs(up - down) / 2.0, rel=1e-3)
    assert sheet.line("flow_kg_s").tolerance > alone.line("flow_kg_s").tolerance


def test_every_step_rests_on_readings_or_constants() -> None:
    for key in STEPS:
        assert ground_of(key), key
        assert not set(ground_of(key)) & set(STEPS), key


# What has no result says why.


@pytest.mark.parametrize(
    ("held", "shown", "key", "why"),
    [
        (replace(HELD, running=False), {}, "superheat_at_outlet_k", STOPPED),
        (replace(HELD, running=False), {}, "residual_w", STOPPED),
        (replace(HELD, heating=True), {}, "subcooling_at_device_k", OTHER_WAY),
        (replace(HELD, heating=True), {}, "taken_up_w", OTHER_WAY),
        (HELD, {"suction_pressure_pa": 10.0 * BAR + AIR}, "superheat_at_compressor_k", "PI-1 stands at the upper end of its scale"),
        (HELD, {"suction_pressure_pa": -1.0 * BAR + AIR}, "compression_ratio", "PI-1 stands at the lower end of its scale"),
        (HELD, {"flowmeter": 0.0}, "taken_up_w", "FI-1: the float rests on its stop, below 2 L/h"),
        (HELD, {"sight_glass": "bubbles"}, "flow_kg_s", "the glass shows bubbles"),
        (HELD, {"evaporator_outlet_temperature_k": ICE - 8.0}, "superheat_at_outlet_k", WET),
        (HELD, {"evaporator_outlet_temperature_k": ICE - 8.0}, "taken_up_w", WET),
        (HELD, {"liquid_temperature_k": ICE + 37.0}, "subcooling_at_device_k", FLASHING),
        (HELD, {"liquid_temperature_k": ICE + 42.0}, "liquid_j_kg", FLASHING),
    ],
)  # fmt: skip
def test_what_cannot_be_said_says_why(held: Held, shown: dict[str, float | str], key: str, why: str, r134a: FluidChart) -> None:  # fmt: skip
    line = sheet_of(r134a, held, **shown).line(key)
    assert isnan(line.value)
    assert why in line.why


def test_a_missing_thermometer_is_said(r134a: FluidChart) -> None:
    shown = {key: value for key, value in SHOWN.items() if key != "discharge_temperature_k"}
    sheet = Sheet(replace(HELD, shown=shown), fake_scales(), r134a)
    assert sheet.line("work_j_kg").why == "no instrument for it: discharge pipe"
    assert not sheet.line("effect_j_kg").why, "that one needs no discharge temperature"


def test_a_meter_of_a_dead_panel_is_no_meter_off_its_scale(r134a: FluidChart) -> None:
    assert sheet_of(r134a, voltage_v=0.0, current_a=0.0).number("apparent_va") == 0.0
    assert "beyond" in sheet_of(r134a, voltage_v=0.0, current_a=0.0).line("power_factor").why


def test_little_superheat_is_called_uncertain(r134a: FluidChart) -> None:
    sheet = sheet_of(r134a, evaporator_outlet_temperature_k=ICE - 6.0)
    assert 0.0 < sheet.number("superheat_at_outlet_k") < 1.5
    assert sheet.line("superheat_at_outlet_k").note == BARELY
    assert sheet.line("outlet_gas_j_kg").note == BARELY


def test_liquid_is_still_taken_as_liquid_where_the_gauge_may_be_wrong(r134a: FluidChart) -> None:
    sheet = sheet_of(r134a, liquid_temperature_k=ICE + 37.0)
    assert sheet.line("subcooling_at_device_k").why
    assert sheet.number("liquid_j_kg") == pytest.approx(ref("H", t=ICE + 37.0, x=0), abs=100.0)


def test_a_class_is_a_share_of_the_span() -> None:
    # EN 837-1: class 1.6 on -1 to 10 bar is 0.176 bar, everywhere on the scale
    gauge = fake_scales()["suction_pressure_pa"]
    assert gauge.limit_si == pytest.approx(0.176e5)
    assert Scale("T", "t", "x_k", "°C", -10.0, 60.0, 0.1, 0.4).limit_si == pytest.approx(0.28)


def test_in_heating_what_hangs_at_the_compressor_and_in_the_air_still_counts(r134a: FluidChart) -> None:  # fmt: skip
    sheet = sheet_of(r134a, replace(HELD, heating=True))
    have = {line.step.key for line in sheet.lines() if not line.why}
    assert {"superheat_at_compressor_k", "compression_ratio", "work_j_kg", "evaporator_air_drop_k", "condenser_air_rise_k", "power_factor"} <= have  # fmt: skip
    assert have.isdisjoint(("subcooling_at_device_k", "flow_kg_s", "cop_of_panel", "residual_w"))


def test_what_is_worked_out_holds_the_truth_within_its_tolerance(r134a: FluidChart) -> None:
    # of these a sound instrument's errors are the only difference: the fixed error of every instrument of the default rig stays within its class
    bench = open_bench("fennick_bench", "steady", device="thermostatic")
    snapshot = bench.snapshot()
    sheet = Sheet(held_of(snapshot, AIR), scales_of(bench.rig.instruments), r134a)
    pairs = {
        "superheat_at_outlet_k": "evaporator_superheat_k", "superheat_at_compressor_k": "suction_superheat_k", "compression_ratio": "pressure_ratio",
        "flow_kg_s": "mass_flow_kg_s", "taken_up_w": "refrigerating_capacity_w", "power_factor": "power_factor",
    }  # fmt: skip
    for key, truth in pairs.items():
        line = sheet.line(key)
        assert abs(line.value - float(snapshot.readings[truth])) <= line.tolerance, key


def test_heat_given_off_on_the_way_makes_rejection_larger_than_the_condensers(r134a: FluidChart) -> None:  # fmt: skip
    # by the first law: discharge pipe, receiver and liquid line are warmer than the room, so what leaves between TI-1 and TI-2 is more than what leaves in the condenser
    bench = open_bench("fennick_bench", "steady", device="thermostatic")
    snapshot = bench.snapshot()
    sheet = Sheet(held_of(snapshot, AIR), scales_of(bench.rig.instruments), r134a)
    assert sheet.number("rejected_w") > float(snapshot.readings["heat_rejected_w"])
    assert "not the condenser alone" in sheet.line("rejected_j_kg").note

"""Our own arithmetic at the states of valve checks whose reference is the same equation: guards, not evidence."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from sim.parts import hand_valve, thermostatic_valve
from sim.throttle import liquid_limit


def row(kv: float) -> object:
    return hand_valve.HandValve(tag="HV-1", kv_m3_h=kv, linear_below_pa=10.0).row()


def saturation(celsius: float) -> float:
    return float(PropsSI("P", "T", celsius + 273.15, "Q", 0, "R134a"))


def test_water_through_kv_1_at_1_bar_is_1_m3_an_hour() -> None:
    # E2-Kv-def
    m = hand_valve.flow(row(1.0), 1.0, 1000.0, 1e5)  # type: ignore[arg-type]
    assert m * 3.6 == pytest.approx(1.0, rel=1e-6)


def test_kv_1_is_cv_1_156() -> None:
    # E2-Kv-Cv: US gallon a minute at 1 psi: 1 gal = 3.785411784 l, 1 psi = 6894.757 Pa
    gallons = hand_valve.flow(row(1.0), 1.0, 1000.0, 6894.757) / 3.785411784 * 60.0  # type: ignore[arg-type]
    assert gallons == pytest.approx(1.156, rel=0.002)


def test_liquid_line_solenoid_drops_9_mbar() -> None:
    # E2-Kv-solenoid: R134a 40 degC, 20 kg/h, Kv 0.2: 0.0087 bar
    m = hand_valve.flow(row(0.2), 1.0, 1146.7, 0.0087e5)  # type: ignore[arg-type]
    assert m * 3600.0 == pytest.approx(20.0, rel=0.01)


def test_spring_of_5_kelvin_at_minus_10() -> None:
    # E4-TXV-spring: 0.0427 MPa; the same spring gives about 3.5 K at 5 degC
    tv = thermostatic_valve.ThermostaticValve(
        tag="TCV-1",
        full_area_m2=2e-7,
        spring_pa=0.0427e6,
        spring_pa_per_quarter_turn=0.0,
        stroke_pa=5e4,
    ).row()
    for evaporating, opens_at in ((-10.0, 5.0), (5.0, 3.5)):
        p_e = saturation(evaporating)
        shut = thermostatic_valve.lift_from_pressures(
            tv, saturation(evaporating + opens_at - 0.2), p_e
        )
        ajar = thermostatic_valve.lift_from_pressures(
            tv, saturation(evaporating + opens_at + 0.2), p_e
        )
        assert shut == 0.0
        assert ajar > 0.0


def test_without_external_equaliser_a_pressure_drop_adds_4_kelvin() -> None:
    # E4-TXV-noequal: R134a, -10 degC, 0.3 bar: 4.03 K more superheat, since the diaphragm feels the coil's inlet
    outlet = saturation(-10.0) - 3e4
    shift = -10.0 - (PropsSI("T", "P", outlet, "Q", 0, "R134a") - 273.15)
    assert shift == pytest.approx(4.03, abs=0.2)
    tv = thermostatic_valve.ThermostaticValve(
        tag="TCV-1",
        full_area_m2=2e-7,
        spring_pa=3e4,
        spring_pa_per_quarter_turn=0.0,
        stroke_pa=5e4,
    ).row()
    bulb = saturation(-10.0 + 6.0)
    with_internal = thermostatic_valve.lift_from_pressures(tv, bulb, outlet + 3e4)
    with_external = thermostatic_valve.lift_from_pressures(
        tv, saturation(-10.0 - shift + 6.0 + shift), outlet + 3e4
    )
    assert with_internal == pytest.approx(with_external)


def test_saturated_liquid_chokes_at_0_15_mpa() -> None:
    # E7: dp_max = FL^2 (p1 - FF pv) = 0.148 MPa at 1.0166 MPa
    assert liquid_limit(1.0166e6, 1.0166e6, 4.0593e6) * 1.0166e6 == pytest.approx(0.148e6, rel=0.02)

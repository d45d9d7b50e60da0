"""Valves against published values (area E). Each test carries the check's id and its source."""

from __future__ import annotations

from math import sqrt
from typing import Any

import fluids.control_valve as cv
import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from fluids.flow_meter import C_Reader_Harris_Gallagher

from sim.parts import reversing_valve, solenoid_valve, thermostatic_valve
from sim.throttle import (
    FL,
    GAMMA,
    SHARP_HOLE,
    XT,
    area_from_bore,
    area_from_kv,
    choking,
    liquid_limit,
    throttle_flow,
)

PC_R134A = 4.0593e6
BAR = 1e5


def valve() -> thermostatic_valve.ThermostaticValve:
    """The bench's thermostatic valve: spring and stroke as shipped."""
    return thermostatic_valve.ThermostaticValve(
        tag="TCV-23",
        full_area_m2=2.4e-7,
        spring_pa=27.1e3,
        spring_pa_per_quarter_turn=7e3,
        stroke_pa=60e3,
    )


def p_sat(celsius: float, fluid: str = "R134a") -> float:
    return float(PropsSI("P", "T", celsius + 273.15, "Q", 0, fluid))


def lift(row: np.ndarray, superheat: float, evaporating_c: float) -> float:
    return thermostatic_valve.lift_from_pressures(
        row, p_sat(evaporating_c + superheat), p_sat(evaporating_c)
    )


def superheat_at(row: np.ndarray, wanted_lift: float, evaporating_c: float) -> float:
    grid = np.linspace(0.0, 30.0, 3001)
    lifts = np.array([lift(row, s, evaporating_c) for s in grid])
    return float(grid[np.argmax(lifts >= wanted_lift)])


def test_liquid_sizing_reproduces_example_1_of_iec_60534() -> None:
    # E1-IEC-ex1: IEC 60534-2-1 Annex, example 1 (read in fluids' docstring): 0.1 m3/s of hot water needs Kv 165 m3/h, not choked
    rho, p1, p2, p_v, p_c = 965.4, 680e3, 220e3, 70.1e3, 22120e3
    g2, kappa = choking(p1, -0.2, rho, p_v, p_c, 363.0, 2.28e6, rho, 0.4, 4200.0)
    m = throttle_flow(p1, rho, g2, kappa, p1 - p2, area_from_kv(165.0), 1e3)
    assert m / rho == pytest.approx(0.1, rel=0.005)


def test_critical_pressure_ratio_factor() -> None:
    # E1-FF: IEC 60534-2-1, FF = 0.96 - 0.28 sqrt(pv/pc) = 0.820 for R134a at 40 degC; saturated liquid leaves FL^2 (1 - FF)
    ff = 1.0 - liquid_limit(1.0166e6, 1.0166e6, PC_R134A) / FL**2
    assert ff == pytest.approx(0.82, abs=0.002)
    assert ff == pytest.approx(cv.FF_critical_pressure_ratio_l(1.0166e6, PC_R134A), abs=1e-6)


def test_choked_liquid_agrees_with_the_fluids_library() -> None:
    # fluids 1.3, IEC 60534-2-1: the Kv it asks for must pass the flow here
    rho, p1, p2, p_v = 1165.0, 9.5e5, 2.35e5, 8.73e5
    kv: Any = cv.size_control_valve_l(
        rho=rho,
        Psat=p_v,
        Pc=PC_R134A,
        mu=2e-4,
        P1=p1,
        P2=p2,
        Q=2.85e-3 / rho,
        FL=FL,
        full_output=False,
    )
    g2, kappa = choking(p1, -0.03, rho, p_v, PC_R134A, 309.0, 166e3, 1150.0, 46.0, 1480.0)
    m = throttle_flow(p1, rho, g2, kappa, p1 - p2, area_from_kv(float(kv)), 1e3)
    # 1 %: here the effect of subcooling is rounded where it vanishes
    assert m == pytest.approx(2.85e-3, rel=0.01)


@pytest.mark.parametrize("p2", [8.5e5, 6e5, 1e5])
def test_gas_agrees_with_the_fluids_library(p2: float) -> None:
    # fluids 1.3, IEC 60534-2-1 for gas: R134a vapour at 9.5 bar, 320 K, ideal-gas density corrected by Z
    p1, T, molar, m = 9.5e5, 320.0, 102.03, 0.01
    rho = PropsSI("D", "P", p1, "T", T, "R134a")
    z = p1 * molar * 1e-3 / (rho * 8.314462618 * T)
    kv: Any = cv.size_control_valve_g(
        T=T, MW=molar, mu=1.3e-5, gamma=GAMMA, Z=z, P1=p1, P2=p2,
        Q=m / (molar * 1e-3) * 8.314462618 * 273.15 / 101325.0, xT=XT, full_output=False,
    )  # fmt: skip
    g2, kappa = choking(p1, 1.06, rho, p1, PC_R134A, 310.0, 164e3, 1150.0, 46.0, 1480.0)
    assert throttle_flow(
        p1, rho, g2, kappa, p1 - p2, area_from_kv(float(kv)), 10.0
    ) == pytest.approx(m, rel=0.01)


def test_discharge_coefficient_of_a_sharp_hole() -> None:
    # E3-Cd-free: ISO 5167-2, beta to 0, high Re: 0.596
    assert pytest.approx(0.596, abs=0.006) == SHARP_HOLE
    library = C_Reader_Harris_Gallagher(D=0.1, Do=0.0101, rho=1000, mu=1e-3, m=2.0, taps="corner")
    assert pytest.approx(library, abs=0.006) == SHARP_HOLE
    # E3-RHG: 0.599 with flange taps at beta 0.3 (example in fluids' documentation); a hole without a pipe lies within 1 % of it
    assert area_from_bore(0.0222) / (np.pi / 4 * 0.0222**2) == pytest.approx(0.599, rel=0.01)


def test_static_superheat_is_a_factory_setting() -> None:
    # E4-TXV-SH-lit1: 3.5 to 5 K (service text, read on a public page); E4-TXV-SH-lit2: 3.3 K +- 1 (TM 5-4120-375-14): the bench's lies between
    static = superheat_at(valve().row(), 1e-6, -6.6)
    assert 3.3 - 1.0 <= static <= 5.0


def test_operating_superheat_is_static_plus_opening() -> None:
    # E4-TXV-op: static 3 to 5 K plus opening 2 to 4 K at rated capacity: 5 to 9 K (ASHRAE Refrigeration ch. 11, from memory)
    row = valve().row()
    static, operating = superheat_at(row, 1e-6, -6.6), superheat_at(row, 0.57, -6.6)
    assert 5.0 <= operating <= 9.0
    assert 2.0 <= operating - static <= 4.0


def test_a_quarter_turn_is_about_0_8_kelvin() -> None:
    # common practice: 0.5 to 1.1 K a quarter turn
    tv, row = valve(), valve().row()
    before = superheat_at(row, 1e-6, -6.6)
    row[thermostatic_valve.SPRING] = tv.spring_at(1.0)
    assert superheat_at(row, 1e-6, -6.6) - before == pytest.approx(0.8, abs=0.15)


def test_the_valve_opens_when_the_bulb_beats_evaporator_and_spring() -> None:
    # E4-TXV-forcebal: ASHRAE Refrigeration ch. 11
    row = valve().row()
    p_e = 2.35 * BAR
    balance = p_e + row[thermostatic_valve.SPRING]
    assert thermostatic_valve.lift_from_pressures(row, balance - 1.0, p_e) == 0.0
    assert thermostatic_valve.lift_from_pressures(row, balance + 1e3, p_e) > 0.0


def test_bulb_time_constant_is_within_the_published_span() -> None:
    # E4-TXV-tau: 8 to 40 s clamped and insulated (control literature, from memory)
    row = valve().row()
    tau = 1.0 / (thermostatic_valve.bulb_rate(row, 280.0, 281.0, 280.0))
    assert 8.0 <= tau <= 40.0


def test_a_mop_charge_limits_the_evaporating_pressure_and_superheat_reads_high() -> None:
    # E4-TXV-MOP: trade article: pressure held near MOP in a pull-down, superheat high meanwhile
    plain = valve()
    mop = thermostatic_valve.ThermostaticValve(
        **{**plain.__dict__, "mop_evaporating_pa": 3.0 * BAR}
    )
    above = 3.6 * BAR
    bulb = thermostatic_valve.bulb_pressure
    hot = p_sat(20.0)
    assert thermostatic_valve.lift_from_pressures(plain.row(), bulb(plain.row(), hot), above) == 1.0
    assert thermostatic_valve.lift_from_pressures(mop.row(), bulb(mop.row(), hot), above) == 0.0
    cold = p_sat(0.0)  # below MOP it is the plain valve
    assert bulb(mop.row(), cold) == pytest.approx(cold, rel=0.03)


def test_minimum_difference_of_the_reversing_valve() -> None:
    # E5: 0.1 to 0.35 MPa by make (trade data, from memory); the bench takes 1.0 bar, about 15 psi (common practice)
    default = reversing_valve.ReversingValve(tag="XV-2", kv_m3_h=2.0)
    assert 0.1e6 <= default.minimum_difference_pa <= 0.35e6
    row = default.row()
    assert reversing_valve.slide_rate(row, 0.0, 0.9 * BAR, 1.0) == 0.0
    assert reversing_valve.slide_rate(row, 0.0, 3.0 * BAR, 1.0) > 1.0


def test_solenoid_opens_against_what_direct_acting_ones_do() -> None:
    # E8: 20 to 35 bar (trade data, from memory)
    row = solenoid_valve.SolenoidValve(tag="XV-1", kv_m3_h=0.2).row()
    assert solenoid_valve.target(row, 0.0, 1.0, 20.0 * BAR) == 1.0
    assert solenoid_valve.target(row, 0.0, 1.0, 35.0 * BAR) == 0.0


def test_hand_valve_law_is_the_definition_of_kv_above_its_linear_range() -> None:
    # IEC 60534-1: Q[m3/h] = Kv sqrt(dp[bar]/(rho/1000))
    m = throttle_flow(20e5, 1000.0, 1.0, 0.0, 1e5, area_from_kv(2.5), 1e3)
    assert m / 1000.0 * 3600.0 == pytest.approx(2.5 * sqrt(1.0), rel=1e-3)

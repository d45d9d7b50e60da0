"""Thermostatic valve: what turns it up, what turns it down, what its bulb feels."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.fluid import Fluid
from sim.fluid_kernel import bubble_pressure
from sim.parts import thermostatic_valve as tv

FLUID = Fluid.load("R134a").tables
VALVE = tv.ThermostaticValve(
    tag="TCV-23",
    full_area_m2=2.4e-7,
    spring_pa=27.1e3,
    spring_pa_per_quarter_turn=7e3,
    stroke_pa=60e3,
    bleed=0.02,
)
T_E = 266.5  # K, evaporating


@settings(deadline=None)
@given(st.floats(230.0, 310.0), st.floats(0.0, 20.0))
def test_a_warmer_bulb_never_closes_and_a_higher_evaporator_pressure_never_opens(
    kelvin: float, more: float
) -> None:
    row, p = VALVE.row(), bubble_pressure(FLUID, 266.5)
    assert tv.lift(row, FLUID, kelvin + more, p) >= tv.lift(row, FLUID, kelvin, p)
    assert tv.lift(row, FLUID, kelvin, p + 1e3 * more) <= tv.lift(row, FLUID, kelvin, p)


def test_turning_the_spring_in_raises_the_superheat_at_which_it_opens() -> None:
    row, p = VALVE.row(), bubble_pressure(FLUID, T_E)
    assert tv.lift(row, FLUID, T_E + 4.0, p) > 0.0
    row[tv.SPRING] = VALVE.spring_at(4.0)
    assert tv.lift(row, FLUID, T_E + 4.0, p) == 0.0
    assert VALVE.spring_at(-2.0) == pytest.approx(27.1e3 - 14e3)


def test_the_same_spring_means_less_superheat_at_a_warmer_evaporator() -> None:
    row = VALVE.row()
    opens = []
    for kelvin in (253.15, 263.15, 278.15):
        p = bubble_pressure(FLUID, kelvin)
        grid = np.arange(0.0, 12.0, 0.01)
        opens.append(grid[np.argmax([tv.lift(row, FLUID, kelvin + s, p) > 0.0 for s in grid])])
    assert opens[0] > opens[1] > opens[2]


def test_lift_has_no_corner_between_shut_and_fully_open() -> None:
    row = VALVE.row()
    lifts = np.array([tv.lift_from_pressures(row, 2e5 + d, 2e5) for d in np.arange(0, 1e5, 50.0)])
    assert lifts[0] == 0.0
    assert lifts[-1] == 1.0
    assert np.abs(np.diff(lifts, 2)).max() < 1e-5


def test_a_drilled_port_stays_open_when_the_needle_is_shut() -> None:
    assert tv.opening(VALVE.row(), 0.0) == pytest.approx(0.02)
    assert tv.opening(VALVE.row(), 1.0) == 1.0


def test_an_insulated_bulb_follows_the_pipe_with_its_own_lag() -> None:
    row = VALVE.row()
    kelvin, step = 290.0, 0.01
    for _ in range(int(20.0 / step)):
        kelvin += step * tv.bulb_rate(row, kelvin, 280.0, 280.0)
    # one time constant C/(UA_pipe + UA_air) = 20/1.01 s: exp(-1.01) = 0.364 of the step is left
    assert kelvin - 280.0 == pytest.approx(3.64, abs=0.05)


def test_a_dangling_bulb_feels_the_room_and_opens_the_valve() -> None:
    row = VALVE.row()
    row[tv.CONTACT] = 0.0
    assert tv.bulb_rate(row, 270.0, 270.0, 296.0) > 0.0
    p = bubble_pressure(FLUID, T_E)
    assert tv.lift(row, FLUID, 296.0, p) == 1.0


def test_a_bulb_that_lost_its_charge_shuts_the_valve() -> None:
    row, p = VALVE.row(), bubble_pressure(FLUID, T_E)
    row[tv.CHARGE] = 0.3
    assert tv.lift(row, FLUID, T_E + 10.0, p) == 0.0


def test_above_mop_the_bulb_pressure_rises_like_a_gas_and_joins_smoothly() -> None:
    row = tv.ThermostaticValve(**{**VALVE.__dict__, "mop_evaporating_pa": 3e5}).row()
    p = np.linspace(2e5, 9e5, 1401)
    bulb = np.array([tv.bulb_pressure(row, x) for x in p])
    gain = np.diff(bulb) / np.diff(p)
    assert gain[0] == pytest.approx(1.0, abs=0.02)
    assert 0.0 < gain[-1] < 0.1
    assert np.abs(np.diff(gain)).max() < 0.01
    # ideal gas: ten times the pressure ratio's logarithm less: from 6 to 9 bar of saturation p rises by 1.5^0.1 = 1.041
    assert bulb[-1] / bulb[int((6e5 - 2e5) / 500)] == pytest.approx(1.041, abs=0.003)


def test_values_outside_the_model_are_named() -> None:
    wrong = tv.ThermostaticValve(**{**VALVE.__dict__, "stroke_pa": 0.0, "bleed": 0.9}).check()
    assert {field for field, _ in wrong} == {"stroke_pa", "bleed"}

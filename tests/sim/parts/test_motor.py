"""The single-phase motor, its start relay and its overload."""

from __future__ import annotations

import dataclasses
import tomllib
from math import log, pi
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim.parts import motor
from sim.parts.motor import SinglePhaseMotor, motor_state

DATA = Path(__file__).parents[2] / "data" / "compressors"
BENCH = SinglePhaseMotor(**tomllib.loads((DATA / "bench.toml").read_text())["motor"])
ROW = motor.row(BENCH)
SYNCHRONOUS = 2.0 * pi * 60.0  # two poles at 60 Hz
WARM = 350.0

speeds = st.floats(0.0, 1.02 * SYNCHRONOUS)
volts = st.floats(10.0, 140.0)
windings = st.floats(250.0, 450.0)
starts = st.integers(0, 1)
unhurried = settings(deadline=None, max_examples=60)  # the first call compiles


def parts_of_loss(v: float, omega: float, winding: float, start: int) -> tuple[float, float]:
    """(copper, cage and core; relay, heater and capacitor), each from its own current."""
    copper = motor.resistance_ratio(winding, motor.COPPER_K)
    supply = motor.plain_supply(ROW, v + 0j, 60.0, start)
    cage = BENCH.rotor_resistance_ohm * motor.resistance_ratio(winding, motor.ALUMINIUM_K)
    slip = 1.0 - omega / SYNCHRONOUS
    forward = motor.field_impedance(ROW, slip, 1.0, cage)
    backward = motor.field_impedance(ROW, 2.0 - slip, 1.0, cage)
    main, aux = motor.winding_currents(ROW, supply, 60.0, forward, backward, winding, winding)
    core = ROW[motor.M_CORE] * (supply[0] - supply[2] * main - supply[3] * aux)
    a = BENCH.turns_ratio
    gap_forward = 2.0 * abs(0.5 * (main - 1j * a * aux)) ** 2 * forward.real
    gap_backward = 2.0 * abs(0.5 * (main + 1j * a * aux)) ** 2 * backward.real
    run = main + core
    inside = (
        abs(main) ** 2 * BENCH.main_resistance_ohm * copper
        + abs(aux) ** 2 * BENCH.start_resistance_ohm * copper
        + slip * gap_forward  # the cage takes the slip's share of each field's air-gap power
        + (2.0 - slip) * gap_backward
        + abs(core) ** 2 / ROW[motor.M_CORE]
    )
    outside = (
        abs(run) ** 2 * BENCH.relay_resistance_ohm
        + abs(run + aux) ** 2 * BENCH.overload_resistance_ohm
        + abs(aux) ** 2 * (motor.OPEN_OHM if start == 0 else BENCH.start_capacitor_resistance_ohm)
    )
    return float(inside), float(outside)


@unhurried
@given(v=volts, omega=speeds, winding=windings, start=starts)
def test_terminal_power_is_shaft_power_and_every_loss_by_its_own_current(
    v: float, omega: float, winding: float, start: int
) -> None:
    torque, _, power, heat, _ = motor_state(ROW, v, 60.0, omega, winding, start)
    inside, outside = parts_of_loss(v, omega, winding, start)
    assert heat == pytest.approx(inside, rel=1e-9)
    assert power == pytest.approx(torque * omega + inside + outside, rel=1e-9)


@unhurried
@given(v=volts, omega=speeds, winding=windings, start=starts)
def test_volts_times_amps_is_never_less_than_watts(
    v: float, omega: float, winding: float, start: int
) -> None:
    _, amps, power, _, _ = motor_state(ROW, v, 60.0, omega, winding, start)
    assert abs(power) <= v * amps * (1.0 + 1e-12)


def test_without_its_start_winding_a_standing_rotor_feels_no_torque() -> None:
    # an open relay contact still leaks 12 nA
    assert motor_state(ROW, 120.0, 60.0, 0.0, WARM, 0)[0] == pytest.approx(0.0, abs=1e-8)
    assert motor_state(ROW, 120.0, 60.0, 0.0, WARM, 1)[0] > 0.5


def test_without_its_start_winding_a_turning_rotor_is_pulled_the_way_it_turns() -> None:
    assert motor_state(ROW, 120.0, 60.0, 20.0, WARM, 0)[0] > 0.0
    assert motor_state(ROW, 120.0, 60.0, -20.0, WARM, 0)[0] < 0.0


def test_above_synchronous_speed_the_motor_brakes() -> None:
    assert motor_state(ROW, 120.0, 60.0, 1.01 * SYNCHRONOUS, WARM, 0)[0] < 0.0


def test_dead_terminals_give_nothing() -> None:
    assert motor_state(ROW, 0.0, 60.0, 300.0, WARM, 1) == (0.0, 0.0, 0.0, 0.0, 0.0)


@unhurried
@given(omega=st.floats(1.0, 1.01 * SYNCHRONOUS), winding=windings, start=starts)
def test_torque_has_a_continuous_slope_in_speed(omega: float, winding: float, start: int) -> None:
    def torque(w: float) -> float:
        return motor_state(ROW, 120.0, 60.0, w, winding, start)[0]

    h = 0.05
    left = (torque(omega) - torque(omega - h)) / h
    right = (torque(omega + h) - torque(omega)) / h
    # steepest curvature is at breakdown: some N m over (tens of rad/s)^2
    assert abs(left - right) < 0.01 * h


def test_a_hot_motor_starts_on_less_current() -> None:
    cold = motor_state(ROW, 120.0, 60.0, 0.0, 293.15, 0)[1]
    hot = motor_state(ROW, 120.0, 60.0, 0.0, 393.15, 0)[1]
    assert hot < 0.95 * cold


def test_at_fifty_hertz_it_turns_slower() -> None:
    fifty = 2.0 * pi * 50.0
    assert motor_state(ROW, 100.0, 50.0, 0.97 * fifty, WARM, 0)[0] > 0.2
    assert motor_state(ROW, 100.0, 50.0, fifty, WARM, 0)[0] < 0.01


def test_the_bench_motor_passes_its_own_check() -> None:
    assert BENCH.check() == []


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"relay_pull_in_a": 11.5}, "relay_pull_in_a", "it would never start"),
        ({"relay_drop_out_a": 5.0}, "relay_drop_out_a", "would stay in"),
        ({"relay_drop_out_a": 9.8}, "relay_drop_out_a", "below its pull-in current"),
        ({"overload_rise_k_per_a2": 0.5}, "overload_rise_k_per_a2", "it would never open"),
        ({"overload_open_k": 360.0, "overload_close_k": 370.0}, "overload_close_k", "closes below"),
        ({"main_resistance_ohm": 300.0}, "main_resistance_ohm", "the model holds from 0.5 to 30"),
    ],
)
def test_a_motor_that_cannot_work_is_refused_with_a_sentence(
    change: dict[str, float], field: str, words: str
) -> None:
    wrong = dataclasses.replace(BENCH, **change).check()  # type: ignore[arg-type]
    assert [text for name, text in wrong if name == field and words in text], wrong


def test_locked_rotor_current_opens_the_overload_in_the_time_that_its_exponential_says() -> None:
    amps = motor_state(ROW, 120.0, 60.0, 0.0, 330.0, 1)[1]
    shell = 326.0
    rise = BENCH.overload_rise_k_per_a2 * amps**2
    worked = -BENCH.overload_time_constant_s * log(1.0 - (BENCH.overload_open_k - shell) / rise)
    bimetal, time, step = shell, 0.0, 1e-3
    while bimetal < BENCH.overload_open_k:
        bimetal += step * motor.overload_rate(ROW, amps, bimetal, shell)
        time += step
    assert time == pytest.approx(worked, rel=1e-3)


def test_running_current_never_opens_the_overload_in_a_hot_shell() -> None:
    shell = 273.15 + 75.0  # common practice: a shell of 75 degC is the warning limit of a bench
    amps = motor_state(ROW, 108.0, 60.0, 0.95 * SYNCHRONOUS, 380.0, 0)[1]
    assert motor.overload_rate(ROW, amps, BENCH.overload_open_k, shell) < 0.0


def test_winding_heat_goes_to_the_cooler_side() -> None:
    to_gas, to_wall = motor.winding_heat(ROW, 350.0, 310.0, 360.0)
    assert to_gas == pytest.approx(40.0 * BENCH.winding_to_gas_w_k)
    assert to_wall == pytest.approx(-10.0 * BENCH.winding_to_shell_w_k)


@unhurried
@given(omega=speeds)
def test_more_supply_voltage_means_torque_by_its_square(omega: float) -> None:
    one = motor_state(ROW, 60.0, 60.0, omega, WARM, 1)[0]
    two = motor_state(ROW, 120.0, 60.0, omega, WARM, 1)[0]
    assert two == pytest.approx(4.0 * one, rel=1e-9, abs=1e-12)


def test_the_row_holds_every_parameter_the_kernel_reads() -> None:
    assert np.all(np.isfinite(ROW))
    assert ROW.size == motor.M_COLUMNS

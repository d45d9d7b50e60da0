"""The reciprocating compressor: books, limits, wear, oil, liquid, and a start with its motor.

Over 300 lines because every claim is made on one machine.
"""

from __future__ import annotations

import tomllib
from math import exp, log, pi, sqrt
from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from hypothesis import given, settings
from hypothesis import strategies as st
from numpy.typing import NDArray

from sim.fluid import Fluid
from sim.fluid_inverse import density_at_pT_vapour
from sim.fluid_kernel import energy, state
from sim.parts import compressor, motor
from sim.parts.compressor import ReciprocatingCompressor
from sim.parts.motor import SinglePhaseMotor

DATA = Path(__file__).parents[2] / "data" / "compressors"
FILE = tomllib.loads((DATA / "bench.toml").read_text())
BENCH = ReciprocatingCompressor(**FILE["compressor"])
ROW = compressor.row(BENCH)
MOTOR = SinglePhaseMotor(**FILE["motor"])
R134A = Fluid.load("R134a").tables
NEW = np.zeros(compressor.WEAR_COLUMNS)
WARM_SHELL_K = BENCH.friction_stated_k
FULL_SPEED = 367.0  # rad/s, 3505 rpm
unhurried = settings(deadline=None, max_examples=80)  # the first call compiles

Result = tuple[float, float, float, float, float, float]
FLOW, H_IN, GAS_POWER, TORQUE, FRICTION, LIQUID = range(6)


def worn(leak_m2: float, pumping: float) -> NDArray[np.float64]:
    wear = NEW.copy()
    wear[compressor.WEAR_DISCHARGE_LEAK] = leak_m2
    wear[compressor.WEAR_PUMPING] = pumping
    return wear


def gas(p: float, T: float) -> tuple[float, float]:
    """Density and enthalpy of vapour."""
    rho = density_at_pT_vapour(R134A, p, T)
    return rho, energy(R134A, rho, T) + p / rho


def dry(
    p1: float,
    t1: float,
    p2: float,
    t2: float,
    omega: float,
    wear: NDArray[np.float64] = NEW,
    row: NDArray[np.float64] = ROW,
    oil_k: float = WARM_SHELL_K,
) -> Result:
    """compress(...) from a shell full of gas to a head full of gas."""
    rho1, h1 = gas(p1, t1)
    rho2, _ = gas(p2, t2)
    return compressor.compress(
        row, R134A, wear, p1, t1, 1.0, rho1, rho1, h1, h1, p2, t2, rho2, oil_k, omega
    )


def wet(void: float, t1: float, p2: float, omega: float) -> Result:
    """compress(...) from a shell holding saturated R134a at t1 with this void."""
    rho_v, rho_l = (PropsSI("D", "T", t1, "Q", q, "R134a") for q in (1, 0))
    rho = void * rho_v + (1.0 - void) * rho_l
    p, T, _, a, rl, rv, hl, hv, _, _ = state(R134A, rho, energy(R134A, rho, t1), t1)
    rho2, _ = gas(p2, 345.0)
    return compressor.compress(
        ROW, R134A, NEW, p, T, a, rl, rv, hl, hv, p2, 345.0, rho2, WARM_SHELL_K, omega
    )


pressures = st.floats(0.2e5, 6e5)
highs = st.floats(0.5e5, 25e5)
suctions = st.floats(280.0, 330.0)
heads = st.floats(300.0, 390.0)
speeds = st.floats(0.0, 380.0)
oils = st.floats(263.0, 393.0)


@unhurried
@given(
    p1=pressures,
    t1=suctions,
    p2=highs,
    t2=heads,
    omega=speeds,
    leak=st.floats(0, 1e-6),
    pump=st.floats(0, 1),
    oil=oils,
)
def test_work_into_gas_and_friction_is_torque_times_speed_in_every_state(
    p1: float,
    t1: float,
    p2: float,
    t2: float,
    omega: float,
    leak: float,
    pump: float,
    oil: float,
) -> None:
    r = dry(p1, t1, p2, t2, omega, worn(leak, pump), oil_k=oil)
    assert all(np.isfinite(r))
    assert r[GAS_POWER] + r[FRICTION] == pytest.approx(r[TORQUE] * omega, rel=1e-12, abs=1e-12)
    assert min(r[FLOW], r[GAS_POWER], r[FRICTION], r[TORQUE]) >= 0.0
    assert r[LIQUID] == 0.0


@unhurried
@given(void=st.floats(0.0, 1.0), p2=highs, omega=speeds)
def test_any_share_of_liquid_keeps_the_books(void: float, p2: float, omega: float) -> None:
    r = wet(void, 275.0, p2, omega)
    assert all(np.isfinite(r))
    assert r[GAS_POWER] + r[FRICTION] == pytest.approx(r[TORQUE] * omega, rel=1e-12, abs=1e-12)
    assert 0.0 <= r[LIQUID] <= r[FLOW]


def test_without_losses_flow_is_the_swept_volume_less_re_expansion() -> None:
    ideal = ReciprocatingCompressor(
        tag="ideal",
        displacement_m3=6e-6,
        clearance=0.04,
        reexpansion_exponent=1.1,
        suction_valve_area_m2=100e-6,
        discharge_valve_area_m2=100e-6,
        suction_heating_w_k=0.0,
        compression_efficiency=1.0,
        friction_torque_n_m=0.0,
        friction_dry_share=1.0,
        friction_stated_k=WARM_SHELL_K,
        friction_load_share=0.0,
        worn_work_share=0.2,
        entrained_share=0.0,
        carry_over_speed_rad_s=65.0,
        head_to_shell_w_k=0.0,
    )
    row = compressor.row(ideal)
    omega, p1, t1, p2 = 300.0, 2.3e5, 285.0, 9.5e5
    r = dry(p1, t1, p2, 345.0, omega, row=row)
    # 1 + c - c PR^(1/n) with CoolProp's density; 1 % for valves of 100 mm2 and rounded corners
    rho = PropsSI("D", "P", p1, "T", t1, "R134a")
    filling = 1.0 + 0.04 - 0.04 * (p2 / p1) ** (1.0 / 1.1)
    assert r[FLOW] == pytest.approx(6e-6 * omega / (2 * pi) * rho * filling, rel=0.01)
    # and the work of each kilogram is isentropic
    h1 = PropsSI("H", "P", p1, "T", t1, "R134a")
    h2 = PropsSI("H", "P", p2, "S", PropsSI("S", "P", p1, "T", t1, "R134a"), "R134a")
    assert r[GAS_POWER] / r[FLOW] == pytest.approx(h2 - h1, rel=0.01)
    assert r[FRICTION] == pytest.approx(0.0, abs=1e-6)


def test_cold_oil_costs_friction_and_nothing_else() -> None:
    warm = dry(2.3e5, 300.0, 9.5e5, 345.0, FULL_SPEED)
    cold = dry(2.3e5, 300.0, 9.5e5, 345.0, FULL_SPEED, oil_k=293.15)
    assert (cold[FLOW], cold[GAS_POWER]) == (warm[FLOW], warm[GAS_POWER])
    # Petroff: the share that is no dry friction grows as viscosity does, 86.3/20.0 mm2/s from 52 to 20 degC on Walther's line
    grown = 0.035 * (1.0 - 0.3) * (86.3 / 20.0 - 1.0) * FULL_SPEED
    assert cold[FRICTION] - warm[FRICTION] == pytest.approx(grown, rel=0.03)


def test_friction_is_as_stated_at_the_shell_temperature_for_which_it_is_stated() -> None:
    idle = dry(2.3e5, 300.0, 2.3e5, 300.0, FULL_SPEED)
    with_load = BENCH.friction_load_share * idle[GAS_POWER]
    assert idle[FRICTION] - with_load == pytest.approx(0.035 * FULL_SPEED, rel=1e-3)
    hotter = dry(2.3e5, 300.0, 2.3e5, 300.0, FULL_SPEED, oil_k=WARM_SHELL_K + 40.0)
    assert 0.3 < (hotter[FRICTION] - with_load) / (0.035 * FULL_SPEED) < 0.7


def test_a_standing_machine_lets_nothing_pass_against_pressure() -> None:
    r = dry(2e5, 300.0, 9e5, 330.0, 0.0)
    assert (r[FLOW], r[GAS_POWER], r[TORQUE], r[FRICTION]) == (0.0, 0.0, 0.0, 0.0)


def test_when_suction_stands_higher_the_gas_blows_through_a_standing_machine() -> None:
    r = dry(5e5, 300.0, 4e5, 300.0, 0.0)
    # a nozzle of the two valve areas in series, 20 and 15 mm2: 12 mm2
    area = 20e-6 * 15e-6 / sqrt(20e-6**2 + 15e-6**2)
    nozzle = area * sqrt(2.0 * gas(5e5, 300.0)[0] * 1e5)
    assert nozzle * 0.7 < r[FLOW] <= nozzle
    assert r[GAS_POWER] == 0.0


def test_running_backwards_in_pressure_costs_little_work() -> None:
    pumping = dry(4e5, 300.0, 10e5, 330.0, FULL_SPEED)
    blowing = dry(4e5, 300.0, 3e5, 330.0, FULL_SPEED)
    assert blowing[FLOW] > pumping[FLOW]
    assert blowing[GAS_POWER] < 0.15 * pumping[GAS_POWER]


def test_re_expansion_alone_stops_delivery_at_very_high_ratio() -> None:
    # (1 + 1/c)^n = 45 for c = 0.03, n = 1.08
    ordinary = dry(1e5, 300.0, 5e5, 350.0, FULL_SPEED)[FLOW] / 1e5
    beyond = dry(0.1e5, 300.0, 10e5, 380.0, FULL_SPEED)[FLOW] / 0.1e5
    assert beyond < 0.02 * ordinary


@unhurried
@given(p1=pressures, t1=suctions, p2=highs, t2=heads, omega=speeds, oil=oils)
def test_flow_power_and_torque_have_continuous_slopes(
    p1: float, t1: float, p2: float, t2: float, omega: float, oil: float
) -> None:
    """Left and right slope agree better when the step is made ten times smaller, along every direction.

    A slow shaft gets a step no larger than its speed, so that both sides are stepped alike.
    """
    at = np.array([p1, t1, p2, t2, omega, oil])
    typical = np.array([5e-3, 5e-3, 0.5, 5e-3])  # kg/s, 200 W as 5e-3 of 40 kW, N m
    for k, size in enumerate((0.01 * p1, 1.0, 0.01 * p2, 1.0, min(2.0, omega), 1.0)):
        gaps = []
        for h in (size, 0.1 * size):
            move = np.zeros(6)
            move[k] = h
            low, mid, high = (
                np.array(dry(x[0], x[1], x[2], x[3], x[4], oil_k=x[5]))[
                    [FLOW, GAS_POWER, TORQUE, FRICTION]
                ]
                * [1, 2.5e-5, 1, 2.5e-5]
                for x in (np.maximum(at - move, 0.0), at, at + move)
            )
            gaps.append(np.max(np.abs(high - 2.0 * mid + low) / typical))
        # a kink leaves a second difference that shrinks with h, a smooth law one that shrinks with h^2
        assert gaps[1] < max(0.35 * gaps[0], 2e-3), (k, gaps)


@unhurried
@given(p1=st.floats(1e5, 3.5e5), p2=st.floats(7e5, 14e5), w=st.floats(0.0, 0.9))
def test_a_worn_machine_never_becomes_more_efficient(p1: float, p2: float, w: float) -> None:
    """Gas delivered per watt on the shaft falls with every kind of wear."""

    def per_watt(leak: float, pumping: float) -> float:
        r = dry(p1, 300.0, p2, 345.0, FULL_SPEED, worn(leak, pumping))
        return r[FLOW] / (r[GAS_POWER] + r[FRICTION])

    more = min(w + 0.05, 0.94)
    assert per_watt(more * 0.5e-6, 0.0) < per_watt(w * 0.5e-6, 0.0)
    assert per_watt(0.0, more) < per_watt(0.0, w)
    assert per_watt(more * 0.2e-6, more * 0.4) < per_watt(w * 0.2e-6, w * 0.4)


def test_a_leaking_discharge_valve_costs_flow_and_no_power() -> None:
    new = dry(2.3e5, 300.0, 9.5e5, 345.0, FULL_SPEED)
    leaking = dry(2.3e5, 300.0, 9.5e5, 345.0, FULL_SPEED, worn(0.2e-6, 0.0))
    assert leaking[FLOW] < 0.8 * new[FLOW]
    assert leaking[GAS_POWER] == pytest.approx(new[GAS_POWER], rel=0.01)
    # so the gas that does leave is hotter
    assert leaking[GAS_POWER] / leaking[FLOW] > 1.2 * new[GAS_POWER] / new[FLOW]


def test_worn_pumping_costs_power_but_less_than_flow() -> None:
    new = dry(2.3e5, 300.0, 9.5e5, 345.0, FULL_SPEED)
    tired = dry(2.3e5, 300.0, 9.5e5, 345.0, FULL_SPEED, worn(0.0, 0.25))
    assert tired[FLOW] / new[FLOW] == pytest.approx(0.75, abs=0.01)
    assert 0.75 < tired[GAS_POWER] / new[GAS_POWER] < 0.9


def test_liquid_enters_only_as_foam_until_the_level_reaches_the_intake() -> None:
    assert compressor.intake_liquid(ROW, 1.0) == 0.0
    assert compressor.intake_liquid(ROW, 0.9) == pytest.approx(0.1 * BENCH.entrained_share)
    assert compressor.intake_liquid(ROW, 0.2) > 0.7
    assert compressor.intake_liquid(ROW, 0.0) == pytest.approx(1.0)


def test_a_drowned_intake_draws_a_slug_that_stalls_the_motor() -> None:
    slug = wet(0.0, 268.0, 9e5, FULL_SPEED)
    assert slug[LIQUID] > 0.95 * slug[FLOW]
    # no faster than suction pressure drives liquid through the valve
    port = BENCH.suction_valve_area_m2 * compressor.SUCTION_SHARE
    assert 0.01 < slug[FLOW] < port * sqrt(2.0 * 1300.0 * 2.4e5)
    breakdown = max(
        motor.motor_state(motor.row(MOTOR), 120.0, 60.0, w, 340.0, 0)[0] for w in range(100, 377)
    )
    assert slug[TORQUE] > breakdown


def test_flow_rises_without_a_jump_as_the_shell_fills_with_liquid() -> None:
    flows = np.array([wet(v, 268.0, 9e5, FULL_SPEED)[FLOW] for v in np.linspace(1.0, 0.0, 401)])
    steps = np.diff(flows)
    assert steps.min() > -1e-4
    assert steps.max() < 0.03 * flows.max()


def test_what_leaves_the_shell_carries_the_enthalpy_of_what_is_drawn() -> None:
    h_gas = PropsSI("H", "T", 268.0, "Q", 1, "R134a")
    shift = PropsSI("H", "T", 273.15, "Q", 0, "R134a") - 200e3
    assert wet(1.0, 268.0, 9e5, FULL_SPEED)[H_IN] == pytest.approx(h_gas - shift, abs=200.0)
    h_liquid = PropsSI("H", "T", 268.0, "Q", 0, "R134a")
    assert wet(0.0, 268.0, 9e5, FULL_SPEED)[H_IN] == pytest.approx(h_liquid - shift, abs=300.0)


def test_at_rest_gas_creeps_back_through_the_valves_and_stops_when_the_machine_turns() -> None:
    rho2 = gas(9e5, 330.0)[0]
    resting = compressor.rest_leak(ROW, NEW, 2e5, 9e5, rho2, 0.0)
    assert 0.0 < resting < 1e-4
    assert compressor.rest_leak(ROW, NEW, 2e5, 9e5, rho2, FULL_SPEED) < 1e-9 * resting
    assert compressor.rest_leak(ROW, NEW, 5e5, 5e5, rho2, 0.0) == 0.0
    assert compressor.rest_leak(ROW, worn(0.2e-6, 0.0), 2e5, 9e5, rho2, 0.0) > 3.0 * resting


def test_a_pumped_down_plant_takes_hours_to_equalise_through_a_sound_compressor() -> None:
    """common practice: tens of minutes to hours."""
    # 1.5 litres of suction side from 1.3 to 5 bar abs need about 25 g
    needed = 1.5e-3 * (gas(5e5, 296.0)[0] - gas(1.3e5, 296.0)[0])
    rate = compressor.rest_leak(ROW, NEW, 1.3e5, 9e5, gas(9e5, 320.0)[0], 0.0)
    assert 1800.0 < needed / rate < 6 * 3600.0


def run_up(p1: float, p2: float, winding: float, seconds: float) -> tuple[float, float, float]:
    """Speed at the end (rad/s), time at which the relay opened (s, inf if never), time of the overload's opening (s)."""
    drive = motor.row(MOTOR)
    omega, time, held, start, dt = 0.0, 0.0, 0.0, 0, 2e-4
    bimetal = shell = 326.0
    released = tripped = float("inf")
    while time < seconds and tripped == float("inf"):
        load = dry(p1, 300.0, p2, 310.0, omega)[TORQUE]
        torque, amps, _, losses, run = motor.motor_state(drive, 120.0, 60.0, omega, winding, start)
        # implicit in the creep law, which is stiff at rest
        stiff = load / max(omega, compressor.CREEP_RAD_S) / MOTOR.rotor_inertia_kg_m2
        omega += dt * motor.acceleration(drive, torque, load) / (1.0 + dt * stiff)
        bimetal += dt * motor.overload_rate(drive, amps, bimetal, shell)
        winding += dt * losses / MOTOR.winding_heat_capacity_j_k
        wanted = int(run > (MOTOR.relay_drop_out_a if start else MOTOR.relay_pull_in_a))
        held = held + dt if wanted != start else 0.0
        time += dt
        if held >= MOTOR.relay_delay_s:
            start, held = wanted, 0.0
            released = time if not start else released
        if bimetal > MOTOR.overload_open_k:
            tripped = time
    return omega, released, tripped


def test_from_equal_pressures_it_is_at_speed_within_three_tenths_of_a_second() -> None:
    omega, released, _ = run_up(6.3e5, 6.3e5, 296.0, 0.3)
    assert omega > 0.92 * 377.0
    assert 0.05 < released < 0.25


def test_against_pressure_it_stalls_until_the_overload_opens() -> None:
    """common practice: a restart against 11/2 bar g hums and trips; electrical practice has 3 to 20 s for it."""
    omega, released, tripped = run_up(3.0e5, 12.0e5, 340.0, 20.0)
    assert omega < 5.0
    assert released == float("inf")
    assert 5.0 < tripped < 15.0


def test_the_peak_of_the_first_stroke_is_gone_at_speed() -> None:
    fade = exp(-((FULL_SPEED / BENCH.carry_over_speed_rad_s) ** 2))
    assert fade < 1e-13
    slow, fast = (dry(3e5, 300.0, 12e5, 330.0, w)[TORQUE] for w in (10.0, FULL_SPEED))
    assert slow > 3.0 * fast


def test_parameters_outside_the_range_are_named() -> None:
    bad = ReciprocatingCompressor(**{**FILE["compressor"], "clearance": 0.3})
    assert [name for name, _ in bad.check()] == ["clearance"]
    assert BENCH.check() == []


def test_clearance_law_vanishes_at_its_own_limit() -> None:
    limit = (1.0 + 1.0 / 0.03) ** 1.08
    assert log(limit) == pytest.approx(1.08 * log(1.0 + 1.0 / 0.03))
    assert compressor.clearance_efficiency(0.03, limit, 1.08) == pytest.approx(0.0, abs=1e-12)

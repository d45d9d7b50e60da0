"""A fan's motor with a run capacitor: its equations against those of the compressor's motor and a textbook's limits, and what a weak capacitor does to a bench."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import pi

import numpy as np
import pytest

from sim import Bench
from sim.cautions import all_cautions
from sim.probing import Probing
from sim.supply_wired import WiredSupply
from sim.wiring import Circuit, State, windings
from sim.wiring.fan_motor import WARM_K, CapacitorFan, Phasors
from tests.sim.wiring.states import circuit, locked, running

[FAN] = circuit("120v-extended").wiring.capacitor_fans
NOTHING = np.zeros((2, 2), dtype=complex)
UNITS = 1e6


def torque_nm(fan: CapacitorFan, hertz: float, speed: float, amps: Phasors) -> float:
    """By the compressor's motor's equations, which are held to published machines."""
    return windings.torque(fan.row, hertz, speed, WARM_K, complex(amps[0]), complex(amps[1]))


def drive(bench: Bench) -> tuple[float, float]:
    """(share of full air, watts) of the fan of coil A."""
    found = bench.supply.fan("FAN-A")
    return (found.share if found.speed else 0.0), found.watts


def shaft_w(bench: Bench) -> float:
    """Torque of its windings times its speed."""
    supply = bench.supply
    assert isinstance(supply, WiredSupply)
    state = supply.state
    amps = supply.circuit.fan_flow(state, "FAN-A", supply.port.basis @ supply._now)[1]
    return torque_nm(FAN, state.hertz, state.fan_rad_s["FAN-A"], amps) * state.fan_rad_s["FAN-A"]


def weak(bench: Bench, left: float) -> Bench:
    """With so much of its capacitance left."""
    bench.insert_fault("fan-capacitor-weak", (1.0 - left) / 0.95)
    return bench


# --- the motor ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("speed", [0.0, 60.0, 120.0, 162.3, 188.0])
def test_many_speeds_at_once_give_what_the_motors_equations_give_one_by_one(speed: float) -> None:
    volts = np.array([110.0 - 8.0j, 140.0 + 75.0j])
    behind = np.array([[3.0 + 2.0j, 1.0], [1.0 - 0.5j, 4.0 - 900.0j]])
    amps = np.linalg.solve(FAN.impedance(57.0, speed) + behind, volts)
    [found] = FAN.torques(57.0, np.array([speed]), volts, behind)
    assert found == pytest.approx(torque_nm(FAN, 57.0, speed, amps), rel=1e-9)


def test_two_equal_windings_a_quarter_period_apart_make_a_field_without_a_counterpart() -> None:
    """Balanced two-phase: the backward field vanishes, and torque x synchronous speed = 2 I^2 Re Z_forward (any text on two-phase machines)."""
    even = replace(FAN, turns_ratio=1.0, auxiliary_ohm=FAN.main_ohm)
    speed, volts = 150.0, np.array([100.0, 100.0j])
    amps = even.admittance(60.0, speed) @ volts
    assert amps[1] == pytest.approx(1j * amps[0])
    slip = 1.0 - speed / even.synchronous(60.0)
    rotor, leakage, iron = even.rotor_ohm * (225.0 + 70.0) / 245.0, 90.0j, 900.0j
    forward = iron * (rotor + 1j * slip * 90.0) / (rotor + slip * (leakage + iron))
    expected = 2.0 * abs(amps[0]) ** 2 * forward.real / even.synchronous(60.0)
    assert torque_nm(even, 60.0, speed, amps) == pytest.approx(expected, rel=1e-9)


def test_one_winding_alone_does_not_start_but_drives_what_turns() -> None:
    """A single-phase winding has no torque at standstill (double revolving field; any text)."""
    volts, behind = np.array([120.0, 0.0]), NOTHING.copy()
    behind[1, 1] = 1e12
    standing, turning = FAN.torques(60.0, np.array([0.0, 120.0]), volts.astype(complex), behind)
    assert standing == pytest.approx(0.0, abs=1e-12)
    assert turning > 0.2 * FAN.rated_nm


def test_on_its_plate_it_turns_as_its_plate_says() -> None:
    """Small axial fans with a run capacitor give back 40 to 60 % of some 15 W (common practice)."""
    whole = FAN.impedance(60.0, FAN.rated_rad_s)
    whole[1, 1] += 1.0 / (2j * pi * 60.0 * FAN.run_farad)
    amps = np.linalg.solve(whole, np.full(2, 120.0))
    taken = 120.0 * float(amps.sum().real)
    assert 0.4 < FAN.rated_nm * FAN.rated_rad_s / taken < 0.6
    assert 0.6 < FAN.low_rad_s / FAN.rated_rad_s < 0.85


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"rpm": 1800.0}, "rpm"),
        ({"poles": 3.0}, "poles"),
        ({"rotor_ohm": 10.0}, "run_farad"),
        ({"tap_reactance_ohm": 9e3}, "tap_reactance_ohm"),
        ({"main_ohm": 1.0}, "main_ohm"),
    ],
)
def test_a_motor_that_could_not_work_is_refused(change: dict[str, float], field: str) -> None:
    assert field in [key for key, _ in replace(FAN, **change).check()]  # type: ignore[arg-type]


# --- in the circuit ----------------------------------------------------------------------------------


@pytest.mark.parametrize("speed", [0.0, 100.0, 160.0])
@pytest.mark.parametrize("farad", [1.0, 0.2])
def test_what_the_supply_gives_is_what_everything_takes(speed: float, farad: float) -> None:
    c = circuit("120v-extended")
    state = c.rest()
    for switch, position in (("HS-1", "on"), ("HS-2", "low"), ("HS-3", "high")):
        c.turn(state, switch, position)
    state.fan_turning["FAN-B"], state.fan_rad_s["FAN-A"] = True, speed
    c.apply_factor(state, "C2.farad", farad)
    solution = c.solve(state)
    assert solution.taken_va() == pytest.approx(solution.source_va, rel=1e-9)
    _, amps = c.fan_flow(state, "FAN-A", solution.node_v)
    assert abs(solution.amps("FAN-A")) == pytest.approx(abs(amps[0]), rel=1e-6)
    assert abs(solution.amps("W65")) == pytest.approx(abs(amps[1]), rel=1e-3)


@pytest.mark.parametrize("begin", [Circuit.rest, running, locked], ids=["off", "running", "locked"])
def test_what_the_rest_of_the_circuit_offers_foretells_what_flows(begin: Callable[[Circuit], State]) -> None:  # fmt: skip
    """Thevenin: open voltages and the matrix behind them, measured without the fan, give its currents with it."""
    c = circuit("120v-extended")
    state = begin(c)
    for switch, position in (("HS-1", "on"), ("HS-3", "low")):
        c.turn(state, switch, position)
    state.fan_rad_s["FAN-A"] = 110.0
    open_v, behind = c.without(state, "FAN-A").seen_from(c.fan_ends["FAN-A"])
    foretold = np.linalg.solve(FAN.impedance(60.0, 110.0) + behind, open_v)
    assert foretold == pytest.approx(c.fan_flow(state, "FAN-A", c.solve(state).node_v)[1], rel=1e-6)


# --- on a bench --------------------------------------------------------------------------------------


def test_the_less_capacitance_the_slower_the_fan_and_the_hotter_for_its_work(extended: Callable[[], Bench]) -> None:  # fmt: skip
    """A weak run capacitor slows a fan to half to four fifths of its speed, and its motor runs hot (common practice)."""
    benches = [weak(extended(), left) for left in (1.0, 0.8, 0.5, 0.2, 0.05)]
    shares = [drive(one)[0] for one in benches]
    losses = [drive(one)[1] - shaft_w(one) for one in benches]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] == pytest.approx(1.0, abs=0.01)
    assert 0.5 < shares[-1] < 0.8
    assert losses[-1] > 1.5 * losses[0]
    assert 0.5 < shares[3] / shares[0] < 0.85


def test_air_follows_the_shaft_and_pressure_the_air(extended: Callable[[], Bench]) -> None:
    sound, bad = extended(), weak(extended(), 0.05)
    for bench in (sound, bad):
        bench.advance(600.0)
    one, other = sound.readings(), bad.readings()
    air = float(other["condenser_air_flow_kg_s"]) / float(one["condenser_air_flow_kg_s"])
    assert air == pytest.approx(drive(bad)[0] / drive(sound)[0], rel=0.02)
    assert float(other["discharge_pressure_pa"]) > float(one["discharge_pressure_pa"]) + 0.3e5
    assert float(other["condenser_air_out_k"]) - float(other["condenser_air_in_k"]) > 1.15 * (float(one["condenser_air_out_k"]) - float(one["condenser_air_in_k"]))  # fmt: skip


def test_with_hardly_any_left_it_runs_on_but_does_not_start_again(extended: Callable[[], Bench]) -> None:  # fmt: skip
    bench = weak(extended(), 0.05)
    assert drive(bench)[0] > 0.5
    bench.set("HS-3", "off")
    bench.advance(10.0)
    assert drive(bench)[0] == 0.0
    assert drive(bench)[1] < 0.01
    bench.set("HS-3", "high")
    share, watts = drive(bench)
    assert share == 0.0
    assert watts > 15.0
    hums = [sign.what for spot in bench.senses().spots if spot.place == "FAN-A" for sign in spot.signs]  # fmt: skip
    assert "hums" in hums
    bench.remove_fault("fan-capacitor-weak")
    assert drive(bench)[0] == pytest.approx(1.0, abs=0.01)


def test_the_meter_finds_it_isolated_discharged_and_with_a_lead_off(extended: Callable[[], Bench]) -> None:  # fmt: skip
    bench = weak(extended(), 0.4)
    live = bench.measure(Probing(mode="farads", between=("C2.1", "C2.2")))
    assert live.refusal == "LIVE"
    for tag, value in (("HS-3", "off"), ("HS-4", "off"), ("HS-1", "off"), ("HS-1.lock", "locked"), ("C2.discharge", 1.0), ("W65", "lifted")):  # fmt: skip
        bench.set(tag, value)
        bench.advance(1.0)
    found = bench.measure(Probing(mode="farads", between=("C2.1", "C2.2")))
    assert found.value * UNITS == pytest.approx(0.4 * 1.5, rel=0.05)


def test_both_windings_measure_in_ohms_what_their_copper_has(extended: Callable[[], Bench]) -> None:
    """1-3, 4-3, and 1-4 in series of both, as one tells the terminals of such a motor apart (common practice)."""
    bench = extended()
    for tag, value in (("HS-4", "off"), ("HS-3", "off"), ("HS-1", "off"), ("W65", "lifted")):
        bench.set(tag, value)
        bench.advance(2.0)
    main, auxiliary, both = (bench.measure(Probing(mode="ohms", between=pair)).value for pair in (("FAN-A.1", "FAN-A.3"), ("FAN-A.4", "FAN-A.3"), ("FAN-A.1", "FAN-A.4")))  # fmt: skip
    assert both == pytest.approx(main + auxiliary, rel=0.02)
    assert auxiliary > main


def test_an_open_capacitor_lead_and_a_spent_capacitor_look_the_same_to_the_fan(extended: Callable[[], Bench]) -> None:  # fmt: skip
    lifted = extended()
    lifted.set("W65", "lifted")
    assert drive(lifted)[0] == pytest.approx(drive(weak(extended(), 0.05))[0], abs=0.1)


def test_held_fast_it_stands_and_hums(extended: Callable[[], Bench]) -> None:
    bench = extended()
    bench.insert_fault("fan-shaft-held")
    share, watts = drive(bench)
    assert share == 0.0
    assert watts > 15.0


def test_fork_and_save_keep_a_fan_that_runs_on(extended: Callable[[], Bench]) -> None:
    bench = weak(extended(), 0.05)
    twins = (bench, bench.fork(), bench.unpacked(bench.packed()))
    for one in twins:
        one.advance(30.0)
        one.set("HS-2", "high")
        one.advance(30.0)
    assert all(one.readings() == bench.readings() for one in twins)
    assert drive(bench)[0] > 0.5


def test_its_cautions_are_the_catalogues() -> None:
    assert set(FAN.HAZARDS) <= set(all_cautions())

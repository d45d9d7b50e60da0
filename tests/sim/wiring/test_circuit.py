"""The circuit as a solver: it balances, it is the same circuit from wherever one looks, and it is quick enough to ask often."""

from __future__ import annotations

import random
from math import pi

import numpy as np
import pytest

from sim.errors import InputError
from sim.parts.motor import motor_state
from sim.wiring import Circuit, State, windings
from sim.wiring.state import FAULT_KINDS
from tests.sim.wiring.states import (  # fmt: skip
    NAMES,
    called,
    circuit,
    locked,
    panel_on,
    running,
    states,
    synchronous,
)

BALANCE = 1e-9
LEAST_VA = 1000.0
"""What the bench takes at full load. With the neutral open or the plug out next to nothing flows while rails float at line voltage, and the rounding
of 230 V across five milliohm joints is some 1e-7 VA: a share of nothing would say nothing."""


def balances(c: Circuit, state: State) -> bool:
    """Does what the supply gives equal what everything takes?"""
    solution = c.solve(state)
    given = solution.source_va
    return abs(given - solution.taken_va()) <= BALANCE * max(abs(given), LEAST_VA)


@pytest.mark.parametrize("name", NAMES)
def test_what_the_supply_gives_is_what_everything_takes(name: str) -> None:
    c = circuit(name)
    for title, state in states(c):
        assert balances(c, state), title


def at_random(c: Circuit, dice: random.Random) -> State:
    """Any position of anything, up to three faults, up to two bridges."""
    state = c.rest()
    state.closed = {contact: dice.random() < 0.7 for contact in c.contacts}
    state.seated = {coil: dice.random() < 0.5 for coil in c.coils}
    state.fan_turning = {fan: dice.random() < 0.5 for fan in c.fans}
    state.supply_v *= dice.uniform(0.4, 1.15)
    state.hertz = dice.uniform(45.0, 65.0)
    state.speed_rad_s = dice.uniform(-0.3, 1.05) * synchronous(c)
    state.main_k, state.start_k = dice.uniform(250.0, 450.0), dice.uniform(250.0, 600.0)
    for _ in range(dice.randrange(4)):
        branch = dice.choice([b for b in c.branches if b.faultable])
        kinds = FAULT_KINDS if branch.role == "contact" else FAULT_KINDS[:3]
        c.apply_fault(state, branch.name, dice.choice(kinds), 10 ** dice.uniform(-2.0, 4.0))
    for _ in range(dice.randrange(3)):
        a, b = dice.sample(c.terminals, 2)
        c.apply_bridge(state, a, b, 10 ** dice.uniform(-2.0, 5.0))
    state.factor = {"C1.farad": dice.uniform(0.05, 2.0), "E1.ohm": dice.uniform(1.0, 50.0)}
    return state


@pytest.mark.parametrize("count", [100, pytest.param(3000, marks=pytest.mark.full)])
def test_any_state_at_all_solves_and_balances(count: int, seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(count):
        c = circuit(dice.choice(NAMES))
        state = at_random(c, dice)
        assert balances(c, state), state


@pytest.mark.parametrize("name", NAMES)
def test_the_port_is_the_whole_circuit_with_the_motor_taken_off(name: str) -> None:
    """The same states solved in one piece, the motor's admittance stamped into the nodal matrix: every node agrees."""
    c = circuit(name)
    for title, state in states(c):
        matrix = c.matrix(state, c.admittances(state))
        motor = np.linalg.inv(
            windings.impedance(c.row, state.hertz, state.speed_rad_s, state.main_k, state.start_k)
        )
        ends = np.zeros((2, len(c.node)))
        for row, (inner, pin) in zip(ends, (c.main_ends, c.start_ends), strict=True):
            row[inner], row[pin] = 1.0, -1.0
        whole = matrix + (ends.T @ motor @ ends)[1:, 1:]
        drive = np.zeros(len(c.node), dtype=complex)
        amps = state.supply_v / c.supply_impedance(state)
        drive[c.node["SUPPLY.L"]], drive[c.node["SUPPLY.N"]] = amps, -amps
        volts = np.concatenate(([0.0], np.linalg.solve(whole, drive[1:])))
        apart = np.abs(volts - c.solve(state).node_v)
        assert apart.max() < (1e-6 if state.closed["X1.earth"] else 1e-3), title


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("relay_in", [False, True])
def test_one_port_serves_every_speed(name: str, relay_in: bool) -> None:
    """A port taken at standstill, with the currents of a full solve at another speed, gives that solve's every sensed phasor."""
    c = circuit(name)
    state = called(c)
    c.seat(state, "K2", relay_in)
    port = c.port(state)
    names = [f"amps:{branch.name}" for branch in c.branches]
    names += [f"volts:{terminal}:PE.1" for terminal in c.terminals]
    names += [f"magnet:{coil}" for coil in c.coils] + [f"fan:{fan}" for fan in c.fans]
    names += ["residual:F3"]
    rows = port.affine(names)
    for share in (0.0, 0.3, 0.75, 0.96, 1.0):
        state.speed_rad_s = share * synchronous(c)
        state.main_k = 293.15 + 80.0 * share
        full = c.solve(state)
        sensed = rows @ np.array((1.0, full.main_a, full.start_a))
        expected = np.array(
            [full.amps(b.name) for b in c.branches]
            + [full.volts(t, "PE.1") for t in c.terminals]
            + [full.sensed(n) for n in names[len(c.branches) + len(c.terminals) :]]
        )
        assert np.abs(sensed - expected).max() < 1e-9
        across = port.open_v - port.impedance @ np.array((full.main_a, full.start_a))
        assert abs(across[0] - full.volts("M1.C", "M1.R")) < 0.02  # the joint's milliohm is between


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize(("share", "relay_in"), [(0.0, 0), (0.0, 1), (0.6, 1), (0.8, 1), (0.8, 0), (0.97, 0)])  # fmt: skip
def test_circuit_and_plant_have_the_same_motor(name: str, share: float, relay_in: int) -> None:
    """The plant's closed form at the voltage that the circuit finds on the motor's line, 0.5 %: three wires and four joints are not in it."""
    c = circuit(name)
    state = running(c, share)
    c.seat(state, "K2", bool(relay_in))
    solution = c.solve(state)
    volts = abs(solution.volts("F1.1", "K2.L"))
    torque, amps, power, _, run = motor_state(c.row, volts, state.hertz, state.speed_rad_s, 350.0, relay_in)  # fmt: skip
    line = solution.amps("F1")
    assert abs(line) == pytest.approx(amps, rel=0.005)
    assert abs(solution.sensed("magnet:K2")) == pytest.approx(run, rel=0.005)
    assert solution.torque_nm == pytest.approx(torque, rel=0.01, abs=0.003)
    taken = (solution.volts("F1.1", "K2.L") * line.conjugate()).real
    assert taken == pytest.approx(power, rel=0.005)


@pytest.mark.parametrize("name", NAMES)
def test_the_windings_watts_are_shaft_power_copper_and_cage(name: str) -> None:
    """Power into the windings less copper is what crosses the gap; forward and backward field each lose their slip in the cage."""
    c = circuit(name)
    for share in (0.0, 0.5, 0.96):
        state = locked(c)
        state.speed_rad_s = share * synchronous(c)
        solution = c.solve(state)
        main, start = windings.resistances(c.row, state.main_k, state.start_k)
        copper = abs(solution.main_a) ** 2 * main + abs(solution.start_a) ** 2 * start
        forward, backward = windings.fields(c.row, state.hertz, state.speed_rad_s, state.main_k)
        turned = 1j * c.wiring.motor.turns_ratio * solution.start_a
        gap = [0.5 * abs(solution.main_a - sign * turned) ** 2 * field.real for sign, field in ((1, forward), (-1, backward))]  # fmt: skip
        cage = (1.0 - share) * gap[0] + (1.0 + share) * gap[1]
        shaft = solution.torque_nm * state.speed_rad_s
        assert solution.motor_va.real == pytest.approx(shaft + copper + cage, rel=1e-9)


def two_axes(c: Circuit, volts: tuple[complex, complex], share: float) -> tuple[complex, complex, float]:  # fmt: skip
    """Main and start current and mean torque from the machine's flux linkages on two fixed axes, cage currents solved for.

    Source: P. C. Krause and others, Analysis of Electric Machinery, unsymmetrical two-phase machine, stationary axes; per-phase values of the
    main axis are twice those of one revolving field, which is where this and the double revolving field are made differently.
    """
    m = c.wiring.motor
    own, a = 1j * (m.rotor_reactance_ohm + m.magnetising_reactance_ohm), m.turns_ratio
    xm = m.magnetising_reactance_ohm
    jxm, r2 = 1j * xm, m.rotor_resistance_ohm
    x22 = m.rotor_reactance_ohm + xm
    main = m.main_resistance_ohm + 1j * m.main_reactance_ohm + jxm
    start = m.start_resistance_ohm + 1j * m.start_reactance_ohm + a * a * jxm
    equations = np.array(
        [
            [main, 0, jxm, 0],
            [0, start, 0, a * jxm],
            [jxm, -share * a * xm, r2 + own, -share * x22],
            [share * xm, a * jxm, share * x22, r2 + own],
        ]
    )
    i_m, i_a, q, d = np.linalg.solve(equations, np.array([*volts, 0, 0]))
    poles, omega = m.poles, 2.0 * pi * m.rated_frequency_hz
    torque = poles / 2 * xm / omega * ((i_m.conjugate() * d).real - (a * i_a.conjugate() * q).real)
    return complex(i_m), complex(i_a), float(torque)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("share", [0.0, 0.4, 0.8, 0.97])
def test_two_revolving_fields_are_the_machine_on_two_fixed_axes(name: str, share: float) -> None:
    c = circuit(name)
    volts = (120.0 + 0j, 130.0 * np.exp(1.2j))
    hertz = c.wiring.supply.frequency_hz
    i_m, i_a, torque = two_axes(c, volts, share)
    speed = share * synchronous(c)
    ours = np.linalg.solve(windings.impedance(c.row, hertz, speed, 293.15, 293.15), np.array(volts))
    assert np.abs(ours - np.array((i_m, i_a))).max() < 1e-9
    made = windings.torque(c.row, hertz, speed, 293.15, complex(ours[0]), complex(ours[1]))
    assert made == pytest.approx(torque, rel=1e-9)


def test_a_state_is_left_as_it_was_by_a_solve() -> None:
    c = circuit("120v")
    state = running(c)
    before = state.copy()
    c.solve(state)
    assert state == before


def test_a_copy_of_a_state_lives_its_own_life() -> None:
    c = circuit("120v")
    state = panel_on(c)
    other = state.copy()
    c.turn(other, "HS-4", "on")
    c.apply_fault(other, "F1", "open")
    c.apply_bridge(other, "L.1", "N.1", 1.0)
    assert not state.closed["HS-4.line"]
    assert not state.faults
    assert not state.bridges


@pytest.mark.parametrize("share", [0.0, 0.97])
def test_what_a_meter_sees_behind_two_terminals_is_open_voltage_over_short_circuit_current(
    share: float,
) -> None:
    """Helmholtz and Thevenin: bridge the two terminals by next to nothing and by a load, with the motor answering."""
    c = circuit("120v")
    for a, b in (("K1.A1", "K1.A2"), ("M1.C", "M1.R"), ("M1.S", "M1.R"), ("PSL-1.1", "PE.1")):
        state = running(c, share)
        plain = c.solve(state)
        ohm = 3.0 * abs(plain.source_impedance(a, b))
        c.apply_bridge(state, a, b, ohm)
        loaded = c.solve(state)
        expected = plain.volts(a, b) / (1.0 + plain.source_impedance(a, b) / ohm)
        assert loaded.volts(a, b) == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_faults_that_cannot_be_are_refused_with_a_reason() -> None:
    c = circuit("120v")
    state = c.rest()
    for refused in (
        lambda: c.apply_fault(state, "W999", "open"),
        lambda: c.apply_fault(state, "M1.core", "open"),
        lambda: c.apply_fault(state, "W1", "stuck-closed"),
        lambda: c.apply_fault(state, "W1", "series"),
        lambda: c.apply_fault(state, "W1", "series", 0.0),
        lambda: c.apply_fault(state, "W1", "loose"),  # type: ignore[arg-type]
        lambda: c.apply_bridge(state, "L.1", "L.1", 1.0),
        lambda: c.apply_bridge(state, "L.1", "N.1", 0.0),
        lambda: c.apply_bridge(state, "L.1", "Q.1", 1.0),
        lambda: c.apply_factor(state, "K1.coil.farad", 0.5),
        lambda: c.apply_factor(state, "C1.farad", -1.0),
        lambda: c.port(state).affine(["ohms:L.1:N.1"]),
    ):
        with pytest.raises(InputError):
            refused()
    assert state == c.rest()


def test_a_mended_branch_and_a_bridge_taken_away_leave_no_trace() -> None:
    c = circuit("120v")
    state = running(c)
    c.apply_fault(state, "F1", "series", 3.0)
    c.apply_bridge(state, "L.1", "PE.1", 100.0)
    c.clear_fault(state, "F1")
    c.clear_bridge(state, "PE.1", "L.1")
    assert state == running(c)

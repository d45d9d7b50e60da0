"""Textbook machines put into the bench's circuit in place of its own motor.

The books' circuits have no wires, so currents are brought to the book's voltage by the ratio of what stands at the windings: the circuit is linear.
Core loss and windage are taken from the shaft, as both books do.
"""

from __future__ import annotations

import cmath
from dataclasses import replace
from math import pi, radians

import pytest

from sim.wiring import Circuit, State
from sim.wiring.loads import ShadedPoleFan
from sim.wiring.machine import HermeticMotor
from sim.wiring.multimeter import clamped
from tests.sim.wiring.states import circuit, running, wire

BOOK_K = 293.15  # resistances are used as printed


def book_machine(volts: float, **ohms: float) -> tuple[Circuit, State]:
    """The 120 V bench with a four-pole machine from a book, at slip 0.05, its start circuit out."""
    wiring = circuit("120v").wiring
    rated = replace(wiring.motor, rated_voltage_v=volts, poles=4, core_loss_w=0.0, **ohms)  # type: ignore[arg-type]
    devices = tuple(replace(d, rated=rated) if isinstance(d, HermeticMotor) else d for d in wiring.devices)  # fmt: skip
    made = Circuit(replace(wiring, devices=devices))
    state = running(made)
    state.main_k = state.start_k = BOOK_K
    state.speed_rad_s = 0.95 * 4.0 * pi * 60.0 / 4
    return made, state


def at_the_books_voltage(made: Circuit, state: State, volts: float) -> dict[str, float]:
    """What the book prints, at its voltage."""
    solution = made.solve(state)
    there = solution.volts("M1.C", "M1.R")
    ratio = volts / abs(there)
    power = (there * solution.main_a.conjugate()).real * ratio**2
    amps = abs(solution.main_a) * ratio
    torque = solution.torque_nm * ratio**2
    return {
        "I": amps,
        "pf": power / (volts * amps),
        "Pin": power,
        "Pag": torque * 4.0 * pi * 60.0 / 4,
        "Tind": torque,
        "Pconv": torque * state.speed_rad_s,
        "speed": state.speed_rad_s,
    }


# S. J. Chapman, Electric Machinery Fundamentals, 5th ed., problem 9-1: 120 V, 1/4 hp, 60 Hz, four poles, slip 0.05, rotational losses 51 W. Answers as
# read in a worked solution, of which the last digits are partly from memory.
def test_chapmans_quarter_horsepower_machine_in_our_circuit_does_what_the_book_prints() -> None:
    made, state = book_machine(
        120.0,
        main_resistance_ohm=2.0,
        main_reactance_ohm=2.56,
        rotor_resistance_ohm=2.8,
        rotor_reactance_ohm=2.56,
        magnetising_reactance_ohm=60.5,
    )
    found = at_the_books_voltage(made, state, 120.0)
    printed = {"I": 4.862, "pf": 0.692, "Pin": 403.5, "Pag": 325.0, "Tind": 1.72}
    for quantity, value in printed.items():
        assert found[quantity] == pytest.approx(value, rel=0.005), quantity
    out = found["Pconv"] - 51.0
    assert out == pytest.approx(258.0, rel=0.005)
    assert out / found["speed"] == pytest.approx(1.44, rel=0.005)
    assert out / found["Pin"] == pytest.approx(0.639, rel=0.005)


# A. E. Fitzgerald, C. Kingsley, S. D. Umans, Electric Machinery, 6th ed., example 9.2: 110 V, 1/4 hp, 60 Hz, four poles, slip 0.05, core loss 24 W and
# friction and windage 13 W. Answers from memory.
def test_fitzgeralds_quarter_horsepower_machine_in_our_circuit_does_what_the_book_prints() -> None:
    made, state = book_machine(
        110.0,
        main_resistance_ohm=2.02,
        main_reactance_ohm=2.79,
        rotor_resistance_ohm=4.12,
        rotor_reactance_ohm=2.12,
        magnetising_reactance_ohm=66.8,
    )
    found = at_the_books_voltage(made, state, 110.0)
    out = found["Pconv"] - 37.0
    assert found["I"] == pytest.approx(3.6, rel=0.01)
    assert found["pf"] == pytest.approx(0.62, rel=0.01)
    assert out == pytest.approx(147.0, rel=0.01)
    assert out / found["Pin"] == pytest.approx(0.60, rel=0.02)


# I. L. Kosow, Electric Machinery and Transformers: start winding 4 A at 15 degrees lag, run winding 6 A at 40 degrees, 110 V; together 9.77 A at a power
# factor of 0.866, and 930.7 W. Read on a public page (an open notebook of worked examples).
def test_kosows_split_phase_motor_draws_the_phasor_sum_of_its_two_windings() -> None:
    """Both fans of the bench are rewound to the book's two windings; one clamp goes round both leads."""
    wiring = circuit("120v").wiring
    wound = {"FAN-A": cmath.rect(110.0 / 6.0, radians(40.0)), "FAN-B": cmath.rect(110.0 / 4.0, radians(15.0))}  # fmt: skip
    devices = tuple(
        replace(d, resistance_ohm=wound[d.tag].real, reactance_ohm=wound[d.tag].imag)
        if isinstance(d, ShadedPoleFan)
        else d
        for d in wiring.devices
    )
    made = Circuit(replace(wiring, devices=devices))
    state = made.rest()
    for switch, position in (("HS-1", "on"), ("HS-2", "high"), ("HS-3", "high")):
        made.turn(state, switch, position)
    state.fan_turning = dict.fromkeys(state.fan_turning, True)
    solution = made.solve(state)
    volts = solution.volts("L.1", "N.1")
    total = clamped(solution, [wire(made, "L.1", "HS-2.1"), wire(made, "L.1", "HS-3.1")])
    ratio = 110.0 / abs(volts)
    assert abs(total) * ratio == pytest.approx(9.77, rel=0.002)
    watts = (volts * total.conjugate()).real * ratio**2
    assert watts == pytest.approx(930.7, rel=0.002)
    assert watts / (110.0 * abs(total) * ratio) == pytest.approx(0.866, abs=0.002)

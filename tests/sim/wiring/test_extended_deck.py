"""The extended wiring against its own deck, read and solved by a small modified nodal analysis that shares nothing with the circuit but the text.

It stands in for a circuit simulator where no answers of one are stored: every element is stamped as SPICE defines it (Ho, Ruehli, Brennan 1975).
"""

from __future__ import annotations

from math import pi

import numpy as np
import pytest

from sim.wiring import Circuit, State, deck
from sim.wiring.spice import ammeter, node_name
from tests.sim.wiring.states import called, circuit, locked, panel_on, running

VOLTS, AMPS = 1e-4, 1e-6  # strays of gigohms hold floating parts; rounding of a text of 15 digits
GROUND = "0"


class Reader:
    """A deck as one linear system: node voltages, then the currents of v, e, h and l elements."""

    def __init__(self, text: str) -> None:
        lines = [line.split() for line in text.splitlines() if line[0] not in "*."]
        self.omega = 2.0 * pi * float(text.rpartition(".ac lin 1 ")[2].split()[0])
        names = {name for line in lines for name in (*line[1:3], *(line[3:5] if line[0][0] == "e" else ()))}  # fmt: skip
        self.at = {name: i for i, name in enumerate(sorted(names - {GROUND}))}
        carrying = [line[0] for line in lines if line[0][0] in "vehl"]
        self.at |= {name: len(self.at) + i for i, name in enumerate(carrying)}
        self.matrix = np.zeros((len(self.at), len(self.at)), dtype=complex)
        self.right = np.zeros(len(self.at), dtype=complex)
        for line in lines:
            self.stamp(*line)
        self.solved = np.linalg.solve(self.matrix, self.right)

    def add(self, row: str, column: str, value: complex) -> None:
        if GROUND not in (row, column):
            self.matrix[self.at[row], self.at[column]] += value

    def stamp(self, name: str, a: str, b: str, *rest: str) -> None:
        kind, value = name[0], float(rest[-1])
        if kind in "rc":
            y = 1.0 / value if kind == "r" else 1j * self.omega * value
            for row, column, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
                self.add(row, column, sign * y)
            return
        through = rest[0] if kind == "f" else name
        gain = value if kind == "f" else 1.0
        self.add(a, through, gain)
        self.add(b, through, -gain)
        if kind == "f":
            return
        self.add(name, a, 1.0)
        self.add(name, b, -1.0)
        if kind == "v":
            self.right[self.at[name]] = value
        elif kind == "l":
            self.add(name, name, -1j * self.omega * value)
        elif kind == "h":
            self.add(name, rest[0], -value)
        elif kind == "e":
            self.add(name, rest[0], -value)
            self.add(name, rest[1], value)

    def __getitem__(self, name: str) -> complex:
        return 0j if name == GROUND else complex(self.solved[self.at[name]])


def fan_at(state: State, speed: float) -> State:
    state.fan_rad_s["FAN-A"] = speed
    return state


def weak(c: Circuit) -> State:
    state = fan_at(running(c), 115.0)
    c.apply_factor(state, "C2.farad", 0.1)
    return state


def held(c: Circuit) -> State:
    """Stopped and called again: the timer's contact open."""
    state = fan_at(panel_on(c), 160.0)
    c.turn(state, "HS-4", "on")
    state.closed["K3.contact"] = False
    return state


def lead_off(c: Circuit) -> State:
    state = fan_at(running(c), 110.0)
    c.apply_fault(state, "W65", "open")
    return state


STATES = {
    "panel on, fan at speed": lambda c: fan_at(panel_on(c), 160.0),
    "called, fan held fast": lambda c: fan_at(called(c), 0.0),
    "locked": lambda c: fan_at(locked(c), 159.0),
    "running, capacitor weak": weak,
    "running, capacitor's lead off": lead_off,
    "held by the timer": held,
}


@pytest.mark.parametrize("title", STATES)
def test_every_voltage_and_current_is_that_of_the_deck(title: str) -> None:
    c = circuit("120v-extended")
    state = STATES[title](c)
    solution, read = c.solve(state), Reader(deck(c, state))
    for name, i in c.node.items():
        assert abs(solution.node_v[i] - read[node_name(name)]) < VOLTS, name
    for branch in c.branches:
        assert abs(solution.amps(branch.name) - read[ammeter(branch.name)]) < AMPS, branch.name


def test_the_reader_says_of_the_default_wiring_what_a_circuit_simulator_says() -> None:
    """So that it is worth something: ngspice's stored answers for two of the shared states."""
    from tests.sim.wiring import ngspice
    from tests.sim.wiring.states import states

    c, kept = circuit("120v"), ngspice.stored("120v")
    for title, state in states(c):
        if title in ("running", "locked, relay in"):
            read = Reader(deck(c, state))
            ours = np.array([read[node_name(name)] for name in c.node])
            assert np.abs(ours - kept[f"{title}|volts"]).max() < VOLTS

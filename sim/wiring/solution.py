"""What a solve gives: the port that the motor hangs on, and with the motor on it every voltage, current and watt."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from math import sqrt
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim.errors import InputError
from sim.wiring import windings
from sim.wiring.netlist import LINE, NEUTRAL
from sim.wiring.state import State

if TYPE_CHECKING:
    from sim.wiring.circuit import Circuit

Phasors = NDArray[np.complex128]


class Port:
    """The rest of the circuit seen from the two windings: v = open_v - impedance @ (I_main, I_start), currents from the inner end to the pin."""

    def __init__(
        self, circuit: Circuit, state: State, siemens: Phasors, matrix: Phasors, basis: Phasors
    ) -> None:
        self.circuit = circuit
        self.state = state
        self.siemens = siemens
        """Of every branch."""
        self.matrix = matrix
        self.basis = basis
        """Voltage of every node = basis @ (1, I_main, I_start)."""
        ends = np.array((circuit.main_ends, circuit.start_ends))
        across = basis[ends[:, 0]] - basis[ends[:, 1]]
        self.open_v: Phasors = across[:, 0]
        self.impedance: Phasors = -across[:, 1:]

    def affine(self, names: Sequence[str]) -> Phasors:
        """Row (c0, c1, c2) for every name: a sensed phasor is c0 + c1 I_main + c2 I_start.

        Names: "volts:TERMINAL:TERMINAL", "amps:BRANCH", "residual:TAG" (line less neutral current of a residual-current device), "magnet:COIL"
        (what a magnet feels: volts across its sound winding, or amps through it) and "fan:TAG" (volts across its sound winding). Raises InputError.
        """
        return np.array([self._row(name) for name in names]).reshape(len(names), 3)

    def _row(self, name: str) -> Phasors:
        word, _, rest = name.partition(":")
        reader = {
            "volts": self._volts,
            "amps": self._amps,
            "residual": self._residual,
            "magnet": self._magnet,
            "fan": self._inner_volts,
        }.get(word)
        if reader is None:
            raise InputError(f"nothing can be sensed by the name {name!r}")
        return reader(rest)

    def _volts(self, pair: str) -> Phasors:
        a, _, b = pair.partition(":")
        circuit = self.circuit
        row: Phasors = self.basis[circuit.number(a)] - self.basis[circuit.number(b)]
        return row

    def _across(self, branch: str) -> Phasors:
        there = self.circuit.branch(branch)
        return self._volts(f"{there.a}:{there.b}")

    def _amps(self, branch: str) -> Phasors:
        row: Phasors = self.siemens[self.circuit.index[branch]] * self._across(branch)
        return row

    def _residual(self, tag: str) -> Phasors:
        row: Phasors = self._amps(f"{tag}.line") + self._amps(f"{tag}.neutral")
        return row

    def _inner_volts(self, branch: str) -> Phasors:
        """Volts across the sound part of a winding: none when it is broken, less when a joint in it is bad."""
        fault = self.state.faults.get(branch)
        share = 1.0 + 0.0j
        if fault is not None and fault.kind in ("open", "series"):
            shape = self.circuit.shape(self.state, branch)
            sound = self.circuit.impedance(self.state, shape)
            share = self.siemens[self.circuit.index[branch]] * sound
        return self._across(branch) * share

    def _magnet(self, coil: str) -> Phasors:
        magnet = self.circuit.magnets[coil]
        volts = self._inner_volts(magnet.branch)
        if magnet.quantity == "volts":
            return volts
        shape = self.circuit.shape(self.state, magnet.branch)
        return volts / self.circuit.impedance(self.state, shape)

    def solve(
        self,
        speed_rad_s: float | None = None,
        main_k: float | None = None,
        start_k: float | None = None,
    ) -> Solution:
        """The motor put on the port, at the state's speed and temperatures or at others."""
        state = self.state
        speed = state.speed_rad_s if speed_rad_s is None else speed_rad_s
        main, start = main_k or state.main_k, start_k or state.start_k
        motor = windings.impedance(self.circuit.row, state.hertz, speed, main, start)
        currents = np.linalg.solve(motor + self.impedance, self.open_v).astype(np.complex128)
        return Solution(self, motor, currents, speed, main)


class Solution:
    """The circuit with its motor, solved."""

    def __init__(
        self, port: Port, motor: Phasors, currents: Phasors, speed: float, rotor_k: float
    ) -> None:
        self.port = port
        self.circuit = port.circuit
        self.motor = motor
        self.main_a, self.start_a = complex(currents[0]), complex(currents[1])
        self.speed_rad_s = speed
        self.rotor_k = rotor_k
        self.node_v: Phasors = port.basis @ np.concatenate(([1.0], currents))

    def volts(self, a: str, b: str) -> complex:
        """Voltage of terminal ``a`` over terminal ``b``."""
        return complex(self.node_v[self.circuit.number(a)] - self.node_v[self.circuit.number(b)])

    def amps(self, branch: str) -> complex:
        """Current through a branch, from its first terminal to its second; a short beside it counts."""
        there = self.circuit.branch(branch)
        return self.volts(there.a, there.b) * complex(self.port.siemens[self.circuit.index[branch]])

    def sensed(self, name: str) -> complex:
        """Any name that ``Port.affine`` knows."""
        return complex(self.port.affine([name])[0] @ (1.0, self.main_a, self.start_a))

    @cached_property
    def branch_a(self) -> Phasors:
        """Current of every branch."""
        c = self.circuit
        amps: Phasors = self.port.siemens * (self.node_v[c.a] - self.node_v[c.b])
        return amps

    @property
    def supply_a(self) -> complex:
        """Current that the supply drives out of its line terminal."""
        inner = self.port.state.supply_v - self.volts(LINE, NEUTRAL)
        return inner / self.circuit.supply_impedance(self.port.state)

    @property
    def source_va(self) -> complex:
        """Complex power of the supply's ideal source, its own impedance included."""
        return self.port.state.supply_v * self.supply_a.conjugate()

    @property
    def torque_nm(self) -> float:
        """Torque of the motor."""
        state = self.port.state
        return windings.torque(
            self.circuit.row, state.hertz, self.speed_rad_s, self.rotor_k, self.main_a, self.start_a
        )

    @property
    def motor_va(self) -> complex:
        """Complex power into the two windings."""
        currents = np.array((self.main_a, self.start_a))
        return complex((self.motor @ currents) @ currents.conj())

    def taken_va(self) -> complex:
        """Complex power taken by everything: branches, strays, bridges, supply impedance and motor. Equals ``source_va``."""
        c, state = self.circuit, self.port.state
        across = self.node_v[c.a] - self.node_v[c.b]
        total = complex(np.sum(across * self.branch_a.conj())) + self.motor_va
        for stray in c.strays:
            y = complex(stray.siemens, 2.0 * np.pi * state.hertz * stray.farad)
            total += abs(self.volts(stray.a, stray.b)) ** 2 * y.conjugate()
        for tag in state.fan_rad_s:
            volts, amps = c.fan_flow(state, tag, self.node_v)
            total += complex(volts @ amps.conj())
        for bridge in state.bridges:
            total += abs(self.volts(bridge.a, bridge.b)) ** 2 / bridge.ohm
        return total + abs(self.supply_a) ** 2 * c.supply_impedance(state)

    # --- what a meter needs ---

    @cached_property
    def _inverse(self) -> Phasors:
        n = len(self.circuit.node)
        whole = np.zeros((n, n), dtype=complex)
        whole[1:, 1:] = np.linalg.inv(self.port.matrix)
        return whole

    def source_impedance(self, a: str, b: str) -> complex:
        """What a meter between two terminals sees behind the open-circuit voltage, the motor included."""
        i, j = self.circuit.number(a), self.circuit.number(b)
        response = self._inverse[:, i] - self._inverse[:, j]
        ends = np.array((self.circuit.main_ends, self.circuit.start_ends))
        at_port = response[ends[:, 0]] - response[ends[:, 1]]
        drawn = np.linalg.solve(self.motor + self.port.impedance, at_port)
        change = response + self.port.basis[:, 1:] @ drawn
        return complex(change[i] - change[j])

    def seen_from(self, ends: Sequence[tuple[int, int]]) -> tuple[Phasors, Phasors]:
        """What several pairs of nodes offer to whatever is put on them, the motor included: open voltages, and the matrix behind them."""
        drive = np.zeros((len(self.circuit.node), len(ends)), dtype=complex)
        for column, (i, j) in enumerate(ends):
            drive[i, column] += 1.0
            drive[j, column] -= 1.0
        response = np.zeros_like(drive)
        response[1:] = np.linalg.solve(self.port.matrix, drive[1:])
        own = np.array((self.circuit.main_ends, self.circuit.start_ends))
        drawn = np.linalg.solve(self.motor + self.port.impedance, response[own[:, 0]] - response[own[:, 1]])  # fmt: skip
        change = response + self.port.basis[:, 1:] @ drawn
        rows = np.array(ends)
        return self.node_v[rows[:, 0]] - self.node_v[rows[:, 1]], change[rows[:, 0]] - change[rows[:, 1]]  # fmt: skip

    def peak_volts(self, branch: str) -> float:
        """Crest of the voltage across a branch."""
        there = self.circuit.branch(branch)
        return sqrt(2.0) * abs(self.volts(there.a, there.b))

"""The second network: real conductances, for ohms, continuity and direct volts.

It is not the real part of the AC network: a capacitor is open, a coil is its copper alone, iron loss does not exist, the motor is two resistances.

    G V = J,   resistance between two terminals = what one ampere through them makes;  a charged capacitor is a source behind CHARGED_OHM

Source: any circuit text. Range: steady direct current; the meter's own current is too small to move or warm anything.
"""

from __future__ import annotations

from math import exp, isinf

import numpy as np
from numpy.typing import NDArray

from sim.wiring import windings
from sim.wiring.circuit import Circuit
from sim.wiring.circuit import faulted as faulted_siemens
from sim.wiring.netlist import LINE, NEUTRAL
from sim.wiring.solution import Solution
from sim.wiring.state import Charge, State

Row = NDArray[np.float64]

CHARGED_OHM = 1.0  # guess: plates and leads; nothing against a meter's megohms
WAS_LIVE_A = 0.05  # guess: a capacitor that carried less held next to no charge


class DirectNetwork:
    """The wiring in one state as an ohmmeter sees it."""

    def __init__(self, circuit: Circuit, state: State) -> None:
        self.circuit, self.state = circuit, state
        self.conductance = self._matrix()

    def _matrix(self) -> Row:
        n = len(self.circuit.node)
        matrix = np.zeros((n, n))
        for branch in self.circuit.branches:
            self._add(matrix, branch.a, branch.b, branch_siemens(self.circuit, self.state, branch.name))  # fmt: skip
        for stray in self.circuit.strays:
            self._add(matrix, stray.a, stray.b, stray.siemens)
        for bridge in self.state.bridges:
            self._add(matrix, bridge.a, bridge.b, 1.0 / bridge.ohm)
        self._add(matrix, LINE, NEUTRAL, 1.0 / self.circuit.wiring.supply.resistance_ohm)
        machine = self.circuit.wiring.machine
        main, start = windings.resistances(self.circuit.row, self.state.main_k, self.state.start_k)
        self._add(matrix, machine.main_node, machine.at("R"), 1.0 / main)
        self._add(matrix, machine.start_node, machine.at("S"), 1.0 / start)
        for fan in self.circuit.split_fans.values():
            for (inner, pin), ohm in zip(fan.inside().items(), fan.copper(), strict=True):
                self._add(matrix, inner, pin, 1.0 / ohm)
        return matrix

    def _add(self, matrix: Row, a: str, b: str, siemens: float) -> None:
        i, j = self.circuit.node[a], self.circuit.node[b]
        matrix[i, i] += siemens
        matrix[j, j] += siemens
        matrix[i, j] -= siemens
        matrix[j, i] -= siemens

    def resistance(self, a: str, b: str) -> float:
        """Ohms between two terminals."""
        drive = np.zeros(len(self.circuit.node))
        drive[self.circuit.number(a)] += 1.0
        drive[self.circuit.number(b)] -= 1.0
        return self._difference(self.conductance, drive, a, b)

    def volts(self, a: str, b: str, meter_ohm: float, now_s: float) -> float:
        """Direct volts of ``a`` over ``b`` that charged capacitors make on a meter of ``meter_ohm``."""
        matrix, drive = self.conductance.copy(), np.zeros(len(self.circuit.node))
        for tag in self.state.charge:
            there = self.circuit.branch(tag)
            self._add(matrix, there.a, there.b, 1.0 / CHARGED_OHM)
            amps = capacitor_volts(self.circuit, self.state, tag, now_s) / CHARGED_OHM
            drive[self.circuit.node[there.a]] += amps
            drive[self.circuit.node[there.b]] -= amps
        self._add(matrix, a, b, 1.0 / meter_ohm)
        return self._difference(matrix, drive, a, b)

    def _difference(self, matrix: Row, drive: Row, a: str, b: str) -> float:
        found = np.zeros(len(drive))
        found[1:] = np.linalg.solve(matrix[1:, 1:], drive[1:])
        return float(found[self.circuit.number(a)] - found[self.circuit.number(b)])


def branch_siemens(circuit: Circuit, state: State, name: str) -> float:
    """Direct-current conductance of a branch, faults included."""
    branch = circuit.branch(name)
    ohm = circuit.shape(state, name).ohm
    if branch.dc_ohm is not None:
        ohm = branch.dc_ohm * state.factor.get(f"{name}.ohm", 1.0)
    sound = 0.0 if isinf(ohm) else 1.0 / ohm
    fault = state.faults.get(name)
    if fault is None or (sound == 0.0 and fault.kind == "series"):
        return sound
    return faulted_siemens(sound, fault).real


def capacitor_volts(circuit: Circuit, state: State, tag: str, now_s: float) -> float:
    """Direct volts left on a capacitor: V0 exp(-(t - t0)/(R C))."""
    left = state.charge.get(tag)
    if left is None:
        return 0.0
    farad = circuit.shape(state, tag).farad
    return left.volts * exp(-max(0.0, now_s - left.at_s) / (left.ohm * farad))


def contacts_moved(circuit: Circuit, before: Solution | None, state: State, now_s: float) -> None:
    """Carry the capacitors' charges over a change of contacts, faults or bridges: call it with the last solution and the new ``state``, which it changes.

    A contact's arc goes out as the current passes zero, when the capacitor's voltage is at its crest: it keeps sqrt 2 times its rms value.
    """
    for capacitor in circuit.wiring.capacitors:
        tag = capacitor.tag
        volts = capacitor_volts(circuit, state, tag, now_s)
        if before is not None and abs(before.amps(tag)) > WAS_LIVE_A:
            volts = before.peak_volts(tag)
        state.charge.pop(tag, None)
        if volts > 0.0:
            ohm = DirectNetwork(circuit, state).resistance(capacitor.at("1"), capacitor.at("2"))
            state.charge[tag] = Charge(volts, now_s, ohm)

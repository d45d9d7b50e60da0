"""The circuit at an instant as a SPICE deck, so that anyone can check it with a circuit simulator.

Only R, L, C, V, E, F and H elements are written; one AC frequency. Every branch has a 0 V source in series, so that its current can be read. The
motor's 2 x 2 impedance: each winding a series R and L, each cross term c = g + j x as g times the other winding's current (H) and x times the same
current turned by 90 degrees (F into an inductor of one ohm, read by E).
"""

from __future__ import annotations

from collections.abc import Mapping
from math import isinf, pi

import numpy as np
from numpy.typing import NDArray

from sim.wiring import windings
from sim.wiring.branch import Impedance
from sim.wiring.circuit import OPEN_SIEMENS, Circuit
from sim.wiring.netlist import EARTH, LINE, NEUTRAL
from sim.wiring.state import State


def deck(circuit: Circuit, state: State) -> str:
    """The deck, as text."""
    return "\n".join(_Writer(circuit, state).lines()) + "\n"


def node_name(terminal: str) -> str:
    """A terminal as a SPICE node: letters, digits and underscores; the supply's earth is 0."""
    return "0" if terminal == EARTH else plain(terminal)


def plain(name: str) -> str:
    """A name that SPICE takes."""
    return "".join(letter if letter.isalnum() else "_" for letter in name).lower()


def ammeter(branch: str) -> str:
    """The 0 V source that reads the current of a branch."""
    return f"v_{plain(branch)}"


class _Writer:
    def __init__(self, circuit: Circuit, state: State) -> None:
        self.circuit, self.state = circuit, state
        self.omega = 2.0 * pi * state.hertz
        self.k = state.hertz / circuit.wiring.supply.frequency_hz

    def lines(self) -> list[str]:
        made = [f"* {self.circuit.wiring.table.title}: {self.state.speed_rad_s:.2f} rad/s"]
        made += self._supply()
        for branch in self.circuit.branches:
            made += self._branch(branch.name)
        for i, stray in enumerate(self.circuit.strays):
            a, b = node_name(stray.a), node_name(stray.b)
            if stray.siemens:
                made.append(f"r_stray{i} {a} {b} {1.0 / stray.siemens:.15g}")
            made.append(f"c_stray{i} {a} {b} {stray.farad:.15g}")
        for i, bridge in enumerate(self.state.bridges):
            made.append(f"r_bridge{i} {node_name(bridge.a)} {node_name(bridge.b)} {bridge.ohm:.15g}")  # fmt: skip
        made += self._motor()
        return [*made, f".ac lin 1 {self.state.hertz:.15g} {self.state.hertz:.15g}", ".end"]

    def _supply(self) -> list[str]:
        supply, line, neutral = self.circuit.wiring.supply, node_name(LINE), node_name(NEUTRAL)
        source = f"v_supply supply_in {neutral} ac {self.state.supply_v:.15g}"
        shape = Impedance(supply.resistance_ohm, supply.reactance_ohm)
        return [source, *self._series("supply", "supply_in", line, shape)]

    def _series(self, name: str, a: str, b: str, shape: Impedance, more_ohm: float = 0.0) -> list[str]:  # fmt: skip
        """Elements one after the other from ``a`` to ``b``."""
        values = [("r", shape.ohm + more_ohm)]
        if shape.reactance_ohm:
            values.append(("l", shape.reactance_ohm * self.k / self.omega))
        if not isinf(shape.farad):
            values.append(("c", shape.farad))
        nodes = [a, *(f"mid{i}_{name}" for i in range(1, len(values))), b]
        return [
            f"{letter}_{name} {nodes[i]} {nodes[i + 1]} {value:.15g}"
            for i, (letter, value) in enumerate(values)
        ]

    def _branch(self, tag: str) -> list[str]:
        branch, name = self.circuit.branch(tag), plain(tag)
        a, b, inside = node_name(branch.a), node_name(branch.b), f"mid_{name}"
        made = [f"{ammeter(tag)} {a} {inside} 0"]
        shape, fault = self.circuit.shape(self.state, tag), self.state.faults.get(tag)
        if fault is None:
            return made + self._series(name, inside, b, shape)
        if fault.kind == "series":
            return made + self._series(name, inside, b, shape, fault.ohm)
        if fault.kind == "short":
            beside = f"r_{name}_short {inside} {b} {fault.ohm:.15g}"
            return [*made, *self._series(name, inside, b, shape), beside]
        ohm = 1.0 / OPEN_SIEMENS if fault.kind == "open" else fault.ohm
        return made + self._series(name, inside, b, Impedance(ohm))

    def _motor(self) -> list[str]:
        machine, state = self.circuit.wiring.machine, self.state
        matrix = windings.impedance(
            self.circuit.row, state.hertz, state.speed_rad_s, state.main_k, state.start_k
        )
        made = self._wound("", machine.inside(), matrix)
        for tag, fan in self.circuit.split_fans.items():
            made += self._wound(f"{plain(tag)}_", fan.inside(), fan.impedance(state.hertz, state.fan_rad_s[tag]))  # fmt: skip
        return made

    def _wound(self, whose: str, ends: Mapping[str, str], matrix: NDArray[np.complex128]) -> list[str]:  # fmt: skip
        """Two coupled windings between these ends."""
        made = []
        for i, (inner, pin) in enumerate(ends.items()):
            own, cross = complex(matrix[i, i]), complex(matrix[i, 1 - i])
            me, other = f"{whose}winding{i}", f"{whose}winding{1 - i}"
            turned, across = f"{whose}turned{i}", f"{whose}turned{1 - i}"
            made += [
                f"v_{me} {node_name(inner)} {me}_a 0",
                f"r_{me} {me}_a {me}_b {own.real:.15g}",
                f"l_{me} {me}_b {me}_c {own.imag / self.omega:.15g}",
                f"h_{me} {me}_c {me}_d v_{other} {cross.real:.15g}",
                f"e_{me} {me}_d {node_name(pin)} {across} 0 {cross.imag:.15g}",
                f"f_{turned} 0 {turned} v_{me} 1",
                f"l_{turned} {turned} 0 {1.0 / self.omega:.15g}",
            ]
        return made

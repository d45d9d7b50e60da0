"""A wiring as tables: nodes and branches numbered, impedances in columns, strays, and where each branch enters the matrix. Fixed once."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.errors import InputError
from sim.parts import motor
from sim.record import did_you_mean
from sim.wiring.branch import Branch, Impedance, Magnet
from sim.wiring.joined import incoming
from sim.wiring.netlist import EARTH, LINE, NEUTRAL, SUPPLY, Wiring

Row = NDArray[np.float64]
Numbers = NDArray[np.intp]

CHASSIS_FARAD = 3e-10  # guess: a bench on its feet, some 300 pF to the floor
CHASSIS_OHM = 1e9  # guess: its feet and the floor


class Stray(NamedTuple):
    """What leaks and couples between two terminals: siemens beside farad."""

    a: str
    b: str
    siemens: float
    farad: float


class Columns(NamedTuple):
    """Impedances side by side: ohm, reactance at rated frequency, elastance (1/F)."""

    ohm: Row
    reactance: Row
    elastance: Row

    @staticmethod
    def of(shapes: list[Impedance]) -> Columns:
        """One column entry a branch."""
        rows = [(s.ohm, s.reactance_ohm, 1.0 / s.farad) for s in shapes]
        return Columns(*np.array(rows).T.copy())


class Layout:
    """Names to numbers, and everything of a wiring that no state changes."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring
        self.row = motor.row(wiring.motor)
        self.terminals = wiring.terminals
        self.split_fans = {fan.tag: fan for fan in wiring.capacitor_fans}
        wound = (wiring.machine, *self.split_fans.values())
        inner = (name for device in wound for name in device.inside())
        self.node = {name: i for i, name in enumerate((*self.terminals, *inner))}
        self.fan_ends = {tag: [(self.node[inner], self.node[pin]) for inner, pin in fan.inside().items()] for tag, fan in self.split_fans.items()}  # fmt: skip
        """Fan with a run capacitor to the nodes of its two windings."""
        self.branches = wiring.branches()
        self.index = {branch.name: i for i, branch in enumerate(self.branches)}
        self.magnets: dict[str, Magnet] = {magnet.name: magnet for magnet in wiring.magnets()}
        self.coils = list(self.magnets)
        self.fans = [fan.tag for fan in wiring.fans]
        self.contacts = [b.name for b in self.branches if b.role == "contact"]
        self.strays = tuple(self._strays())
        self.rest_columns = Columns.of([b.rest for b in self.branches])
        self.moved_columns = Columns.of([b.moved or b.rest for b in self.branches])
        self.contact_numbers = self._numbers(self.contacts)
        self.coil_numbers = self._numbers([m.branch for m in self.magnets.values()])
        self.fan_numbers = self._numbers(self.fans)
        self._entries()

    def _numbers(self, names: list[str]) -> Numbers:
        return np.array([self.index[name] for name in names], dtype=np.intp)

    def _strays(self) -> list[Stray]:
        table, found = self.wiring.table, []
        apart = incoming(self.wiring)
        for terminal in self.terminals:
            if terminal.startswith(f"{SUPPLY}.") or terminal == table.chassis:
                continue
            leak = 1.0 / table.insulation_ohm
            found.append(Stray(terminal, table.chassis, leak, table.stray_farad))
            if terminal != table.harness and terminal not in apart:
                found.append(Stray(terminal, table.harness, 0.0, table.coupling_farad))
        return [*found, Stray(table.chassis, EARTH, 1.0 / CHASSIS_OHM, CHASSIS_FARAD)]

    def _entries(self) -> None:
        ends = [(b.a, b.b) for b in self.branches]
        ends += [(s.a, s.b) for s in self.strays]
        ends.append((LINE, NEUTRAL))
        a, b = np.array([(self.node[x], self.node[y]) for x, y in ends], dtype=np.intp).T
        n = len(self.node)
        self.entries: Numbers = np.concatenate((a * n + a, b * n + b, a * n + b, b * n + a))
        """Where an admittance enters the matrix: twice on the diagonal, twice beside it."""
        count = len(self.branches)
        self.a: Numbers = a[:count].copy()
        self.b: Numbers = b[:count].copy()
        self.stray_siemens: Row = np.array([stray.siemens for stray in self.strays])
        self.stray_farad: Row = np.array([stray.farad for stray in self.strays])
        machine = self.wiring.machine
        self.main_ends = self.node[machine.main_node], self.node[machine.at("R")]
        self.start_ends = self.node[machine.start_node], self.node[machine.at("S")]

    def branch(self, name: str) -> Branch:
        """The branch of that name. Raises InputError when there is none."""
        if name not in self.index:
            raise InputError(f"there is no branch {name}. {did_you_mean(name, self.index)}")
        return self.branches[self.index[name]]

    def number(self, terminal: str) -> int:
        """The node of a terminal. Raises InputError when there is none."""
        if terminal not in self.node:
            near = did_you_mean(terminal, self.terminals)
            raise InputError(f"there is no terminal {terminal}. {near}")
        return self.node[terminal]

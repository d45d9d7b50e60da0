"""The circuit: every terminal a node, every wire and device an admittance, solved with rms phasors.

    Y V = J,   Y: one entry a branch,  J: the supply's short-circuit current between line and neutral
    branch    y = 1/(R + j k X + 1/(j w C)),   k = frequency over rated frequency
    strays    each terminal j w C_s + 1/R_i to the chassis and j w C_h to the live harness conductor; the chassis to earth likewise

There are no ideal switches and no ideal source, so the matrix keeps its size and is regular with the plug out: the strays hold it, and a meter's
ghost voltages have a physical reason. The motor's two windings stay outside: they are a port, because only they depend on speed and warmth.
Reference node: the supply's earth. Source: nodal analysis, any circuit text.
Range: rms phasors at one frequency; floating parts are good to 1 mV in common mode, differences much better.
"""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import NDArray

from sim.errors import InputError
from sim.record import did_you_mean
from sim.wiring.branch import Impedance
from sim.wiring.layout import Layout
from sim.wiring.netlist import LINE, NEUTRAL
from sim.wiring.solution import Port, Solution
from sim.wiring.state import FAULT_KINDS, SHORT_OHM, BranchFault, Bridge, FaultKind, State

Phasors = NDArray[np.complex128]

OPEN_SIEMENS = (
    1e-10  # guess: leakage across a break; 12 nA at 120 V, below what any meter here shows
)
COLD_K = 293.15  # the temperature at which resistances are stated


class Circuit(Layout):
    """A wiring made ready to be solved. Holds no state: a method takes one and leaves it as it was, save those under "changing a state"."""

    def rest(self) -> State:
        """A new wiring: switches in their first positions, plug in, everything cold and standing."""
        supply = self.wiring.supply
        return State(
            supply_v=supply.volts_v,
            hertz=supply.frequency_hz,
            closed={b.name: b.closed_at_rest for b in self.branches if b.role == "contact"},
            seated=dict.fromkeys(self.coils, False),
            fan_turning=dict.fromkeys((*self.fans, *self.split_fans), False),
            fan_rad_s=dict.fromkeys(self.split_fans, 0.0),
            speed_rad_s=0.0,
            main_k=COLD_K,
            start_k=COLD_K,
        )

    # --- changing a state ---

    def turn(self, state: State, switch: str, position: str) -> None:
        """Put a hand switch to a position: its contacts follow."""
        for branch in self.branches:
            if branch.closes_in and branch.name.rpartition(".")[0] == switch:
                state.closed[branch.name] = position in branch.closes_in

    def seat(self, state: State, coil: str, seated: bool) -> None:
        """Move a magnet's armature, and the contacts that hang on it."""
        state.seated[coil] = seated
        for name in self.magnets[coil].contacts:
            state.closed[name] = seated

    def apply_fault(
        self, state: State, branch: str, kind: FaultKind, ohm: float | None = None
    ) -> None:
        """Put a fault on a branch. Raises InputError for what cannot be."""
        there = self.branch(branch)
        if kind not in FAULT_KINDS:
            raise InputError(f"there is no fault {kind!r}. {did_you_mean(kind, FAULT_KINDS)}")
        if not there.faultable:
            raise InputError(f"{branch} is no part that can fail; bridge its terminals instead")
        if kind == "stuck-closed" and there.role != "contact":
            raise InputError(f"{branch} is no contact, so it cannot be stuck closed")
        if kind == "series" and ohm is None:
            raise InputError(f"a series fault of {branch} needs its ohm")
        value = SHORT_OHM if ohm is None else ohm
        if not value > 0.0:
            raise InputError(f"the ohm of a fault of {branch} must be above 0, not {value:g}")
        state.faults[branch] = BranchFault(kind, value)

    def clear_fault(self, state: State, branch: str) -> None:
        """Mend a branch."""
        state.faults.pop(branch, None)

    def apply_bridge(self, state: State, a: str, b: str, ohm: float) -> None:
        """Join two terminals by some ohm. Raises InputError."""
        if self.number(a) == self.number(b) or not ohm > 0.0:
            raise InputError(
                "a bridge lies between two different terminals and has some ohm; name another one, or give an ohm above 0"
            )
        state.bridges.append(Bridge(a, b, ohm))

    def clear_bridge(self, state: State, a: str, b: str) -> None:
        """Take every bridge between two terminals away."""
        state.bridges[:] = [bridge for bridge in state.bridges if {a, b} != {bridge.a, bridge.b}]

    def apply_factor(self, state: State, name: str, factor: float) -> None:
        """Change a value: "BRANCH.farad" or "BRANCH.ohm" times ``factor``; 1 restores it. Raises InputError."""
        branch, _, unit = name.rpartition(".")
        there = self.branch(branch)
        if not there.faultable or unit != ("farad" if there.role == "capacitor" else "ohm"):
            raise InputError(f"{branch} has no value {unit!r} to change")
        if not factor > 0.0:
            raise InputError(
                f"the factor of {name} must be above 0, not {factor:g}; 1 is as it should be, 0.5 is half"
            )
        state.factor[name] = factor

    # --- values ---

    def is_moved(self, state: State, name: str) -> bool:
        """Contact closed, armature seated or fan turning?"""
        if self.branch(name).role == "contact":
            return state.closed[name]
        if name in state.fan_turning:
            return state.fan_turning[name]
        return any(state.seated[m.name] for m in self.magnets.values() if m.branch == name)

    def shape(self, state: State, name: str) -> Impedance:
        """The impedance of a branch as it stands, changed values included, faults not."""
        branch = self.branch(name)
        shape = branch.moved if branch.moved and self.is_moved(state, name) else branch.rest
        ohm, farad = state.factor.get(f"{name}.ohm", 1.0), state.factor.get(f"{name}.farad", 1.0)
        return Impedance(shape.ohm * ohm, shape.reactance_ohm * ohm, shape.farad * farad)

    def impedance(self, state: State, shape: Impedance) -> complex:
        """Ohms of ``shape`` at the state's frequency."""
        k = state.hertz / self.wiring.supply.frequency_hz
        return complex(
            shape.ohm, k * shape.reactance_ohm - 1.0 / (2.0 * pi * state.hertz * shape.farad)
        )

    def moved(self, state: State) -> NDArray[np.bool_]:
        """Of every branch: is it in its other position?"""
        moved = np.zeros(len(self.branches), dtype=bool)
        moved[self.contact_numbers] = [state.closed[name] for name in self.contacts]
        moved[self.coil_numbers] = [state.seated[name] for name in self.coils]
        moved[self.fan_numbers] = [state.fan_turning[name] for name in self.fans]
        return moved

    def admittances(self, state: State) -> Phasors:
        """Siemens of every branch, changed values and faults included."""
        moved, omega = self.moved(state), 2.0 * pi * state.hertz
        k = state.hertz / self.wiring.supply.frequency_hz
        ohm, reactance, elastance = (
            np.where(moved, there, rest)
            for there, rest in zip(self.moved_columns, self.rest_columns, strict=True)
        )
        y: Phasors = 1.0 / (ohm + 1j * (k * reactance - elastance / omega))
        for name in {key.rpartition(".")[0] for key in state.factor}:
            y[self.index[name]] = 1.0 / self.impedance(state, self.shape(state, name))
        for name, fault in state.faults.items():
            y[self.index[name]] = faulted(y[self.index[name]], fault)
        return y

    def supply_impedance(self, state: State) -> complex:
        """Ohms of the supply at the state's frequency."""
        supply = self.wiring.supply
        return self.impedance(state, Impedance(supply.resistance_ohm, supply.reactance_ohm))

    def matrix(self, state: State, branch_siemens: Phasors) -> Phasors:
        """The nodal matrix without the motor's windings and without the reference node."""
        strays = self.stray_siemens + 2j * pi * state.hertz * self.stray_farad
        y = np.concatenate((branch_siemens, strays, [1.0 / self.supply_impedance(state)]))
        signed = np.concatenate((y, y, -y, -y))
        n = len(self.node)
        flat = np.bincount(self.entries, signed.real, n * n) + 1j * np.bincount(
            self.entries, signed.imag, n * n
        )
        whole = flat.reshape(n, n)
        for a, b, ohm in state.bridges:
            i, j = self.node[a], self.node[b]
            whole[i, i] += 1.0 / ohm
            whole[j, j] += 1.0 / ohm
            whole[i, j] -= 1.0 / ohm
            whole[j, i] -= 1.0 / ohm
        for tag, speed in state.fan_rad_s.items():
            self._wind(whole, tag, self.split_fans[tag].admittance(state.hertz, speed))
        return whole[1:, 1:]

    def _wind(self, whole: Phasors, tag: str, siemens: Phasors) -> None:
        """A fan's two windings into the matrix."""
        for row, (inner, pin) in enumerate(self.fan_ends[tag]):
            for column, (other, end) in enumerate(self.fan_ends[tag]):
                y = siemens[row, column]
                whole[inner, other] += y
                whole[pin, end] += y
                whole[inner, end] -= y
                whole[pin, other] -= y

    # --- solving ---

    def port(self, state: State) -> Port:
        """The circuit as the motor's two windings see it."""
        y = self.admittances(state)
        matrix = self.matrix(state, y)
        drive = np.zeros((len(self.node), 3), dtype=complex)
        short_circuit = state.supply_v / self.supply_impedance(state)
        drive[self.node[LINE], 0], drive[self.node[NEUTRAL], 0] = short_circuit, -short_circuit
        for column, (inner, pin) in enumerate((self.main_ends, self.start_ends), start=1):
            drive[inner, column], drive[pin, column] = -1.0, 1.0
        basis = np.zeros_like(drive)
        basis[1:] = np.linalg.solve(matrix, drive[1:])
        return Port(self, state.copy(), y, matrix, basis)

    def fan_flow(self, state: State, tag: str, node_v: Phasors) -> tuple[Phasors, Phasors]:
        """Volts across both windings of a fan with a run capacitor, and their currents."""
        volts = np.array([node_v[inner] - node_v[pin] for inner, pin in self.fan_ends[tag]])
        return volts, self.split_fans[tag].admittance(state.hertz, state.fan_rad_s[tag]) @ volts

    def without(self, state: State, fan: str) -> Solution:
        """Everything but one fan's windings."""
        bare = state.copy()
        del bare.fan_rad_s[fan]
        return self.solve(bare)

    def solve(self, state: State) -> Solution:
        """Everything, with the motor at the state's speed and temperatures."""
        return self.port(state).solve()


def faulted(siemens: complex, fault: BranchFault) -> complex:
    """The admittance of a branch with a fault on it."""
    if fault.kind == "open":
        return complex(OPEN_SIEMENS)
    if fault.kind == "series":
        return 1.0 / (1.0 / siemens + fault.ohm)
    if fault.kind == "short":
        return siemens + 1.0 / fault.ohm
    return complex(1.0 / fault.ohm)

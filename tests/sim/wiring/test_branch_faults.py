"""Every fault that can be put on a branch can be found by somebody with a meter."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray

from sim.wiring import Circuit, Solution, State
from sim.wiring.branch import Branch
from sim.wiring.direct import DirectNetwork
from sim.wiring.state import FAULT_KINDS, FaultKind
from tests.sim.wiring.states import NAMES, circuit, states

Phasors = NDArray[np.complex128]

SEEN = 100.0  # times the solver's tolerance
SOLVER_V = 1e-7  # node voltages agree with ngspice to 1e-6, differences to better than this
SOLVER_A = 1e-9  # branch currents agree with ngspice to 2e-10
SOLVER_OHM = 1e-9  # resistances agree with star-mesh elimination to this share
SERIES_OHM = 10.0  # a bad joint


@cache
def sound(name: str) -> list[tuple[State, Solution]]:
    """Every state without the fault."""
    c = circuit(name)
    return [(state, c.solve(state)) for _, state in states(c)]


def kinds(branch: Branch) -> tuple[FaultKind, ...]:
    """What the loader accepts for it."""
    return FAULT_KINDS if branch.role == "contact" else FAULT_KINDS[:3]


def across(c: Circuit, solution: Solution) -> Phasors:
    """Voltage over every branch: what two probes read, without the common mode."""
    return solution.node_v[c.a] - solution.node_v[c.b]


def is_seen(c: Circuit, state: State, before: Solution, branch: Branch, kind: FaultKind) -> bool:
    """Does a voltage, a current or the resistance over the branch change?"""
    changed = state.copy()
    c.apply_fault(changed, branch.name, kind, SERIES_OHM if kind == "series" else None)
    after = c.solve(changed)
    if np.abs(across(c, after) - across(c, before)).max() > SEEN * SOLVER_V:
        return True
    outside = [i for i, b in enumerate(c.branches) if b.name != branch.name]
    if np.abs(after.branch_a - before.branch_a)[outside].max() > SEEN * SOLVER_A:
        return True
    ohms = [DirectNetwork(c, s).resistance(branch.a, branch.b) for s in (state, changed)]
    return abs(ohms[1] - ohms[0]) > SEEN * SOLVER_OHM * ohms[0]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("kind", FAULT_KINDS)
def test_every_fault_of_every_branch_shows_somewhere(name: str, kind: FaultKind) -> None:
    c = circuit(name)
    hidden = [
        branch.name
        for branch in c.branches
        if branch.faultable and kind in kinds(branch)
        if not any(is_seen(c, state, before, branch, kind) for state, before in sound(name))
    ]
    assert hidden == []


def test_every_wire_contact_coil_and_load_can_fail() -> None:
    c = circuit("120v")
    never = {branch.name for branch in c.branches if not branch.faultable}
    insulation = {f"{tag}.insulation" for tag in ("M1", "FAN-A", "FAN-B", "E1")}
    assert never == insulation | {"M1.core", "SUPPLY.bond"}

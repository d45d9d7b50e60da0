"""The circuit against a circuit simulator of other making, over all states of both wirings."""

from __future__ import annotations

import numpy as np
import pytest

from tests.sim.wiring import ngspice
from tests.sim.wiring.states import NAMES, STATES, circuit, states

VOLTS = 1e-5  # asked for: with the plug in, every node
AMPS = 1e-6  # asked for: with the plug in, every branch
FLOATING_VOLTS = 1e-3  # with the plug out only differences are known well; the common mode hangs on strays of gigohms
TITLES = [title for title, _, _ in STATES]


def test_there_are_at_least_forty_states_each_with_its_own_name() -> None:
    assert len(set(TITLES)) == len(TITLES) >= 40


@pytest.mark.parametrize("name", NAMES)
def test_every_voltage_and_current_is_that_of_ngspice(name: str) -> None:
    wired, kept = circuit(name), ngspice.stored(name)
    for title, state in states(wired):
        solution = wired.solve(state)
        limit = VOLTS if state.closed["X1.earth"] else FLOATING_VOLTS
        assert np.abs(solution.node_v - kept[f"{title}|volts"]).max() < limit, title
        assert np.abs(solution.branch_a - kept[f"{title}|amps"]).max() < AMPS, title


@pytest.mark.parametrize("name", NAMES)
def test_with_the_plug_out_differences_still_agree(name: str) -> None:
    wired, kept = circuit(name), ngspice.stored(name)
    ours = wired.solve(dict(states(wired))["unplugged"]).node_v
    theirs = kept["unplugged|volts"]
    across = np.array([(wired.a[i], wired.b[i]) for i in wired.contact_numbers])
    shown = [np.diff(volts[across])[:, 0] for volts in (ours, theirs)]
    live = [i for i, name in enumerate(wired.contacts) if not name.startswith("X1.")]
    assert np.abs(shown[0] - shown[1])[live].max() < VOLTS


@pytest.mark.skipif(not ngspice.present(), reason="ngspice is not installed")
@pytest.mark.parametrize("name", NAMES)
def test_the_stored_answers_are_what_ngspice_says_today(name: str) -> None:
    wired, kept = circuit(name), ngspice.stored(name)
    assert {key.partition("|")[0] for key in kept} == set(TITLES)
    for title, state in states(wired):
        volts, amps = ngspice.run(wired, state)
        assert np.abs(volts - kept[f"{title}|volts"]).max() < FLOATING_VOLTS, title
        assert np.abs(amps - kept[f"{title}|amps"]).max() < AMPS, title

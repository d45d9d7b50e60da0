"""What is lost by taking a start as a row of steady states: little, and it is known how much."""

from __future__ import annotations

import json

import pytest

from tests.sim.wiring import ngspice
from tests.sim.wiring.start import Start, quasi_steady, time_domain
from tests.sim.wiring.states import NAMES


def stored(name: str) -> Start:
    """The time-domain start that ngspice computed."""
    return Start(**json.loads((ngspice.DATA / "ngspice_start.json").read_text())[name])


@pytest.mark.parametrize("name", NAMES)
def test_a_start_in_steady_states_is_milliseconds_early_and_then_the_same(name: str) -> None:
    """A prototype of this design found: 7 to 15 ms early, up to 10 % low in the first cycle, within 0.3 % once settled.

    The relay of the time-domain run follows the mean square of its current with a lag, ours counts 12 ms: 5 ms more are allowed for that.
    """
    ours, whole = quasi_steady(name), stored(name)
    assert 0.005 < whole.relay_opens_s - ours.relay_opens_s < 0.020
    assert 0.90 < ours.first_cycle_run_a / whole.first_cycle_run_a < 1.0
    assert ours.settled_run_a == pytest.approx(whole.settled_run_a, rel=0.003)
    assert ours.settled_rad_s == pytest.approx(whole.settled_rad_s, rel=0.001)


@pytest.mark.skipif(not ngspice.present(), reason="ngspice is not installed")
@pytest.mark.parametrize("name", NAMES)
def test_the_stored_start_is_what_ngspice_says_today(name: str) -> None:
    assert time_domain(name) == pytest.approx(stored(name), rel=1e-3)

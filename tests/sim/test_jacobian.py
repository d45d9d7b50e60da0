"""The element-wise Jacobian against central differences of the whole right-hand side, at states that look nothing alike."""

from __future__ import annotations

import numpy as np
import pytest

from sim import Bench, columns, load_rig
from sim.integrate import ST_WEIGHT
from sim.jacobian import jacobian
from sim.kernel import rhs
from sim.session import line_up

LEFT_OUT = ("box.temperature", "box.humidity")
"""States whose columns are thinned on purpose: they only slow Newton's iteration."""


def benches() -> dict[str, Bench]:
    rig = load_rig("fennick_bench")
    running = Bench(rig)
    line_up(running, "thermostatic")
    running.advance(300.0)
    dry = running.fork()
    dry.set("HV-12", 0.0)
    dry.advance(15.0)
    stopped = running.fork()
    stopped.set("HS-4", "off")
    stopped.advance(30.0)
    reversing = running.fork()
    reversing.set("HS-5", "heating")
    reversing.advance(0.2)
    return {
        "stopped": stopped,
        "running": running,
        "pumping down": dry,
        "slide travelling": reversing,
    }


@pytest.fixture(scope="module")
def states() -> dict[str, Bench]:
    return benches()


@pytest.mark.parametrize("name", ["stopped", "running", "pumping down", "slide travelling"])
def test_every_column_agrees_with_differences_of_the_right_hand_side(
    name: str, states: dict[str, Bench]
) -> None:
    bench = states[name]
    bench.look()
    y = bench.watch.y.copy()
    memory, plant, layout = bench._memory, bench.plant, bench.layout
    n = layout.n_states
    flows = np.zeros_like(memory.F)
    guess = memory.t_guess.copy()
    table = np.zeros_like(memory.P)
    rate = np.zeros(n)
    for _ in range(3):
        rhs(y, rate, guess, table[0], flows, plant)
        guess[:] = table[0, :, columns.P_T]
    J = np.zeros((n, n))
    jacobian(y, J, guess, table, flows, plant)
    weight = memory.stage[ST_WEIGHT].copy()
    weight[layout.ledger_start :] = 1.0
    weight[weight == 0.0] = 1e-6
    thinned = {layout.slow[s] for s in LEFT_OUT}
    worst = 0.0
    for k in range(layout.ledger_start):
        if k in thinned:
            continue
        step = 1e-5 * weight[k]
        up, down = rate.copy(), rate.copy()
        plus, minus = y.copy(), y.copy()
        plus[k] += step
        minus[k] -= step
        rhs(plus, up, guess.copy(), table[0], flows, plant)
        rhs(minus, down, guess.copy(), table[0], flows, plant)
        column = (up - down) / (2.0 * step)
        scale = np.abs(column / weight).max()
        error = np.abs((J[:, k] - column) / weight).max()
        worst = max(worst, error / max(scale, 1e-6))
    assert (
        worst < 2e-2
    )  # film coefficients against pressure are left out; everything else is far closer


@pytest.mark.parametrize("name", ["stopped", "running", "pumping down", "slide travelling"])
def test_columns_keep_mass_and_energy(name: str, states: dict[str, Bench]) -> None:
    """Each column of the mass rows with the account ``outside`` sums to zero: Newton keeps the charge even before it has converged."""
    bench = states[name]
    bench.look()
    layout = bench.layout
    J = np.zeros((layout.n_states, layout.n_states))
    table = np.zeros_like(bench._memory.P)
    flows = np.zeros_like(bench._memory.F)
    guess = bench._memory.t_guess.copy()
    rate = np.zeros(layout.n_states)
    rhs(bench.watch.y.copy(), rate, guess, table[0], flows, bench.plant)
    jacobian(bench.watch.y.copy(), J, guess, table, flows, bench.plant)
    mass = [*range(layout.n_nodes), layout.n_states - 1]
    total = np.abs(J[mass].sum(axis=0)).max()
    assert total < 1e-12 * np.abs(J[mass]).max()

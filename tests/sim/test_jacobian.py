"""The Jacobian, element by element, against central differences of the right-hand side."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray

from sim import Bench
from sim.columns import N_VOLUME, P_T
from sim.integrate import ENERGY_SCALE
from sim.jacobian import jacobian
from sim.kernel import rhs
from sim.plant import LEDGER_OUT_MASS
from sim.rig import Device, Rig
from sim.session import line_up

Floats = NDArray[np.float64]
DEVICES: tuple[Device, ...] = ("thermostatic", "capillary", "hand", "float")
STEP = 1e-7  # of a state's size
TOLERANCE = 1e-3  # of the column's largest entry, rows and columns in units of their states' sizes


@pytest.fixture(scope="module")
def early(rig: Rig) -> dict[str, Bench]:
    """Two seconds after the start, on each device."""
    benches: dict[str, Bench] = {}
    for device in DEVICES:
        benches[device] = Bench(rig)
        line_up(benches[device], device)
        benches[device].advance(2.0)
    return benches


@pytest.fixture(scope="module")
def late(early: dict[str, Bench]) -> dict[str, Bench]:
    """Five minutes later, and heating."""
    benches = {device: bench.fork() for device, bench in early.items()}
    for bench in benches.values():
        bench.advance(300.0)
    benches["heating"] = benches["thermostatic"].fork()
    benches["heating"].set("HS-5", "heating")
    benches["heating"].advance(900.0)
    return benches


def sizes(bench: Bench) -> Floats:
    """What is large for each state: the mass and energy of a node half a kilogram a cubic metre heavier, elsewhere the error scales."""
    n = bench.layout.n_nodes
    size = np.array(bench._scale)
    size[:n] = bench._memory.y[:n] + 0.5 * bench.plant.node[:, N_VOLUME]
    size[bench.layout.energy_start :][:n] = ENERGY_SCALE * size[:n]
    size[bench.layout.ledger_start :] = 1e5
    return size


def evaluated(bench: Bench) -> Iterator[Floats]:
    """The Jacobian as the solver has it, then by differences."""
    memory, plant = bench._memory, bench.plant
    y = memory.y.copy()
    properties, flows = np.zeros_like(memory.P), np.zeros_like(memory.F)
    guess = memory.t_guess.copy()
    rate = np.zeros_like(y)
    for _ in range(3):
        rhs(y, rate, guess, properties[0], flows, plant)
        guess[:] = properties[0, :, P_T]
    exact = np.zeros((y.size, y.size))
    jacobian(y, exact, guess, properties, flows, plant)
    yield exact.copy()
    size = sizes(bench)
    table, rates = properties[0].copy(), np.zeros((2, y.size))
    for k in range(y.size):
        for row, sign in zip(rates, (1.0, -1.0), strict=True):
            moved = y.copy()
            moved[k] += sign * STEP * size[k]
            rhs(moved, row, guess, table, flows, plant)
        exact[:, k] = (rates[0] - rates[1]) / (2.0 * STEP * size[k])
    yield exact


def check(bench: Bench) -> None:
    """Every entry, scaled by what is large for its row and column."""
    solver, differences = evaluated(bench)
    size = sizes(bench)
    solver *= size / size[:, None]
    differences *= size / size[:, None]
    largest = np.abs(differences).max(axis=0)
    worst = np.abs(solver - differences) / np.maximum(largest, 1e-30)
    row, column = np.unravel_index(worst.argmax(), worst.shape)
    assert worst.max() < TOLERANCE, f"row {row}, column {column}"


@pytest.mark.parametrize("device", DEVICES)
def test_each_entry_is_a_slope_while_starting(early: dict[str, Bench], device: str) -> None:
    check(early[device])


@pytest.mark.parametrize("case", [*DEVICES, "heating"])
def test_each_entry_is_a_slope_while_running(late: dict[str, Bench], case: str) -> None:
    check(late[case])


def test_every_column_keeps_mass(late: dict[str, Bench]) -> None:
    """What leaves one node arrives in another or outside, to rounding: so do Newton's iterates, converged or not."""
    for bench in late.values():
        slopes = next(evaluated(bench))
        n, out = bench.layout.n_nodes, bench.layout.ledger_start + LEDGER_OUT_MASS
        total = slopes[:n].sum(axis=0) + slopes[out]
        assert np.abs(total).max() < 1e-14 * np.abs(slopes[:n]).max()

"""The Jacobian, element by element, against central differences of the right-hand side."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from numpy.typing import NDArray

from sim import Bench
from sim.columns import G_ATMOSPHERE, N_VOLUME, P_T
from sim.integrate import ENERGY_SCALE
from sim.jacobian import jacobian
from sim.kernel import rhs
from sim.plant import LEDGER_OUT_MASS
from sim.rig import Device, Rig
from sim.session import line_up

Floats = NDArray[np.float64]
DEVICES: tuple[Device, ...] = ("thermostatic", "capillary", "hand", "float")
STEP = 1e-8  # of a state's size
TOLERANCE = 1e-3  # of the column's largest entry, rows and columns in units of their states' sizes
BENDING_TOLERANCE = (
    5e-3  # and with a step that stays inside the bend of laws near rest and beside a phase line
)
BENDING_STEP = 1e-9


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
    benches["heating"] = benches["capillary"].fork()
    line_up(benches["heating"], "capillary", "heating")
    benches["heating"].advance(600.0)
    assert float(benches["heating"].readings()["compressor_speed_rpm"]) > 0.0
    return benches


def sizes(bench: Bench) -> Floats:
    """What is large for each state: the mass and energy of a node half a kilogram a cubic metre heavier, elsewhere the error scales."""
    n = bench.layout.n_nodes
    size = np.array(bench._scale)
    for s in range(bench.layout.n_species):
        size[s * n : (s + 1) * n] = bench._memory.y[:n] + 0.5 * bench.plant.node[:, N_VOLUME]
    size[bench.layout.energy_start :][:n] = ENERGY_SCALE * size[:n]
    size[bench.layout.ledger_start :] = 1e5
    return size


def evaluated(bench: Bench, step: float = STEP) -> Iterator[Floats]:
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
            moved[k] += sign * step * size[k]
            rhs(moved, row, guess, table, flows, plant)
        exact[:, k] = (rates[0] - rates[1]) / (2.0 * step * size[k])
    yield exact


def check(bench: Bench, tolerance: float = TOLERANCE, step: float = STEP) -> None:
    """Every entry, scaled by what is large for its row and column."""
    solver, differences = evaluated(bench, step)
    size = sizes(bench)
    solver *= size / size[:, None]
    differences *= size / size[:, None]
    largest = np.abs(differences).max(axis=0)
    worst = np.abs(solver - differences) / np.maximum(largest, 1e-30)
    row, column = np.unravel_index(worst.argmax(), worst.shape)
    assert worst.max() < tolerance, f"row {row}, column {column}"


@pytest.mark.parametrize("device", DEVICES)
def test_each_entry_is_a_slope_while_starting(early: dict[str, Bench], device: str) -> None:
    check(early[device])


@pytest.mark.parametrize("case", [*DEVICES, "heating"])
def test_each_entry_is_a_slope_while_running(late: dict[str, Bench], case: str) -> None:
    check(late[case])


@pytest.mark.parametrize(
    ("move", "to", "wait_s"),
    [("HS-4", "off", 30.0), ("HV-12", 0.0, 15.0), ("HS-5", "heating", 0.2)],
    ids=["stopped", "pumping down", "slide travelling"],
)
def test_each_entry_is_a_slope_while_things_change(
    late: dict[str, Bench], move: str, to: float | str, wait_s: float
) -> None:
    """Near rest and beside a phase line the laws bend within the usual step, so the difference is taken closer and judged more loosely."""
    bench = late["thermostatic"].fork()
    bench.set(move, to)
    bench.advance(wait_s)
    check(bench, BENDING_TOLERANCE, BENDING_STEP)


def test_each_entry_is_a_slope_while_a_disc_and_a_plunger_travel(late: dict[str, Bench]) -> None:
    """Half lifted: the receiver blows off, the coil's plunger is on its way."""
    bench = late["thermostatic"].fork()
    for tag in ("PSV-1", "XV-1"):
        bench._memory.y[bench.layout.slow[f"{tag}.position"]] = 0.5
    check(bench, BENDING_TOLERANCE, BENDING_STEP)


@pytest.mark.parametrize("melting", [False, True], ids=["growing", "melting"])
def test_each_entry_is_a_slope_on_a_frosted_coil(late: dict[str, Bench], melting: bool) -> None:
    """Half full of frost: its metal put well below freezing, or above."""
    bench = late["thermostatic"].fork()
    lay, wanted = bench.layout, 276.0 if melting else 264.0
    for k in range(1, 9):
        bench._memory.y[lay.slow[f"COIL-B.{k}.frost"]] = 0.01
        bench._memory.y[lay.wall_start + lay.walls[f"b{k}"]] = wanted
    check(bench, BENDING_TOLERANCE, BENDING_STEP)


@pytest.fixture(scope="module")
def aired(late: dict[str, Bench]) -> Bench:
    """0.9 g of air in it, two minutes later."""
    bench = late["thermostatic"].fork()
    bench.insert_fault("non-condensable", 0.6)
    bench.advance(120.0)
    return bench


@pytest.mark.parametrize("stopped_s", [0.0, 30.0, 600.0])
def test_each_entry_is_a_slope_with_air_in_the_circuit(aired: Bench, stopped_s: float) -> None:
    bench = aired.fork()
    if stopped_s:
        bench.set("HS-4", "off")
        bench.advance(stopped_s)
    check(bench, BENDING_TOLERANCE, BENDING_STEP)


def test_each_entry_is_a_slope_while_air_is_put_in_and_drawn_in(aired: Bench) -> None:
    """Holes above and below the room's pressure, and gas that is being put in."""
    bench = aired.fork()
    bench.insert_fault("non-condensable", 0.9)
    for place in ("suction_port", "receiver"):
        bench.insert_fault("refrigerant-leak", 1.0, place=place)
    bench.plant.glob[G_ATMOSPHERE] = 4e5  # between the two sides
    check(bench, BENDING_TOLERANCE, BENDING_STEP)


def test_every_column_keeps_gas(aired: Bench) -> None:
    slopes = next(evaluated(aired))
    n, out = aired.layout.n_nodes, aired.layout.ledger_start + LEDGER_OUT_MASS + 1
    total = slopes[n : 2 * n].sum(axis=0) + slopes[out]
    assert np.abs(total).max() < 1e-14 * np.abs(slopes[n : 2 * n]).max()


def test_every_column_keeps_mass(late: dict[str, Bench]) -> None:
    """What leaves one node arrives in another, in the oil or outside, to rounding: so do Newton's iterates, converged or not."""
    for bench in late.values():
        slopes = next(evaluated(bench))
        n, out = bench.layout.n_nodes, bench.layout.ledger_start + LEDGER_OUT_MASS
        total = slopes[:n].sum(axis=0) + slopes[bench.layout.slow["machine.oil"]] + slopes[out]
        assert np.abs(total).max() < 1e-14 * np.abs(slopes[:n]).max()

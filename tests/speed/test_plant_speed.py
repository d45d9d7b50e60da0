"""How fast the default rig runs, scenario by scenario: simulated seconds per second of processor time, in frames of 0.1 s.

Run with ``pytest -m speed -s tests/speed/test_plant_speed.py``. What is asserted is a ratio taken in one process, so that it means the same on any
machine: the cost of a simulated second over the cost of one property evaluation, measured back to back.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import pytest

from sim import Bench, load_rig
from sim.compiled import compiled
from sim.fluid_columns import FluidTables
from sim.fluid_kernel import state
from sim.session import line_up, make_steady
from sim.starts import Start

FRAME_S = 0.1
# Property evaluations that a simulated second may cost: at 200 ns each, 10,000 times real time is 500 of them, 500 times is 10,000, 150 times is 33,000.
BUDGET = {
    "steady": 500,
    "start-up": 10_000,
    "changeover": 33_000,
    "reversal": 10_000,
    "pump-down": 33_000,
    "shut-in": 10_000,
    "off, devices shut": 10_000,
    "off, device open": 33_000,
    "locked rotor": 100_000,
}


def property_cost() -> float:
    """Processor seconds of one property evaluation from compiled code, the plant's own unit of work."""

    @compiled
    def loop(n: int, fl: FluidTables, rho: float, u: float, t: float) -> float:
        total = 0.0
        for k in range(n):
            total += state(fl, rho * (1.0 + 1e-9 * k), u, t)[0]
        return total

    tables = Bench(load_rig("fennick_bench")).plant.fluid
    loop(10, tables, 100.0, 3e5, 300.0)
    begin = time.process_time()
    loop(200_000, tables, 100.0, 3e5, 300.0)
    return (time.process_time() - begin) / 200_000


@pytest.fixture(scope="module")
def steady() -> Bench:
    bench = Bench(load_rig("fennick_bench"))
    make_steady(bench, Start(start="steady", device="capillary"), None)
    return bench


def frames(bench: Bench, seconds: float) -> tuple[float, float]:
    """(simulated seconds per processor second, longest frame in ms)."""
    spent = []
    for _ in range(round(seconds / FRAME_S)):
        begin = time.process_time()
        bench.advance(FRAME_S)
        spent.append(time.process_time() - begin)
    return seconds / float(np.sum(spent)), 1e3 * max(spent)


def start_up(_: Bench) -> Bench:
    bench = Bench(load_rig("fennick_bench"))
    line_up(bench, "capillary")
    return bench


def changeover(bench: Bench) -> Bench:
    bench.set("HV-23", 1.0)
    bench.set("HV-21", 0.0)
    return bench


def reversal(bench: Bench) -> Bench:
    bench.set("HS-5", "heating")
    return bench


def pump_down(bench: Bench) -> Bench:
    bench.set("HV-12", 0.0)
    return bench


def shut_in(bench: Bench) -> Bench:
    for tag, value in (("HS-4", "off"), ("HV-12", 0.0), ("HV-21", 0.0), ("HS-6", "off")):
        bench.set(tag, value)
    bench.set("room_temperature_c", 50.0)
    return bench


def switched_off(bench: Bench) -> Bench:
    bench.set("HS-4", "off")
    return bench


def shut_off(bench: Bench) -> Bench:
    bench.set("HV-21", 0.0)
    return switched_off(bench)


def locked(bench: Bench) -> Bench:
    """Restart against pressure: ten seconds of humming until the overload opens."""
    bench.set("HS-4", "off")
    bench.advance(3.0)
    bench.set("HS-4", "on")
    return bench


SCENARIOS: dict[str, tuple[Callable[[Bench], Bench], float]] = {
    "steady": (lambda bench: bench, 600.0),
    "start-up": (start_up, 60.0),
    "changeover": (changeover, 60.0),
    "reversal": (reversal, 120.0),
    "pump-down": (pump_down, 120.0),
    "shut-in": (shut_in, 300.0),
    "off, devices shut": (shut_off, 120.0),
    "off, device open": (switched_off, 120.0),
    "locked rotor": (locked, 10.0),
}


@pytest.mark.speed
@pytest.mark.parametrize("name", SCENARIOS)
def test_a_simulated_second_costs_few_property_evaluations(name: str, steady: Bench) -> None:
    prepare, seconds = SCENARIOS[name]
    bench = prepare(steady.fork())
    speed, worst = frames(bench, seconds)
    unit = property_cost()
    print(f"{name:18s} {speed:8.0f} x real time, worst frame {worst:6.1f} ms, {1.0 / speed / unit:8.0f} evaluations a second")  # fmt: skip
    assert 1.0 / speed / unit < BUDGET[name]

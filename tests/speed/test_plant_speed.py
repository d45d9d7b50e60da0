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
from sim.starts import DEVICES, Start

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
    "dead end on the internal relief": 33_000,
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


def dead_end(bench: Bench) -> Bench:
    """The discharge valve is shut and the high-pressure trip stuck: the internal relief passes all that is pumped."""
    bench.insert_fault("high-pressure-cutout-stuck-closed")
    bench.set("HV-42", 0.0)
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
    "dead end on the internal relief": (dead_end, 60.0),
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


STORM_BUDGET, MANY_BUDGET = 50_000, 1_667
"""A hundred times real time, and 3,000 rig-seconds a second of a core, at 200 ns an evaluation."""


@pytest.mark.speed
def test_a_storm_of_one_act_a_second(steady: Bench, seed: int) -> None:
    """Any hand valve or switch, any way, every second for two minutes; what has tripped is reset."""
    bench, rng = steady.fork(), np.random.default_rng(seed)
    valves = [info for info in bench.tags() if info.kind in ("hand_valve", "selector", "hand_expansion_valve")]  # fmt: skip
    spent = 0.0
    for _ in range(120):
        info = valves[int(rng.integers(len(valves)))]
        value = str(rng.choice(info.choices)) if info.choices else float(rng.choice([0.0, 0.3, 1.0]))  # fmt: skip
        begin = time.process_time()
        bench.set(info.tag, value)
        if bench.controls.latched:
            bench.set("PSHH-1.reset", 1)
        for _ in range(10):
            bench.advance(FRAME_S)
        spent += time.process_time() - begin
    unit = property_cost()
    print(
        f"storm: {120.0 / spent:.0f} x real time, {spent / 120.0 / unit:.0f} evaluations a second"
    )
    assert spent / 120.0 / unit < STORM_BUDGET


@pytest.mark.speed
def test_start_ups_of_many_rigs() -> None:
    """Each device from cold, ten minutes of it, one after the other as a process of a survey does."""
    rig, total, begin = load_rig("fennick_bench"), 0.0, time.process_time()
    for device in DEVICES:
        bench = Bench(rig)
        line_up(bench, device)
        bench.advance(600.0)
        total += bench.time_s
    spent = time.process_time() - begin
    unit = property_cost()
    print(f"start-ups: {total / spent:.0f} rig-seconds a second, {spent / total / unit:.0f} evaluations a second")  # fmt: skip
    assert spent / total / unit < MANY_BUDGET

"""Contacts that fight: controls, resets and protectors may work against each other, but in seconds and minutes, not in microseconds."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from sim import Bench
from sim.columns import G_CONTACT


def kinds(bench: Bench) -> list[tuple[str, str]]:
    """(tag, kind) of every event."""
    return [(e.tag, e.kind) for e in bench.events]


def contacts_per_second(bench: Bench) -> float:
    """Most events within any second."""
    times = np.array([e.time_s for e in bench.events if e.kind != "command"])
    return max((int(((times >= t) & (times < t + 1.0)).sum()) for t in times), default=0)


def test_crossed_set_points_end_in_a_standing_plant_not_in_chatter(running: Bench) -> None:
    running.set("PSHH-1.set", 901325.0)
    running.set("PSL-1.set", 851325.0)
    running.advance(600.0)
    assert contacts_per_second(running) <= 6


def test_a_button_held_on_a_tripped_plant_does_not_chatter(running: Bench) -> None:
    """Reset every tenth of a second with the set point below the pressure: it holds only below the reset pressure."""
    running.set("PSHH-1.set", 901325.0)
    running.set("HS-3", "off")
    for _ in range(200):
        running.advance(0.1)
        running.set("PSHH-1.reset", 1.0)
    assert kinds(running).count(("PSHH-1", "trip")) < 60


@pytest.mark.parametrize("volts", [40.0, 60.0, 75.0, 90.0])
def test_a_stalled_motor_cycles_on_its_overload_in_minutes_not_in_milliseconds(another: Callable[[], Bench], volts: float) -> None:  # fmt: skip
    bench = another()
    bench.set("HS-4", "off")
    bench.advance(0.5)
    bench.set("supply_voltage_v", volts)
    bench.set("HS-4", "on")
    steps = bench.statistics["steps"]
    bench.advance(300.0)
    assert contacts_per_second(bench) <= 6
    assert bench.statistics["steps"] - steps < 10_000


def test_releasing_the_emergency_stop_does_not_start_the_machine(running: Bench) -> None:
    """ISO 13850 (from memory): the reset of an emergency stop only permits a restart."""
    running.set("HS-0", "pressed")
    running.advance(1.0)
    running.set("HS-0", "released")
    running.advance(5.0)
    assert running.readings()["compressor_speed_rpm"] == 0.0
    running.set("HS-4", "on")
    running.advance(1.0)
    assert bool(running.plant.glob[G_CONTACT])

"""Bookkeeping: the bench's cycle against one from CoolProp at its own pressures, superheats, subcooling, flow and efficiencies, within 0.5 %.

What is shared leaves only tables and sums to disagree: this says that the bench counts right, not that the plant is right (see ``test_steady_state``).
"""

from __future__ import annotations

import pytest

from sim.rig import Device, Mode
from sim.steady import cycle_states, differences, reference_of
from tests.oracle.bench_side import steady_bench

PERCENT = 0.5
DEVICES: list[tuple[Device, Mode]] = [
    ("capillary", "cooling"),
    ("hand", "cooling"),
    ("float", "cooling"),
    ("capillary", "heating"),
]


def cycle_differences(device: Device, mode: Mode = "cooling") -> dict[str, float]:
    bench = steady_bench(device, mode)
    states, readings = cycle_states(bench), bench.readings()
    found = differences(states, readings, reference_of(bench, states, readings))
    print({name: round(value, 3) for name, value in found.items()})
    return found


def test_the_thermostatic_cycle_agrees_with_coolprop() -> None:
    assert max(map(abs, cycle_differences("thermostatic").values())) <= PERCENT


@pytest.mark.full
@pytest.mark.parametrize(("device", "mode"), DEVICES)
def test_the_other_cycles_agree_with_coolprop(device: Device, mode: Mode) -> None:
    assert max(map(abs, cycle_differences(device, mode).values())) <= PERCENT

"""Every fault at three severities on every device for an hour: the plant stays a plant, its books close, the fault comes out, and an instrument tells it.

Instruments are held against those of a sound bench on the same clock (``sim.study.dials``); what does not show while a plant simply runs is given its
occasion, as the catalogue has it.
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from math import isfinite

import pytest

from sim import Bench, load_rig
from sim.faults import all_faults
from sim.rig import Device
from sim.session import line_up
from sim.study.dials import dials_of
from tests.sim.test_fault_occasions import rig_for

pytestmark = pytest.mark.full

DEVICES: tuple[Device, ...] = ("thermostatic", "capillary", "hand", "float")
SEVERITIES = (0.2, 0.6, 1.0)
WARM_S = 1800.0
HOUR = (2.0, 3.0, 5.0, 10.0, 20.0, 20.0, 60.0, 180.0, 300.0, 600.0, 1200.0, 1200.0)
"""Waits between looks, s; an hour in all."""
AFTER = (20.0, 100.0, 180.0, 600.0, 300.0)
"""Waits between looks after the last act of an occasion, s: what is slow shows soon, what is stuck when something has moved."""
CLOSES = 1e-6  # of all mass, and of all energy that went through; guess: far below any instrument
ONLY_ON: dict[str, tuple[Device, ...]] = {
    # a device that is shut off passes nothing, so what is wrong with it shows on no instrument
    "capillary-blocked": ("capillary",),
    "expansion-valve-starved": ("thermostatic",),
    "expansion-valve-oversized": ("thermostatic",),
    "expansion-valve-spring-broken": ("thermostatic",),
    "bulb-charge-lost": ("thermostatic",),
    "bulb-loose": ("thermostatic",),
    "bulb-badly-placed": ("thermostatic",),
    "equaliser-blocked": ("thermostatic",),
    "float-stuck-open": ("float",),
    "float-stuck-shut": ("float",),
    "float-needle-leaks": ("float",),
    # the valve that leaks in its seat is the capillary's, and stands open there
    "hand-valve-leaks": ("thermostatic", "hand", "float"),
}
UNTOLD: dict[tuple[str, Device], str] = {}
"""What no instrument tells though it is there, and why."""


@cache
def warm(device: Device, rig: str) -> Bench:
    bench = Bench(load_rig(rig))
    line_up(bench, device)
    bench.advance(WARM_S)
    return bench


def plan_for(name: str) -> list[tuple[str, object, float]]:
    """The hour, then the fault's occasion: (tag or '', value, wait)."""
    occasion = all_faults()[name].shown_by
    acts = occasion.acts if occasion else ()
    waits = [later.at_s - act.at_s for act, later in pairwise(acts)] + [0.0]
    plan: list[tuple[str, object, float]] = [("", None, wait_s) for wait_s in HOUR]
    plan += [(act.set, act.to, wait_s) for act, wait_s in zip(acts, waits, strict=False)]
    return plan + [("", None, wait_s) for wait_s in (AFTER if acts else ())]


def looks(bench: Bench, name: str) -> list[dict[str, float | str]]:
    """Readings along the plan; all numbers finite."""
    found = []
    for tag, value, wait_s in plan_for(name):
        if tag:
            bench.set(tag, value)  # type: ignore[arg-type]
        bench.advance(max(wait_s, 0.1))
        readings = dict(bench.readings())
        wrong = [key for key, one in readings.items() if not isinstance(one, str) and not isfinite(one)]  # fmt: skip
        assert wrong == []
        found.append(readings)
    return found


def books_close(bench: Bench) -> None:
    ledger = bench.ledger()
    assert abs(ledger["mass_closure"]) < CLOSES
    assert abs(ledger["energy_closure"]) < CLOSES


def told(name: str, device: Device, faulty: list[dict[str, float | str]]) -> set[str]:
    """Tags of the instruments that differ from those of a sound bench at some look."""
    healthy = warm(device, rig_for(name))
    sound = looks(healthy.fork(), name)
    dials = dials_of(healthy.rig)
    return {
        dial.tag
        for one, other in zip(sound, faulty, strict=True)
        for dial in dials
        if dial.has_moved(dial.shift(one, other))
    }


@pytest.mark.parametrize("device", DEVICES)
@pytest.mark.parametrize("name", sorted(all_faults()))
def test_a_fault_runs_for_an_hour_is_told_by_an_instrument_and_comes_out(name: str, device: Device) -> None:  # fmt: skip
    severities = SEVERITIES[-1:] if all_faults()[name].yes_or_no else SEVERITIES
    for severity in severities:
        bench = warm(device, rig_for(name)).fork()
        bench.insert_fault(name, severity)
        seen = looks(bench, name)
        books_close(bench)
        bench.remove_fault(name)
        bench.advance(60.0)
        assert name not in bench.faults
        assert isfinite(float(bench.readings()["suction_pressure_pa"]))
        books_close(bench)
    hidden = device not in ONLY_ON.get(name, DEVICES) or (name, device) in UNTOLD
    assert bool(told(name, device, seen)) != hidden

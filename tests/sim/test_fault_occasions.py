"""Every fault shows on an instrument: on the device and at the occasion that the catalogue gives it, and not without them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest

from sim import Bench, load_rig
from sim.faults import all_faults
from sim.rig import Device, Mode, Rig
from sim.session import start_bench
from sim.starts import Start
from sim.study.case import Case, case_of
from sim.study.dials import dials_of
from sim.study.survey import able
from sim.study.twins import Twins
from sim.tags import checked

LONG_ENOUGH_S = 900.0  # common practice: a quarter of an hour, after which pressures have settled

SHOWS_BEFORE = {"contactor-chatters"}
"""Its bad joint takes some volts all the time; what it is called after comes at a start."""


@cache
def rig_for(name: str) -> str:
    """The default rig, or its extended wiring for a fault that has no place without."""
    return "fennick_bench" if name in able(load_rig("fennick_bench")) else "fennick_bench:120v-extended"  # fmt: skip


@cache
def started(rig: str, device: Device, mode: Mode, around: tuple[tuple[str, float], ...]) -> Bench:
    return start_bench(load_rig(rig), Start(start="steady", device=device, mode=mode, surroundings=dict(around)))  # fmt: skip


def sound_for(case: Case, rig: str) -> Bench:
    """A bench of its own that runs steady as a case begins."""
    begin = case.start
    return started(rig, begin.device, begin.mode, tuple(begin.surroundings.items())).fork()


@pytest.mark.parametrize("name", sorted(all_faults()))
def test_at_its_worst_a_fault_moves_an_instrument_on_its_device_and_at_its_occasion(name: str) -> None:  # fmt: skip
    rig = load_rig(rig_for(name))
    case = case_of(rig, name)
    twins, dials = Twins(case, sound_for(case, rig_for(name))), dials_of(rig)
    grid = ((case.last_act_s + 20.0, 5.0), (LONG_ENOUGH_S, 30.0))
    looks = twins.aftermath(0.0, case.last_act_s + LONG_ENOUGH_S, grid)
    moved = (dial.has_moved(dial.shift(look.healthy, look.faulty)) for look in looks for dial in dials)  # fmt: skip
    assert any(moved)


@pytest.mark.parametrize(
    "name", sorted({name for name, fault in all_faults().items() if fault.shown_by} - SHOWS_BEFORE)
)
def test_without_its_occasion_such_a_fault_moves_nothing(name: str) -> None:
    rig = load_rig(rig_for(name))
    case = case_of(rig, name)
    simply = Case(rig, replace(case.sheet, actions=()))
    for look in Twins(simply, sound_for(simply, rig_for(name))).aftermath(
        0.0, 60.0, ((60.0, 10.0),)
    ):
        for dial in dials_of(rig):
            assert not dial.has_moved(dial.shift(look.healthy, look.faulty)), dial.tag


def test_every_act_of_an_occasion_can_be_done_on_its_rig(fit_for: Callable[[str], Bench]) -> None:
    for name, fault in all_faults().items():
        for act in fault.shown_by.acts if fault.shown_by else ():
            info = {one.tag: one for one in fit_for(name).tags()}[act.set]
            checked(info, act.to)


def test_an_occasion_that_cannot_be_is_left_out_with_its_reason(rig: Rig) -> None:
    heating = case_of(rig, "reversing-valve-stuck", mode="heating")
    assert (heating.occasion, heating.sheet.actions) == (None, ())
    assert heating.hindered == "the plant is in heating already"
    assert heating.start.device == "capillary"  # the rig's only way of heating
    assert case_of(rig, "pilot-tube-blocked", device="hand").hindered == "it needs the capillary device"  # fmt: skip
    bare = replace(rig, switches=tuple(one for one in rig.switches if one.tag != "HS-4"))
    stop = all_faults()["gauge-stuck"].shown_by
    assert stop is not None
    assert stop.hindered_on(bare, "thermostatic", "cooling") == f"{rig.title} has no HS-4"


def test_a_device_that_is_asked_for_is_kept(rig: Rig) -> None:
    assert case_of(rig, "capillary-blocked").start.device == "capillary"
    assert case_of(rig, "capillary-blocked", device="hand").start.device == "hand"
    assert case_of(rig, "condenser-fouled").start.device == "thermostatic"

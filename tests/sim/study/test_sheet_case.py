"""A run sheet is rehearsed as it would be run, beside the same sheet without its faults."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.bench import Bench
from sim.errors import InputError
from sim.rig import Rig, load_rig
from sim.run_bench import run_on
from sim.run_sheet import Action, FaultEntry, RunSheet, WiringFault
from sim.session import start_bench
from sim.study.card import Card, as_record, rehearse
from sim.study.case import Case, case_of_sheet
from sim.study.recovery import Recovery, Step
from sim.study.twins import COARSE, Twins, Watched

FOULED = FaultEntry(at_s=40.0, name="condenser-fouled", severity=0.3, ramp_s=20.0)
AIRLESS = FaultEntry(
    at_s=90.0, name="evaporator-fouled", severity=0.5, until_s=130.0, period_s=20.0
)
START = (
    Action(at_s=5.0, set={"HS-1": "on", "HS-2": "low", "HS-3": "high", "HS-6": "on"}),
    Action(at_s=20.0, set={"HS-4": "on"}),
    Action(at_s=100.0, set={"HS-3": "low"}),
)
COLD = RunSheet(
    rig="fennick_bench", duration_s=200.0, device="thermostatic", actions=START,
    faults=(FOULED, AIRLESS),
)  # fmt: skip
STEADY = replace(COLD, start="steady", actions=())


def run_by_sheet(rig: Rig, sheet: RunSheet, end_s: float) -> Bench:
    """What ``rimebench run`` does with the sheet, up to an instant."""
    bench = start_bench(rig, sheet.beginning)
    run_on(bench, sheet.until(end_s), lambda _time, _row: None)
    return bench


@pytest.mark.parametrize("faulty", [True, False])
def test_each_twin_does_what_the_sheet_with_or_without_its_faults_does(
    rig: Rig, faulty: bool
) -> None:
    case = case_of_sheet(rig, COLD)
    twin = Watched(case.healthy(), case, faulty=faulty)
    for at_s in (0.0, 30.0, 57.0, 120.0):
        readings = twin.go_to(at_s)
    sheet = COLD if faulty else replace(COLD, faults=())
    assert readings == run_by_sheet(rig, sheet, 160.0).readings()


def test_its_clock_begins_with_the_first_fault_and_ends_with_the_sheet(rig: Rig) -> None:
    case = case_of_sheet(rig, COLD)
    assert (case.begun_s, case.look_s) == (40.0, 160.0)
    assert case.healthy().time_s == pytest.approx(40.0)


def test_a_limit_that_the_plant_reaches_without_the_fault_is_none_of_its_consequences(
    rig: Rig,
) -> None:
    # the solenoid shuts: the low side is pumped down and the low-pressure control opens, fault or none
    shut = (Action(at_s=10.0, set={"HS-6": "off"}),)
    nothing = (FaultEntry(at_s=0.0, name="condenser-fouled", severity=1e-9),)
    case = case_of_sheet(rig, replace(STEADY, actions=shut, faults=nothing, duration_s=120.0))
    twins = Twins(case, case.healthy())
    assert [limit for look in twins.looks(case.look_s, COARSE) for limit in look.limits] == []
    assert "PSL-1" in {limit.tag for limit in twins.faulty.lookout.found}


def test_putting_it_right_takes_every_fault_out_and_stops_following_the_sheet(rig: Rig) -> None:
    late = replace(FOULED, at_s=190.0, name="overcharge", ramp_s=0.0)
    case = case_of_sheet(
        rig, replace(STEADY, faults=(FOULED, replace(AIRLESS, until_s=None), late))
    )
    healthy = case.healthy()
    twins = Twins(case, healthy)
    twins.faulty.go_to(100.0)
    twins.healthy.go_to(100.0)
    steps = Recovery(case, twins, healthy).carry_out()
    assert [step.do.partition(":")[0] for step in steps[:2]] == [
        "take away condenser-fouled",
        "take away evaporator-fouled",
    ]
    assert not twins.faulty.bench.faults


def put_right(rig: Rig, fault: FaultEntry) -> tuple[list[Step], Twins, float]:
    """The recipe for a fault of a steady plant, the pair behind it, and what was missing before."""
    case = case_of_sheet(rig, replace(STEADY, faults=(fault,), duration_s=400.0))
    healthy = case.healthy()
    twins = Twins(case, healthy)
    for _ in twins.looks(case.look_s, COARSE):
        pass
    missing_kg = twins.healthy.bench.total_mass_kg - twins.faulty.bench.total_mass_kg
    return Recovery(case, twins, healthy).carry_out(), twins, missing_kg


@pytest.mark.full
def test_a_plant_that_stops_again_after_it_was_put_right_is_said_to_and_is_not_back(
    rig: Rig,
) -> None:
    # the water stays when the fault is taken away: it freezes in the device again, and the low-pressure control stops the machine
    steps, twins, _ = put_right(rig, FaultEntry(at_s=0.0, name="moisture"))
    assert {"PSL-1", "F1"} & {step.do.split(" ")[0].strip(",") for step in steps}
    assert steps[-1].wait_s is None
    assert "PSL-1" in {event.tag for event in twins.faulty.bench.events}


@pytest.mark.parametrize("severity", [0.5, 1.0])
def test_what_an_undercharge_took_is_put_back_by_mass_and_the_plant_runs_as_before(rig: Rig, severity: float) -> None:  # fmt: skip
    steps, twins, missing_kg = put_right(rig, FaultEntry(at_s=0.0, name="undercharge", severity=severity))  # fmt: skip
    healthy, mended = twins.healthy.bench, twins.faulty.bench
    (charged,) = [step for step in steps if step.do.startswith("recharge ")]
    grams = float(charged.do.split()[1])
    assert grams == pytest.approx(1000.0 * missing_kg, abs=0.5)
    assert missing_kg > 0.9 * severity * rig.charge_kg  # by definition of the severity; at the worst it stops before all is gone  # fmt: skip
    assert charged.wait_s == pytest.approx(grams * 60.0 / 100.0, rel=0.01)  # 100 g a minute
    assert mended.total_mass_kg == pytest.approx(healthy.total_mass_kg, abs=2e-3)  # common practice: a step of the scale  # fmt: skip
    assert all(step.wait_s is not None for step in steps)
    assert float(mended.readings()["receiver_level"]) == pytest.approx(float(healthy.readings()["receiver_level"]), abs=0.02)  # fmt: skip


def test_what_an_overcharge_brought_is_recovered_by_mass(rig: Rig) -> None:
    steps, twins, _ = put_right(rig, FaultEntry(at_s=0.0, name="overcharge"))
    (recovered,) = [step for step in steps if step.do.startswith("recover ")]
    assert float(recovered.do.split()[1]) == pytest.approx(500.0 * rig.charge_kg, rel=0.01)
    assert twins.faulty.bench.total_mass_kg == pytest.approx(twins.healthy.bench.total_mass_kg, abs=2e-3)  # fmt: skip
    assert all(step.wait_s is not None for step in steps)


def test_a_fault_of_the_wiring_is_rehearsed_and_mended_with_the_others() -> None:
    rig = load_rig("fennick_bench:120v")
    loose = WiringFault(at_s=60.0, branch="W55", state="series", ohm=2.0)
    case = case_of_sheet(rig, replace(STEADY, rig=rig.name, wiring_faults=(loose,)))
    assert (case.on_a_real_rig, case.single) == ("trained staff only", None)
    assert next(iter(rehearse(case)))[1].cautions != []
    healthy = case.healthy()
    twins = Twins(case, healthy)
    sound, faulty = twins.healthy.go_to(60.0), twins.faulty.go_to(60.0)
    assert faulty["current_a"] != sound["current_a"]
    Recovery(case, twins, healthy).carry_out()
    assert twins.faulty.bench.wiring.supply.electrical == {}


@pytest.mark.parametrize(
    "wrong",
    [
        WiringFault(at_s=0.0, bridge=("L.1", "N.1")),
        WiringFault(at_s=0.0, branch="K1.main", state="stuck-closed"),
    ],
)
def test_a_bridge_or_a_welded_contact_is_never_staged(rig: Rig, wrong: WiringFault) -> None:
    # 29 CFR 1910.333 and common practice: no protective device is defeated on a live circuit
    case = Case(rig, replace(STEADY, wiring_faults=(wrong,)))
    assert not case.may_be_staged
    assert as_record(Card(case, 23.0, []))["on_a_real_rig"] == "never"


def test_a_sheet_without_a_fault_or_without_time_to_see_it_is_refused(rig: Rig) -> None:
    with pytest.raises(InputError, match="no fault"):
        case_of_sheet(rig, replace(COLD, faults=()))
    with pytest.raises(InputError, match="lengthen duration_s to at least 50"):
        case_of_sheet(rig, replace(COLD, duration_s=45.0))


def test_a_fault_of_a_sheet_waits_for_its_event(rig: Rig) -> None:
    waits = replace(FOULED, at_s=0.0, ramp_s=0.0, on="command:HS-3")
    actions = (Action(at_s=30.0, set={"HS-3": "low"}),)
    sheet = replace(STEADY, faults=(waits,), actions=actions)
    for end_s, since_s in ((29.0, float("inf")), (31.0, 30.0)):
        (fault,) = run_by_sheet(rig, sheet, end_s).faults.values()
        assert fault.since_s == pytest.approx(since_s)


def test_two_intermittent_faults_of_a_sheet_do_not_come_and_go_together(rig: Rig) -> None:
    pair = tuple(
        replace(AIRLESS, name=name, at_s=0.0, until_s=None)
        for name in ("condenser-fouled", "evaporator-fouled")
    )
    sheet = replace(COLD, faults=pair)
    first, second = (sheet.onset_of(one) for one in pair)
    assert (first.period_s, first.duty) == (20.0, 0.5)
    assert first.window(0) != second.window(0)

"""How a bench is put right: with the panel dead where hands go into it, and back when it stands as a plant that nobody has touched."""

from __future__ import annotations

import pytest

from sim.faults import all_faults
from sim.rig import Rig
from sim.study.case import case_of
from sim.study.recovery import Recovery
from sim.study.twins import COARSE, Twins


def watched(rig: Rig, name: str, seconds: float) -> tuple[Twins, Recovery]:
    """The pair after so long with a fault, and what puts it right."""
    case = case_of(rig, name)
    healthy = case.healthy()
    twins = Twins(case, healthy)
    for _ in twins.looks(seconds, COARSE):
        pass
    return twins, Recovery(case, twins, healthy)


def test_hands_go_into_the_wiring_only_when_the_panel_is_dead(rig: Rig, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    twins, recovery = watched(rig, "overload-open", 60.0)
    seen: list[tuple[str, float]] = []
    bench = twins.faulty.bench
    remove = bench.remove_fault

    def noting(name: str, *, place: str | None = None) -> None:
        seen.append((name, float(bench.readings()["voltage_v"])))
        remove(name, place=place)

    monkeypatch.setattr(bench, "remove_fault", noting)
    steps = recovery.carry_out()
    [(name, volts)] = seen
    assert name == "overload-open"
    assert volts == pytest.approx(0.0, abs=0.01)
    assert steps[0].do.startswith(
        "HS-4 off, HS-1 off, lock off, prove dead; take away overload-open"
    )
    assert [step.do for step in steps[1:4]] == ["HS-1 on", "wait", "HS-4 on"]


@pytest.mark.parametrize("name", [name for name, fault in all_faults().items() if fault.electrical])
def test_a_fault_of_the_wiring_is_taken_away_with_the_panel_dead_or_from_outside(name: str) -> None:
    """Common practice: whoever opens a panel isolates it first; a switch of the fault board and the mains' own trouble need no hand in it."""
    outside = ("close the circuit", "mend the supply", "use the right supply")
    assert all_faults()[name].isolate or all_faults()[name].removal in outside


def test_a_plant_is_back_when_it_stands_as_before_the_occasion(rig: Rig) -> None:
    """With its fan off the sound twin trips as well; what is mended is compared with a plant that nobody has touched."""
    twins, recovery = watched(rig, "selector-welded", 400.0)
    assert twins.healthy.bench.controls.latched == {"PSHH-1"}
    steps = recovery.carry_out()
    assert all(step.wait_s is not None for step in steps)

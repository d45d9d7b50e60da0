"""The catalogue: every fault goes in and comes out without a trace in the tables, and has what an instructor needs to know."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from sim import Bench
from sim.cautions import all_cautions
from sim.errors import InputError
from sim.faults import all_faults
from sim.knobs import Combined
from sim.onset import Onset
from sim.places import places_on
from sim.run_check import check_sheet
from sim.saving import PLANT
from sim.study.case import case_of
from sim.study.survey import able

# the names that other work relies on
RELIED_ON = [
    "undercharge",
    "overcharge",
    "non-condensable",
    "condenser-fouled",
    "condenser-air-low",
    "condenser-fan-open",
    "evaporator-fouled",
    "evaporator-air-low",
    "evaporator-fan-open",
    "liquid-line-restricted",
    "capillary-blocked",
    "expansion-valve-starved",
    "bulb-charge-lost",
    "bulb-loose",
    "float-stuck-open",
    "float-stuck-shut",
    "discharge-valve-leak",
    "pumping-worn",
    "reversing-valve-leak",
    "reversing-valve-stuck",
    "suction-line-restricted",
    "supply-voltage-low",
    "start-winding-open",
    "start-capacitor-open",
    "start-relay-open",
    "start-relay-welded",
    "overload-open",
    "contactor-welded",
    "high-pressure-cutout-open",
]

BEYOND = {"restart-timer-failed", "fan-capacitor-weak"}
"""What the default wiring has nothing to break for."""


@pytest.mark.parametrize("severity", [0.2, 0.6, 1.0])
def test_every_fault_comes_out_again_and_leaves_the_tables_as_they_were(fit_for: Callable[[str], Bench], severity: float) -> None:  # fmt: skip
    for name in all_faults():
        bench = fit_for(name)
        if all_faults()[name].lets_air_in:
            bench.admit_gas()  # renumbers the states, for good
        bench.set("HV-42", bench.commands["HV-42"])  # a command that changes nothing
        tables = [
            table for table in PLANT if table not in ("feed", "coil", "glob")
        ]  # these follow the mains, which sag with the motor's present current
        before = {table: getattr(bench.plant, table).tobytes() for table in tables}
        lags, branches = bench.watch.tau.tobytes(), dict(bench.supply.state.faults)  # type: ignore[attr-defined]  # fmt: skip
        bench.insert_fault(name, severity)
        bench.remove_fault(name)
        after = {table: getattr(bench.plant, table).tobytes() for table in tables}
        # a trip, or a valve that fell shut, stays as it is on a real plant: its plunger follows the coil, and the coil its voltage
        if name not in ("supply-open", "winding-to-frame", "valve-coil-open"):
            assert {t for t in tables if before[t] != after[t]} == set(), name
        assert (bench.watch.tau.tobytes(), bench.supply.state.faults) == (lags, branches), name  # type: ignore[attr-defined]  # fmt: skip
        assert not bench.wrong
        assert not bench.controls.set_error


def test_the_names_that_other_work_relies_on_are_there() -> None:
    assert set(RELIED_ON) <= set(all_faults())


def test_every_fault_tells_what_an_instructor_needs() -> None:
    known = set(all_cautions())
    for name, fault in all_faults().items():
        texts = (fault.what, fault.severity, fault.removal, fault.trace, fault.source)
        assert all(texts), name
        assert fault.what.endswith("."), name
        assert fault.cautions, name
        assert set(fault.cautions) <= known, name


def test_every_caution_that_names_a_fault_names_one_of_the_catalogue_or_one_still_missing() -> None:
    named = {one.partition(":")[2] for caution in all_cautions().values() for one in caution.applies if one.startswith("fault:")}  # fmt: skip
    assert named - set(all_faults()) <= {"non-condensable"}


def test_every_fault_has_a_place_on_the_default_rig_or_on_its_extended_wiring(running: Bench, extended: Callable[[], Bench]) -> None:  # fmt: skip
    more = extended().rig
    for fault in all_faults().values():
        assert bool(fault.places) == bool(places_on(more, fault.places)), fault.name
    assert set(all_faults()) - set(able(running.rig)) == BEYOND


def test_a_fault_without_a_place_says_on_which_wiring_it_has_one(running: Bench) -> None:
    with pytest.raises(InputError, match="name fennick_bench:120v-extended"):
        running.insert_fault("restart-timer-failed")
    with pytest.raises(InputError, match="name fennick_bench:120v-extended"):
        case_of(running.rig, "restart-timer-failed")


def test_one_fault_can_sit_at_two_places_at_once(running: Bench) -> None:
    running.insert_fault("gauge-offset", 1.0)
    running.insert_fault("gauge-offset", 0.5, place="PI-2")
    readings = running.readings()
    low, high = (float(readings[f"{one}_pressure_pa_shown"]) - float(readings[f"{one}_pressure_pa"]) for one in ("suction", "discharge"))  # fmt: skip
    assert low == pytest.approx(1e5, abs=0.3e5)  # class and noise of the gauges
    assert high == pytest.approx(0.5e5, abs=0.4e5)
    running.remove_fault("gauge-offset", place="PI-2")
    assert set(running.faults) == {"gauge-offset"}


def test_a_place_that_a_fault_cannot_have_is_refused_with_those_it_can(running: Bench) -> None:
    with pytest.raises(InputError, match="PI-1, PI-2"):
        running.insert_fault("gauge-offset", place="TI-1")


def test_a_sheet_with_a_place_that_a_fault_cannot_have_is_wrong(running: Bench, tmp_path: Path) -> None:  # fmt: skip
    path = tmp_path / "sheet.toml"
    entry = '[[fault]]\nat_s = 1\nname = "gauge-offset"\nplace = "{}"\n'
    sheet = 'rig = "fennick_bench"\nduration_s = 10\n' + entry.format("PI-2") + entry.format("PI-7")
    path.write_text(sheet, encoding="utf-8")
    found = check_sheet(
        path, lambda name, near: running.rig, lambda _: running.tags(), all_faults()
    )[2]
    assert [(one.line, "cannot sit at PI-7" in one.what) for one in found] == [(10, True)]


def test_a_fork_and_a_save_keep_faults_and_what_they_do(running: Bench, tmp_path: Path) -> None:
    running.insert_fault("gauge-offset", 1.0)
    running.insert_fault("gauge-stuck", 1.0, place="PI-2")
    running.insert_fault("thermometers-swapped", 1.0)
    running.insert_fault("condenser-fan-open", 1.0)
    running.insert_fault("bulb-loose", 0.5, onset=Onset(period_s=20.0, duty=0.3, seed=4))
    running.save(tmp_path / "bench.npz")
    others = [running.fork(), Bench.load(tmp_path / "bench.npz")]
    for bench in (running, *others):
        bench.advance(47.0)
    assert all(one.faults == running.faults for one in others)
    assert all(one.readings() == running.readings() for one in others)


# --- how several faults add up ---


def test_factors_multiply_offsets_add_and_a_set_wins() -> None:
    both = Combined(factor=0.5 * 0.4, offset=1.0 + 2.0)
    assert both.of(10.0) == pytest.approx(5.0)
    both.set(7.0)
    both.set(4.0)
    assert both.of(10.0) == 4.0


# --- onset ---


def test_a_fault_can_wait_for_its_time_and_for_an_event(running: Bench) -> None:
    start = running.time_s
    running.insert_fault("pumping-worn", 1.0, onset=Onset(at_s=start + 10.0))
    running.insert_fault("condenser-air-low", 0.5, onset=Onset(on="command:HS-3"))
    air = float(running.readings()["condenser_air_flow_kg_s"])
    running.advance(9.0)
    assert running.plant.wear[1] == 0.0
    running.advance(2.0)
    assert running.plant.wear[1] == pytest.approx(0.5)
    assert float(running.readings()["condenser_air_flow_kg_s"]) == pytest.approx(air, rel=0.02)
    running.set("HS-3", "low")
    running.set("HS-3", "high")
    running.advance(1.0)
    assert float(running.readings()["condenser_air_flow_kg_s"]) == pytest.approx(0.5 * air, rel=0.03)  # fmt: skip


def test_an_intermittent_fault_is_there_for_its_duty_and_by_its_seed() -> None:
    onset = Onset(period_s=10.0, duty=0.3, seed=7)
    seen = [onset.share(0.01 * k) for k in range(100_000)]
    assert set(seen) == {0.0, 1.0}
    assert sum(seen) / len(seen) == pytest.approx(0.3, abs=0.005)
    assert seen == [Onset(period_s=10.0, duty=0.3, seed=7).share(0.01 * k) for k in range(100_000)]
    assert [onset.window(k) for k in range(5)] != [Onset(period_s=10.0, duty=0.3, seed=8).window(k) for k in range(5)]  # fmt: skip


def test_an_intermittent_fault_comes_and_goes_on_the_bench(running: Bench) -> None:
    onset = Onset(period_s=10.0, duty=0.4, seed=3)
    begin = running.time_s
    running.insert_fault("start-relay-welded", 1.0, onset=onset)
    for k in range(1, 60):
        running.advance(0.5)
        there = "K2.start" in running.supply.state.faults  # type: ignore[attr-defined]
        assert there == (onset.share(running.time_s - begin) > 0.0), k


@pytest.mark.parametrize(
    ("onset", "word"),
    [
        (Onset(period_s=0.1), "period_s"),
        (Onset(period_s=5.0, duty=0.0), "duty"),
        (Onset(period_s=5.0, ramp_s=3.0), "intermittent"),
        (Onset(at_s=0.0), "already"),
        (Onset(seed=-1), "seed"),
    ],
)
def test_an_onset_that_cannot_be_is_refused(running: Bench, onset: Onset, word: str) -> None:
    with pytest.raises(InputError, match=word):
        running.insert_fault("pumping-worn", 1.0, onset=onset)

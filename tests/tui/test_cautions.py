"""Cautions are asked before the act, and their words are the file's."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.cautions import all_cautions, cautions_for
from sim.errors import InputError
from sim.rig import load_rig
from sim.session import open_bench
from tests.tui.conftest import RIGS
from tests.tui.fake_bench import ROLES, SPACES, FakeBench, FakeSnapshot, steady_bench
from tests.tui.fake_wiring import fake_plan, measured
from tui.cautions import (
    all_lines,
    asked_before,
    before,
    first_run_lines,
    for_meter,
    lines_of,
    live_volts,
    of_events,
)
from tui.glossary import entry_lines, glossary
from tui.meter import MeterDesk, Use
from tui.plain.checks import check_of
from tui.questions import all_questions, read_questions
from tui.report import Report
from tui.roles import DISCHARGE, PROTECTS, REVERSES, STARTS, SUCTION, Roles, roles_of
from tui.roles import ROLES as ROLE_NAMES
from tui.spaces import spaces_of
from tui.vessel_card import vessel_kind
from tui.words import UNIT_CHOICES, Units

ABOUT = Report(spaces=SPACES, roles=ROLES)


def test_words_come_from_the_file_and_nothing_is_left_out() -> None:
    lines = "\n".join(all_lines("A1"))
    for caution in all_cautions().values():
        assert caution.text.replace("{class}", "A1") in lines


def test_the_first_start_shows_the_general_caution() -> None:
    assert any("Practice only" in line for line in first_run_lines())


def test_symbol_and_word_stand_before_every_caution() -> None:
    assert all(line.startswith("[") and ": " in line for line in first_run_lines())


def test_shutting_in_liquid_is_asked_about() -> None:
    bench = steady_bench()
    bench.set("HV-22", 0.0)
    assert before("HV-12", 0.0, bench.snapshot(), SPACES, roles=ROLES) == ("trapped",)
    assert before("HV-12", 1.0, bench.snapshot(), SPACES, roles=ROLES) == ()


def test_the_question_names_what_would_be_shut_in_and_the_valves_at_its_ends() -> None:
    bench = open_bench("fennick_bench", "steady", device="hand")
    about = Report(spaces=spaces_of(bench.rig), roles=roles_of(bench.rig))
    bench.set("HV-22", 0.0)
    assert asked_before("HV-12", 0.0, bench.snapshot(), about).lines[1:] == [
        "Between HV-12, HV-13, HV-21, HV-22, HV-23 and HV-24 there would be nothing but liquid (liquid header at the metering devices and liquid line up to XV-1): leave a way out of it open."
    ]


def test_a_valve_with_a_way_out_beyond_it_is_not_asked_about() -> None:
    assert before("HV-12", 0.0, steady_bench().snapshot(), SPACES, roles=ROLES) == ()


def test_service_valves_are_asked_about_only_while_the_compressor_runs() -> None:
    assert before("HV-42", 0.0, steady_bench().snapshot(), SPACES, roles=ROLES) == ("protective",)
    assert before("HV-41", 0.0, steady_bench().snapshot(), SPACES, roles=ROLES) == ("vacuum",)
    assert before("HV-42", 0.0, FakeBench().snapshot(), SPACES, roles=ROLES) == ()


def test_protective_switches_are_never_set_or_reset_without_reading() -> None:
    for tag in ("PSHH-1.set", "PSHH-1.reset", "PSL-1.set"):
        assert before(tag, "press", FakeBench().snapshot(), SPACES, roles=ROLES) == ("protective",)


def test_the_emergency_stop_never_asks() -> None:
    assert before("HS-0", "pressed", steady_bench().snapshot(), SPACES, roles=ROLES) == ()


def test_every_id_that_the_screen_asks_for_is_in_the_file() -> None:
    for ids in (
        ("trapped",),
        ("protective",),
        ("vacuum",),
        ("isolate",),
        ("capacitor",),
        ("terminals",),
    ):
        assert len(lines_of(ids)) == 1


def test_a_live_lead_is_asked_about_and_a_dead_one_is_not() -> None:
    plan, bench = fake_plan(), steady_bench()
    assert before("W56", "lifted", bench.snapshot(), SPACES, plan) == ("isolate",)
    assert live_volts("W56", "lifted", bench.snapshot(), plan) > 100.0
    bench.set("HS-1", "off")
    assert before("W56", "lifted", bench.snapshot(), SPACES, plan) == ()


def test_the_terminal_cover_asks_always_and_more_when_its_terminals_are_live() -> None:
    plan, bench = fake_plan(), steady_bench()
    assert before("M1.cover", "open", bench.snapshot(), SPACES, plan) == ("terminals", "isolate")
    assert before("M1.cover", "shut", bench.snapshot(), SPACES, plan) == ()
    bench.set("HS-1", "off")
    assert before("M1.cover", "open", bench.snapshot(), SPACES, plan) == ("terminals",)


def test_a_jumper_a_discharge_and_a_reset_are_asked_about_and_taking_a_jumper_off_is_not() -> None:
    plan, snapshot = fake_plan(), steady_bench().snapshot()
    assert before("jumper.1", "TS-1.1", snapshot, SPACES, plan) == ("protective", "isolate")
    assert before("jumper.1", "none", snapshot, SPACES, plan) == ()
    assert before("C1.discharge", 1.0, snapshot, SPACES, plan) == ("capacitor",)
    assert before("F3.reset", 1.0, snapshot, SPACES, plan) == ("protective",)


def test_beside_the_meter_stand_the_cautions_of_mode_place_and_refusal() -> None:
    plan, bench = fake_plan(), steady_bench()
    assert for_meter(plan, MeterDesk(cursor="HS-4.1"), None) == ()
    assert for_meter(plan, MeterDesk(cursor="HS-4.1", knob=3), None) == ("isolate",)
    assert for_meter(plan, MeterDesk(cursor="W56"), None) == ("terminals",)
    assert for_meter(plan, MeterDesk(cursor="N.1", probes=["C1.1", "C1.2"]), None) == ("capacitor",)
    refused = measured(Use("ohms", ("L.1", "N.1")), bench.snapshot().circuit)  # type: ignore[arg-type]
    assert for_meter(plan, MeterDesk(cursor="N.1"), refused) == ("isolate",)


def words_before(tag: str, value: str | float, snapshot: FakeSnapshot, units: Units = UNIT_CHOICES[0]) -> str:  # fmt: skip
    return " ".join(asked_before(tag, value, snapshot, ABOUT, units=units).lines)


def test_a_start_against_pressure_is_asked_about_and_one_at_rest_is_not() -> None:
    """Common practice: let the pressures draw together before a small compressor starts again. 7.15 bar are 103.7 psi."""
    stopped = steady_bench()
    stopped.set("HS-4", "off")
    apart, at_rest = stopped.snapshot(), FakeBench().snapshot()
    assert "stand 7.2 bar apart" in words_before("HS-4", "on", apart)
    assert "stand 104 psi apart" in words_before("HS-4", "on", apart, UNIT_CHOICES[1])
    assert words_before("HS-4", "off", apart) == words_before("HS-3", "on", apart) == ""
    assert words_before("HS-4", "on", at_rest) == ""


@pytest.mark.parametrize(("valve", "words"), [("HV-41", "into a vacuum"), ("HV-42", "into a dead end")])  # fmt: skip
def test_a_start_with_a_service_valve_shut_is_asked_about_as_shutting_it_is(valve: str, words: str) -> None:  # fmt: skip
    at_rest = FakeBench()
    at_rest.set(valve, 0.0)
    asked = asked_before("HS-4", "on", at_rest.snapshot(), ABOUT)
    assert asked.warns
    assert words in " ".join(asked.lines)
    running = steady_bench()
    assert before("HS-4", "on", at_rest.snapshot(), SPACES, roles=ROLES) == before(valve, 0.0, running.snapshot(), SPACES, roles=ROLES)  # fmt: skip


def test_a_solenoid_that_shuts_liquid_in_is_asked_about_as_a_valve_is() -> None:
    bench = open_bench("fennick_bench", "steady", device="hand")
    spaces = spaces_of(bench.rig)
    assert before("HS-6", "off", bench.snapshot(), spaces) == ()
    bench.set("HV-12", 0.0)
    assert before("HS-6", "off", bench.snapshot(), spaces) == ("trapped",)
    assert before("HS-1", "off", bench.snapshot(), spaces) == ("trapped",)
    assert before("HS-6", "on", bench.snapshot(), spaces) == ()
    assert before("HS-2", "off", bench.snapshot(), spaces) == ()


def test_events_that_can_hurt_have_their_cautions() -> None:
    """design/cautions: the relief's is shown at its event, seen ahead or lived through, gas where it blows out."""
    ids = {kind: [one.id for one in cautions_for(f"event:{kind}")] for kind in ("lift", "burst", "trip", "command")}  # fmt: skip
    assert ids == {"lift": ["relief", "gas"], "burst": ["trapped", "gas"], "trip": ["protective"], "command": []}  # fmt: skip
    assert of_events(["lift"]) == lines_of(("relief", "gas"))
    assert of_events(["contact"]) == []


def test_terms_for_what_a_technician_does_carry_its_caution() -> None:
    for term, caution in (("pump-down", "vacuum"), ("line-up", "pressure")):
        assert lines_of((caution,))[0] in entry_lines(glossary()[term])


@pytest.mark.parametrize("vessel", ["receiver", "accumulator", "filter drier", "float drum"])
def test_every_vessel_has_a_check_and_a_caution(vessel: str) -> None:
    assert vessel_kind(vessel) == vessel
    assert check_of(vessel)
    assert "pressure" in [one.id for one in cautions_for(f"part:{vessel}")]


def test_another_rigs_switches_get_the_questions_too() -> None:
    """The same bench whose tags are other people's: the question goes with the role."""
    stopped, running = steady_bench(), steady_bench()
    stopped.set("HS-4", "off")
    other = Report(roles=Roles((("HS-1", STARTS), ("HS-7", REVERSES), ("HV-11", SUCTION), ("HV-12", DISCHARGE), ("TS-1", PROTECTS))))  # fmt: skip
    asked = {(tag, value): asked_before(tag, value, bench.snapshot(), other) for bench, tag, value in ((stopped, "HS-1", "on"), (running, "HS-7", "closed"), (running, "HV-11", 0.0), (running, "HV-12", 0.0), (running, "TS-1.set", 280.0), (stopped, "HS-4", "on"), (running, "HV-41", 0.0))}  # fmt: skip
    assert [tag for (tag, _), one in asked.items() if one.warns] == ["HS-1", "HS-7", "HV-11", "HV-12", "TS-1.set"]  # fmt: skip


def test_reversing_is_judged_by_how_the_plant_stands() -> None:
    running, apart, at_rest = steady_bench(), steady_bench(), FakeBench()
    apart.set("HS-4", "off")
    found = [asked_before("HS-5", "heating", one.snapshot(), ABOUT, guarded=True) for one in (running, apart, at_rest)]  # fmt: skip
    assert [one.warns for one in found] == [True, True, False]
    for one, words in zip(found, ("running now", "7.2 bar apart", "this is the moment"), strict=True):  # fmt: skip
        assert words in " ".join(one.lines)
        assert one.lines[0] == "HS-5 is under a guard."


def test_the_roles_of_the_default_rig_are_read_off_it() -> None:
    """By its piping: HV-41 leads into the compressor's suction, HV-42 out of its head; HS-4 works the compressor, HS-5 the reversing valve."""
    found = roles_of(load_rig(RIGS / "fennick_bench"))
    assert dict(found.of) == dict(ROLES.of)


def test_a_question_that_cannot_be_asked_is_refused_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "cautions.toml"
    path.write_text('[[question]]\nrole = "starts the compresor"\nto = "on"\nwhen = "running"\nsource = "here"\ncautions = ["vacum"]\n')  # fmt: skip
    with pytest.raises(InputError) as caught:
        read_questions(path)
    assert {mistake.line for mistake in caught.value.mistakes} == {2, 6}


def test_every_question_of_the_file_is_asked_at_some_time() -> None:
    assert {one.role for one in all_questions()} == set(ROLE_NAMES)
    assert all(one.text or one.cautions for one in all_questions())
    assert all(one.source for one in all_questions())

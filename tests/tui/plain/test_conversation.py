"""Whole conversations with the real bench."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from sim.errors import PlantError
from sim.session import open_bench
from tests.tui.plain.conftest import START, Converse, Typist, number
from tui.plain.talk import MOMENT_S

SMALL = Path(__file__).parents[2] / "data" / "small_rig"


def test_the_first_words_are_the_caution_then_what_it_is_and_where_the_bench_stands(converse: Converse) -> None:  # fmt: skip
    said = converse()
    order = [said.text.index(words) for words in ("Practice only.", "Rimebench in plain sentences", "Lined up for cooling on the hand expansion valve.", "Everything at the panel is off.", "Type help")]  # fmt: skip
    assert order == sorted(order)
    assert said.code == 0
    assert all(line.isascii() and len(line) <= 78 for line in said.lines)


def test_a_person_runs_the_plant_changes_to_the_thermostatic_valve_and_stops_it(converse: Converse) -> None:  # fmt: skip
    said = converse(
        *START, "wait until steady at most 2 h", "read PI-1, TI-4, superheat", "open HV-23", "shut HV-22", "wait 20 min",
        "read PI-1, TI-4, superheat", "stop", "wait 60", "read JI-1",
    )  # fmt: skip
    assert said.code == 0
    assert "Reached after" in said.text
    assert "steady; metal still warms: superheat drifts" in said.text, "the screen's words"
    assert said.text.index("HV-23, shut-off of the thermostatic valve: open.") < said.text.index("HV-22, shut-off of the hand expansion valve: shut.")  # fmt: skip
    assert said.text.count("The compressor runs.") == 2
    assert "HS-0 is pressed" in said.text
    assert said.text.count("The compressor stands.") == 1
    assert said.bench.snapshot().running is False
    # what is said of superheat follows from what is said of gauge and thermometer: CoolProp's dew line of R134a, at 101 325 Pa in the room
    gauge = number(r"Suction gauge PI-1: ([\d.]+) bar gauge", said.text)
    pipe = number(r"Outlet pipe of coil B TI-4: ((?:minus )?[\d.]+) degrees", said.text)
    dew = PropsSI("T", "P", gauge * 1e5 + 101_325.0, "Q", 1, "R134a") - 273.15
    spoken = number(r"gauge and thermometer: ((?:minus )?[\d.]+) kelvin", said.text)
    # gauge and pipe are said to 0.05 bar and 0.1 K, both steps of the instruments themselves
    assert spoken == pytest.approx(pipe - dew, abs=0.15)


def test_what_is_typed_runs_the_same_course_as_the_same_commands_from_python(converse: Converse) -> None:  # fmt: skip
    said = converse(*START, "wait 5 min", "read PI-1", "set HCV-22 35%", "wait 90")
    bench = open_bench("fennick_bench")
    for tag, value in (("HS-1", "on"), ("HS-2", "low"), ("HS-3", "high"), ("HS-6", "on"), ("HS-4", "on")):  # fmt: skip
        bench.set(tag, value)
        bench.advance(MOMENT_S)  # an act takes a moment, and the next wait counts it in
    bench.advance(300.0 - 5 * MOMENT_S)
    bench.set("HCV-22", 0.35)
    bench.advance(MOMENT_S)
    bench.advance(90.0 - MOMENT_S)
    assert said.bench.readings() == bench.readings()
    assert [(e.time_s, e.text) for e in said.bench.events] == [(e.time_s, e.text) for e in bench.events]  # fmt: skip


def test_events_are_told_with_their_time_while_one_waits(converse: Converse) -> None:
    said = converse(*START, "set HS-2 off", "set HS-3 off", "wait 20 min")
    told = re.search(r"Alarm at ([\w ]+), PSHH-1: The high-pressure trip has opened", said.text)
    assert told is not None
    assert said.text.index(told[0]) < said.text.index("20 minutes passed.")
    (trip,) = [event for event in said.bench.events if event.kind == "trip"]
    minutes, seconds = divmod(int(trip.time_s), 60)
    assert told[1].startswith(f"{minutes} minute" if minutes else f"{seconds} second")


def test_waiting_for_something_ends_at_a_trip_and_a_script_hears_of_it(converse: Converse) -> None:
    said = converse(*START, "set HS-2 off", "set HS-3 off", "wait until PI-1 above 9 bar")
    assert "has acted. Not reached in" in said.text
    assert said.code == 1
    assert said.bench.time_s < 1200.0


def test_waiting_for_a_reading_ends_when_it_shows_so_and_at_a_limit(converse: Converse) -> None:
    said = converse(*START, "wait until PI-1 below 2 bar", "wait until TI-1 above 100 C at most 30")
    assert (
        number(r"Reached after ([\d.]+) seconds?: Suction gauge PI-1 below 2 bar", said.text) < 60
    )
    assert "The time is up. Not reached in 30 seconds: Discharge pipe TI-1 above 100 C." in said.text  # fmt: skip
    assert said.code == 1


@pytest.mark.parametrize(
    ("lines", "tag", "left", "moved"),
    [
        ((*START, "wait 60", "shut HV-42"), "HV-42", 1.0, 0.0),
        (("set PSL-1.set 0.5 bar",), "PSL-1.set", 131_325.0, 151_325.0),
        (("set HS-5 heating",), "HS-5", "cooling", "heating"),
        (("set M1.cover open",), "M1.cover", "shut", "open"),
    ],
)
def test_a_caution_is_read_and_only_yes_goes_on(converse: Converse, lines: tuple[str, ...], tag: str, left: object, moved: object) -> None:  # fmt: skip
    said = converse(*lines, "no")
    assert f"Before you set {tag}:" in said.answers
    assert "Left as it is." in said.text
    assert said.bench.snapshot().commands[tag] == left
    said = converse(*lines, "yes")
    assert said.bench.snapshot().commands[tag] == pytest.approx(moved)
    assert said.code == 0


def test_the_emergency_stop_never_asks(converse: Converse) -> None:
    said = converse(*START, "wait 30", "stop", "set HS-0 released")
    assert "Type yes" not in said.text
    assert said.code == 0


def test_a_learner_hears_neither_truth_nor_faults(converse: Converse) -> None:
    lines = ("wait 10", "read all", "read winding temperature", "read quality at compressor", "events", "fault undercharge 0.5", "faults", "part M1")  # fmt: skip
    said = converse("view instructor", "fault condenser-air-low 0.5", "view learner", *lines, start="steady")  # fmt: skip
    after = said.text.partition("Learner's view")[2]
    assert "condenser-air-low" not in after
    assert "True:" not in after
    assert "No instrument here shows winding temperature." in after
    assert "No instrument here shows quality at compressor." in after
    assert after.count("Faults belong to the instructor's view.") == 2
    assert list(said.bench.faults) == ["condenser-air-low"]


def test_an_instructor_puts_a_fault_in_and_takes_it_out(converse: Converse) -> None:
    said = converse("read PI-2", "fault condenser-air-low 0.5", "wait 10 min", "read PI-2", "remove condenser-air-low", "faults condenser-air", instructor=True, start="steady")  # fmt: skip
    before, after = re.findall(r"PI-2: [\d.]+ bar gauge\. True: ([\d.]+) bar gauge", said.answers)
    assert float(after) > float(before)  # half the air: the condenser needs a larger difference
    assert "condenser-air-low has been removed." in said.text
    assert said.bench.faults == {}
    assert said.code == 0


def test_a_severity_above_one_is_not_guessed(converse: Converse) -> None:
    said = converse("fault undercharge 30", instructor=True)
    assert "Write 0.3 or 30%." in said.text
    assert said.bench.faults == {}


def test_a_saved_bench_is_opened_again_where_it_stood(converse: Converse, tmp_path: Path) -> None:
    file = tmp_path / "monday.rime"
    said = converse(*START, "wait 60", f"save {file}", f"load {file}", "events", "quit")
    assert len(said.benches) == 2
    assert said.benches[1].time_s == 60.0
    assert said.benches[1].readings() == said.benches[0].readings()
    assert "not saved" not in said.text
    assert said.text.count("At 2 seconds, HS-4: compressor: on.") == 1, "events are the file's"


def test_a_file_that_cannot_be_opened_leaves_the_bench_as_it_was(converse: Converse, tmp_path: Path) -> None:  # fmt: skip
    said = converse(f"load {tmp_path / 'none.rime'}", "set HS-1 on")
    assert "cannot be read" in said.text
    assert said.code == 1
    assert said.bench.snapshot().commands["HS-1"] == "on"


def test_leaving_says_what_was_not_saved(converse: Converse) -> None:
    assert "was not saved; it stood at 1 minute on its clock" in converse("wait 60", "quit").text
    assert "not saved" not in converse("read PI-1", "quit").text
    assert "End of input." in converse("wait 60").text


def test_a_person_does_not_leave_notes_behind_unasked(tmp_path: Path) -> None:
    typist = Typist()
    typist.talk.voice.by_hand = True
    typist.types("note the fan hums")
    typist.types("quit")
    assert "The notebook holds 1 note, not all of them saved." in typist.text
    for kept in (f"save {tmp_path / 'a.rime'}", f"export report {tmp_path / 'a.html'}"):
        typist.types("note it still hums")
        typist.types(kept)
        before = len(typist.text)
        typist.types("quit")
        assert "Type yes" not in typist.text[before:]


def test_the_end_of_input_and_a_new_bench_tell_of_notes_too(converse: Converse, tmp_path: Path) -> None:  # fmt: skip
    assert converse("note the fan hums").lines[-1].endswith("not all of them saved.")
    said = converse("note the fan hums", f"save {tmp_path / 'a.rime'}", "note it still hums", "begin capillary", "no")  # fmt: skip
    assert "The notebook holds 2 notes, not all of them saved. Type yes to begin again" in said.text


def test_beginning_again_asks_when_something_would_be_lost(converse: Converse) -> None:
    said = converse("wait 60", "begin capillary", "no", "read PI-1", "steady thermostatic", "yes", "read superheat")  # fmt: skip
    assert said.text.count("What runs now is given up") == 2
    assert len(said.benches) == 2
    assert "Lined up for cooling on the thermostatic valve." in said.text
    assert said.bench.snapshot().running


def test_both_systems_of_units_are_said_in_the_order_chosen(converse: Converse) -> None:
    said = converse("read PI-1", "units us", "read PI-1", "units us si", "read PI-1", "units imperial")  # fmt: skip
    si, us, both = re.findall(r"Suction gauge PI-1: (.+?)\. ", said.answers)
    assert (si, both) == ("5.25 bar gauge", f"{us}, {si}")
    # 5.25 bar = 76.14 psi (NIST SP 811, 1 psi = 6894.757 Pa), on a dial of 0.05 bar
    assert float(us.removesuffix(" psi gauge")) == pytest.approx(76.14, abs=0.05)
    assert "Say units si" in said.text


def test_the_meter_measures_and_refuses_in_sentences(converse: Converse) -> None:
    said = converse("set HS-1 on", "measure volts L.1 N.1", "measure ohms L.1 N.1", "measure volts l.1 n.1", "measure volts L.1", "measure vols a b", "measure volts L.1 nowhere")  # fmt: skip
    volts = number(r"Volts ac between L\.1 and N\.1: ([\d.]+) volts", said.text)
    assert volts == pytest.approx(
        120.0, rel=0.015
    )  # class of a hand meter, 1 % of reading, and the line's drop
    assert "The meter refuses ohms between L.1 and N.1: LIVE." in said.text
    assert "prove dead" in said.text
    assert "needs two terminals" in said.text
    assert "Did you mean volts?" in said.text
    assert said.code == 1


def test_a_part_says_what_it_is_how_it_stands_its_cautions_and_what_to_check(converse: Converse) -> None:  # fmt: skip
    said = converse("part hv-22")
    assert said.answers == converse("part shut-off of the hand expansion valve").answers
    for words in ("HV-22: shut-off of the hand expansion valve", "HV-22 now: open.", "the metering device of this exercise", "Danger:", "A technician would check:"):  # fmt: skip
        assert words in said.answers


def test_everything_with_a_tag_can_be_asked_about(converse: Converse) -> None:
    rig = open_bench("fennick_bench").rig
    tags = [*(one.tag for one in rig.parts), *(one.tag for one in rig.switches), *(one.tag for one in rig.instruments)]  # fmt: skip
    said = converse(*(f"part {tag}" for tag in tags), "parts wiring", "parts instruments", "settings", "cautions")  # fmt: skip
    assert said.code == 0
    for tag in tags:
        assert re.search(rf"(^|\s){re.escape(tag)}: \w", said.text), tag


def test_a_mistyped_word_gets_the_nearest_and_a_script_hears_of_it(converse: Converse) -> None:
    said = converse("rad PI-1", "read PI-9", "read everything there is", "set HV-99 open", "set PI-1 5", "open HS-4", "set TCV-23 3", "yes")  # fmt: skip
    for words in ("Did you mean read?", "Did you mean TI-9?", "and more.", "Did you mean HV-", "PI-1 is an instrument: it is read, not set.", "HS-4 is no valve: it is compressor. Type: set HS-4 on.", "TCV-23 is set at TCV-23.spring.", "Nothing was asked"):  # fmt: skip
        assert words in said.answers
    assert said.code == 1


def test_every_command_has_help_and_lines_that_begin_with_a_hash_are_passed_over(converse: Converse) -> None:  # fmt: skip
    from tui.plain.vocabulary import GROUPS, WORDS

    said = converse("# a comment", "", *(f"help {name}" for name in WORDS), "help all", instructor=True)  # fmt: skip
    assert said.code == 0
    for word in WORDS.values():
        assert said.text.count(word.form.partition(",")[0]) >= 2
    assert sorted(name for names in GROUPS.values() for name in names) == sorted(WORDS)
    short = converse("help").answers
    assert "To go round the plant: look, listen, touch and measure." in short
    assert "For the instructor" not in short
    assert len(short.split()) < 150, "short enough to be listened to"


def test_a_note_stands_among_the_events(converse: Converse) -> None:
    said = converse("wait 90", "note superheat is too low here", "events")
    assert said.text.count("At 1 minute 30 seconds: superheat is too low here.") == 2


def test_a_dial_at_its_stop_says_so(converse: Converse) -> None:
    # a motor that cannot start draws some 14 A, on a dial that ends at 10 A
    said = converse("fault start-winding-open", *START, "wait 3", "read II-1", instructor=True)
    assert "10 amps, the upper end of its scale." in said.text


def test_a_plant_that_cannot_be_computed_ends_the_bench_and_not_the_talk(converse: Converse, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    from sim.bench import Bench

    advance = Bench.advance

    def fail(bench: Bench, seconds: float) -> None:
        if seconds == 0.7:
            raise PlantError("no-step", "no step could be computed.")
        advance(bench, seconds)

    monkeypatch.setattr(Bench, "advance", fail)
    said = converse("wait 0.7", "read PI-1", "wait until steady", "help wait", "begin", "read PI-1")
    assert said.text.count("The plant could not be computed any further") == 3
    assert "Ctrl-C ends a wait." in said.text
    assert said.text.rindex("Suction gauge PI-1: 5.25") > said.text.index("Ctrl-C ends a wait.")
    assert len(said.benches) == 2
    assert converse("wait 0.7").code == 3


def test_a_rig_that_the_model_cannot_run_is_told_and_not_thrown(converse: Converse) -> None:
    with pytest.raises(PlantError, match="could not be opened"):
        converse("read PI-1", rig=str(SMALL))
    said = converse("load none.rime", "read PI-1")
    assert "Suction gauge PI-1: 5.25 bar gauge." in said.text


@pytest.mark.parametrize("rig", ["fennick_bench:230v"])
def test_other_wirings_talk_too(converse: Converse, rig: str) -> None:
    said = converse("parts", "settings", "read all", "set HS-1 on", "wait 10", "measure volts L.1 N.1", "stop", rig=rig)  # fmt: skip
    assert "10 seconds passed." in said.text
    assert number(r"L\.1 and N\.1: ([\d.]+) volts", said.text) == pytest.approx(230.0, rel=0.015)
    for line in said.lines:
        assert line.isascii(), line


def test_a_pressed_stop_and_a_trip_are_part_of_how_the_bench_stands(converse: Converse) -> None:
    said = converse(*START, "set HS-2 off", "set HS-3 off", "wait 20 min", "stop", "status")
    status = said.text.rpartition("refrigerant R134a.")[2]
    assert "HS-0 is pressed." in status
    assert "Tripped: PSHH-1." in status


def test_in_assessed_work_nothing_is_worked_out_for_the_learner(converse: Converse) -> None:
    said = converse("read PI-1, superheat", assessed=True)
    assert "bar gauge" in said.answers
    assert "thermometer: yours to work out" in said.answers


def test_one_can_wait_until_the_gauges_have_drawn_together(converse: Converse) -> None:
    said = converse(*START, "wait 5 min", "open HV-21", "shut HV-22", "wait 2 min", "set HS-4 off", "wait until equalised", "read PI-1, PI-2, sundial")  # fmt: skip
    assert "both gauges within 0.3 bar" in said.text
    low, high = (number(rf"{tag}: ([\d.]+) bar gauge", said.text) for tag in ("PI-1", "PI-2"))
    assert abs(high - low) < 0.31
    assert "sundial" in said.text, "what could be read is read, and the rest is told"

"""Other moments: saved, gone back to, looked ahead to, put by; and what is told of the time in between."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from tests.tui.plain.conftest import START, Converse, number
from tui.plain.talk import MOMENT_S


def test_leaving_after_a_save_says_what_was_saved_and_where(converse: Converse, tmp_path: Path) -> None:  # fmt: skip
    file = tmp_path / "monday.rime"
    said = converse("wait 60", "note a line", "record", f"save {file}", "quit").text
    assert f"Saved: the plant with its events to {file}, and 1 note and 1 reading set to {tmp_path / 'monday.notes.json'}, as of 1 minute on its clock. Nothing has changed since." in said.replace("- ", "-")  # fmt: skip
    said = converse("wait 60", f"save {file}", "yes", "wait 60", "quit").text
    assert "What came after was not saved; it stood at 2 minutes on its clock." in said
    again = converse(f"load {tmp_path / 'monday.rime'}", "notebook")
    assert "At 1 minute: a line" in again.text
    assert "Reading set 1, taken at 1 minute" in again.text


def test_a_file_that_is_there_is_replaced_only_after_a_yes(converse: Converse, tmp_path: Path) -> None:  # fmt: skip
    file = tmp_path / "there.rime"
    file.write_text("mine")
    converse("wait 1", f"save {file}", "no", f"export csv {file}", "no")
    assert file.read_text() == "mine"


def test_going_back_is_the_same_moment_again(converse: Converse) -> None:
    said = converse("wait 5 min", "read all", "set HS-2 off", "wait 3 min", "back to 5 min", "yes", "read all", "back to 2 h", start="steady")  # fmt: skip
    first, second = re.findall(r"Discharge pipe TI-1: .+?Panel wattmeter JI-1: \d+ watts", said.answers)  # fmt: skip
    assert first == second
    assert "One can go back to any moment from 0 seconds to 5 minutes, as in: back to 2 minutes 30 seconds." in said.text  # fmt: skip


def test_a_plant_is_put_by_and_gone_on_with(converse: Converse) -> None:
    said = converse("keep monday", "set HS-2 off", "wait 3 min", "read PI-1", "resume monday", "read PI-1", "keep", "resume bench of 180 seconds", "read PI-1", start="steady")  # fmt: skip
    # after "resume" the gauges are read out with the status, so every second reading is the typed one
    read = re.findall(r"PI-1: ([\d.]+) bar gauge", said.answers)
    assert read[0] == read[-1] != read[1]
    assert "Put by: bench of 180 seconds, at 3 minutes." in said.text
    assert said.code == 0


def test_looking_ahead_tells_what_a_copy_does_and_leaves_the_bench(converse: Converse) -> None:
    said = converse("set HS-3 off", "ahead", "status", start="steady")
    assert re.search(r"After [\w ]+, PSHH-1: The high-pressure trip has opened", said.answers)
    assert said.bench.time_s == MOMENT_S
    assert all(event.kind != "trip" for event in said.bench.events)


def test_the_card_is_read_by_rows_on_either_side(converse: Converse) -> None:
    said = converse("saturation 1.2 bar", "saturation 5 C", "saturation 4", "saturation 200 bar")
    low, high = (float(number(rf"At minus {t} degrees Celsius: ([\d.]+) bar gauge", said.text)) for t in (8, 6))  # fmt: skip
    # CoolProp, R134a: saturation at -8 and -6 degrees Celsius, above the standard atmosphere
    for celsius, bar in ((-8, low), (-6, high)):
        assert bar == pytest.approx((PropsSI("P", "T", celsius + 273.15, "Q", 1, "R134a") - 101_325.0) / 1e5, abs=0.01)  # fmt: skip
    assert low < 1.2 < high
    assert "Write saturation 1.2 bar, or saturation 5 C." in said.text
    assert "That is beyond the card." in said.text


def test_a_trend_is_told_with_its_ends(converse: Converse) -> None:
    said = converse("wait 60", "set HS-2 off", "wait 5 min", "trend PI-1 over 6 min", "trend HV-12", start="steady")  # fmt: skip
    told = said.text.partition("over 6 minutes:")[2]
    low, high = number(r"Lowest: ([\d.]+) bar", told), number(r"Highest: ([\d.]+) bar", told)
    assert number(r"Now: ([\d.]+) bar", told) == pytest.approx(low, abs=0.05)
    assert high > low + 0.2  # without air the coil boils colder
    assert told.count(" ago: ") == 5


def test_the_panel_holds_the_current_of_a_start(converse: Converse) -> None:
    said = converse(*START[:-1], "wait 5", "peaks new", START[-1], "wait 5", "peaks")
    # README, first lesson: 13.7 A
    assert number(r"II-1 amps, largest: ([\d.]+) amps", said.text) == pytest.approx(13.7, abs=0.2)


def test_a_fault_may_grow_and_come_later(converse: Converse) -> None:
    said = converse("fault condenser-fouled 0.6 over 10 min after 5 min", "wait 6 min", "faults", "fault undercharge 0.2 when pigs fly", instructor=True, start="steady")  # fmt: skip
    assert "In the bench: condenser-fouled" in said.text
    assert "A fault cannot wait until pigs fly." in said.text

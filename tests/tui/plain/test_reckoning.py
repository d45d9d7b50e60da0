"""Readings and working in sentences."""

from __future__ import annotations

import re

import pytest
from CoolProp.CoolProp import PropsSI

from sim.working.steps import STEPS
from tests.tui.plain.conftest import Converse
from tui.assessed import NO_WAY_BACK, ONE_BENCH, sentence
from tui.plain.aloud import formula_words


def number(pattern: str, text: str) -> float:
    return float(re.findall(pattern, text)[-1].replace("minus ", "-"))


def test_every_step_is_read_one_at_a_time_with_result_or_reason(converse: Converse) -> None:
    said = converse("working", *["next"] * len(STEPS), "next", start="steady")
    assert said.code == 1, "behind the last step there is none"
    for step in STEPS.values():
        assert f"{formula_words(step.name)}, symbol".lower().replace("per kg", "per kilogram") in said.text.lower()  # fmt: skip
    assert said.text.count("Result: ") + said.text.count("No result: ") == len(STEPS)
    assert all(line.isascii() and len(line) <= 78 for line in said.lines)
    assert not re.search(r"[()=/*<>]", said.answers), "signs that a synthesiser spells or skips"


def test_superheat_in_words_follows_from_the_numbers_that_are_read_out(converse: Converse) -> None:
    said = converse("read PI-1, TI-4", "working superheat at the evaporator", start="steady")
    gauge = number(r"PI-1: ([\d.]+) bar gauge", said.text)
    pipe = number(r"TI-4: ((?:minus )?[\d.]+) degrees", said.text)
    # CoolProp's dew line of R134a at gauge plus the room's 101 325 Pa; both displays are whole steps
    dew = PropsSI("T", "P", gauge * 1e5 + 101_325.0, "Q", 1, "R134a") - 273.15
    assert number(r"Result: ((?:minus )?[\d.]+) kelvin", said.text) == pytest.approx(pipe - dew, abs=0.15)  # fmt: skip
    assert "It rests on TI-4, PI-1, the room as given and the table of R134a." in said.text


def test_a_standing_compressor_gives_a_reason_and_no_number(converse: Converse) -> None:
    assert "No result: the compressor stands: nothing flows." in converse("working SH").text


def test_a_covered_result_is_kept_back_until_there_is_an_own_one_and_the_first_stands(converse: Converse) -> None:  # fmt: skip
    said = converse("cover", "working", "next", "result 2.3", "result 9", "notebook", "next", start="steady")  # fmt: skip
    head, _, tail = said.text.partition("Own 2.3 bar absolute, computed")
    assert "Suction pressure, absolute, symbol p0: yours to work out, in bar absolute." in head
    assert "Result:" not in head.partition("Results are covered.")[2].rpartition("Result:")[0]
    assert "tolerance plus or minus 0." in tail
    assert "There is a result of yours already: the first one stands." in tail
    assert "own 2.3 bar absolute, computed" in tail
    assert "Discharge pressure, absolute, symbol pC: yours to work out" in tail


def test_assessed_work_stays_covered(converse: Converse) -> None:
    said = converse("working", "working superheat", "cover off", "working all", "back 1", "ahead", assessed=True, start="steady")  # fmt: skip
    assert "Result:" not in said.text
    assert "In numbers" not in said.text
    assert "results are covered until you have yours" in said.text
    assert all(sentence(why) in said.text for why in (NO_WAY_BACK, ONE_BENCH))


def test_nothing_reads_a_result_that_is_none(converse: Converse) -> None:
    said = converse("result 5", "working", "result 5", "next", "result 5", "cover", "result much", "working tomato", "working set 1")  # fmt: skip
    for words in ("No step was read yet.", "This result is worked out already. Type cover first", "Type a number, or", "There is no step called tomato.", "There are no reading sets yet: record takes one."):  # fmt: skip
        assert words in said.text


def test_a_recorded_set_is_worked_on_later(converse: Converse) -> None:
    said = converse("record", "set HS-2 off", "wait 60", "working set 1", "working suction pressure, absolute", "working now", "working suction pressure, absolute", start="steady")  # fmt: skip
    before, after = re.findall(r"Result: ([\d.]+) bar absolute", said.text)
    assert float(after) < float(before)  # without air the evaporator boils colder

"""What an act sets going, how things stand, and what is said to a wrong line."""

from __future__ import annotations

import re

import pytest

from tests.tui.plain.conftest import START, Converse, number
from tui.plain.talk import MOMENT_S


def test_what_an_act_sets_going_is_told_with_it(converse: Converse) -> None:
    said = converse(*START, "read II-1", "stop", "set HS-0 released")
    start, stop = said.answers.index("HS-4, compressor: on."), said.answers.index("HS-0 is pressed.")  # fmt: skip
    assert start < said.answers.index("Contactor closes.") < stop < said.answers.index("Contactor opens.")  # fmt: skip
    assert number(r"II-1: ([\d.]+) amps", said.text) > 1.0, "the motor draws current already"
    # five acts and two more, half a second each: guess of tui.plain.talk
    assert said.bench.time_s == pytest.approx(7 * MOMENT_S)


def test_the_next_wait_counts_in_what_acts_have_taken(converse: Converse) -> None:
    assert converse(*START, "wait 60").bench.time_s == pytest.approx(60.0)
    assert converse("set HS-1 on", "wait 60", "wait 60").bench.time_s == pytest.approx(120.0)


def test_the_guarded_switch_and_the_slide_are_part_of_how_the_bench_stands(converse: Converse) -> None:  # fmt: skip
    said = converse("set HS-4 off", "wait until equalised", "set HS-5 heating", "yes", "status", "set HS-2 high", "set HS-3 low", "set HS-4 on", "wait 30", "status", "read superheat, superheat at compressor", start="steady")  # fmt: skip
    stands, runs = said.answers.rpartition("R134a.")[0], said.answers.rpartition("R134a.")[2]
    assert "HS-5, mode selector, under a guard: heating. XV-2 reversing valve: slide on the cooling side." in stands  # fmt: skip
    assert "XV-2 reversing valve: slide on the heating side now." in stands
    assert "under a guard: heating. XV-2 reversing valve: slide on the heating side." in runs
    asked, named = re.findall(r"Superheat at [^:]+: (.+?)\.(?: |$)", runs, re.MULTILINE)
    assert asked == named  # one thermometer is left for it, so both names have one answer
    assert ("wet by these readings" in asked) is asked.startswith(("minus", "0.0"))
    assert "no reading" not in asked


def test_an_instrument_says_its_range_its_class_and_what_they_allow(converse: Converse) -> None:
    said = converse("part PI-1", "part LG-1", "part FI-1", "part TI-4")
    # EN 837-1: the class is a share of the span, here 1.6 % of 11 bar; rigs/fennick_bench/rig.toml
    assert "Scale: minus 1 bar gauge to 10 bar gauge, in steps of 0.05 bar; class 1.6, that is percent of the whole scale, so it may stand 0.18 bar off." in said.text  # fmt: skip
    assert "Scale: 0 percent to 100 percent, in steps of 5 percent; class 5, that is percent of the whole scale, so it may stand 5 percent off." in said.text  # fmt: skip
    assert "Scale: 2 litres per hour to 20 litres per hour, in steps of 0.5 litres per hour; class 4, that is percent of the whole scale, so it may stand 0.7 litres per hour off." in said.text  # fmt: skip
    assert "It comes about 8 seconds behind a change." in said.text
    assert said.text.count("In the glossary: ") == 4


WRONG = {
    "set HCV-22 off": "HCV-22 is a valve",
    "set HV-12 off": "Here that would be shut.",
    "set HV-12 35": "could mean 35 percent or a share",
    "set HV-12 5 bar": "takes open, shut, half",
    "set PSL-1.set low": "takes a number in bar gauge, and low is none",
    "set PSL-1.set 100 bar": "PSL-1.set cannot be set to 100 bar. It goes from",
    "set HS-7.watts 900": "cannot be set to 900",
    "set TCV-23.spring 50": "cannot be set to 50",
    "set HS-2 medium": "has no position medium",
    "set HS-2": "HS-2 stands at off.",
    "open HS-4": "is no valve",
    "press HS-4": "is no button",
    "set TI-10.place nowhere": "has no position nowhere",
    "set W56 out": "has no position out",
}
"""Typed -> what is said to be wrong."""


@pytest.mark.parametrize("units", ["si", "us"])
@pytest.mark.parametrize("typed", WRONG)
def test_a_refusal_says_what_is_wrong_and_a_spelling_that_is_taken(converse: Converse, typed: str, units: str) -> None:  # fmt: skip
    said = converse(f"units {units}", typed)
    wrong = WRONG[typed] if units == "si" else WRONG[typed].replace("bar gauge", "psi gauge")
    assert wrong in said.answers
    right = re.search(r"Type: (.+?)(?:, set .+)?\. End of input", said.answers)
    assert right is not None, said.answers
    assert converse(f"units {units}", right[1], "yes").answers.count("cannot") == 0
    again = converse(f"units {units}", right[1], "yes")
    assert "Type:" not in again.answers
    assert re.search(r"(stands at|: ).+\.", again.answers)


def test_a_name_alone_is_told_what_can_be_done_with_it(converse: Converse) -> None:
    said = converse("HV-12", "PI-1", "superheat", "frobnicate")
    for words in ("HV-12 alone is no command. part HV-12 says what it is. set HV-12", "read PI-1 says what it shows.", "read superheat says what the bench shows.", "There is no command frobnicate. Type help for all commands, or begin with: status."):  # fmt: skip
        assert words in said.text


def test_tags_may_be_typed_as_they_are_heard_and_words_as_they_come(converse: Converse) -> None:
    said = converse("switch HS1 on.", "open hv 21", "show pi1 and PI-2", "read TI-4 TI-3", "what is superheat?", "wait for 1 min", "set HCV-22 more", "set HCV-22 -5%", "set HCV-22 less")  # fmt: skip
    now = said.bench.snapshot().commands
    assert (now["HS-1"], now["HV-21"]) == ("on", 1.0)
    assert "HCV-22, hand expansion valve: 45 percent open." in said.text
    assert "-5% could be a position or a step." in said.text.replace("minus 5%", "-5%")
    assert now["HCV-22"] == pytest.approx(
        0.4
    )  # a step up and a step down; the sign was not guessed
    assert "Superheat. How much warmer" in said.text
    assert said.bench.time_s == pytest.approx(60.0 + 2 * MOMENT_S)
    for tag in ("PI-1", "PI-2", "TI-4", "TI-3"):
        assert f" {tag}: " in said.answers


def test_a_note_is_kept_as_it_was_typed(converse: Converse) -> None:
    said = converse("note hv 12 was open?", "events")
    assert "hv 12 was open?" in said.answers

"""Eye, ear and hand in sentences."""

from __future__ import annotations

import re

import pytest

from sim.cautions import all_cautions
from sim.session import open_bench
from tests.tui.plain.conftest import Converse
from tui.senses import found_words, name_of


def test_look_and_listen_together_say_all_that_the_screen_lists(converse: Converse) -> None:
    said = converse("look", "listen", start="steady")
    bench = open_bench("fennick_bench", "steady")
    for spot in bench.senses().spots:
        for words in (found_words(spot, "look", "feel"), found_words(spot, "listen")):
            sentence = f"{name_of(spot)}: {words}".replace(" %", " percent").replace("Hz", "hertz")
            assert not words or sentence.lower() in said.text.lower(), sentence


def test_the_cautions_and_the_thermometer_come_before_the_hand(converse: Converse) -> None:
    said = converse("wait 60", "touch receiver", "no", "touch receiver", "yes", "look receiver", "events", start="steady")  # fmt: skip
    hot = all_cautions()["hot/cold"].text.split(".")[0]
    assert said.answers.index(hot) < said.answers.index("Type yes to touch it")
    assert "To measure first, type: set TI-10.place receiver" in said.answers
    assert said.text.count("Receiver: warm.") == 1
    assert "Touched just now: warm." in said.text
    assert [event.tag for event in said.bench.events if event.kind == "note"] == ["receiver"]


def test_what_the_thermometer_says_is_too_hot_is_not_touched(converse: Converse) -> None:
    said = converse("set TI-10.place head", "wait 3 min", "touch head", "yes", "read TI-10", start="steady")  # fmt: skip
    shown = float(re.findall(r"TI-10: ([\d.]+) degrees", said.text)[-1])
    # ISO 13732-1: 60 degrees Celsius and more is not for bare skin (sim.senses.BURN_K, from memory)
    assert shown >= 60.0
    assert "That is not for a bare hand." in said.answers
    assert "Nothing was asked" in said.answers
    assert all(event.kind != "violation" for event in said.bench.events)


def test_a_hand_that_does_not_measure_is_drawn_back_and_that_goes_on_record(converse: Converse) -> None:  # fmt: skip
    said = converse("touch head", "yes", start="steady")
    assert "too hot: hand drawn back" in said.text
    assert re.search(r"Alarm at [\w ]+, head: .+too hot to touch", said.text)
    assert [event.kind for event in said.bench.events if event.tag == "head"] == ["violation"]


def test_nobody_feels_where_there_is_nothing_and_names_are_helped_along(converse: Converse) -> None:
    said = converse("touch XV-1", "touch reciever", "touch", "look TI-4", "listen K1", "look nowhere at all")  # fmt: skip
    for words in ("XV-1 solenoid valve: there is nothing to feel here", "Did you mean receiver?", "Say what to touch, as in: touch receiver.", "Outlet pipe of coil B: nothing to see.", "There is nothing to see, hear or feel at K1 now.", "There is no place called nowhere at all."):  # fmt: skip
        assert words in said.text
    assert said.code == 1


@pytest.mark.parametrize(("instructor", "told"), [(False, 0), (True, 1)])
def test_only_the_instructor_hears_what_a_hand_would_find(converse: Converse, instructor: bool, told: int) -> None:  # fmt: skip
    said = converse("look shell", start="steady", instructor=instructor)
    assert said.text.count("True for a hand: hot; ") == told


def test_senses_betray_no_fault_to_a_learner(converse: Converse) -> None:
    said = converse("view instructor", "fault condenser-air-low 0.5", "view learner", "wait 60", "look", "listen", "part FAN-A", "touch receiver", "yes", "notebook", "trend PI-2", "working all", start="steady")  # fmt: skip
    after = said.text.partition("Learner's view")[2]
    assert "condenser-air" not in after
    assert "True:" not in after
    assert "True for a hand" not in after

"""What is said can be read aloud: no signs, no symbols of units, no cut-off tags."""

from __future__ import annotations

import io

import pytest

from sim.cautions import all_cautions
from sim.events import Event
from sim.readings import READINGS
from tui.plain.aloud import aloud, event_words, time_words
from tui.plain.voice import WIDTH, Voice
from tui.words import Units, in_words, listed


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ("1.30 bar g", "1.3 bar gauge"),
        ("1.0 bar g", "1 bar gauge"),
        ("18.9 psig", "18.9 psi gauge"),
        ("-10.0 °C", "minus 10 degrees Celsius"),
        ("8.0 K", "8 kelvin"),
        ("1 W", "1 watt"),
        ("240 W", "240 watts"),
        ("35 % open", "35 percent open"),
        ("13.3 kΩ", "13.3 kiloohms"),
        ("HV-22 and 0-500 W", "HV-22 and 0-500 watts"),
        ("[!!] DANGER: 80 % full", "Danger: 80 percent full"),
        ("35% or 0.35", "35% or 0.35"),
    ],
)
def test_units_and_minus_signs_are_words(written: str, said: str) -> None:
    assert aloud(written) == said


@pytest.mark.parametrize("units", [Units("si", True), Units("us", True)])
@pytest.mark.parametrize("value", [-1.5, 0.0, 1.0, 290.0, 2.0e5])
def test_every_reading_is_said_without_a_sign_outside_ascii(units: Units, value: float) -> None:
    for key in READINGS:
        said = aloud(in_words(key, value, units))
        assert said.isascii(), (key, said)
        assert "%" not in said
        assert " g " not in f"{said} ".replace(" g (", " ") or key.endswith("_kg"), (key, said)


def test_every_caution_is_said_in_ascii_and_its_level_as_a_word() -> None:
    for caution in all_cautions().values():
        said = aloud(caution.line(safety_class="A1"))
        assert said.isascii(), said
        assert said.startswith(("Notice: ", "Caution: ", "Danger: "))


@pytest.mark.parametrize(
    ("seconds", "said"),
    [(0, "0 seconds"), (1, "1 second"), (60, "1 minute"), (3725, "1 hour 2 minutes 5 seconds"), (0.5, "0.5 seconds"), (7200, "2 hours")],
)  # fmt: skip
def test_times_are_said_as_people_say_them(seconds: float, said: str) -> None:
    assert time_words(seconds) == said


def test_a_trip_is_called_an_alarm_and_a_tag_is_not_said_twice() -> None:
    assert event_words(Event(61.2, "PSHH-1", "trip", "It has opened.")) == "Alarm at 1 minute 1 second, PSHH-1: It has opened."  # fmt: skip
    assert event_words(Event(5.0, "PSL-1", "contact", "PSL-1 has opened.")) == "At 5 seconds: PSL-1 has opened."  # fmt: skip


def test_a_list_is_said_with_and() -> None:
    assert [listed([]), listed(["a"]), listed(["a", "b", "c"])] == ["", "a", "a, b and c"]


def test_no_line_is_wider_than_a_small_terminal_and_no_tag_is_broken() -> None:
    out = io.StringIO()
    Voice(io.StringIO(), out).say("PSHH-1.reset " * 40)
    assert all(len(line) <= WIDTH for line in out.getvalue().splitlines())
    assert out.getvalue().split() == ["PSHH-1.reset"] * 40


def test_a_no_that_is_a_command_is_carried_out_next() -> None:
    voice = Voice(io.StringIO("wait 60\nread PI-1\n"), io.StringIO())
    assert not voice.agreed(["Danger."], "set it")
    assert [voice.hear(), voice.hear(), voice.hear()] == ["wait 60", "read PI-1", None]


@pytest.mark.parametrize(("typed", "agreed"), [("yes", True), ("YES", True), ("no", False), ("", False), ("ye", False)])  # fmt: skip
def test_only_a_typed_yes_agrees(typed: str, agreed: bool) -> None:
    assert Voice(io.StringIO(f"{typed}\n"), io.StringIO()).agreed([], "set it") is agreed


def test_the_end_of_input_does_not_agree() -> None:
    assert not Voice(io.StringIO(""), io.StringIO()).agreed([], "set it")

"""Trade terms in a conversation: found, read aloud, with what the bench shows of them and without what a learner may not know."""

from __future__ import annotations

import re

from tests.tui.plain.conftest import Converse
from tui.glossary import glossary


def test_a_word_is_explained_with_the_reading_of_now(converse: Converse) -> None:
    said = converse("read superheat", "glossary superheat", "help TXV", start="steady")
    assert said.code == 0
    assert "Superheat. How much warmer a vapour is" in said.text
    shown = re.findall(r"gauge and thermometer: ((?:minus )?[\d.]+ kelvin)", said.text)[0]
    assert f"Now: superheat {shown}" in said.text
    assert "Related: saturation, suction superheat," in said.text
    assert "Thermostatic expansion valve. A metering device" in said.text


def test_a_plant_that_stands_has_no_superheat_to_read(converse: Converse) -> None:
    said = converse("read superheat", "read FI-1", "read suction gauge")
    assert "gauge and thermometer: no flow, so it would mean nothing." in said.text
    assert "Suction gauge PI-1: 5." in said.text


def test_all_terms_read_well_aloud(converse: Converse) -> None:
    said = converse("glossary", *(f"glossary {name}" for name in glossary()))
    assert said.code == 0
    assert f"{len(glossary())} terms: " in said.text
    assert all(line.isascii() and len(line) <= 78 for line in said.lines)
    assert said.text.count("Source: ") == len(glossary())
    assert "Now: COP" not in said.text, "a learner has no instrument for it"


def test_what_is_no_term_finds_those_that_speak_of_it_or_is_refused(converse: Converse) -> None:
    said = converse("glossary acid")
    assert "No term is called acid. It is spoken of under moisture." in said.text
    assert said.code == 0
    wrong = converse("glossary superheet")
    assert "The glossary has no term superheet. Did you mean superheat?" in wrong.text
    assert wrong.code == 1


def test_help_says_that_there_is_a_glossary_and_commands_come_before_terms(converse: Converse) -> None:  # fmt: skip
    said = converse("help", "help glossary", "help stop")
    assert "glossary, or glossary TERM: what a word of the trade means" in said.text
    assert "glossary and a word about a word" in said.text
    assert "stop: press the emergency stop HS-0." in said.text

"""The table of readings."""

from __future__ import annotations

import pytest

from sim.readings import READINGS, SIGHT_GLASS_WORDS, TEXT_READINGS, describe
from sim.units import SYMBOLS, split_key


@pytest.mark.parametrize("name", sorted(READINGS))
def test_a_reading_has_the_unit_that_its_name_ends_in_and_one_sentence(name: str) -> None:
    unit, sentence = READINGS[name]
    assert (unit in SYMBOLS) == bool(split_key(name)[1])
    assert sentence[0].isupper()
    assert sentence.endswith(".")
    assert ". " not in sentence


def test_what_an_instrument_shows_is_described_by_its_reading() -> None:
    unit, sentence = describe("suction_pressure_pa_shown")
    assert unit == "Pa"
    assert READINGS["suction_pressure_pa"][1] in sentence


def test_other_glasses_are_described_by_their_tag() -> None:
    assert "FG-2" in describe("sight_glass_FG-2")[1]
    assert set(SIGHT_GLASS_WORDS) == {"clear", "bubbles", "foam", "empty"}
    assert set(READINGS) >= TEXT_READINGS


def test_an_unknown_reading_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        describe("mood")

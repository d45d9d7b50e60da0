"""Two sheets compared, in tables: numbers as the dials show them, and rows no wider than the terminal."""

from __future__ import annotations

from math import inf

from sim.events import Event
from sim.study.compare import Comparison, Parting
from tui.console.compare import words_of

TEXT = "the low-pressure control has opened because the suction pressure went below its set point"


def found() -> Comparison:
    parted = Parting("LG-1", "receiver's glass", "receiver_level_shown", "", 40.0, -0.1, -2.0, (0.0, -0.1))  # fmt: skip
    still = Parting("PI-1", "suction gauge", "suction_pressure_pa_shown", "bar g", inf, 0.0, 0.0, ())  # fmt: skip
    events: tuple[list[Event], list[Event]] = ([Event(12.0, "PSL-1", "trip", TEXT)], [])
    readings = ({"receiver_level_shown": 0.6}, {"receiver_level_shown": 0.5})
    return Comparison([], [parted, still], readings, events, 300.0)


def test_every_table_fits_the_terminal_and_no_word_is_lost() -> None:
    text = words_of(found(), ("one.toml", "other.toml"), 60)
    rows = [line for line in text.splitlines() if line.startswith(("first  ", "LG-1", "     "))]
    assert len(rows) > 2
    assert max(map(len, rows)) <= 60
    assert set(TEXT.split()) <= set(text.split())
    assert TEXT in words_of(found(), ("one.toml", "other.toml"))


def test_a_level_is_said_as_its_glass_shows_it() -> None:
    (row,) = [line for line in words_of(found(), ("one", "other")).splitlines() if line.startswith("LG-1")]  # fmt: skip
    assert row.split("  ")[:1] == ["LG-1"]
    assert " 60 % " in row
    assert " 50 % " in row
    assert "0.6" not in row

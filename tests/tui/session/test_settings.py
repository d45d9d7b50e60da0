"""Settings: what is written is read again; what is wrong is told with its line and left alone."""

from __future__ import annotations

import os
from dataclasses import fields
from pathlib import Path

import pytest

from sim.units import on_screen, screen_unit
from tui.session.kept import units_of
from tui.session.settings import (
    IN_DIALOG,
    TABLES,
    Settings,
    SettingsFile,
    UnitSettings,
    choices_of,
    following,
    read_settings,
    written,
)
from tui.words import in_words

KEYS = [(table, one.name) for table in IN_DIALOG for one in fields(TABLES[table])]


def test_no_file_is_no_mistake(tmp_path: Path) -> None:
    assert SettingsFile(tmp_path / "none" / "settings.toml").read() == Settings()


@pytest.mark.parametrize(("table", "key"), KEYS)
def test_every_choice_of_every_setting_is_read_as_it_was_written(table: str, key: str, tmp_path: Path) -> None:  # fmt: skip
    settings = Settings()
    for _ in choices_of(table, key):
        settings = following(settings, table, key)
        file = SettingsFile(tmp_path / "config" / "settings.toml")
        assert file.write(settings) == ""
        assert read_settings(file.path) == settings
    assert written(settings) == written(Settings()), "once round"


@pytest.mark.parametrize(
    ("text", "line", "words"),
    [
        ("[units]\nsystem = 'metric'\n", 2, "system"),
        ("[screen]\n\ntheme = 3\n", 3, "theme"),
        ("[screen]\nframes_per_s = 400\n", 2, "frames_per_s"),
        ("[units]\npresure = 'bar g'\n", 2, "Did you mean pressure?"),
        ("[unit]\n", 1, "Did you mean units?"),
        ("[units\n", 1, "not valid TOML"),
        ("units = 3\n", 1, "must be a table"),
        ("\0", 1, "settings.toml"),
    ],
)
def test_a_mistake_is_told_with_its_line_and_the_file_stays_as_it_is(text: str, line: int, words: str, tmp_path: Path) -> None:  # fmt: skip
    path = tmp_path / "settings.toml"
    path.write_text(text)
    file = SettingsFile(path)
    assert file.read() == Settings()
    assert words in file.told[0]
    assert f"settings.toml:{line}: " in file.told[0]
    assert "has mistakes" in file.write(Settings(units=UnitSettings(system="us")))
    assert path.read_text() == text


def test_settings_that_cannot_be_kept_hold_and_say_so(tmp_path: Path) -> None:
    (tmp_path / "config").write_text("a file in the folder's place")
    said = SettingsFile(tmp_path / "config" / "settings.toml").write(Settings())
    assert said.startswith("Settings hold for this session only.")


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write anywhere")
def test_a_read_only_home_is_told(tmp_path: Path) -> None:
    tmp_path.chmod(0o500)
    assert "only" in SettingsFile(tmp_path / "config" / "settings.toml").write(Settings())


def test_a_unit_of_ones_own_stands_beside_the_others_of_the_family() -> None:
    mixed = units_of(UnitSettings(system="us", temperature="°C", pressure="kPa g"))
    # worked by hand: 200 kPa above the standard atmosphere; 281.15 K - 273.15; 5 K of superheat stay 5 K
    assert in_words("suction_pressure_pa", 301_325.0, mixed, short=True) == "200 kPa g"
    assert in_words("room_temperature_k", 281.15, mixed, short=True) == "8.0 °C"
    assert on_screen("suction_superheat_k", 5.0, mixed.system) == (5.0, "K")
    assert screen_unit("mass_flow_kg_s", mixed.system).symbol == "lb/h"


def test_a_difference_in_fahrenheit_has_no_32_in_it_whatever_the_family() -> None:
    mixed = units_of(UnitSettings(system="si", temperature="°F"))
    number, symbol = on_screen("suction_superheat_k", 5.0, mixed.system)
    assert (round(number, 9), symbol) == (9.0, "°F")


def test_the_rigs_units_hold_until_the_person_chooses() -> None:
    assert units_of(UnitSettings(), "us").family == "us"
    assert units_of(UnitSettings(system="si"), "us").family == "si"


def test_a_decimal_comma_is_in_every_number() -> None:
    comma = units_of(UnitSettings(decimal_comma=True, beside=True))
    assert in_words("suction_pressure_pa", 301_325.0, comma) == "2,00 bar g (29,0 psig)"

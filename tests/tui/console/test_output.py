"""Numbers in the tables of ``run`` and ``steady``."""

from __future__ import annotations

import io

import pytest

from tui.console.output import reading_row, screen_width


def test_rounding_dirt_is_printed_as_nothing() -> None:
    assert reading_row("suction_superheat_k", 8.7e-9, 101325.0)[1] == "0 K"


def test_condensate_of_a_few_drops_an_hour_is_still_a_number() -> None:
    assert reading_row("evaporator_condensate_kg_s", 2e-6, 101325.0)[1] == "2e-06 kg/s"


def test_the_rooms_pressure_is_absolute_and_a_gauge_pressure_is_above_it() -> None:
    assert reading_row("atmospheric_pressure_pa", 101325.0, 101325.0)[2] == "1.013 bar abs"
    assert reading_row("suction_pressure_pa", 226325.0, 101325.0)[2] == "1.25 bar g"


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_file_has_no_width_whatever_the_shell_says_of_its_own(monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setenv("COLUMNS", "72")
    assert screen_width(io.StringIO()) is None
    assert screen_width(Terminal()) == 72

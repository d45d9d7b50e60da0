"""``rimebench list``."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tui.cli import main
from tui.console.listing import cell
from tui.glossary import glossary

ROOT = Path(__file__).parents[3]
Out = pytest.CaptureFixture[str]
PLACE = re.compile(r"^.+:\d+: \S.*$")


def one_line(text: str) -> str:
    """The only line of ``text``."""
    (line,) = text.splitlines()
    return line


@pytest.mark.parametrize(
    ("subject", "keys"),
    [
        ("rigs", {"name", "title", "fluid", "wirings", "what"}),
        ("faults", {"name", "family", "what", "places"}),
        ("readings", {"name", "unit", "what"}),
        ("glossary", {"term", "also", "what", "unit", "seen", "readings", "related", "source"}),
    ],
)
def test_lists_are_objects_for_other_programs(subject: str, keys: set[str], capsys: Out) -> None:
    assert main(["list", subject, "--json"]) == 0
    rows = json.loads(capsys.readouterr().out)
    assert rows
    assert all(set(row) == keys for row in rows)


@pytest.mark.parametrize("subject", ["rigs", "faults", "readings", "tags", "glossary"])
def test_every_list_fits_a_terminal_of_80_columns_with_whole_names(subject: str, capsys: Out, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    main(["list", subject, "--json"])
    rows = json.loads(capsys.readouterr().out)
    monkeypatch.setattr("tui.console.listing.screen_width", lambda: 80)
    assert main(["list", subject]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert max(map(len, lines)) <= 80
    firsts = {line.split("  ")[0] for line in lines}
    assert {next(iter(row.values())) for row in rows} <= firsts


def test_a_row_of_a_list_is_one_line_for_other_programs(capsys: Out, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setenv("COLUMNS", "80")
    main(["list", "faults", "--json"])
    rows = json.loads(capsys.readouterr().out)
    main(["list", "faults"])
    assert len(capsys.readouterr().out.splitlines()) == len(rows) + 2


def test_tags_have_a_range_or_choices(capsys: Out, small: str) -> None:
    assert main(["list", "tags", "--rig", small, "--json"]) == 0
    valve, switch = json.loads(capsys.readouterr().out)
    assert valve == {"tag": "HV-1", "kind": "hand_valve", "what": "a valve", "range": [0.0, 1.0]}
    assert switch["choices"] == ["off", "on"]
    assert "range" not in switch


def test_readings_of_a_rig_include_what_its_instruments_show(capsys: Out, small: str) -> None:
    assert main(["list", "readings", "--rig", small, "--json"]) == 0
    names = [row["name"] for row in json.loads(capsys.readouterr().out)]
    assert "suction_pressure_pa_shown" in names


@pytest.mark.parametrize("subject", ["rigs", "faults", "lessons", "readings", "tags", "glossary"])
def test_every_list_is_readable_as_a_table(subject: str, capsys: Out) -> None:
    assert main(["list", subject]) == 0
    assert capsys.readouterr().out.strip()


def test_the_table_of_tags_says_what_each_may_be_set_to(capsys: Out, small: str) -> None:
    assert main(["list", "tags", "--rig", small]) == 0
    head, _, valve, switch = capsys.readouterr().out.splitlines()
    assert head.endswith("may be")
    assert valve.endswith("0 to 1")
    assert switch.endswith("off, on")


def test_a_long_list_of_choices_is_cut_and_says_so() -> None:
    places = ["shell", "head", "discharge", "receiver", "drier", "liquid_line"]
    assert cell("choices", places) == "shell, head, discharge, receiver ... (6; all with --json)"
    assert cell("choices", ["off", "low", "high"]) == "off, low, high"


def test_the_table_of_terms_has_the_words_and_leaves_the_rest_to_json(capsys: Out, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setenv("COLUMNS", "80")
    assert main(["list", "glossary"]) == 0
    head, _, *rows = capsys.readouterr().out.splitlines()
    assert head.split() == ["term", "unit", "what"]
    assert [row.split("  ")[0] for row in rows] == list(glossary())

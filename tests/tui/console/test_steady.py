"""``rimebench steady``."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from sim.errors import PlantError
from tui.cli import main
from tui.console import plant

ROOT = Path(__file__).parents[3]
Out = pytest.CaptureFixture[str]
PLACE = re.compile(r"^.+:\d+: \S.*$")


def one_line(text: str) -> str:
    """The only line of ``text``."""
    (line,) = text.splitlines()
    return line


def test_steady_takes_settings_and_shows_both_cycles(capsys: Out, small: str) -> None:
    words = [
        "steady",
        small,
        "--device",
        "float",
        "--set",
        "room_temperature_c=31",
        "--set",
        "HS-4=on",
    ]
    assert main(words) == 0
    out = capsys.readouterr().out
    assert re.search(r"room_temperature_k +304\.15 K +31 °C", out)
    assert out.count("kJ/(kg K)") == 2


def test_steady_as_json_has_the_agreed_keys(capsys: Out, small: str) -> None:
    assert main(["steady", small, "--json"]) == 0
    report = json.loads(capsys.readouterr().out)
    assert {"readings", "states", "balance", "reference", "difference_percent", "warnings"} <= set(
        report
    )


def test_the_comparison_says_what_it_checks(capsys: Out, small: str) -> None:
    assert main(["steady", small]) == 0
    cooling = capsys.readouterr().out
    assert "check of bookkeeping, not of the plant" in cooling
    assert main(["steady", small, "--mode", "heating"]) == 0
    heating = capsys.readouterr().out
    assert "takes up" in heating
    assert "takes up" not in cooling


@pytest.mark.parametrize(
    ("setting", "words"),
    [
        ("room_temprature_c=31", "Did you mean room_temperature_c?"),
        ("HV-2=1", "Did you mean HV-1?"),
        ("room_temperature_c=hot", "it takes a number"),
        ("room_temperature_c=90", "Give -20 to 50."),
        ("HS-4=onn", "Did you mean on?"),
    ],
)
def test_a_wrong_setting_is_refused_with_a_remedy(capsys: Out, small: str, setting: str, words: str) -> None:  # fmt: skip
    assert main(["steady", small, "--set", setting]) == 2
    assert words in capsys.readouterr().err


def test_what_does_not_run_ends_with_one_line_and_a_code_of_its_own(capsys: Out, small: str, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    def standing(*_: object) -> None:
        raise PlantError("not-running", "with --set HS-4=off the compressor does not run.")

    monkeypatch.setattr(plant, "steady", standing)
    assert main(["steady", small, "--set", "HS-4=off", "--json"]) == 3
    out, err = capsys.readouterr()
    assert not out
    assert "not-running" in one_line(err)

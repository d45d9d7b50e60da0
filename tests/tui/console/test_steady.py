"""``rimebench steady``."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from tui.cli import main

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
        "HS-2=low",
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

"""Usage, opening the bench, the progress bar."""

from __future__ import annotations

import io
import re
import sys
from pathlib import Path
from typing import Any

import pytest

from tui.cli import main
from tui.console import plant
from tui.console.output import Progress

ROOT = Path(__file__).parents[3]
Out = pytest.CaptureFixture[str]
PLACE = re.compile(r"^.+:\d+: \S.*$")


def one_line(text: str) -> str:
    """The only line of ``text``."""
    (line,) = text.splitlines()
    return line


def test_two_results_on_one_output_is_wrong_usage(sheet: Path, capsys: Out) -> None:
    assert main(["run", "--csv", "--json", str(sheet)]) == 2
    assert "--csv=FILE" in one_line(capsys.readouterr().err)


@pytest.mark.parametrize(
    "words",
    [
        ["run"],
        ["run", "--loud", "x"],
        ["list"],
        ["list", "moods"],
        ["steady"],
        ["--room", "hot"],
        ["--device", "wick"],
        ["a", "b"],
    ],
)
def test_wrong_usage_is_code_2(words: list[str], capsys: Out) -> None:
    with pytest.raises(SystemExit) as caught:
        main(words)
    assert caught.value.code == 2
    assert capsys.readouterr().out == ""


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["chek"], "Did you mean check?"),
        (["--room", "99"], "give -20 to 50"),
        ([], "needs a terminal"),
        (["steady", "fennick_bench", "--set", "room"], "NAME=VALUE"),
    ],
)
def test_usage_that_parses_but_cannot_be_meant_is_code_2(
    words: list[str], says: str, capsys: Out
) -> None:
    assert main(words) == 2
    assert says in one_line(capsys.readouterr().err)


def test_an_unknown_rig_is_wrong_input(capsys: Out) -> None:
    assert main(["fenick_bench"]) == 1
    assert "Did you mean fennick_bench?" in one_line(capsys.readouterr().err)


def test_opening_hands_the_start_to_the_screen(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []

    def note(rig: str, **more: object) -> int:
        asked.append((rig, more))
        return 0

    monkeypatch.setattr(plant, "open_screen", note)
    for stream in (sys.stdin, sys.stdout):
        monkeypatch.setattr(stream, "isatty", lambda: True, raising=False)
    assert main(["--start", "steady", "--device", "float", "--room", "31", "--instructor"]) == 0
    wanted = {
        "start": "steady",
        "device": "float",
        "room_c": 31.0,
        "load": None,
        "instructor": True,
        "assessed": False,
    }
    assert main(["--assessed", "--instructor"]) == 2
    assert asked == [("fennick_bench", wanted)]


def test_help_carries_the_general_caution(capsys: Out) -> None:
    with pytest.raises(SystemExit) as caught:
        main(["--help"])
    assert caught.value.code == 0
    assert "Practice only." in " ".join(capsys.readouterr().out.split())


class Terminal(io.StringIO):
    """A stream that says it is a terminal."""

    def isatty(self) -> bool:
        return True


@pytest.mark.parametrize("no_colour", [True, False])
def test_the_bar_shows_only_on_a_terminal_and_its_colour_only_when_wanted(
    monkeypatch: pytest.MonkeyPatch, no_colour: bool
) -> None:
    monkeypatch.delenv("NO_COLOR", raising=False)
    if no_colour:
        monkeypatch.setenv("NO_COLOR", "1")
    stream = Terminal()
    monkeypatch.setattr(sys, "stderr", stream)
    with Progress("work") as bar:
        bar(1.0)
    assert "100%" in stream.getvalue()
    assert ("\x1b[36m" in stream.getvalue()) != no_colour
    plain = io.StringIO()
    monkeypatch.setattr(sys, "stderr", plain)
    with Progress("work") as bar:
        bar(1.0)
    assert plain.getvalue() == ""

"""The README's first lesson, step by step, on the computed plant in a real terminal: what the table promises is read off the screen. Needs tmux; skipped without.

Waiting is done at pace 60 where the table says 10, and always by looking until it is there or a deadline has passed.
"""

from __future__ import annotations

import re
import shutil
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screen.sample import RIG
from tests.screen.test_terminal import ROOT, Tmux
from tui.desk import Desk
from tui.draw.drawing import load_drawings

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")
PATIENCE_S = 60.0
FIRST_START_S = 300.0
"""A machine that has never run the plant compiles its equations first."""
SIZES = {
    "s": (80, 24),
    "m": (120, 40),
    "l": (200, 60),
}
README = (ROOT / "README.md").read_text(encoding="utf-8")


class Learner:
    """Somebody at the keyboard who reads the screen."""

    def __init__(self, tmux: Tmux, size: str) -> None:
        self.tmux, self.drawing = tmux, load_drawings(RIG)[size]
        self.letters = Desk().label_letters(self.drawing)

    def press(self, *keys: str) -> None:
        self.tmux.run("send-keys", *keys)

    def sees(self, pattern: str, seconds: float = PATIENCE_S) -> str:
        return self.tmux.until(lambda text: re.search(pattern, text) is not None, seconds)

    def select(self, tag: str) -> None:
        self.press("g")
        self.sees("type the letters of a part")
        self.press(*self.letters[tag])
        self.sees(rf"─ {re.escape(tag)} ")

    def standing(self, tag: str) -> str:
        """What the caption says of a part."""
        self.select(tag)
        found = re.search(rf"─ {re.escape(tag)} [^:]*: ([^ ]+)", self.tmux.run("capture-pane", "-p"))  # fmt: skip
        assert found, tag
        return found[1]

    def turn(self, tag: str, key: str, to: str, times: int = 1) -> None:
        self.select(tag)
        for _ in range(times):
            self.press(key)
        self.sees(rf"─ {re.escape(tag)} [^:]*: {to}")

    def number(self, name: str) -> float:
        found = re.search(rf"{name} +(-?\d+\.?\d*)[ /]", self.tmux.run("capture-pane", "-p"))
        return float(found[1]) if found else float("nan")

    def until(self, low: float, name: str, high: float) -> None:
        """Wait until a reading lies between."""
        end = time.monotonic() + PATIENCE_S
        while not low <= self.number(name) <= high:
            assert time.monotonic() < end, f"{name} {self.number(name)} is not within {low} and {high}\n{self.tmux.run('capture-pane', '-p')}"  # fmt: skip
            time.sleep(0.1)


SUPERHEAT = r"(?:SH(?:/SC)?|superheat)"


@pytest.fixture(params=[pytest.param("s"), pytest.param("m", marks=pytest.mark.full), pytest.param("l", marks=pytest.mark.full)])  # fmt: skip
def learner(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Learner]:
    tmux = Tmux(tmp_path / "tmux")
    width, height = SIZES[request.param]
    homes = f"RIMEBENCH_CONFIG='{tmp_path / 'config'}' RIMEBENCH_STATE='{tmp_path / 'state'}' PYTHONPATH='{ROOT}'"  # fmt: skip
    program = "import sys; from tui.cli import main; sys.exit(main([]))"
    tmux.run("new-session", "-d", "-x", str(width), "-y", str(height), f"cd '{tmp_path}' && unset COLUMNS LINES && {homes} '{sys.executable}' -c '{program}'; echo ended with $?; sleep 60")  # fmt: skip
    yield Learner(tmux, request.param)
    tmux.run("kill-server")


def test_the_table_is_the_one_that_is_walked_here() -> None:
    """The lesson has the steps and the numbers that are checked below; who changes it, changes both."""
    first = README[README.index("## A first lesson") : README.index("To heat with coil B")]
    rows = re.findall(r"^\| (\d) \| (.*) \|$", first, re.MULTILINE)
    assert [number for number, _ in rows] == list("12345678")
    for number, words in (("1", "5.25 bar gauge"), ("2", "43 W"), ("4", "1.2 and 8.3 bar gauge"), ("5", "nearly 20 K"), ("6", "Hardly a change")):  # fmt: skip
        assert words in dict(rows)[number], number


def test_a_person_walks_through_the_first_lesson(learner: Learner, tmp_path: Path) -> None:
    learner.sees("Practice only")
    learner.press("Enter")
    learner.sees(r"RUN x1 ", FIRST_START_S)
    learner.sees("first time at this bench")
    learner.press("X")

    # 1: lined up for the hand valve, both gauges at the saturation pressure of the room.
    for tag in ("HV-11", "HV-12", "HV-22", "HV-32", "HV-41", "HV-42"):
        assert learner.standing(tag) == "open", tag
    for tag in ("HV-13", "HV-21", "HV-23", "HV-24", "HV-31"):
        assert learner.standing(tag) == "shut", tag
    learner.until(5.15, "PI-1", 5.35)
    learner.until(5.15, "PI-2", 5.35)

    # 2: air first, and the solenoid in the liquid line.
    learner.turn("HS-1", "Enter", "on")
    learner.turn("HS-2", "+", "low")
    learner.turn("HS-3", "+", "high", times=2)
    learner.turn("HS-6", "Enter", "on")
    learner.press("4")
    learner.until(38.0, "JI-1 watts *[^0-9]*", 48.0)
    learner.press("1")

    # 3 and 4: the compressor starts; it settles.
    learner.turn("HS-4", "Enter", "on")
    learner.sees("runs")
    learner.press(".", ".", ".", ".", ".")
    learner.sees("RUN x60")
    learner.until(1.05, "PI-1", 1.35)
    learner.until(8.0, "PI-2", 8.6)
    learner.until(6.0, SUPERHEAT, 10.0)

    # 5: a small turn of the needle, and back.
    learner.turn("HCV-22", "-", "35 %")
    learner.until(0.3, "PI-1", 1.05)
    learner.until(15.0, SUPERHEAT, 22.0)
    learner.press("+")
    learner.until(1.05, "PI-1", 1.35)

    # 6: to the capillary, the new way first.
    learner.press(",", ",", ",", ",", ",")
    learner.sees("RUN x1 ")
    learner.turn("HV-21", "Enter", "open")
    learner.turn("HV-22", "Enter", "shut")
    learner.press(".", ".", ".", ".", ".")
    learner.until(6.0, SUPERHEAT, 11.0)
    learner.until(1.05, "PI-1", 1.45)
    assert "tripped" not in learner.tmux.run("capture-pane", "-p")

    # 7 and 8: off, shut in, equalised, dead.
    learner.turn("HS-4", "Enter", "off")
    learner.turn("HV-12", "Enter", "shut")
    learner.sees("stopped")
    end = time.monotonic() + PATIENCE_S
    while abs(learner.number("PI-1") - learner.number("PI-2")) > 0.3:
        assert time.monotonic() < end
        time.sleep(0.1)
    learner.turn("HS-2", "-", "off")
    learner.turn("HS-3", "-", "off", times=2)
    learner.turn("HS-1", "Enter", "off")
    learner.press("q")
    screen = learner.sees("ended with")
    assert "ended with 0" in screen
    assert "Traceback" not in screen
    assert not [one for one in (tmp_path / "state").rglob("*") if one.is_file()], "a clean end leaves nothing"  # fmt: skip

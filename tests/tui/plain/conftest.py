"""A conversation with the real bench, from typed lines to what was said."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from tui.opening import open_plant
from tui.orders import Begin
from tui.plain.loop import ASSESSED_HINT, HINT, one, run
from tui.plain.talk import Talk
from tui.plain.voice import Voice
from tui.runner import Opened, Progress


class Said:
    """What came of a conversation: exit code, all that was said, the benches that were opened."""

    def __init__(self, code: int, text: str, benches: list[Any]) -> None:
        self.code, self.lines, self.benches = code, text.splitlines(), benches
        self.text = " ".join(text.split())

    @property
    def bench(self) -> Any:
        """The last one."""
        return self.benches[-1]

    @property
    def answers(self) -> str:
        """All after the opening words."""
        hint = HINT if HINT in self.text else ASSESSED_HINT
        return self.text.partition(f"{hint} ")[2]


Converse = Callable[..., Said]
START = ("set HS-1 on", "set HS-2 low", "set HS-3 high", "set HS-6 on", "set HS-4 on")


def number(pattern: str, text: str) -> float:
    """The number in the last place where ``pattern`` (with one group) is said."""
    return float(re.findall(pattern, text)[-1].replace("minus ", "-"))


@pytest.fixture(autouse=True)
def own_folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Settings and autosaves of a test are its own, also in a process that it starts."""
    for name in ("config", "state"):
        monkeypatch.setenv(f"RIMEBENCH_{name.upper()}", str(tmp_path / name))


@pytest.fixture(scope="session")
def converse() -> Converse:
    """Hold a conversation: ``converse("set HS-1 on", "wait 60", instructor=True, start="steady")``."""

    def hold(*lines: str, instructor: bool = False, assessed: bool = False, **how: Any) -> Said:
        benches: list[Any] = []

        def opener(begin: Begin, progress: Progress) -> Opened:
            opened = open_plant(begin, progress)
            benches.append(opened.bench)
            return opened

        out = io.StringIO()
        voice = Voice(io.StringIO("".join(f"{line}\n" for line in lines)), out)
        code = run(
            Begin(**how), instructor=instructor, assessed=assessed, opener=opener, voice=voice
        )
        return Said(code, out.getvalue(), benches)

    return hold


class Typist:
    """Types line after line at one bench, and agrees to every caution."""

    def __init__(self, instructor: bool = False, **how: object) -> None:
        self.out = io.StringIO()
        self.talk = Talk(Voice(io.StringIO("yes\n" * 99), self.out), Begin(), open_plant, lambda what, share: None)  # fmt: skip
        self.talk.open(Begin(**how))  # type: ignore[arg-type]
        self.talk.scene.instructor = instructor
        self.typed: list[str] = []

    @property
    def text(self) -> str:
        return " ".join(self.out.getvalue().split())

    def types(self, line: str) -> None:
        self.typed.append(line)
        one(self.talk, line)

"""One look at a real terminal: what reaches it, and that keys reach the plant. Needs tmux; skipped without."""

from __future__ import annotations

import shutil
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")


class Tmux:
    """A tmux server of our own with one window."""

    def __init__(self, socket: Path) -> None:
        self.base = ["tmux", "-S", str(socket), "-f", "/dev/null"]

    def run(self, *arguments: str) -> str:
        done = subprocess.run([*self.base, *arguments], capture_output=True, text=True, check=False)
        return done.stdout

    def until(self, true: Callable[[str], bool], seconds: float = 15.0) -> str:
        end = time.monotonic() + seconds
        while not true(screen := self.run("capture-pane", "-p")):
            assert time.monotonic() < end, screen
            time.sleep(0.05)
        return screen


@pytest.fixture
def terminal(tmp_path: Path) -> Iterator[Tmux]:
    tmux = Tmux(tmp_path / "tmux")
    child = f"cd '{ROOT}' && exec '{sys.executable}' -m tests.speed.ui_child --seconds 30 --out '{tmp_path / 'counts.json'}'"  # fmt: skip
    tmux.run("new-session", "-d", "-x", "80", "-y", "24", child)
    yield tmux
    tmux.run("kill-server")


def test_the_bench_appears_takes_keys_and_leaves_the_terminal_clean(terminal: Tmux) -> None:
    screen = terminal.until(lambda text: "HV-12" in text and "bar g" in text)
    assert len(screen.splitlines()) == 24
    terminal.run("send-keys", "0")
    terminal.until(lambda text: "HS-0 pressed" in text.splitlines()[0])
    terminal.run("send-keys", "2")
    terminal.until(lambda text: "p-h chart" in text)
    terminal.run("send-keys", "q")
    terminal.until(lambda text: "p-h chart" not in text)

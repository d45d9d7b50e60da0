"""A child on a pseudo-terminal of its own, for tests that end it the hard way."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[1]
PATIENCE_S = 30.0


class Terminal:
    """A Python of ours as the leader of its session, with folders of its own for settings and autosaves."""

    def __init__(self, folder: Path, *command: str, **environment_of_its_own: str) -> None:
        self.state = folder / "state"
        self.master, slave = pty.openpty()
        self.resize(120, 40)
        environment = os.environ | {"RIMEBENCH_CONFIG": str(folder / "config"), "RIMEBENCH_STATE": str(self.state), "TERM": "xterm-256color"} | environment_of_its_own  # fmt: skip
        self.child = subprocess.Popen([sys.executable, *command], cwd=ROOT, env=environment, stdin=slave, stdout=slave, stderr=slave, preexec_fn=_own_terminal)  # fmt: skip
        os.close(slave)
        self.seen = b""

    def resize(self, columns: int, rows: int) -> None:
        fcntl.ioctl(self.master, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))

    def read(self, seconds: float = 0.05) -> None:
        ready, _, _ = select.select([self.master], [], [], seconds)
        if ready:
            try:
                self.seen += os.read(self.master, 65536)
            except OSError:  # the child has gone
                time.sleep(seconds)

    def until(self, true: Callable[[], bool]) -> None:
        end = time.monotonic() + PATIENCE_S
        while not true():
            assert time.monotonic() < end, self.seen[-2000:]
            self.read()

    def ended(self) -> int:
        self.until(lambda: self.child.poll() is not None)
        for _ in range(20):
            self.read(0.01)
        return self.child.wait()

    def kill(self) -> None:
        if self.child.poll() is None:
            self.child.kill()
        self.child.wait()


def _own_terminal() -> None:
    os.setsid()
    signal.signal(
        signal.SIGINT, signal.default_int_handler
    )  # a run in a shell's background ignores it, and so would the child
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)

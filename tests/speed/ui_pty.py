"""What the screen costs, measured in a pseudo-terminal as a person's terminal would see it.

    python -m tests.speed.ui_pty [80x24 120x40 200x60] [--seconds 8] [--real] [--pace 60]

Prints for each size: processor share, own drawing per frame (median and 95 %), bytes per frame and per second, time to the first picture, time from key to changed picture (median and
95 % of sixty), resident memory; and the same for a held plant. Goals: key to picture 20 ms in the median and 60 ms in 95 % of cases, a held plant at most half a percent of a core
and no byte. Numbers are this machine's; tests hold counts, not times.
"""

from __future__ import annotations

import argparse
import fcntl
import json
import os
import pty
import select
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from pathlib import Path

from tui.draw.ink import Ink
from tui.draw.palette import DARK

ROOT = Path(__file__).parents[2]
QUIET_S = 0.004
KEYS = 60
_GROUND = DARK.looks[Ink.CURSOR].ground
CURSOR = ";".join(["48;2", *(str(int(_GROUND[i : i + 2], 16)) for i in (1, 3, 5))]).encode()
"""How a terminal is told the cursor's colour."""


class Terminal:
    """A child on a pseudo-terminal."""

    def __init__(self, width: int, height: int, arguments: list[str]) -> None:
        self.main, side = pty.openpty()
        fcntl.ioctl(side, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
        environment = {**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor"}
        self.started = time.monotonic()
        self.child = subprocess.Popen(
            [sys.executable, "-m", "tests.speed.ui_child", *arguments],
            cwd=ROOT, env=environment, stdin=side, stdout=side, stderr=side, close_fds=True,
        )  # fmt: skip
        os.close(side)

    def read(self, seconds: float) -> list[tuple[float, bytes]]:
        """Everything that comes within ``seconds``, with its time."""
        found, end = [], time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            if select.select([self.main], [], [], left)[0]:
                try:
                    found.append((time.monotonic(), os.read(self.main, 65536)))
                except OSError:
                    break
        return found

    def until(self, path: Path) -> None:
        """Read on until the child has made a file."""
        while not path.exists() and self.child.poll() is None:
            self.read(0.1)

    def first_picture(self) -> float:
        """Seconds from the start of the process until the plant is on the screen."""
        seen = b""
        while time.monotonic() - self.started < 20:
            for at, piece in self.read(0.02):
                seen += piece
                if b"coil A" in seen:
                    return at - self.started
        return float("nan")

    def key_to_picture(self, key: bytes, rest_s: float) -> float:
        """Seconds from a key to the picture that it brings, after some rest."""
        self.read(rest_s)
        os.write(self.main, key)
        at = time.monotonic()
        while time.monotonic() - at < 1:
            for seen, piece in self.read(QUIET_S):
                if CURSOR in piece:
                    return seen - at
        return float("nan")

    def memory_mb(self) -> float:
        """Proportional set size."""
        try:
            text = Path(f"/proc/{self.child.pid}/smaps_rollup").read_text(encoding="ascii")
        except OSError:
            return float("nan")
        return next(int(line.split()[1]) / 1024 for line in text.splitlines() if line.startswith("Pss:"))  # fmt: skip


def measure(width: int, height: int, seconds: float, options: list[str]) -> dict[str, float]:
    """One run."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "counts.json"
        terminal = Terminal(width, height, ["--seconds", str(seconds), "--out", str(out), *options])
        first = terminal.first_picture()
        terminal.until(out.with_suffix(".begun"))
        pieces = terminal.read(seconds - 1.5)
        terminal.until(out)
        keys = sorted(terminal.key_to_picture(b"\x1b[C" if i % 2 else b"\x1b[D", 0.04 + 0.0137 * (i % 8)) for i in range(KEYS))  # fmt: skip
        memory = terminal.memory_mb()
        counts = json.loads(out.read_text(encoding="utf-8"))
        os.write(terminal.main, b"q")
        terminal.read(1.0)
        terminal.child.wait(10)
    sent = sum(len(piece) for _, piece in pieces)
    late = [b - a for a, b in zip(counts["starts"], counts["starts"][1:], strict=False)]
    draws = sorted(counts["draw_ms"]) or [0.0]
    return {
        "processor_percent": 100 * counts["cpu_share"],
        "frames_per_s": counts["frames"] / counts["wall_s"],
        "draw_ms_median": statistics.median(draws),
        "draw_ms_95": draws[int(0.95 * (len(draws) - 1))],
        "kb_per_s": sent / 1024 / (seconds - 1.5),
        "kb_per_frame": sent / 1024 / (seconds - 1.5) / max(1e-9, counts["frames"] / counts["wall_s"]) if counts["frames"] else 0.0,
        "frame_gap_ms_median": 1e3 * statistics.median(late) if late else 0.0,
        "first_picture_s": first,
        "key_ms_median": 1e3 * statistics.median(keys),
        "key_ms_95": 1e3 * keys[int(0.95 * (len(keys) - 1))],
        "pss_mb": memory,
    }  # fmt: skip


def main(arguments: list[str]) -> int:
    """Measure the sizes that were asked for."""
    parser = argparse.ArgumentParser()
    parser.add_argument("sizes", nargs="*", default=["80x24", "120x40", "200x60"])
    parser.add_argument("--seconds", type=float, default=8.0)
    parser.add_argument(
        "--real", action="store_true", help="the real plant instead of the stand-in"
    )
    parser.add_argument("--pace", default="1")
    chosen = parser.parse_args(arguments)
    real = ["--real"] if chosen.real else []
    for size in chosen.sizes:
        width, height = (int(part) for part in size.split("x"))
        for name, option in (("runs", ["--pace", chosen.pace]), ("held", ["--held"])):
            row = measure(width, height, chosen.seconds, [*real, *option])
            numbers = "  ".join(f"{name} {value:.2f}" for name, value in row.items())
            print(f"{size} {name}: {numbers}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""What the screen costs, measured in a pseudo-terminal as a person's terminal would see it.

    python -m tests.speed.ui_pty [80x24 120x40 200x60] [--seconds 8] [--real] [--pace 10] [--beside 5]

Prints for each size, for a plant that runs and for one that is held: share of a core of the screen's thread and of the whole process, own drawing per frame (median and 95 %), how late frames
are (95 %), bytes per frame and per second, time to the first picture, time from key to changed picture (median and 95 % of sixty), memory (resident, and proportional while ``--beside`` so
many others are open), style sheets and widgets. Behind each number stands its goal; a star marks what is over it. Numbers are this machine's; tests hold counts, not times.
"""

from __future__ import annotations

import argparse
import fcntl
import json
import math
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
GOALS = {
    "runs": {"ui_percent": 12.0, "draw_ms_median": 8.0, "draw_ms_95": 15.0, "late_ms_95": 10.0, "kb_per_frame": 12.0, "first_picture_s": 0.8, "key_ms_median": 20.0, "key_ms_95": 60.0, "rss_mb": 220.0, "pss_mb": 80.0, "stylesheets": 29.0, "widgets": 59.0},
    "held": {"processor_percent": 0.5, "kb_per_s": 0.0},
}  # fmt: skip
"""At 120x40 and 10 frames a second."""
AT_OTHER_SIZES: dict[str, dict[str, float]] = {
    "80x24": {"ui_percent": 5.0},
    "200x60": {"ui_percent": 15.0, "kb_per_s": 200.0, "draw_ms_median": math.inf, "draw_ms_95": math.inf, "kb_per_frame": math.inf},
}  # fmt: skip
"""What differs there while the plant runs."""
PERIOD_MS = 100.0
CHILD = (
    "import gc, runpy; gc.disable(); runpy.run_module('tests.speed.ui_child', run_name='__main__')"
)
"""Nothing is swept before the plant is there, as ``tui.console.plant.open_screen`` has it."""
CURSOR = ";".join(["48;2", *(str(int(_GROUND[i : i + 2], 16)) for i in (1, 3, 5))]).encode()
"""How a terminal is told the cursor's colour."""


class Terminal:
    """A child on a pseudo-terminal."""

    def __init__(self, width: int, height: int, arguments: list[str]) -> None:
        self.main, side = pty.openpty()
        fcntl.ioctl(side, termios.TIOCSWINSZ, struct.pack("HHHH", height, width, 0, 0))
        environment = os.environ | {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        environment.pop("PYTHONDONTWRITEBYTECODE", None)  # see tests/speed/opening.py
        self.started, self.first_cpu_s = time.monotonic(), float("nan")
        self.child = subprocess.Popen(
            [sys.executable, "-c", CHILD, *arguments],
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
                    self.first_cpu_s = self.cpu_s()
                    return at - self.started
        return float("nan")

    def cpu_s(self) -> float:
        """Processor time of the child so far: what a neighbour on the machine does not change much."""
        try:
            text = Path(f"/proc/{self.child.pid}/stat").read_text(encoding="ascii")
        except OSError:
            return float("nan")
        return sum(map(int, text.rpartition(")")[2].split()[11:13])) / os.sysconf("SC_CLK_TCK")

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

    def memory_mb(self) -> tuple[float, float]:
        """Resident and proportional set size."""
        try:
            text = Path(f"/proc/{self.child.pid}/smaps_rollup").read_text(encoding="ascii")
        except OSError:
            return float("nan"), float("nan")
        sizes = {line.split(":")[0]: int(line.split()[1]) / 1024 for line in text.splitlines()[1:]}
        return sizes["Rss"], sizes["Pss"]


def measure(width: int, height: int, seconds: float, options: list[str], others: int = 0) -> dict[str, float]:  # fmt: skip
    """One run; ``others`` held benches are open meanwhile when memory is looked at."""
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "counts.json"
        terminal = Terminal(width, height, ["--seconds", str(seconds), "--out", str(out), *options])
        first = terminal.first_picture()
        terminal.until(out.with_suffix(".begun"))
        pieces = terminal.read(seconds - 1.5)
        terminal.until(out)
        keys = sorted(terminal.key_to_picture(b"\x1b[C" if i % 2 else b"\x1b[D", 0.04 + 0.0137 * (i % 8)) for i in range(KEYS))  # fmt: skip
        resident, proportional = _with_others(terminal, others, Path(folder), options)
        counts = json.loads(out.read_text(encoding="utf-8"))
        terminal.child.terminate()  # "q" would be answered with a question while the plant runs
        terminal.read(1.0)
        if (
            terminal.child.poll() is None
        ):  # a running plant asks first, with the careful answer on top
            os.write(terminal.main, b"\x1b[B\r")
            terminal.read(1.0)
        terminal.child.wait(10)
    sent = sum(len(piece) for _, piece in pieces)
    late = sorted(max(0.0, 1e3 * (b - a) - PERIOD_MS) for a, b in zip(counts["starts"], counts["starts"][1:], strict=False))  # fmt: skip
    draws = sorted(counts["draw_ms"]) or [0.0]
    return {
        "ui_percent": 100 * counts["ui_share"],
        "processor_percent": 100 * counts["cpu_share"],
        "frames_per_s": counts["frames"] / counts["wall_s"],
        "draw_ms_median": statistics.median(draws),
        "draw_cpu_ms_median": statistics.median(counts["draw_cpu_ms"] or [0.0]),
        "draw_ms_95": draws[int(0.95 * (len(draws) - 1))],
        "kb_per_s": sent / 1024 / (seconds - 1.5),
        "kb_per_frame": sent / 1024 / (seconds - 1.5) / max(1e-9, counts["frames"] / counts["wall_s"]) if counts["frames"] else 0.0,
        "late_ms_95": late[int(0.95 * (len(late) - 1))] if late else 0.0,
        "first_picture_s": first,
        "first_picture_cpu_s": terminal.first_cpu_s,
        "key_ms_median": 1e3 * statistics.median(keys),
        "key_ms_95": 1e3 * keys[int(0.95 * (len(keys) - 1))],
        "rss_mb": resident,
        "pss_mb": proportional,
        "stylesheets": counts["stylesheets"],
        "widgets": counts["widgets"],
    }  # fmt: skip


def _with_others(terminal: Terminal, others: int, folder: Path, options: list[str]) -> tuple[float, float]:  # fmt: skip
    """Memory while others of the same kind are open and have settled."""
    real = ["--real"] if "--real" in options else []
    outs = [folder / f"other{k}.json" for k in range(others)]
    beside = [Terminal(120, 40, ["--seconds", "1", "--held", *real, "--out", str(out)]) for out in outs]  # fmt: skip
    for one, out in zip(beside, outs, strict=True):
        one.until(out.with_suffix(".begun"))
    sizes = terminal.memory_mb()
    for one in beside:
        one.child.kill()
        one.child.wait()
        os.close(one.main)
    return sizes


def shown(name: str, value: float, goal: float | None) -> str:
    """A number, its goal, and a star when it is over."""
    if goal is None:
        return f"{name} {value:.2f}"
    return f"{name} {value:.2f}{'*' if value > goal else ''} (at most {goal:g})"


def main(arguments: list[str]) -> int:
    """Measure the sizes that were asked for."""
    parser = argparse.ArgumentParser()
    parser.add_argument("sizes", nargs="*", default=["80x24", "120x40", "200x60"])
    parser.add_argument("--seconds", type=float, default=8.0)
    parser.add_argument(
        "--real", action="store_true", help="the real plant instead of the stand-in"
    )
    parser.add_argument("--pace", default="10")
    parser.add_argument("--beside", type=int, default=0)
    chosen = parser.parse_args(arguments)
    real = ["--real"] if chosen.real else []
    for size in chosen.sizes:
        width, height = (int(part) for part in size.split("x"))
        for name, option in (("runs", ["--pace", chosen.pace]), ("held", ["--held"])):
            row = measure(width, height, chosen.seconds, [*real, *option], chosen.beside)
            goals = GOALS[name] | (AT_OTHER_SIZES.get(size, {}) if name == "runs" else {})
            numbers = "  ".join(shown(key, value, goals.get(key)) for key, value in row.items())
            print(f"{size} {name}: {numbers}", flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

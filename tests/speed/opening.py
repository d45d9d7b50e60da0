"""How long ``rimebench`` takes to its first picture and to a plant that lives, in a pseudo-terminal.

    python -m tests.speed.opening [--times 9] [--first]

Warm: the machine code is in the cache and Python's bytecode is written, as an installer leaves it; a shell that sets PYTHONDONTWRITEBYTECODE compiles 280 modules at each start
(half a second) and is not asked. ``--first``: with an empty cache for the machine code, once. Behind each number stands its goal; a star marks what is over it. The line before them says how fast this
machine was meanwhile.
"""

from __future__ import annotations

import argparse
import os
import statistics
import sys
import tempfile
import time
from pathlib import Path

from sim.library import ready
from tests.pseudo_terminal import Terminal

BENCH = "import sys; from tui.cli import main; sys.exit(main())"
PICTURE, LIVE = b"PREPARING", b"R134a"
PATIENCE_S = 120.0
GOALS = {"first picture": 0.8, "live": 1.0}
GOALS_AT_FIRST = {"first picture": 0.8, "live": 45.0}
LOOPS = 1_000_000


def opened(folder: Path, **environment: str) -> tuple[float, float]:
    """Seconds from the start of the process to the first picture, and to the plant's own numbers on it."""
    begun = time.monotonic()
    terminal = Terminal(folder, "-c", BENCH, COLORTERM="truecolor", **environment)
    try:
        return _seen(terminal, PICTURE, begun), _seen(terminal, LIVE, begun)
    finally:
        terminal.kill()
        os.close(terminal.master)


def _seen(terminal: Terminal, what: bytes, begun: float) -> float:
    while what not in terminal.seen:
        if time.monotonic() - begun > PATIENCE_S:
            return float("nan")
        terminal.read(0.01)
    return time.monotonic() - begun


def loop_s() -> float:
    """Seconds that this machine takes for a million turns of Python's plainest loop: 0.03 to 0.06 usually."""
    begun = time.perf_counter()
    total = 0
    for k in range(LOOPS):
        total += k
    return time.perf_counter() - begun


def main(arguments: list[str]) -> int:
    """Measure, and print medians."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=9)
    parser.add_argument("--first", action="store_true", help="with an empty cache, once")
    chosen = parser.parse_args(arguments)
    os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
    with tempfile.TemporaryDirectory() as room:
        folder = Path(room)
        own = {"PYTHONPYCACHEPREFIX": str(folder / "bytecode")}
        ready()
        opened(folder, **own)  # writes the bytecode
        cold = {"RIMEBENCH_CACHE": str(folder / "cache")} if chosen.first else {}
        loops, rows = [], []
        for _ in range(1 if chosen.first else chosen.times):
            loops.append(loop_s())
            rows.append(opened(folder, **own, **cold))
    print(f"a million turns of a loop: {statistics.median(loops):.3f} s")
    for (name, goal), values in zip((GOALS_AT_FIRST if chosen.first else GOALS).items(), zip(*rows, strict=True), strict=True):  # fmt: skip
        median = statistics.median(values)
        print(f"{name}: median {median:.2f} s{'*' if median > goal else ''} (at most {goal:g}), {min(values):.2f} to {max(values):.2f}")  # fmt: skip
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""The bench's screen for ``ui_pty.py``: it writes what it counted in some seconds, and stays until it is told to leave."""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path

from tui.app import BenchApp
from tui.opening import open_plant
from tui.orders import Begin
from tui.runner import Stage
from tui.screens.bench import BenchScreen

SETTLE_S = 2.0
"""Wall seconds between a plant that is ready and the beginning of the count."""


def main(arguments: list[str]) -> int:
    """Run, count, write."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--seconds", type=float, default=8.0)
    parser.add_argument("--out", type=Path, required=True)
    parser.add_argument("--held", action="store_true")
    parser.add_argument("--real", action="store_true", help="the computed plant")
    parser.add_argument("--pace", type=int, default=1)
    chosen = parser.parse_args(arguments)
    opener = open_plant
    if not chosen.real:  # what only the stand-in needs would count in the time to the first picture
        from tests.tui.fake_bench import open_fake as opener
    app = BenchApp(Begin(start="steady", first_pace=0 if chosen.held else chosen.pace), opener, cautions=False)  # fmt: skip
    costs, starts = _watched(app.bench)
    marks = {"cpu": 0.0, "ui": 0.0, "wall": 0.0}

    def begin() -> None:
        costs.clear()
        starts.clear()
        marks.update(cpu=time.process_time(), ui=time.thread_time(), wall=time.monotonic())
        chosen.out.with_suffix(".begun").touch()

    def end() -> None:
        wall = time.monotonic() - marks["wall"]
        share = (time.process_time() - marks["cpu"]) / wall
        ui = (time.thread_time() - marks["ui"]) / wall
        made = {"stylesheets": len(app.stylesheet.source), "widgets": len(app.bench.query("*"))}
        rows = {"cpu_share": share, "ui_share": ui, **made, "draw_ms": [1e3 * cost for cost, _ in costs], "draw_cpu_ms": [1e3 * busy for _, busy in costs], "frames": len(costs), "wall_s": wall, "starts": starts}  # fmt: skip
        chosen.out.write_text(json.dumps(rows), encoding="utf-8")

    def ready() -> None:
        if app.bench.report.stage is Stage.PREPARING:
            app.set_timer(0.1, ready)
            return
        app.set_timer(SETTLE_S, begin)
        app.set_timer(SETTLE_S + chosen.seconds, end)

    app.call_later(ready)
    app.run()
    return 0


def _watched(screen: BenchScreen) -> tuple[list[tuple[float, float]], list[float]]:
    costs: list[tuple[float, float]] = []
    starts: list[float] = []
    paint = screen.paint

    def timed() -> None:
        started, busy = time.perf_counter(), time.thread_time()
        paint()
        costs.append((time.perf_counter() - started, time.thread_time() - busy))
        starts.append(started)

    screen.paint = timed  # type: ignore[method-assign]
    return costs, starts


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Does the runner hold its pace? Every scenario at every pace, on the real plant, polled ten times a second as the screen does.

    python -m tests.speed.pace_lag [SCENARIO ...] [--paces 1 60] [--seconds 5]

Lag is wall time since the scenario began, less the simulated time since then over the pace: what the plant is behind a clock that never stood still. It is taken at the end of
every step of the plant, beside the runner's own figures; debt that the runner drops stays in it. Printed for each run: the pace held over the whole run and the runner's own last
figure for it, the lag (95 % and largest), the largest that the runner reported, the longest step and the longest wait between two steps, how often debt was dropped. Goal: every pace
held, lag at most 0.3 s.
"""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Callable
from itertools import pairwise
from typing import Any, NamedTuple, cast

from tui.opening import open_plant
from tui.orders import Begin, Order, SetTag
from tui.plant import Setting
from tui.runner import PACES, Opened, Progress, Report, Runner, Stage

POLL_S = 0.1
GOAL_S = 0.3
HEAD = "scenario      pace   held  runner   lag 95 %  largest  runner's  dropped  step ms  wait ms"
STEADY = Begin(start="steady", device="capillary", first_pace=0)
COLD = Begin(start="off", device="capillary", first_pace=0)
ON: dict[str, Setting] = {"HS-1": "on", "HS-2": "low", "HS-3": "high", "HS-6": "on", "HS-4": "on"}
SCENARIOS: dict[str, tuple[Begin, dict[str, Setting]]] = {
    "start-up": (COLD, ON),
    "steady": (STEADY, {}),
    "changeover": (STEADY, {"HV-23": 1.0, "HV-21": 0.0}),
    "reversal": (STEADY, {"HS-5": "heating"}),
    "pump-down": (STEADY, {"HV-12": 0.0}),
    "shut-in": (STEADY, {"HS-4": "off", "HV-12": 0.0, "HV-21": 0.0, "HS-6": "off", "room_temperature_c": 50.0}),
    "off": (STEADY, {"HS-4": "off"}),
}  # fmt: skip


class Step(NamedTuple):
    """One advance of the plant: wall clock before and after, simulated time after."""

    began: float
    ended: float
    time_s: float


class Held(NamedTuple):
    """One run of the runner."""

    pace: float
    reported_pace: float
    lags: list[float]
    reported_lag: float
    dropped: float
    step: float
    wait: float
    report: Report


def kept(begin: Begin) -> Callable[[], Any]:
    """Opens the plant once; every later call gives a copy of it."""
    opened = open_plant(begin, lambda *_: None)

    def copy() -> Opened:
        return opened._replace(bench=cast(Any, opened.bench).fork())

    return copy


def hold(copy: Callable[[], Opened], settings: dict[str, Setting], pace: int, seconds: float) -> Held:  # fmt: skip
    """Run the scenario on a runner of its own for some wall seconds."""
    steps: list[Step] = []

    def opener(_: Begin, __: Progress) -> Opened:
        opened = copy()
        bench: Any = opened.bench
        advance = bench.advance

        def timed(amount: float) -> None:
            began = time.monotonic()
            advance(amount)
            steps.append(Step(began, time.monotonic(), bench.time_s))

        bench.advance = timed
        return opened

    runner = Runner(opener, Begin(first_pace=0))
    runner.start()
    while runner.take().stage is Stage.PREPARING:
        time.sleep(POLL_S)
    for tag, value in settings.items():
        runner.send(SetTag(tag=tag, value=value))
    number = runner.send(Order(pace=pace))
    while runner.take().applied < number:
        time.sleep(0.001)
    started, reports = time.monotonic(), [runner.take()]
    while time.monotonic() - started < seconds:
        time.sleep(POLL_S)
        reports.append(runner.take())
    runner.stop()
    return _held(steps, reports, started, pace)


def _held(steps: list[Step], reports: list[Report], started: float, pace: int) -> Held:
    snapshot = reports[0].snapshot
    first = snapshot.time_s if snapshot is not None else 0.0
    lags = [step.ended - started - (step.time_s - first) / pace for step in steps]
    waits = [b.began - a.ended for a, b in pairwise(steps)]
    reached = (steps[-1].time_s - first) / (steps[-1].ended - started)
    longest = max(step.ended - step.began for step in steps)
    return Held(reached, reports[-1].reached, sorted(lags), max(r.lag_s for r in reports), reports[-1].dropped_s, longest, max(waits, default=0.0), reports[-1])  # fmt: skip


def main(arguments: list[str]) -> int:
    """Print a line a run; 1 when a pace was not held."""
    parser = argparse.ArgumentParser()
    parser.add_argument("scenarios", nargs="*", default=list(SCENARIOS))
    parser.add_argument("--paces", type=int, nargs="*", default=list(PACES[1:]))
    parser.add_argument("--seconds", type=float, default=5.0)
    chosen = parser.parse_args(arguments)
    plants = {begin: kept(begin) for begin in (COLD, STEADY)}
    missed = 0
    print(HEAD)
    for name in chosen.scenarios:
        begin, settings = SCENARIOS[name]
        for pace in chosen.paces:
            run = hold(plants[begin], settings, pace, chosen.seconds)
            late = run.lags[int(0.95 * (len(run.lags) - 1))]
            good = run.lags[-1] <= GOAL_S and run.report.stage is Stage.RUNNING
            missed += not good
            print(f"{name:<12} {pace:5d} {run.pace:6.2f} {run.reported_pace:7.2f} {late:10.3f} {run.lags[-1]:8.3f} {run.reported_lag:9.3f} {run.dropped:8.3f} {1e3 * run.step:8.1f} {1e3 * run.wait:8.1f}{'' if good else '  MISSED ' + run.report.failure}", flush=True)  # fmt: skip
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

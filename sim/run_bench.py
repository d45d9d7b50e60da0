"""Carry out a run sheet on a bench: actions and faults at their times, a row of readings every log step.

Everything goes through the bench's public names; rows and progress are handed to the caller, so nothing here knows of files or screens.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Mapping
from typing import NamedTuple

from sim.run_sheet import BenchLike, Reading, RunSheet

Row = Mapping[str, Reading]
OnRow = Callable[[float, Row], None]
OnProgress = Callable[[float], None]

# guess: shorter waits between two moments are rounding of the sheet's numbers, far below any lag of the plant
SAME_MOMENT_S = 1e-9


class _Moment(NamedTuple):
    """Something to do at a time. At equal times faults end first, then commands, then new faults, then the log."""

    at_s: float
    order: int
    number: int
    act: Callable[[], object]


def run_on(
    bench: BenchLike, sheet: RunSheet, on_row: OnRow, on_progress: OnProgress | None = None
) -> None:
    """Run ``bench`` from its present time to the end of ``sheet``. Times in the sheet count from here.

    A row at the time of an action shows the plant right after it.
    """
    start = bench.time_s

    def log() -> None:
        on_row(bench.time_s - start, bench.readings())

    for moment in heapq.merge(_planned(bench, sheet), _log_times(sheet, log)):
        wait = start + moment.at_s - bench.time_s
        if wait > SAME_MOMENT_S:
            bench.advance(wait)
        moment.act()
        if on_progress is not None and sheet.duration_s > 0:
            on_progress(moment.at_s / sheet.duration_s)


def _planned(bench: BenchLike, sheet: RunSheet) -> list[_Moment]:
    moments: list[_Moment] = []
    for action in sheet.actions:
        for tag, value in action.set.items():
            moments.append(_Moment(action.at_s, 1, len(moments), _later(bench.set, tag, value)))
    for fault in sheet.faults:
        insert = _inserting(bench, fault.name, fault.severity, fault.ramp_s, fault.place)
        moments.append(_Moment(fault.at_s, 2, len(moments), insert))
        if fault.until_s is not None and fault.until_s <= sheet.duration_s:
            remove = _later(bench.remove_fault, fault.name)
            moments.append(_Moment(fault.until_s, 0, len(moments), remove))
    return sorted(moments, key=lambda moment: moment[:3])


def _later(function: Callable[..., object], *arguments: object) -> Callable[[], object]:
    return lambda: function(*arguments)


def _inserting(
    bench: BenchLike, name: str, severity: float, ramp_s: float, place: str | None
) -> Callable[[], object]:
    return lambda: bench.insert_fault(name, severity=severity, ramp_s=ramp_s, place=place)


def _log_times(sheet: RunSheet, log: Callable[[], None]) -> Iterator[_Moment]:
    """Log steps from 0 to the end; the end is logged even when it is no multiple of the step."""
    count = int(sheet.duration_s / sheet.log_every_s + SAME_MOMENT_S)
    for i in range(count + 1):
        yield _Moment(min(i * sheet.log_every_s, sheet.duration_s), 3, i, log)
    if count * sheet.log_every_s < sheet.duration_s - SAME_MOMENT_S:
        yield _Moment(sheet.duration_s, 3, count + 1, log)

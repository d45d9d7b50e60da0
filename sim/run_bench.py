"""Carry out a run sheet on a bench: actions and faults at their times, a row of readings every log step.

Everything goes through the bench's public names; rows and progress are handed to the caller, so nothing here knows of files or screens.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Mapping
from itertools import count
from math import nan
from typing import TYPE_CHECKING, NamedTuple

from sim.run_sheet import BenchLike, MeterEntry, Reading, RunSheet

if TYPE_CHECKING:
    from sim.wiring.multimeter import Reading as MeterReading

Row = Mapping[str, Reading]
OnRow = Callable[[float, Row], None]
OnProgress = Callable[[float], None]

# guess: shorter waits between two moments are rounding of the sheet's numbers, far below any lag of the plant
SAME_MOMENT_S = 1e-9


class Measurement(NamedTuple):
    """What the meter read at a time of the run."""

    time_s: float
    name: str
    reading: MeterReading


class _Moment(NamedTuple):
    """Something to do at a time. At equal times faults end first, then commands, then new faults, then the meter, then the log."""

    at_s: float
    order: int
    number: int
    act: Callable[[], object]


def run_on(
    bench: BenchLike, sheet: RunSheet, on_row: OnRow, on_progress: OnProgress | None = None
) -> list[Measurement]:
    """Run ``bench`` from its present time to the end of ``sheet``, and return what its meter read. Times in the sheet count from here.

    A row at the time of an action shows the plant right after it; a meter that reads again and again has its newest value in each row.
    """
    start = bench.time_s
    measured: list[Measurement] = []
    newest: dict[str, Reading] = {column(entry): nan for entry in sheet.measures if entry.every_s}

    def log() -> None:
        on_row(bench.time_s - start, {**bench.readings(), **newest})

    def measure(entry: MeterEntry) -> None:
        reading = bench.measure(entry.probing)
        measured.append(Measurement(bench.time_s - start, entry.name, reading))
        if entry.every_s:
            newest[column(entry)] = reading.value

    meter = _meter_times(sheet, measure)
    for moment in heapq.merge(_planned(bench, sheet), *meter, _log_times(sheet, log)):
        wait = start + moment.at_s - bench.time_s
        if wait > SAME_MOMENT_S:
            bench.advance(wait)
        moment.act()
        if on_progress is not None and sheet.duration_s > 0:
            on_progress(moment.at_s / sheet.duration_s)
    return measured


def _planned(bench: BenchLike, sheet: RunSheet) -> list[_Moment]:
    moments: list[_Moment] = []
    for action in sheet.actions:
        for tag, value in action.set.items():
            moments.append(_Moment(action.at_s, 1, len(moments), _later(bench.set, tag, value)))
    for fault in sheet.faults:
        insert = _inserting(bench, fault.name, fault.severity, fault.ramp_s, fault.place)
        moments.append(_Moment(fault.at_s, 2, len(moments), insert))
        if fault.until_s is not None and fault.until_s <= sheet.duration_s:
            remove = _removing(bench, fault.name, fault.place)
            moments.append(_Moment(fault.until_s, 0, len(moments), remove))
    for wrong in sheet.wiring_faults:
        insert = _later(bench.wiring.insert, wrong.fault)
        moments.append(_Moment(wrong.at_s, 2, len(moments), insert))
        if wrong.until_s is not None and wrong.until_s <= sheet.duration_s:
            remove = _later(bench.wiring.remove, wrong.fault.name)
            moments.append(_Moment(wrong.until_s, 0, len(moments), remove))
    return sorted(moments, key=lambda moment: moment[:3])


def _meter_times(sheet: RunSheet, measure: Callable[[MeterEntry], None]) -> list[Iterator[_Moment]]:
    """The moments at which the meter is read, an iterator a reading of the sheet."""

    def moments(number: int, entry: MeterEntry) -> Iterator[_Moment]:
        for k in count():
            at_s = entry.at_s + k * (entry.every_s or 0.0)
            if at_s > sheet.duration_s + SAME_MOMENT_S or (k > 0 and not entry.every_s):
                return
            yield _Moment(at_s, 3, number, _later(measure, entry))

    return [moments(number, entry) for number, entry in enumerate(sheet.measures)]


def column(entry: MeterEntry) -> str:
    """Its column in the CSV."""
    return f"measure.{entry.name}"


def _later(function: Callable[..., object], *arguments: object) -> Callable[[], object]:
    return lambda: function(*arguments)


def _inserting(
    bench: BenchLike, name: str, severity: float, ramp_s: float, place: str | None
) -> Callable[[], object]:
    return lambda: bench.insert_fault(name, severity=severity, ramp_s=ramp_s, place=place)


def _removing(bench: BenchLike, name: str, place: str | None) -> Callable[[], object]:
    return lambda: bench.remove_fault(name) if place is None else bench.remove_fault(name, place=place)  # fmt: skip


def _log_times(sheet: RunSheet, log: Callable[[], None]) -> Iterator[_Moment]:
    """Log steps from 0 to the end; the end is logged even when it is no multiple of the step."""
    steps = int(sheet.duration_s / sheet.log_every_s + SAME_MOMENT_S)
    for i in range(steps + 1):
        yield _Moment(min(i * sheet.log_every_s, sheet.duration_s), 4, i, log)
    if steps * sheet.log_every_s < sheet.duration_s - SAME_MOMENT_S:
        yield _Moment(sheet.duration_s, 4, steps + 1, log)

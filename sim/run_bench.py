"""Carry out a run sheet on a bench: actions and faults at their times, a row of readings every log step.

Everything goes through the bench's public names; rows and progress are handed to the caller, so nothing here knows of files or screens.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterator, Mapping
from itertools import count
from math import nan
from typing import TYPE_CHECKING, NamedTuple

from sim.onset import Onset
from sim.run_sheet import BenchLike, FaultEntry, MeterEntry, Reading, RunSheet

if TYPE_CHECKING:
    from sim.wiring.multimeter import Reading as MeterReading

Row = Mapping[str, Reading]
OnRow = Callable[[float, Row], None]
OnProgress = Callable[[float], None]

# guess: shorter waits between two moments are rounding of the sheet's numbers, far below any lag of the plant
SAME_MOMENT_S = 1e-9
REMOVAL, COMMAND, FAULT, METER, LOG = range(5)
"""What comes first at equal times."""


class Measurement(NamedTuple):
    """What the meter read at a time of the run."""

    time_s: float
    name: str
    reading: MeterReading


class Moment(NamedTuple):
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
    for moment in heapq.merge(planned(bench, sheet), *meter, _log_times(sheet, log)):
        wait = start + moment.at_s - bench.time_s
        if wait > SAME_MOMENT_S:
            bench.advance(wait)
        moment.act()
        if on_progress is not None and sheet.duration_s > 0:
            on_progress(moment.at_s / sheet.duration_s)
    return measured


def planned(bench: BenchLike, sheet: RunSheet) -> list[Moment]:
    """Commands and faults of a sheet in the order in which they come."""
    moments: list[Moment] = []
    for action in sheet.actions:
        for tag, value in action.set.items():
            moments.append(
                Moment(action.at_s, COMMAND, len(moments), _later(bench.set, tag, value))
            )
    for fault in sheet.faults:
        insert = _inserting(bench, fault, sheet.onset_of(fault))
        moments.append(Moment(fault.at_s, FAULT, len(moments), insert))
        if fault.until_s is not None and fault.until_s <= sheet.duration_s:
            remove = _removing(bench, fault.name, fault.place)
            moments.append(Moment(fault.until_s, REMOVAL, len(moments), remove))
    for wrong in sheet.wiring_faults:
        insert = _later(bench.wiring.insert, wrong.fault)
        moments.append(Moment(wrong.at_s, FAULT, len(moments), insert))
        if wrong.until_s is not None and wrong.until_s <= sheet.duration_s:
            remove = _later(bench.wiring.remove, wrong.fault.name)
            moments.append(Moment(wrong.until_s, REMOVAL, len(moments), remove))
    return sorted(moments, key=lambda moment: moment[:3])


def _meter_times(sheet: RunSheet, measure: Callable[[MeterEntry], None]) -> list[Iterator[Moment]]:
    """The moments at which the meter is read, an iterator a reading of the sheet."""

    def moments(number: int, entry: MeterEntry) -> Iterator[Moment]:
        for k in count():
            at_s = entry.at_s + k * (entry.every_s or 0.0)
            if at_s > sheet.duration_s + SAME_MOMENT_S or (k > 0 and not entry.every_s):
                return
            yield Moment(at_s, METER, number, _later(measure, entry))

    return [moments(number, entry) for number, entry in enumerate(sheet.measures)]


def column(entry: MeterEntry) -> str:
    """Its column in the CSV."""
    return f"measure.{entry.name}"


def _later(function: Callable[..., object], *arguments: object) -> Callable[[], object]:
    return lambda: function(*arguments)


def _inserting(bench: BenchLike, fault: FaultEntry, onset: Onset) -> Callable[[], object]:
    return lambda: bench.insert_fault(fault.name, severity=fault.severity, place=fault.place, onset=onset)  # fmt: skip


def _removing(bench: BenchLike, name: str, place: str | None) -> Callable[[], object]:
    return lambda: bench.remove_fault(name) if place is None else bench.remove_fault(name, place=place)  # fmt: skip


def _log_times(sheet: RunSheet, log: Callable[[], None]) -> Iterator[Moment]:
    """Log steps from 0 to the end; the end is logged even when it is no multiple of the step."""
    steps = int(sheet.duration_s / sheet.log_every_s + SAME_MOMENT_S)
    for i in range(steps + 1):
        yield Moment(min(i * sheet.log_every_s, sheet.duration_s), LOG, i, log)
    if steps * sheet.log_every_s < sheet.duration_s - SAME_MOMENT_S:
        yield Moment(sheet.duration_s, LOG, steps + 1, log)

"""What a run leaves behind: the CSV of its readings and the JSON of its end."""

from __future__ import annotations

import csv
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from importlib.metadata import PackageNotFoundError, version
from typing import Any, TextIO

from sim.cautions import Caution
from sim.readings import READINGS
from sim.run_bench import Measurement
from sim.run_sheet import BenchLike, EventLike, Reading, RunSheet


def program_version() -> str:
    """Version of the installed program."""
    try:
        return version("rimebench")
    except PackageNotFoundError:
        return "not installed"


def columns(readings: Iterable[str]) -> list[str]:
    """Reading names in the order of the table, then those of single instruments as the bench gives them."""
    given = list(readings)
    named = [name for name in READINGS if name in given]
    return named + [name for name in given if name not in READINGS]


def cautions_of_sheet(sheet: RunSheet) -> list[Caution]:
    """What a run of a sheet carries: the general caution, and those of its faults."""
    from sim.faults import cautions_of  # brings the knobs, and a compiler behind them

    return cautions_of([one.name for one in sheet.faults], wired=bool(sheet.wiring_faults))


class CsvLog:
    """Writes one header row, then a row a log step: ``time_s``, every reading, and in the first row the cautions."""

    def __init__(self, stream: TextIO, cautions: Iterable[Caution]) -> None:
        self._writer = csv.writer(stream, lineterminator="\n")
        self._columns: list[str] = []
        self._cautions = " ".join(one.line() for one in cautions)

    def row(self, time_s: float, readings: Mapping[str, Reading]) -> None:
        """Write one row. Raises OSError when the stream cannot be written."""
        if not self._columns:
            self._columns = columns(readings)
            self._writer.writerow(["time_s", *self._columns, "cautions"])
        values = [readings.get(name, "") for name in self._columns]
        self._writer.writerow([_figure(round(time_s, 9)), *map(_figure, values), self._cautions])
        self._cautions = ""


def _figure(value: Reading) -> str:
    """Shortest text that reads back as the same number."""
    return value if isinstance(value, str) else repr(float(value))


def run_result(
    bench: BenchLike, sheet: RunSheet, rig_name: str, measured: Sequence[Measurement] = ()
) -> dict[str, Any]:
    """The JSON of ``rimebench run``."""
    return {
        "rig": rig_name,
        "seed": sheet.seed,
        "version": program_version(),
        "final": dict(bench.readings()),
        "events": [event_record(event) for event in bench.events],
        "measurements": [measurement_record(one) for one in measured],
        "ledger": dict(bench.ledger()),
        "warnings": list(bench.warnings),
        "cautions": [one.record for one in cautions_of_sheet(sheet)],
    }


def measurement_record(one: Measurement) -> dict[str, Any]:
    """A meter reading as JSON has it; a refusal has no value and says what would have happened."""
    return {"time_s": one.time_s, "name": one.name} | {
        key: value for key, value in asdict(one.reading).items() if value not in ("", ())
    }


def event_record(event: EventLike) -> dict[str, Any]:
    """An event as JSON has it."""
    return {"time_s": event.time_s, "tag": event.tag, "kind": event.kind, "text": event.text}


def to_json(value: object) -> str:
    """``value`` as JSON text. A number that is not finite becomes null, since JSON has no word for it."""
    return json.dumps(_plain(value), indent=2, ensure_ascii=False, allow_nan=False)


def _plain(value: Any) -> Any:
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, bool | str) or value is None:
        return value
    number = float(value)
    if not math.isfinite(number):
        return None
    return int(value) if isinstance(value, int) else number

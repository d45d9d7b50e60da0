"""The session's log: what the instruments showed, about once a second of the plant's time, in SI with the unit in the name.

A long session keeps its whole length: when the log is full every second row goes and the step doubles.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from typing import Any

from tui.plant import Reading, Snapshot

MOST_ROWS = 7200
FIRST_STEP_S = 1.0


class SessionLog:
    """Rows of readings. ``truth`` rows are kept too, so that the instructor's export can have them."""

    def __init__(self, most_rows: int = MOST_ROWS) -> None:
        self._most = most_rows
        self.clear()

    def clear(self) -> None:
        """Another bench."""
        self._rows: list[tuple[float, Mapping[str, Reading]]] = []
        self._step_s = FIRST_STEP_S

    def __len__(self) -> int:
        return len(self._rows)

    def add(self, snapshot: Snapshot) -> None:
        """Keep a row if enough time has passed; time that runs backwards means another bench."""
        if self._rows:
            last = self._rows[-1][0]
            if snapshot.time_s < last:
                self.clear()
            elif snapshot.time_s < last + self._step_s:
                return
        self._rows.append((snapshot.time_s, snapshot.readings))
        if len(self._rows) >= self._most:
            self._rows = self._rows[::2]
            self._step_s *= 2

    def table(self, instructor: bool) -> dict[str, list[Any]]:
        """Column by column: ``time_s``, then displays; in the instructor's view the truth too."""
        names = dict.fromkeys(name for _, readings in self._rows[-1:] for name in readings)
        kept = [name for name in names if instructor or name.endswith("_shown")]
        return {"time_s": [round(time, 6) for time, _ in self._rows]} | {name: [readings.get(name) for _, readings in self._rows] for name in kept}  # fmt: skip


def as_csv(table: Mapping[str, list[Any]]) -> bytes:
    """A header, then a row a step; decimals behind a point and commas between, as RFC 4180 has it."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(table)
    writer.writerows(zip(*table.values(), strict=True))
    return stream.getvalue().encode()


def as_parquet(table: Mapping[str, list[Any]]) -> bytes:
    """The same as Parquet. Raises ImportError without the optional extra ``parquet``."""
    import pyarrow
    import pyarrow.parquet

    stream = io.BytesIO()
    pyarrow.parquet.write_table(pyarrow.table(dict(table)), stream)
    return stream.getvalue()

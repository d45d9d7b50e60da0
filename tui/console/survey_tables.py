"""A survey in tables: a line a fault for the terminal, a line a case for files."""

from __future__ import annotations

import csv
import json
from collections import defaultdict
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from sim.cautions import Caution
from sim.errors import InputError
from tui.console.output import table

PLAIN, SEEN = 5.0, 1.0
"""In steps of what an instrument tells: seen from a distance, and told at all; guess."""
UNSEEN, ELSEWHERE = "-", "."
HIDDEN = 0.5
MOST_CONFUSIONS = 20
Record = Mapping[str, Any]


def strongest(record: Record) -> tuple[str, float]:
    """(instrument, steps with sign) of what tells most."""
    steps: Mapping[str, float] = record["steps"]
    tag = max(steps, key=lambda name: abs(steps[name]), default="")
    return tag, float(steps.get(tag, 0.0))


def arrow(steps: float) -> str:
    """Direction and size: ``++`` plain from a distance, ``+`` told, ``0`` not told."""
    sign = "+" if steps > 0 else "-"
    return sign * 2 if abs(steps) >= PLAIN else sign if abs(steps) >= SEEN else "0"


def cell(records: Sequence[Record]) -> str:
    """The room in which it shows least: instrument and direction there."""
    if all(record["elsewhere"] for record in records):
        return ELSEWHERE
    if any(record["failure"] for record in records):
        return "not computed"
    least = min(records, key=lambda record: record["detectable"])
    tag, steps = strongest(least)
    if abs(steps) < SEEN:
        return UNSEEN
    stopped = "!" if least["stopped_by"] else ""
    return f"{tag} {arrow(steps)} {abs(steps):.0f}{stopped}"


def summary_table(records: Sequence[Record], devices: Sequence[str]) -> str:
    """A line a fault, hardest to find last: by device the instrument that tells most, in the room where it tells least."""
    alone = [record for record in records if len(record["faults"]) == 1]
    by_fault: dict[str, dict[str, list[Record]]] = defaultdict(lambda: defaultdict(list))
    for record in alone:
        by_fault[record["faults"][0][0]][record["device"]].append(record)

    def least(name: str) -> float:
        here = [record for found in by_fault[name].values() for record in found if not record["elsewhere"]]  # fmt: skip
        return float(min((record["detectable"] for record in here), default=0.0))

    def named(name: str) -> str:
        done = {record["occasion"] for found in by_fault[name].values() for record in found} - {""}
        return f"{name} ({', '.join(sorted(done))})" if done else name

    names = sorted(by_fault, key=lambda name: (-least(name), name))
    rows = [(named(name), *(cell(by_fault[name][device]) for device in devices)) for name in names]
    legend = (
        "By device: the instrument that tells the fault most, its direction (++ plain, + told), and the difference in steps of what it tells; "
        f"! the machine stopped; in brackets what hands did so that it shows (where it can be done). {UNSEEN}: no instrument tells it while the plant simply runs; {ELSEWHERE}: it sits in another device."
    )
    return f"{table(('fault', *devices), rows)}\n\n{legend}"


def confusions_table(records: Sequence[Record]) -> str:
    """Pairs that hide each other or look like a third fault."""
    from tui.console import plant

    found = plant.confusions(records)
    if not found:
        return "no pairs"
    rows = []
    for one in found[:MOST_CONFUSIONS]:
        alone = f"{one.alone[0]:.1f}, {one.alone[1]:.1f}"
        like = f"{one.nearest} ({one.distance:.1f})"
        hides = "hidden" if one.detectable < HIDDEN * min(one.alone) else ""
        rows.append((" + ".join(one.pair), one.device, f"{one.room_c:g}", f"{one.detectable:.1f}", alone, like, hides))  # fmt: skip
    return table(("pair", "device", "room °C", "shows", "alone", "looks most like (distance)", ""), rows)  # fmt: skip


def _cautions(record: Record) -> list[Caution]:
    """The general caution, and those of the faults of a record."""
    from tui.console import plant

    return plant.cautions_of_faults([name for name, _ in record["faults"]])


def rows_of(records: Sequence[Record]) -> list[dict[str, Any]]:
    """A flat row a case: names, ends, every instrument in steps, every reading's difference in SI."""
    rows = []
    for record in records:
        row: dict[str, Any] = {
            "faults": "+".join(name for name, _ in record["faults"]),
            "severity": "+".join(f"{severity:g}" for _, severity in record["faults"]),
            "device": record["device"],
            "room_c": record["room_c"],
            "occasion": record["occasion"],
            "looked_s": record["looked_s"],
            "stopped_by": record["stopped_by"],
            "failure": record["failure"],
            "detectable_steps": record["detectable"],
            "cautions": " ".join(one.line() for one in _cautions(record)),
        }
        row |= {f"{tag}_steps": value for tag, value in record["steps"].items()}
        row |= {f"{tag}_glass": words for tag, words in record["glasses"].items()}
        for key, (healthy, faulty) in record["readings"].items():
            if not key.endswith("_shown"):
                row[f"{key}_healthy"], row[f"{key}_change"] = healthy, faulty - healthy
        rows.append(row)
    columns = list(dict.fromkeys(key for row in rows for key in row))
    return [{key: row.get(key) for key in columns} for row in rows]


def write_result(path: Path, records: Sequence[Record]) -> None:
    """CSV, JSON or Parquet, by the name's ending. Raises InputError when it cannot be written."""
    try:
        if path.suffix == ".json":
            told = [
                {**record, "cautions": [one.record for one in _cautions(record)]}
                for record in records
            ]
            path.write_text(json.dumps(told, indent=1), encoding="utf-8")
        elif path.suffix == ".csv":
            rows = rows_of(records)
            with path.open("w", encoding="utf-8", newline="") as file:
                writer = csv.DictWriter(file, fieldnames=list(rows[0]))
                writer.writeheader()
                writer.writerows(rows)
        else:
            import pyarrow
            from pyarrow import parquet

            parquet.write_table(pyarrow.Table.from_pylist(rows_of(records)), path)
    except OSError as error:
        raise InputError(f"{path}: cannot be written ({error.strerror}); the journal beside it keeps what was computed.") from None  # fmt: skip

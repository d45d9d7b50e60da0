"""``rimebench compare``: two run sheets on one clock, and where their benches part."""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from sim.errors import UsageError
from sim.run_log import cautions_of_sheet, to_json
from tui.console import plant
from tui.console.check import checked_sheet
from tui.console.output import Progress, say, screen_width, table, tell

if TYPE_CHECKING:
    from sim.study.compare import Comparison, Parting

BARS = " .:-=+*#"
"""Heights of a curve in one line of plain characters."""
FLOW = "flowmeter_shown"
CURVE_CELLS = 24
MOST_EVENTS = 40
_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser(
        "compare",
        help="two run sheets on one clock: which instruments part when, and by how much",
        description="Runs both sheets to the end of the shorter one. Differences are the second less the first.",
    )
    parser.add_argument("sheets", nargs=2, metavar="SHEET", help="run sheets, TOML files")
    parser.add_argument("--every", type=float, default=5.0, metavar="S", help="plant seconds between two looks (%(default)g)")  # fmt: skip
    parser.add_argument("--json", action="store_true", help="everything as JSON")
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Compare, and say what was found. Exit code."""
    if not 0.05 <= arguments.every <= 3600.0:
        raise UsageError(f"--every {arguments.every:g}: give 0.05 to 3600 seconds.")
    one, other = (checked_sheet(Path(name)) for name in arguments.sheets)
    sheets, rigs = (one[0], other[0]), (one[1], other[1])
    if sheets[0].duration_s != sheets[1].duration_s:
        tell(f"the sheets last {sheets[0].duration_s:g} s and {sheets[1].duration_s:g} s; both are run for the shorter time.")  # fmt: skip
    with Progress("comparing", quiet=arguments.json) as bar:
        bar(0.0)
        found = plant.compare(rigs, sheets, arguments.every)
    cautions = list(
        dict.fromkeys(caution for sheet in sheets for caution in cautions_of_sheet(sheet))
    )
    if arguments.json:
        record = asdict(found) | {"partings": [part._asdict() for part in found.partings], "cautions": [one.record for one in cautions]}  # fmt: skip
        for part in record["partings"]:
            part["first_s"] = part["first_s"] if math.isfinite(part["first_s"]) else None
        say(to_json(record))
    else:
        say(words_of(found, arguments.sheets, screen_width()))
        say()
        for caution in cautions:
            say(caution.line())
    return 0


def words_of(found: Comparison, names: Sequence[str], width: int | None = None) -> str:
    """Tables for a terminal."""
    lines = [f"first: {names[0]}", f"second: {names[1]}", f"both for {found.duration_s:g} s", ""]
    moved = sorted((part for part in found.partings if math.isfinite(part.first_s)), key=lambda part: part.first_s)  # fmt: skip
    still = [part.tag for part in found.partings if not math.isfinite(part.first_s)]
    if moved:
        rows = [_row(part, found) for part in moved]
        lines.append(
            table(("instrument", "parts at", "first", "second", "steps", "course"), rows, width)
        )
        lines += ["", "steps: the difference in the end over what the instrument tells from a written-down value; course: the size of the difference over time."]  # fmt: skip
    lines.append("never apart: " + (", ".join(still) or "none"))
    lines += ["", _events(found, width)]
    return "\n".join(lines)


def _row(part: Parting, found: Comparison) -> tuple[str, ...]:
    first, second = (readings[part.key] for readings in found.readings)
    shown = [plant.shown_words(part.key, value) for value in (first, second)]
    if part.key == FLOW:  # its display is in its scale's unit, whatever flows
        shown = [f"{value} {part.unit}" for value in shown]
    return (part.tag, f"{part.first_s:.0f} s", *shown, f"{part.steps:+.1f}", course(part.curve))


def course(curve: Sequence[float]) -> str:
    """The size of a difference over time in one line; the tallest sign is its largest."""
    largest = max((abs(value) for value in curve), default=0.0)
    if not largest:
        return ""
    stride = max(1, math.ceil(len(curve) / CURVE_CELLS))
    parts = [max(map(abs, curve[i : i + stride])) for i in range(0, len(curve), stride)]
    return "".join(BARS[round(value / largest * (len(BARS) - 1))] for value in parts)


def _events(found: Comparison, width: int | None) -> str:
    """What happened on one of the two only, or at another time."""
    sides = [[(round(event.time_s, 1), event.tag, event.kind, event.text) for event in events] for events in found.events]  # fmt: skip
    rows = [("first", *row) for row in sides[0] if row not in sides[1]]
    rows += [("second", *row) for row in sides[1] if row not in sides[0]]
    rows.sort(key=lambda row: row[1])
    if not rows:
        return "the same events on both"
    shown = [(side, f"{at:.1f}", tag, kind, text) for side, at, tag, kind, text in rows[:MOST_EVENTS]]  # fmt: skip
    more = f"\nand {len(rows) - MOST_EVENTS} more" if len(rows) > MOST_EVENTS else ""
    return table(("only on", "time_s", "tag", "kind", "event"), shown, width) + more

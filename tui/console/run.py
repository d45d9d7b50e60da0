"""``rimebench run``: carry out a run sheet and hand over its readings."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from contextlib import ExitStack
from pathlib import Path

from sim.errors import UsageError
from sim.rig import Rig
from sim.run_bench import Measurement, run_on
from sim.run_log import CsvLog, cautions_of_sheet, columns, run_result, to_json
from sim.run_sheet import BenchLike, EventLike, Reading, RunSheet
from tui.console import plant
from tui.console.check import checked_sheet
from tui.console.files import STANDARD_OUTPUT, opened
from tui.console.output import Progress, reading_row, say, table, tell

INTERRUPTED = 130  # common practice: 128 and the number of the signal
_Parsers = argparse._SubParsersAction  # the only name that argparse gives it


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser("run", help="carry out a run sheet without a screen")
    parser.add_argument("sheet", metavar="SHEET", help="the run sheet, a TOML file")
    for name, what in (
        ("csv", "a row of readings every log step"),
        ("json", "final readings, events, ledger"),
    ):
        parser.add_argument(
            f"--{name}",
            metavar="FILE",
            help=f"{what}, to FILE or standard output (write --{name}=FILE)",
        )
    parser.add_argument("--quiet", action="store_true", help="no bar and no tables")
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Carry out the sheet. Exit code."""
    targets = (arguments.csv, arguments.json)
    if targets == (STANDARD_OUTPUT, STANDARD_OUTPUT):
        raise UsageError(
            "--csv and --json cannot both go to standard output: give one a file, --csv=FILE."
        )
    sheet, rig = checked_sheet(Path(arguments.sheet))
    with ExitStack() as files:
        csv_file = files.enter_context(opened(arguments.csv)) if arguments.csv else None
        json_file = files.enter_context(opened(arguments.json)) if arguments.json else None
        bench = plant.start_bench(rig, sheet.beginning)
        log = CsvLog(csv_file, cautions_of_sheet(sheet)).row if csv_file else _no_log
        measured = _carry_out(bench, sheet, log, arguments)
        whole = measured is not None
        if json_file is not None and whole:
            json_file.write(to_json(run_result(bench, sheet, rig.name, measured or ())) + "\n")
    if whole and not arguments.quiet and STANDARD_OUTPUT not in targets:
        _show(bench, rig, measured or [])
    for warning in bench.warnings:
        tell(f"warning: {warning}")
    return 0 if whole else INTERRUPTED


def _no_log(time_s: float, readings: Mapping[str, Reading]) -> None:
    """No CSV was asked for."""


def _carry_out(
    bench: BenchLike, sheet: RunSheet, log: object, arguments: argparse.Namespace
) -> list[Measurement] | None:
    """Run to the end; what the meter read, or None after Ctrl-C, which keeps the rows written so far."""
    with Progress(Path(arguments.sheet).name, quiet=arguments.quiet) as bar:
        try:
            return run_on(bench, sheet, log, bar)  # type: ignore[arg-type]
        except KeyboardInterrupt:
            bar.clear()
            at, end = bench.time_s, sheet.duration_s
            tell(
                f"rimebench: stopped by hand at {at:.0f} s of {end:.0f} s simulated; run the sheet again for the rest."
            )
            return None


def _show(bench: BenchLike, rig: Rig, measured: Sequence[Measurement]) -> None:
    readings = bench.readings()
    atmosphere = rig.surroundings.atmospheric_pressure_pa
    rows = [reading_row(name, readings[name], atmosphere) for name in columns(readings)]
    say(table(("reading", "SI", "as a dial shows it"), rows))
    say()
    if measured:
        read = [(f"{m.time_s:.1f}", m.name, m.reading.mode, m.reading.shown) for m in measured]
        say(table(("time_s", "name", "mode", "the meter shows"), read))
        say()
    say(_events(bench.events))


def _events(events: Sequence[EventLike]) -> str:
    if not events:
        return "no events"
    rows = [(f"{event.time_s:.1f}", event.tag, event.kind, event.text) for event in events]
    return table(("time_s", "tag", "kind", "event"), rows)

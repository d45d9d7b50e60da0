"""``rimebench spice``: the circuit of a run sheet at an instant as a SPICE deck, so that anyone can check it with a circuit simulator."""

from __future__ import annotations

import argparse
from pathlib import Path

from sim.errors import UsageError
from tui.console import plant
from tui.console.check import checked_sheet
from tui.console.output import Progress, say

_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser("spice", help="write the circuit at an instant as a SPICE deck")
    parser.add_argument("sheet", metavar="SHEET", help="the run sheet, a TOML file")
    parser.add_argument("--at", metavar="S", type=float, help="instant of the run, s (default: its end)")  # fmt: skip
    parser.add_argument("--quiet", action="store_true", help="no bar")
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Run the sheet to the instant and write the deck. Exit code."""
    sheet, rig = checked_sheet(Path(arguments.sheet))
    at_s = sheet.duration_s if arguments.at is None else arguments.at
    if not 0.0 <= at_s <= sheet.duration_s:
        raise UsageError(f"--at {at_s:g} lies outside the run, which goes from 0 to {sheet.duration_s:g} s.")  # fmt: skip
    with Progress(Path(arguments.sheet).name, quiet=arguments.quiet) as bar:
        text = plant.deck(rig, sheet, at_s, bar)
    say(text.rstrip("\n"))
    return 0

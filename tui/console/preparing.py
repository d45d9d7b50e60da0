"""``rimebench prepare``: build ahead what the first start would have to build."""

from __future__ import annotations

import argparse

from tui.console import plant
from tui.console.output import Progress, say, tell

_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser("prepare", help="compile ahead what the first start would compile")
    parser.set_defaults(work=run)


def run(_: argparse.Namespace) -> int:
    """Build it. Exit code."""
    with Progress("preparing") as bar:
        plant.prepare(bar)
    say("ready")
    freed = plant.remove_old_kernels()
    if freed:
        tell(f"removed what earlier versions had compiled: {freed / 1e6:.1f} MB freed")
    return 0

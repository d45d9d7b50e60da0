"""``rimebench rehearse``: the rehearsal card of a fault, printed piece by piece as it is computed."""

from __future__ import annotations

import argparse
import sys
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from sim.errors import UsageError
from sim.record import did_you_mean
from sim.run_log import to_json
from sim.starts import DEVICES, MODES
from tui.console import plant
from tui.console.card_chart import in_svg
from tui.console.card_formats import PAGE, html_of, markdown_of, text_of
from tui.console.card_words import block_of
from tui.console.check import checked_sheet
from tui.console.files import STANDARD_OUTPUT, opened
from tui.console.opening import DEFAULT_RIG, checked_room
from tui.console.output import Progress, screen_width
from tui.draw.glyphs import ASCII, SETS, Glyphs

if TYPE_CHECKING:
    from sim.study.card import Card
    from sim.study.case import Case

FORMATS = ("text", "markdown", "html", "json")
PIECES = 11
OF_A_FAULT = ("severity", "place", "rig", "device", "mode", "room")
"""What goes with --fault only."""
_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser(
        "rehearse",
        help="a rehearsal card: which reading moves when, what trips, how to put it right",
        description="A rehearsal card for one fault on a bench that runs steady, with the stop, start or other act at which it shows, or for all faults of a run sheet beside the same sheet without them. "
        "A forecast of a model, not a permission to stage it; of what must never be staged only the consequences.",
    )
    parser.add_argument("sheet", metavar="SHEET", nargs="?", help="a run sheet with faults; it says everything else itself")  # fmt: skip
    parser.add_argument("--fault", metavar="NAME", help="instead of a sheet, one of: rimebench list faults")  # fmt: skip
    parser.add_argument("--severity", type=float, metavar="S", help="above 0, to 1 (1 if not said)")
    parser.add_argument(
        "--place", metavar="P", help="where the fault sits; its usual place if not said"
    )
    parser.add_argument("--rig", help=f"{DEFAULT_RIG} if not said")
    parser.add_argument(
        "--device", choices=DEVICES, help="the one that the fault shows on if not said"
    )
    parser.add_argument("--mode", choices=MODES, help="cooling if not said")
    parser.add_argument("--room", type=float, metavar="C", help="room temperature, °C")
    parser.add_argument("--format", choices=FORMATS, default="text")
    parser.add_argument("--charset", choices=tuple(SETS), default="full", help="of the chart: without braille, or plain ASCII")  # fmt: skip
    parser.add_argument("--out", metavar="F", default=STANDARD_OUTPUT, help="a file instead of standard output")  # fmt: skip
    parser.add_argument("--chart", metavar="F.svg", help="the curves as a picture of their own")
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Work out the card and write it. Exit code."""
    case = case_of(arguments)
    if arguments.chart and arguments.chart == arguments.out:
        raise UsageError("--chart and --out name the same file: give each its own.")
    with ExitStack() as files:
        chart = files.enter_context(opened(arguments.chart)) if arguments.chart else None
        stream = files.enter_context(opened(arguments.out))
        card = write_card(case, stream, arguments.format, glyphs_for(arguments.charset, stream))
        if chart is not None:
            chart.write(in_svg(card, alone=True) + "\n")
    return 0


def case_of(arguments: argparse.Namespace) -> Case:
    """What is to be rehearsed. Raises UsageError or InputError."""
    if (arguments.sheet is None) == (arguments.fault is None):
        raise UsageError("give either a run sheet or --fault NAME.")
    if arguments.sheet is not None:
        return _case_of_sheet(arguments)
    faults = plant.faults()
    if arguments.fault not in faults:
        raise UsageError(f"there is no fault {arguments.fault}. {did_you_mean(arguments.fault, faults)}")  # fmt: skip
    severity = 1.0 if arguments.severity is None else arguments.severity
    if not 0.0 < severity <= 1.0:
        raise UsageError(f"--severity {severity:g}: give a number above 0, at most 1.")
    rig = plant.rig(arguments.rig or DEFAULT_RIG)
    places = plant.fault_places(arguments.fault, rig)
    if arguments.place is not None and arguments.place not in places:
        known = f"its places are {', '.join(places)}" if places else "the fault is the plant's as a whole; leave it out"  # fmt: skip
        raise UsageError(f"--place {arguments.place}: {known}.")
    return plant.case_of(
        rig,
        arguments.fault,
        severity=severity,
        place=arguments.place,
        device=arguments.device,
        mode=arguments.mode or "cooling",
        room_c=checked_room(arguments.room),
    )


def _case_of_sheet(arguments: argparse.Namespace) -> Case:
    """The sheet's own; what it says cannot be said again beside it."""
    doubled = [f"--{name}" for name in OF_A_FAULT if getattr(arguments, name) is not None]
    if doubled:
        raise UsageError(f"{', '.join(doubled)}: the run sheet says this itself; change it there.")
    sheet, rig = checked_sheet(Path(arguments.sheet))
    return plant.case_of_sheet(rig, sheet)


def glyphs_for(name: str, stream: TextIO) -> Glyphs:
    """The set that was asked for; plain ASCII where the stream cannot write more."""
    encoding = (getattr(stream, "encoding", None) or "ascii").lower()
    return SETS[name] if encoding.startswith("utf") else ASCII


def write_card(case: Case, stream: TextIO, form: str, glyphs: Glyphs) -> Card:
    """Every piece as soon as it is known; JSON when all is. The whole card."""
    if form == "html":
        stream.write(PAGE.format(title="Rehearsal card"))
    with Progress("rehearsing", quiet=stream is sys.stdout and form != "json") as bar:
        for number, (piece, card) in enumerate(plant.rehearsal(case)):
            bar(number / PIECES, piece)
            if form == "json":
                if piece == "end":
                    stream.write(to_json(plant.card_record(card)) + "\n")
                continue
            block = block_of(piece, card)
            if block is None:
                continue
            first = piece == "head"
            if form == "html":
                stream.write(html_of(block, card, first=first))
            elif form == "markdown":
                stream.write(markdown_of(block, card, glyphs, first=first) + "\n")
            else:
                stream.write(text_of(block, card, glyphs, screen_width(stream)) + "\n")
            stream.flush()
    if form == "html":
        stream.write("</body></html>\n")
    return card

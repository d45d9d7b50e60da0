"""``rimebench rehearse``: the rehearsal card of a fault, printed piece by piece as it is computed."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING, TextIO

from sim.errors import UsageError
from sim.record import did_you_mean
from sim.run_log import to_json
from sim.starts import DEVICES, MODES
from tui.console import plant
from tui.console.card_formats import PAGE, html_of, markdown_of, text_of
from tui.console.card_words import block_of
from tui.console.files import STANDARD_OUTPUT, opened
from tui.console.opening import DEFAULT_RIG, checked_room
from tui.console.output import Progress
from tui.draw.glyphs import ASCII, SETS, Glyphs

if TYPE_CHECKING:
    from sim.study.case import Case

FORMATS = ("text", "markdown", "html", "json")
PIECES = 10
_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser(
        "rehearse",
        help="a rehearsal card: which reading moves when, what trips, how to put it right",
        description="A rehearsal card for one fault on a bench that runs steady. "
        "A forecast of a model, not a permission to stage it; of what must never be staged only the consequences.",
    )
    parser.add_argument("--fault", metavar="NAME", required=True, help="one of: rimebench list faults")  # fmt: skip
    parser.add_argument("--severity", type=float, default=1.0, metavar="S", help="above 0, to 1 (%(default)g)")  # fmt: skip
    parser.add_argument("--rig", default=DEFAULT_RIG, help="%(default)s if not said")
    parser.add_argument("--device", choices=DEVICES, default="thermostatic", help="%(default)s if not said")  # fmt: skip
    parser.add_argument("--mode", choices=MODES, default="cooling", help="%(default)s if not said")
    parser.add_argument("--room", type=float, metavar="C", help="room temperature, °C")
    parser.add_argument("--format", choices=FORMATS, default="text")
    parser.add_argument("--charset", choices=tuple(SETS), default="full", help="of the chart: without braille, or plain ASCII")  # fmt: skip
    parser.add_argument("--out", metavar="F", default=STANDARD_OUTPUT, help="a file instead of standard output")  # fmt: skip
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Work out the card and write it. Exit code."""
    case = case_of(arguments)
    with opened(arguments.out) as stream:
        write_card(case, stream, arguments.format, glyphs_for(arguments.charset, stream))
    return 0


def case_of(arguments: argparse.Namespace) -> Case:
    """What is to be rehearsed. Raises UsageError or InputError."""
    known = plant.faults()
    if arguments.fault not in known:
        raise UsageError(f"there is no fault {arguments.fault}. {did_you_mean(arguments.fault, known)}")  # fmt: skip
    if not 0.0 < arguments.severity <= 1.0:
        raise UsageError(f"--severity {arguments.severity:g}: give a number above 0, at most 1.")
    return plant.case_of(
        plant.rig(arguments.rig),
        arguments.fault,
        severity=arguments.severity,
        device=arguments.device,
        mode=arguments.mode,
        room_c=checked_room(arguments.room),
    )


def glyphs_for(name: str, stream: TextIO) -> Glyphs:
    """The set that was asked for; plain ASCII where the stream cannot write more."""
    encoding = (getattr(stream, "encoding", None) or "ascii").lower()
    return SETS[name] if encoding.startswith("utf") else ASCII


def write_card(case: Case, stream: TextIO, form: str, glyphs: Glyphs) -> None:
    """Every piece as soon as it is known; JSON when all is."""
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
                stream.write(text_of(block, card, glyphs) + "\n")
            stream.flush()
    if form == "html":
        stream.write("</body></html>\n")

"""``rimebench saturation``: the pressure-temperature card of a refrigerant, to print."""

from __future__ import annotations

import argparse
from html import escape

from sim.errors import InputError, UsageError
from tui.console import plant
from tui.console.card_formats import PAGE
from tui.console.files import STANDARD_OUTPUT, opened
from tui.console.opening import DEFAULT_RIG
from tui.fluid_card import HEAD, card_lines, notes_of, tables_of
from tui.fluid_chart import FluidChart

FORMATS = ("text", "html")
_Parsers = argparse._SubParsersAction


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser(
        "saturation",
        help="the pressure-temperature card of a refrigerant, to print",
        description="Saturation at round temperatures, gauge and absolute, in both systems of units.",
    )
    parser.add_argument("rig", metavar="RIG", nargs="?", default=DEFAULT_RIG, help="whose refrigerant (%(default)s if not said)")  # fmt: skip
    parser.add_argument("--fluid", metavar="NAME", help="another refrigerant, such as R290")
    parser.add_argument("--format", choices=FORMATS, default="text")
    parser.add_argument("--out", metavar="F", default=STANDARD_OUTPUT, help="a file instead of standard output")  # fmt: skip
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """Write the card. Exit code."""
    try:
        fluid = plant.fluid_chart(arguments.fluid or plant.rig(arguments.rig).fluid_name)
    except InputError as error:
        if arguments.fluid:
            raise UsageError(f"--fluid {arguments.fluid}: {error}") from None
        raise
    with opened(arguments.out) as stream:
        stream.write(html_of(fluid) if arguments.format == "html" else "\n".join(card_lines(fluid)) + "\n")  # fmt: skip
    return 0


def html_of(fluid: FluidChart) -> str:
    """The card as a page of its own."""
    body = [f"<h1>{escape(fluid.name)}</h1>", *(f"<p>{escape(note)}</p>" for note in notes_of(fluid))]  # fmt: skip
    for heading, table in tables_of(fluid):
        rows = [_row("th", HEAD), *(_row("td", row) for row in table)]
        body += [f"<h2>{escape(heading)}</h2>", "<table>", *rows, "</table>"]
    return PAGE.format(title="Pressure-temperature card") + "\n".join(body) + "</body></html>\n"


def _row(kind: str, cells: tuple[str, ...]) -> str:
    return "<tr>" + "".join(f"<{kind}>{escape(cell)}</{kind}>" for cell in cells) + "</tr>"

"""``rimebench list``: what there is - rigs, faults, lessons, readings, tags, trade terms."""

from __future__ import annotations

import argparse
from typing import Any

from sim.readings import READINGS, describe
from sim.rig_find import find_rig, shipped_names, wirings
from sim.run_log import to_json
from sim.tomlfile import read_toml
from tui.console import plant
from tui.console.output import say, screen_width, table, tell
from tui.glossary import glossary as terms

_Parsers = argparse._SubParsersAction
DEFAULT_RIG = "fennick_bench"
SUBJECTS = ("rigs", "faults", "lessons", "readings", "tags", "glossary")
IN_THE_TABLE = {"glossary": ("term", "unit", "what")}
"""Subject -> columns of its table, where JSON has more."""
NARROW = {"faults": ("name", "what", "places"), "rigs": ("name", "fluid", "wirings", "what")}
"""The same on a terminal, where a row has to fit."""
CHOICES_WIDTH = 40
"""Characters of a list of choices in a table; guess: two positions and a few names of places fit."""
SHOWN = """
A run also has X_shown, what the instrument for X displays (list readings --rig RIG has them all). Instruments stay where
they are bolted: in heating evaporator_air_in_k_shown is coil B's thermometer and stands in the condenser's air."""
Row = dict[str, Any]


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser(
        "list", help="rigs, faults, lessons, readings, tags or the glossary"
    )
    parser.add_argument("subject", choices=SUBJECTS)
    parser.add_argument(
        "--rig",
        default=None,
        metavar="RIG",
        help=f"the rig whose tags, readings or lessons are meant ({DEFAULT_RIG} if not said)",
    )
    parser.add_argument("--json", action="store_true", help="as JSON, for other programs")
    parser.set_defaults(work=run)


def run(arguments: argparse.Namespace) -> int:
    """List the subject. Exit code."""
    rows = LISTS[arguments.subject](arguments.rig)
    if arguments.json:
        say(to_json(rows))
    elif rows:
        lines = [{key: cell(key, value) for key, value in row.items()} for row in rows]
        lines = [_one_setting(line) for line in lines]
        head = list(IN_THE_TABLE.get(arguments.subject, lines[0]))
        width = screen_width()
        head = list(NARROW.get(arguments.subject, head)) if width else head
        say(table(head, [[line.get(key, "") for key in head] for line in lines], width))
        if arguments.subject == "readings":
            tell(SHOWN)
    else:
        say(f"no {arguments.subject}")
    return 0


def cell(key: str, value: Any) -> str:
    """One value as the table shows it."""
    if key == "range":
        return f"{value[0]:.8g} to {value[1]:.8g}"
    text = ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)
    if key == "choices" and len(text) > CHOICES_WIDTH:
        text = f"{text[: text.rindex(', ', 0, CHOICES_WIDTH)]} ... ({len(value)}; all with --json)"
    return text


def _one_setting(line: dict[str, str]) -> dict[str, str]:
    """Range or choices under one head: what a sheet may set the tag to."""
    given = [line.pop(key) for key in ("range", "choices") if key in line]
    return {**line, "may be": given[0]} if given else line


def rigs(_: str | None) -> list[Row]:
    """The shipped rigs."""
    from sim.fluid import Fluid

    found = []
    for name in shipped_names():
        rig = plant.rig(name)
        safety_class = Fluid.load(rig.fluid_name).safety_class
        fluid = f"{rig.fluid_name} {safety_class}"
        found.append(
            {
                "name": name,
                "title": rig.title,
                "fluid": fluid,
                "wirings": list(wirings(rig.folder)),
                "what": rig.description,
            }
        )
    return found


def faults(rig_name: str | None) -> list[Row]:
    """The faults that can be put in, and where on a rig each can sit, the usual place first."""
    rig = plant.rig(rig_name or DEFAULT_RIG)
    return [
        {
            "name": name,
            "family": family,
            "what": what,
            "places": list(plant.fault_places(name, rig)),
        }
        for name, (family, what) in plant.faults().items()
    ]


def lessons(rig_name: str | None) -> list[Row]:
    """The lessons in a rig's folder."""
    folder = find_rig(rig_name or DEFAULT_RIG).folder
    found = []
    for path in sorted((folder / "lessons").glob("*.toml")):
        title = read_toml(path).values.get("title", "")
        found.append({"name": path.stem, "title": str(title)})
    return found


def readings(rig_name: str | None) -> list[Row]:
    """The readings of every rig; with a rig also what its instruments show."""
    names = list(READINGS)
    if rig_name:
        for instrument in plant.rig(rig_name).instruments:
            shown = f"{instrument.reading}_shown"
            if shown not in names:
                names.append(shown)
    return [{"name": name, "unit": describe(name)[0], "what": describe(name)[1]} for name in names]


def tags(rig_name: str | None) -> list[Row]:
    """Everything on a rig that a hand can move: a range or a list of choices."""
    rows = []
    for info in plant.tags(plant.rig(rig_name or DEFAULT_RIG)):
        row: Row = {"tag": info.tag, "kind": info.kind, "what": info.what}
        if info.choices:
            row["choices"] = list(info.choices)
        else:
            row["range"] = [info.low, info.high]
        rows.append(row)
    return rows


def glossary(_: str | None) -> list[Row]:
    """The terms of the trade."""
    return [
        {"term": term.name, "also": list(term.also), "what": term.plain, "unit": term.unit, "seen": term.seen, "readings": list(term.readings), "related": list(term.related), "source": term.source}
        for term in terms().values()
    ]  # fmt: skip


LISTS = {"rigs": rigs, "faults": faults, "lessons": lessons, "readings": readings, "tags": tags, "glossary": glossary}  # fmt: skip

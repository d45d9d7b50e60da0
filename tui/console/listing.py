"""``rimebench list``: what there is - rigs, faults, lessons, readings, tags."""

from __future__ import annotations

import argparse
from typing import Any

from sim.readings import READINGS, describe
from sim.rig_find import find_rig, shipped_names, wirings
from sim.run_log import to_json
from sim.tomlfile import read_toml
from tui.console import plant
from tui.console.output import say, table

_Parsers = argparse._SubParsersAction
DEFAULT_RIG = "fennick_bench"
SUBJECTS = ("rigs", "faults", "lessons", "readings", "tags")
Row = dict[str, Any]


def add(commands: _Parsers[argparse.ArgumentParser]) -> None:
    """The command's arguments."""
    parser = commands.add_parser("list", help="rigs, faults, lessons, readings or tags")
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
        head = list(rows[0])
        say(table(head, [[_cell(row.get(key, "")) for key in head] for row in rows]))
    else:
        say(f"no {arguments.subject}")
    return 0


def _cell(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list | tuple) else str(value)


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


def faults(_: str | None) -> list[Row]:
    """The faults that can be put in."""
    return [
        {"name": name, "family": family, "what": what}
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


LISTS = {"rigs": rigs, "faults": faults, "lessons": lessons, "readings": readings, "tags": tags}

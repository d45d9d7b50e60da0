"""Read the ``[[part]]`` tables of a rig: kind, parameters, ports; and turn coils into their cells."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, cast

from sim.part import Part
from sim.record import Reader, range_faults
from sim.rig import OUTSIDE, Node, Port
from sim.rig_draft import Placing, called, entries, kind_of
from sim.tomlfile import Key

WORDS = ("what", "in_line_with", "senses")
"""Keys of every ``[[part]]`` besides kind, ports and the fields of its class."""
HEIGHTS = {"": "mixed", "top": "top", "bottom": "bottom"}


def read_parts(reader: Reader, catalogue: Mapping[str, type[Part]]) -> list[Placing]:
    """Every part of a known kind, as far as it could be read."""
    placings = []
    for path, entry in entries(reader, "part"):
        cls = kind_of(reader, path, entry, "part", catalogue)
        if cls is None:
            continue
        name = called(cls.KIND, entry, ("tag",))
        part = reader.read(cls, path, name, other_keys=("kind", *WORDS, *cls.PORTS))
        words = {key: _text(reader, path, entry, key, name) for key in WORDS}
        ports = _ports(reader, path, entry, cls, name)
        placings.append(Placing(path, cls, str(entry.get("tag", cls.KIND)), part, ports, words))
    return placings


def _text(reader: Reader, path: Key, entry: Mapping[str, Any], key: str, name: str) -> str:
    value = entry.get(key, "")
    if isinstance(value, str):
        return value
    reader.wrong((*path, key), f"{name}: {key} must be text in quotes.", f"Correct {key}.")
    return ""


def _ports(
    reader: Reader, path: Key, entry: Mapping[str, Any], cls: type[Part], name: str
) -> tuple[Port, ...] | None:
    """The ports in the order of the class's PORTS; none for a part in line with another; None after a mistake."""
    before = len(reader.mistakes)
    if entry.get("in_line_with"):
        for key in cls.PORTS:
            if key in entry:
                what = f"{name}: a part in line with another has no port {key}."
                reader.wrong((*path, key), what, "Remove the port or in_line_with.")
        return () if len(reader.mistakes) == before else None
    ports = []
    for key in cls.PORTS:
        if key in entry:
            ports.append(_port(reader, (*path, key), entry[key], f"{name}: port {key}"))
        else:
            remedy = f'Add {key} = the name of a node in quotes, or "{OUTSIDE}".'
            reader.wrong(path, f"{name}: port {key} hangs loose.", remedy)
    return tuple(port for port in ports if port) if len(reader.mistakes) == before else None


def _port(reader: Reader, path: Key, value: object, name: str) -> Port | None:
    if not isinstance(value, str):
        reader.wrong(path, f"{name} must name a node.", "Give a node's name in quotes.")
        return None
    node, _, height = value.partition(".")
    if height not in HEIGHTS:
        what = f"{name} is at {height!r} of {node}."
        reader.wrong(path, what, f"Write {node}, {node}.top or {node}.bottom.")
        return None
    return Port(node=node, height=HEIGHTS[height])  # type: ignore[arg-type]


def cells_of(placings: list[Placing]) -> list[tuple[Key, Node]]:
    """A coil of n cells gives the nodes prefix1 to prefixn, each with its share of the volume."""
    nodes = []
    for placing in placings:
        path, coil = placing.path, cast(Any, placing.part)
        if coil is None or range_faults(coil):
            continue  # its numbers may not even be multiplied
        if not all(hasattr(coil, name) for name in ("cells", "prefix", "volume_m3")):
            continue
        for i in range(coil.cells):
            node = Node(
                name=f"{coil.prefix}{i + 1}",
                volume_m3=coil.volume_m3 / coil.cells,
                what=f"cell {i + 1} of {coil.tag}",
                coil=coil.tag,
                cell=i,
                elevation_m=coil.elevation_m(i),
            )
            nodes.append((path, node))
    return nodes

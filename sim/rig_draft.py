"""A rig while it is being read: what could be made of its tables so far, and how a table of the file is found.

Every thing keeps its path in the file, so that a later check can still point at the line.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, ClassVar, Literal, TypeVar

from sim.part import Part
from sim.record import Reader, did_you_mean
from sim.rig import Air, Instrument, LineUp, Node, PlacedPart, Port, Spread, Wall
from sim.surroundings import Surroundings
from sim.switches import Switch
from sim.tomlfile import Key, TomlFile

T = TypeVar("T")

TABLES = (
    "rig",
    "fluid",
    "charge",
    "surroundings",
    "node",
    "part",
    "wall",
    "air",
    "instrument",
    "rescale",
    "switch",
    "line_up",
    "spread",
)


# guess: more than any coil needs, so that a slip of the pen does not fill the memory
MOST_CELLS = 200


@dataclass(frozen=True, kw_only=True)
class RigTable:
    """The ``[rig]`` table."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {"ps_pa": (2e5, 200e5)}

    name: str
    title: str
    ps_pa: float
    place: str = ""
    description: str = ""
    extends: str = ""
    wiring: str = ""
    units: Literal["si", "us"] = "si"
    """In which the screen begins; a person's own settings win."""


@dataclass(frozen=True, kw_only=True)
class FluidTable:
    """The ``[fluid]`` table: what is in it, and what its parts are built for."""

    name: str
    built_for: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class ChargeTable:
    """The ``[charge]`` table."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {"kg": (1e-4, 1000.0)}

    kg: float


@dataclass(frozen=True, kw_only=True)
class Rescale:
    """A ``[[rescale]]``: another scale of an instrument on another wiring of the rig."""

    instrument: str
    wiring: str
    high: float
    resolution: float


@dataclass(frozen=True)
class Placing:
    """A ``[[part]]`` as far as it could be read: its parameters and its ports are judged apart."""

    path: Key
    cls: type[Part]
    tag: str
    part: Part | None
    ports: tuple[Port, ...] | None
    words: dict[str, str]


@dataclass
class Draft:
    """A rig while it is being read: what could be made so far, each thing with its path in the file."""

    document: TomlFile
    header: RigTable | None = None
    fluid: FluidTable | None = None
    charge: ChargeTable | None = None
    surroundings: Surroundings = field(default_factory=Surroundings)
    nodes: list[tuple[Key, Node]] = field(default_factory=list)
    placings: list[Placing] = field(default_factory=list)
    walls: list[tuple[Key, Wall]] = field(default_factory=list)
    airs: list[tuple[Key, Air]] = field(default_factory=list)
    instruments: list[tuple[Key, Instrument]] = field(default_factory=list)
    rescales: list[tuple[Key, Rescale]] = field(default_factory=list)
    switches: list[tuple[Key, Switch]] = field(default_factory=list)
    line_ups: list[tuple[Key, LineUp]] = field(default_factory=list)
    spreads: list[tuple[Key, Spread]] = field(default_factory=list)

    def instruments_on(self, wiring: str) -> tuple[Instrument, ...]:
        """The instruments with the scales that they have on a wiring."""
        other = {one.instrument: one for _, one in self.rescales if one.wiring == wiring}
        return tuple(rescaled(one, other[one.tag]) if one.tag in other else one for _, one in self.instruments)  # fmt: skip

    @property
    def parts(self) -> list[tuple[Key, PlacedPart]]:
        """The parts that could be read whole."""
        made = []
        for placing in self.placings:
            if placing.part is not None and placing.ports is not None:
                placed = PlacedPart(part=placing.part, ports=placing.ports, **placing.words)
                made.append((placing.path, placed))
        return made


def rescaled(instrument: Instrument, to: Rescale) -> Instrument:
    """The instrument with another end of its scale, and the steps that go with it."""
    return replace(instrument, high=to.high, resolution=to.resolution)


def single(reader: Reader, cls: type[T], name: str) -> T | None:
    if name not in reader.document.values:
        reader.wrong((), f"the table [{name}] is missing.", f"Add [{name}].")
        return None
    return reader.read(cls, (name,), name)


def entries(reader: Reader, name: str) -> list[tuple[Key, dict[str, Any]]]:
    """Path and table of every ``[[name]]``."""
    value = reader.document.values.get(name, [])
    if not isinstance(value, list):
        reader.wrong(
            (name,), f"{name} must be an array of tables.", f"Write [[{name}]] with two brackets."
        )
        return []
    found: list[tuple[Key, dict[str, Any]]] = []
    for i, entry in enumerate(value):
        if isinstance(entry, dict):
            found.append(((name, i), entry))
        else:
            reader.wrong(
                (name, i),
                f"an entry of {name} must be a table.",
                f"Write [[{name}]] and its keys below.",
            )
    return found


def declared(document: TomlFile, table: str, key: str) -> list[str]:
    """Every name that the file gives to an entry of ``[[table]]``, whether or not the entry could be read.

    References are looked up here, so that one mistake in a part does not make everything that points at it wrong too.
    """
    value = document.values.get(table)
    found = (
        [entry.get(key) for entry in value if isinstance(entry, dict)]
        if isinstance(value, list)
        else []
    )
    return [name for name in found if isinstance(name, str)]


def declared_nodes(document: TomlFile) -> list[str]:
    """Names of all nodes, the cells of coils among them."""
    names = declared(document, "node", "name")
    parts = document.values.get("part")
    for entry in parts if isinstance(parts, list) else []:
        prefix, cells = (
            (entry.get("prefix"), entry.get("cells")) if isinstance(entry, dict) else ("", 0)
        )
        if isinstance(prefix, str) and isinstance(cells, int):
            names += [f"{prefix}{i + 1}" for i in range(min(cells, MOST_CELLS))]
    return names


def called(kind: str, entry: Mapping[str, Any], keys: tuple[str, ...]) -> str:
    for key in keys:
        if isinstance(entry.get(key), str):
            return f"{kind} {entry[key]}"
    return kind


def kind_of(
    reader: Reader, path: Key, entry: Mapping[str, Any], name: str, kinds: Mapping[str, type[T]]
) -> type[T] | None:
    kind = entry.get("kind")
    title = called(name, entry, ("tag",))
    if kind is None:
        reader.wrong(path, f"{title}: the key kind is missing.", did_you_mean("", kinds))
    elif not isinstance(kind, str) or kind not in kinds:
        reader.wrong(
            (*path, "kind"),
            f"{title}: there is no {name} kind {kind!r}.",
            did_you_mean(str(kind), kinds),
        )
    else:
        return kinds[kind]
    return None

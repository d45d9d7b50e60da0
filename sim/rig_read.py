"""Read a rig from its TOML: tables into records, coils into cells, and then every check. All mistakes are reported at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any, ClassVar, TypeVar

from sim.errors import InputError, Mistake
from sim.part import Part
from sim.record import Reader, did_you_mean
from sim.rig import (
    OUTSIDE,
    Air,
    Instrument,
    LineUp,
    Node,
    PlacedPart,
    Port,
    Rig,
    Spread,
    Step,
    Wall,
)
from sim.rig_find import find_rig, read_rig_file
from sim.surroundings import Surroundings, SurroundingsTable
from sim.switches import KINDS as SWITCH_KINDS
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
    "switch",
    "line_up",
    "spread",
)
HEIGHTS = ("top", "bottom")
WORDS = ("what", "in_line_with", "senses")
"""Keys of every ``[[part]]`` besides kind, ports and the fields of its class."""
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


@dataclass
class Draft:
    """A rig while it is being read: what could be made so far, each thing with its path in the file."""

    document: TomlFile
    header: RigTable | None = None
    fluid: FluidTable | None = None
    charge: ChargeTable | None = None
    surroundings: Surroundings = field(default_factory=Surroundings)
    nodes: list[tuple[Key, Node]] = field(default_factory=list)
    parts: list[tuple[Key, PlacedPart]] = field(default_factory=list)
    walls: list[tuple[Key, Wall]] = field(default_factory=list)
    airs: list[tuple[Key, Air]] = field(default_factory=list)
    instruments: list[tuple[Key, Instrument]] = field(default_factory=list)
    switches: list[tuple[Key, Switch]] = field(default_factory=list)
    line_ups: list[tuple[Key, LineUp]] = field(default_factory=list)
    spreads: list[tuple[Key, Spread]] = field(default_factory=list)
    complete: bool = True
    """False when some table could not be read: what is missing may only be unread."""


def read_rig(name_or_path: str | Path, *, catalogue: Mapping[str, type[Part]] | None = None) -> Rig:
    """See ``sim.rig.load_rig``."""
    from sim.catalogue import CATALOGUE

    found = find_rig(name_or_path)
    document = read_rig_file(found.folder)
    rig, mistakes = build_rig(document, found.folder, CATALOGUE if catalogue is None else catalogue)
    if rig is None or mistakes:
        raise InputError(mistakes)
    return replace(rig, wiring=found.wiring or rig.wiring)


def build_rig(
    document: TomlFile, folder: Path, catalogue: Mapping[str, type[Part]]
) -> tuple[Rig | None, list[Mistake]]:
    """The rig in ``document`` (None if it cannot be made) and all its mistakes, in the order of the file."""
    from sim.rig_check import check_draft

    reader = Reader(document)
    draft = _draft(reader, catalogue)
    mistakes = reader.mistakes + check_draft(draft)
    unique = sorted(set(mistakes), key=lambda mistake: (mistake.file, mistake.line, mistake.what))
    if unique or draft.header is None or draft.fluid is None or draft.charge is None:
        return None, unique
    return _finish(draft, draft.header, draft.fluid, draft.charge, folder), []


def _finish(
    draft: Draft, header: RigTable, fluid: FluidTable, charge: ChargeTable, folder: Path
) -> Rig:
    return Rig(
        name=header.name,
        title=header.title,
        place=header.place,
        description=header.description,
        folder=folder,
        fluid_name=fluid.name,
        built_for=fluid.built_for,
        charge_kg=charge.kg,
        ps_pa=header.ps_pa,
        surroundings=draft.surroundings,
        nodes=tuple(node for _, node in draft.nodes),
        parts=tuple(part for _, part in draft.parts),
        walls=tuple(wall for _, wall in draft.walls),
        airs=tuple(air for _, air in draft.airs),
        instruments=tuple(instrument for _, instrument in draft.instruments),
        switches=tuple(switch for _, switch in draft.switches),
        line_ups=tuple(line_up for _, line_up in draft.line_ups),
        spreads=tuple(spread for _, spread in draft.spreads),
        wiring=header.wiring,
    )


def _draft(reader: Reader, catalogue: Mapping[str, type[Part]]) -> Draft:
    draft = Draft(reader.document)
    for name in reader.document.values:
        if name not in TABLES:
            reader.wrong(
                (name,), f"there is no table {name} in a rig file.", did_you_mean(name, TABLES)
            )
    draft.header = _single(reader, RigTable, "rig")
    draft.fluid = _single(reader, FluidTable, "fluid")
    draft.charge = _single(reader, ChargeTable, "charge")
    if "surroundings" in reader.document.values:
        table = reader.read(SurroundingsTable, ("surroundings",), "surroundings")
        draft.surroundings = draft.surroundings.changed(table.given() if table else {})
    draft.nodes = _several(reader, Node, "node", ("name",))
    draft.walls = _several(reader, Wall, "wall", ("node",))
    draft.airs = _several(reader, Air, "air", ("tag",))
    draft.instruments = _several(reader, Instrument, "instrument", ("tag",))
    draft.spreads = _several(reader, Spread, "spread", ("of",))
    draft.switches = _switches(reader)
    draft.line_ups = _line_ups(reader)
    draft.parts = _parts(reader, catalogue)
    _expand_coils(draft)
    draft.complete = not reader.mistakes
    return draft


def _single(reader: Reader, cls: type[T], name: str) -> T | None:
    if name not in reader.document.values:
        reader.wrong((), f"the table [{name}] is missing.", f"Add [{name}].")
        return None
    return reader.read(cls, (name,), name)


def _entries(reader: Reader, name: str) -> list[tuple[Key, dict[str, Any]]]:
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


def _called(kind: str, entry: Mapping[str, Any], keys: tuple[str, ...]) -> str:
    for key in keys:
        if isinstance(entry.get(key), str):
            return f"{kind} {entry[key]}"
    return kind


def _several(
    reader: Reader, cls: type[T], name: str, naming: tuple[str, ...]
) -> list[tuple[Key, T]]:
    made = []
    for path, entry in _entries(reader, name):
        record = reader.read(cls, path, _called(name, entry, naming))
        if record is not None:
            made.append((path, record))
    return made


def _kind_of(
    reader: Reader, path: Key, entry: Mapping[str, Any], name: str, kinds: Mapping[str, type[T]]
) -> type[T] | None:
    kind = entry.get("kind")
    called = _called(name, entry, ("tag",))
    if kind is None:
        reader.wrong(path, f"{called}: the key kind is missing.", did_you_mean("", kinds))
    elif not isinstance(kind, str) or kind not in kinds:
        reader.wrong(
            (*path, "kind"),
            f"{called}: there is no {name} kind {kind!r}.",
            did_you_mean(str(kind), kinds),
        )
    else:
        return kinds[kind]
    return None


def _switches(reader: Reader) -> list[tuple[Key, Switch]]:
    made = []
    for path, entry in _entries(reader, "switch"):
        cls = _kind_of(reader, path, entry, "switch", SWITCH_KINDS)
        if cls is not None:
            switch = reader.read(
                cls, path, _called("switch", entry, ("tag",)), other_keys=("kind",)
            )
            if switch is not None:
                made.append((path, switch))
    return made


def _line_ups(reader: Reader) -> list[tuple[Key, LineUp]]:
    made = []
    for path, entry in _entries(reader, "line_up"):
        called = _called("line_up", entry, ("name",))
        steps = []
        raw = entry.get("step", [])
        if not isinstance(raw, list) or not raw:
            reader.wrong(
                (*path, "step") if raw else path,
                f"{called}: it has no steps.",
                "Add [[line_up.step]] tables with set, to and reason.",
            )
            raw = []
        for i in range(len(raw)):
            steps.append(reader.read(Step, (*path, "step", i), f"{called}, step {i + 1}"))
        line_up = reader.read(_LineUpTable, path, called, other_keys=("step",))
        if line_up is not None:
            made.append((path, replace(line_up.plain(), steps=tuple(s for s in steps if s))))
    return made


@dataclass(frozen=True, kw_only=True)
class _LineUpTable:
    """The keys of a ``[[line_up]]`` besides its steps."""

    name: str
    what: str
    device: str = ""
    mode: str = ""

    def check(self) -> list[tuple[str, str]]:
        """Device and mode are known words."""
        faults = []
        if self.device not in ("", "thermostatic", "capillary", "hand", "float"):
            faults.append(
                (
                    "device",
                    f"device is {self.device!r}; it is thermostatic, capillary, hand or float",
                )
            )
        if self.mode not in ("", "cooling", "heating"):
            faults.append(("mode", f"mode is {self.mode!r}; it is cooling or heating"))
        return faults

    def plain(self) -> LineUp:
        return LineUp(
            name=self.name, what=self.what, device=self.device or None, mode=self.mode or None
        )  # type: ignore[arg-type]


def _parts(reader: Reader, catalogue: Mapping[str, type[Part]]) -> list[tuple[Key, PlacedPart]]:
    made = []
    for path, entry in _entries(reader, "part"):
        cls = _kind_of(reader, path, entry, "part", catalogue)
        if cls is None:
            continue
        called = _called(f"{cls.KIND}", entry, ("tag",))
        part = reader.read(cls, path, called, other_keys=("kind", *WORDS, *cls.PORTS))
        words = {key: _text(reader, path, entry, key, called) for key in WORDS}
        ports = _ports(reader, path, entry, cls, called, bool(words["in_line_with"]))
        if part is not None and ports is not None:
            made.append((path, PlacedPart(part=part, ports=ports, **words)))
    return made


def _text(reader: Reader, path: Key, entry: Mapping[str, Any], key: str, called: str) -> str:
    value = entry.get(key, "")
    if isinstance(value, str):
        return value
    reader.wrong(
        (*path, key), f"{called}: {key} must be text in quotes.", f"Correct the value of {key}."
    )
    return ""


def _ports(
    reader: Reader, path: Key, entry: Mapping[str, Any], cls: type[Part], called: str, in_line: bool
) -> tuple[Port, ...] | None:
    optional = getattr(cls, "OPTIONAL_PORTS", ())
    ports, good = [], True
    for key in cls.PORTS:
        value = entry.get(key)
        if value is None:
            if not in_line and key not in optional:
                reader.wrong(
                    path,
                    f"{called}: port {key} hangs loose.",
                    f"Add {key} = the name of a node, or {OUTSIDE!r}.",
                )
                good = False
        elif in_line:
            reader.wrong(
                (*path, key),
                f"{called}: a part in line with another has no port {key}.",
                "Remove the port or in_line_with.",
            )
            good = False
        elif not isinstance(value, str):
            reader.wrong(
                (*path, key),
                f"{called}: port {key} must name a node.",
                "Give a node's name in quotes.",
            )
            good = False
        else:
            node, _, height = value.partition(".")
            if height and height not in HEIGHTS:
                reader.wrong(
                    (*path, key),
                    f"{called}: port {key} is at {height!r} of {node}.",
                    "A vessel has a top and a bottom.",
                )
                good = False
            else:
                ports.append(Port(node=node, height=height or "mixed"))  # type: ignore[arg-type]
    return tuple(ports) if good else None


def _expand_coils(draft: Draft) -> None:
    """A coil of n cells becomes the nodes prefix1 ... prefixn, each with its share of the volume."""
    for path, placed in draft.parts:
        part: Any = placed.part
        if not (hasattr(part, "cells") and hasattr(part, "prefix") and hasattr(part, "volume_m3")):
            continue
        for i in range(min(part.cells, MOST_CELLS)):
            node = Node(
                name=f"{part.prefix}{i + 1}",
                volume_m3=part.volume_m3 / part.cells,
                what=f"cell {i + 1} of {part.tag}",
                coil=part.tag,
                cell=i,
            )
            draft.nodes.append((path, node))

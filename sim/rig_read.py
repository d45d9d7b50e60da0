"""Read a rig from its TOML: tables into records, coils into cells, and then every check. All mistakes are reported at once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from sim.errors import InputError, Mistake
from sim.part import Part
from sim.record import Reader, did_you_mean
from sim.rig import Air, Instrument, LineUp, Node, Rig, Spread, Step, Wall
from sim.rig_draft import (
    TABLES,
    ChargeTable,
    Draft,
    FluidTable,
    Rescale,
    RigTable,
    called,
    entries,
    kind_of,
    single,
)
from sim.rig_find import find_rig, read_rig_file, wirings
from sim.rig_parts import cells_of, read_parts
from sim.surroundings import SurroundingsTable
from sim.switches import KINDS as SWITCH_KINDS
from sim.switches import Switch
from sim.tomlfile import Key, TomlFile

T = TypeVar("T")


def read_rig(
    name_or_path: str | Path,
    *,
    catalogue: Mapping[str, type[Part]] | None = None,
    near: Path | None = None,
) -> Rig:
    """See ``sim.rig.load_rig``."""
    from sim.catalogue import CATALOGUE

    found = find_rig(name_or_path, near)
    document = read_rig_file(found.folder)
    known = CATALOGUE if catalogue is None else catalogue
    rig, mistakes = build_rig(document, found.folder, known, found.wiring)
    if rig is None or mistakes:
        raise InputError(mistakes)
    return rig


def build_rig(
    document: TomlFile, folder: Path, catalogue: Mapping[str, type[Part]], wiring: str = ""
) -> tuple[Rig | None, list[Mistake]]:
    """The rig in ``document`` (None if it cannot be made) on a wiring, its own if none is named, and all its mistakes, in the order of the file."""
    from sim.rig_check import check_draft

    reader = Reader(document)
    draft = _draft(reader, catalogue)
    mistakes = reader.mistakes + check_draft(draft)
    unique = sorted(set(mistakes), key=lambda mistake: (mistake.file, mistake.line, mistake.what))
    if unique or draft.header is None or draft.fluid is None or draft.charge is None:
        return None, unique
    # a text that lies nowhere, and a rig copied without its wirings, have none beside them
    beside = wirings(folder) if (folder / "rig.toml").is_file() else ()
    there = beside or tuple(one.wiring for _, one in draft.rescales)
    unknown = [document.mistake((*path, "wiring"), f"rescale: there is no wiring {one.wiring!r}.", did_you_mean(one.wiring, there)) for path, one in draft.rescales if one.wiring not in there]  # fmt: skip
    if unknown:
        return None, unknown
    rig = _finish(draft, draft.header, draft.fluid, draft.charge, folder)
    wiring = wiring or rig.wiring
    return replace(rig, wiring=wiring, instruments=draft.instruments_on(wiring)), []


def _finish(
    draft: Draft, header: RigTable, fluid: FluidTable, charge: ChargeTable, folder: Path
) -> Rig:
    return Rig(
        name=header.name,
        title=header.title,
        place=header.place,
        units=header.units,
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
    draft.header = single(reader, RigTable, "rig")
    draft.fluid = single(reader, FluidTable, "fluid")
    draft.charge = single(reader, ChargeTable, "charge")
    if "surroundings" in reader.document.values:
        table = reader.read(SurroundingsTable, ("surroundings",), "surroundings")
        draft.surroundings = draft.surroundings.changed(table.given() if table else {})
    draft.nodes = _several(reader, Node, "node", ("name",))
    draft.walls = _several(reader, Wall, "wall", ("node",))
    draft.airs = _several(reader, Air, "air", ("tag",))
    draft.instruments = _several(reader, Instrument, "instrument", ("tag",))
    draft.rescales = _several(reader, Rescale, "rescale", ("instrument",))
    draft.spreads = _several(reader, Spread, "spread", ("of",))
    draft.switches = _switches(reader)
    draft.line_ups = _line_ups(reader)
    draft.placings = read_parts(reader, catalogue)
    draft.nodes += cells_of(draft.placings)
    return draft


def _several(
    reader: Reader, cls: type[T], name: str, naming: tuple[str, ...]
) -> list[tuple[Key, T]]:
    made = []
    for path, entry in entries(reader, name):
        record = reader.read(cls, path, called(name, entry, naming))
        if record is not None:
            made.append((path, record))
    return made


def _switches(reader: Reader) -> list[tuple[Key, Switch]]:
    made = []
    for path, entry in entries(reader, "switch"):
        cls = kind_of(reader, path, entry, "switch", SWITCH_KINDS)
        if cls is not None:
            switch = reader.read(cls, path, called("switch", entry, ("tag",)), other_keys=("kind",))
            if switch is not None:
                made.append((path, switch))
    return made


def _line_ups(reader: Reader) -> list[tuple[Key, LineUp]]:
    made = []
    for path, entry in entries(reader, "line_up"):
        name = called("line_up", entry, ("name",))
        steps = []
        raw = entry.get("step", [])
        if not isinstance(raw, list) or not raw:
            reader.wrong(
                (*path, "step") if raw else path,
                f"{name}: it has no steps.",
                "Add [[line_up.step]] tables with set, to and reason.",
            )
            raw = []
        for i in range(len(raw)):
            steps.append(reader.read(Step, (*path, "step", i), f"{name}, step {i + 1}"))
        line_up = reader.read(LineUp, path, name, other_keys=("step",))
        if line_up is not None:
            made.append((path, replace(line_up, steps=tuple(s for s in steps if s))))
    return made

"""Read a wiring file: tables into records, then every check. All mistakes are reported at once, each with FILE:LINE and a remedy."""

from __future__ import annotations

import re
from dataclasses import fields, replace
from functools import lru_cache
from pathlib import Path
from typing import Any, cast

from sim.errors import InputError
from sim.parts.fan import Fan
from sim.parts.motor import SinglePhaseMotor
from sim.parts.reversing_valve import ReversingValve
from sim.parts.solenoid_valve import SolenoidValve
from sim.record import Reader, did_you_mean, unknown_key
from sim.rig import Rig
from sim.rig_draft import called, entries, kind_of, single
from sim.rig_find import overlay, wiring_file
from sim.switches import Selector
from sim.tomlfile import Key, TomlFile, read_toml
from sim.wiring.check import check_wiring
from sim.wiring.device import Device
from sim.wiring.kinds import KINDS
from sim.wiring.machine import HermeticMotor
from sim.wiring.netlist import SUPPLY, Supply, Wire, Wiring, WiringTable
from sim.wiring.switchgear import SelectorContact, SelectorSwitch

TABLES = ("wiring", "supply", "device", "wire")
TAG = re.compile(r"[A-Za-z][A-Za-z0-9-]*")


@lru_cache(maxsize=8)
def wiring_of(rig: Rig) -> Wiring:
    """The wiring that a rig names. Raises InputError with every mistake in it."""
    return load_wiring(wiring_file(Path(rig.folder), rig.wiring), rig)


def load_wiring(path: Path, rig: Rig) -> Wiring:
    """The wiring in ``path`` of ``rig``. Raises InputError with every mistake at once."""
    reader = Reader(_document(path, rig))
    for name in reader.document.values:
        if name not in TABLES:
            what = f"there is no table {name} in a wiring file."
            reader.wrong((name,), what, did_you_mean(name, TABLES))
    table, supply = single(reader, WiringTable, "wiring"), single(reader, Supply, "supply")
    devices = _devices(reader, rig)
    wires = _wires(reader)
    if _unique(reader, devices, wires) and table is not None and supply is not None:
        made = Wiring(
            path=path,
            table=table,
            supply=supply,
            devices=tuple(device for _, device in devices),
            wires=tuple(wire for _, wire in wires),
        )
        places = {device.tag: key for key, device in devices}
        places |= {wire.tag: key for key, wire in wires}
        check_wiring(reader, made, places)
    if reader.mistakes:
        unique = set(reader.mistakes)
        raise InputError(sorted(unique, key=lambda m: (m.file, m.line, m.what)))
    return made


def _document(path: Path, rig: Rig) -> TomlFile:
    """The file, laid over the wiring that it extends. Raises InputError."""
    top = read_toml(path)
    base = _extended(top)
    if not base:
        return top
    try:
        under = read_toml(wiring_file(Path(rig.folder), base))
    except InputError as error:
        what = f"extends: {error.mistakes[0].what}"
        raise InputError([top.mistake(("wiring", "extends"), what, error.mistakes[0].remedy)]) from None  # fmt: skip
    if _extended(under):
        what = f"extends: the wiring {base} extends another one itself."
        raise InputError([top.mistake(("wiring", "extends"), what, "Extend one that stands alone.")])  # fmt: skip
    return overlay(under, top)


def _extended(document: TomlFile) -> str:
    """The wiring that a file says it extends, '' for none. Raises InputError for what is no name."""
    table = document.values.get("wiring")
    base = table.get("extends", "") if isinstance(table, dict) else ""
    if not isinstance(base, str):
        what = f"extends is {base!r}, and it must be the name of a wiring of this rig."
        raise InputError([document.mistake(("wiring", "extends"), what, 'Write extends = "120v", or leave it out.')])  # fmt: skip
    return base


def _unique(
    reader: Reader, devices: list[tuple[Key, Device]], wires: list[tuple[Key, Wire]]
) -> bool:
    """One tag, one thing; a dot in it would make a branch or a terminal of it."""
    seen = {SUPPLY}
    before = len(reader.mistakes)
    for path, thing in (*devices, *wires):
        tag = cast(Device | Wire, thing).tag
        if tag in seen:
            reader.wrong((*path, "tag"), f"the tag {tag} is given twice.", "Give each its own tag.")
        if not TAG.fullmatch(tag):
            what = f"{tag!r} is no tag."
            reader.wrong((*path, "tag"), what, "Write letters, digits and hyphens, as in HS-2.")
        seen.add(tag)
    return len(reader.mistakes) == before


def _wires(reader: Reader) -> list[tuple[Key, Wire]]:
    made = []
    for path, entry in entries(reader, "wire"):
        name = called("wire", entry, ("tag",))
        wire = reader.read(Wire, path, name, other_keys=("from", "to"))
        ends = [_end(reader, path, entry, key, name) for key in ("from", "to")]
        if wire is not None and all(ends):
            made.append((path, replace(wire, a=ends[0], b=ends[1])))
    return made


def _end(reader: Reader, path: Key, entry: dict[str, Any], key: str, name: str) -> str:
    value = entry.get(key, "")
    if isinstance(value, str) and value:
        return value
    where = (*path, key) if key in entry else path
    reader.wrong(where, f"{name}: {key} must name a terminal.", f'Write {key} = "TAG.n".')
    return ""


def _devices(reader: Reader, rig: Rig) -> list[tuple[Key, Device]]:
    made: list[tuple[Key, Device]] = []
    for path, entry in entries(reader, "device"):
        cls = kind_of(reader, path, entry, "device", KINDS)
        if cls is None:
            continue
        name = called(cls.KIND, entry, ("tag",))
        device = reader.read(cls, path, name, other_keys=("kind", *_extra(cls)))
        if device is None:
            continue
        _on_rig(reader, (*path, "tag"), device, rig)
        if isinstance(device, SelectorSwitch):
            device = _selector(reader, path, entry, device, rig)
        elif isinstance(device, HermeticMotor):
            device = _motor(reader, path, entry, device, rig)
        made.append((path, device))
    return made


def _extra(cls: type[Device]) -> tuple[str, ...]:
    return {SelectorSwitch: ("contact",), HermeticMotor: ("rated",)}.get(cls, ())


def _on_rig(reader: Reader, path: Key, device: Device, rig: Rig) -> None:
    """One device has one tag in plant, wiring and panel."""
    groups = {
        "hand switch": [s.tag for s in rig.switches if isinstance(s, Selector)],
        "control": [s.tag for s in rig.switches if not isinstance(s, Selector)],
        "fan": [p.tag for p in rig.parts if isinstance(p.part, Fan)],
        "valve": [p.tag for p in rig.parts if isinstance(p.part, SolenoidValve | ReversingValve)],
        "instrument": [i.tag for i in rig.instruments],
    }
    known = groups.get(device.ON_RIG)
    if known is not None and device.tag not in known:
        what = f"{device.KIND} {device.tag}: the rig has no {device.ON_RIG} of this tag."
        reader.wrong(path, what, did_you_mean(device.tag, known))


def _selector(
    reader: Reader, path: Key, entry: dict[str, Any], device: SelectorSwitch, rig: Rig
) -> SelectorSwitch:
    raw = entry.get("contact")
    if not isinstance(raw, list) or not raw:
        what = f"selector {device.tag}: it has no contacts."
        reader.wrong(path, what, "Add [[device.contact]] tables with name, pins and closed_in.")
        return device
    contacts: list[SelectorContact] = []
    switch = next((s for s in rig.switches if s.tag == device.tag), None)
    choices = switch.choices if isinstance(switch, Selector) else None
    for i in range(len(raw)):
        where = (*path, "contact", i)
        made = reader.read(SelectorContact, where, f"selector {device.tag}, contact {i + 1}")
        if made is None:
            continue
        if made.name in [other.name for other in contacts]:
            what = f"selector {device.tag}: the contact {made.name} is given twice."
            reader.wrong((*where, "name"), what, "Give each contact its own name.")
        contacts.append(made)
        for position in made.closed_in:
            if choices is not None and position not in choices:
                what = f"selector {device.tag}: it has no position {position!r}."
                reader.wrong((*where, "closed_in"), what, did_you_mean(position, choices))
    initial = switch.initial if isinstance(switch, Selector) else ""
    return replace(device, contacts=tuple(contacts), initial=initial)


def _motor(
    reader: Reader, path: Key, entry: dict[str, Any], device: HermeticMotor, rig: Rig
) -> HermeticMotor:
    motors = {p.tag: p.part for p in rig.parts if isinstance(p.part, SinglePhaseMotor)}
    if device.part not in motors:
        what = f"{device.tag}: the rig has no motor {device.part!r}."
        reader.wrong((*path, "part"), what, did_you_mean(device.part, motors))
        return device
    part = motors[device.part]
    raw = entry.get("rated", {})
    if not isinstance(raw, dict):
        reader.wrong((*path, "rated"), "rated must be a table.", "Write it as [device.rated].")
        return device
    allowed = {f.name for f in fields(part)} - {"tag"}
    before = len(reader.mistakes)
    for key, value in raw.items():
        where = (*path, "rated", key)
        if key not in allowed:
            reader.wrong(where, *unknown_key(key, value, allowed, f"{device.tag}, rated"))
        elif isinstance(value, bool) or not isinstance(value, int | float):
            reader.wrong(where, f"{device.tag}: {key} must be a number.", f"Correct {key}.")
    if len(reader.mistakes) > before:
        return device
    given = {key: int(value) if key == "poles" else float(value) for key, value in raw.items()}
    part = replace(part, **given)  # type: ignore[arg-type]
    faults = part.check()
    for key, sentence in faults:
        where = (*path, "rated", key) if key in raw else (*path, "part")
        reader.wrong(where, f"{device.tag}: {sentence}.", f"Correct {key}.")
    return device if faults else replace(device, rated=part)

"""What can be wrong with a rig although every table reads well: names given twice or leading nowhere, line-ups that move nothing.

Each ``check_*`` takes the draft of the rig and yields mistakes with place and remedy.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import fields
from itertools import chain
from math import inf

from sim.errors import Mistake
from sim.readings import READINGS
from sim.record import did_you_mean
from sim.rig import OUTSIDE, PlacedPart
from sim.rig_draft import Draft, declared, declared_nodes, rescaled
from sim.rig_limits import check_charge, check_fluid, check_ladder
from sim.rig_ports import check_in_line, check_ports, check_reach, check_walls
from sim.switches import HighPressureTrip, LoadBox, LowPressureControl, Selector, Thermostat
from sim.tomlfile import Key
from sim.units import SUFFIXES, SYMBOLS, split_key

PLAIN_NAME = re.compile(r"[A-Za-z0-9_-]+")
PART_OF_A_PART = re.compile(r"[A-Za-z0-9_-]+\.[A-Za-z0-9_-]+")
RESERVED = (OUTSIDE, "room")
SHARED_TAG_KINDS = frozenset(("sight_glass", "flowmeter"))
"""An instrument may carry the tag of a part of these kinds: the part is its body in the pipe."""


CHECKS: tuple[Callable[[Draft], Iterator[Mistake]], ...]


def check_draft(draft: Draft) -> list[Mistake]:
    """Every mistake that the checks find."""
    return list(chain.from_iterable(check(draft) for check in CHECKS))


def check_duplicates(draft: Draft) -> Iterator[Mistake]:
    """No two nodes, walls or line-ups of one name, no two things of one tag."""
    groups = {
        "node": [*_named(draft, "node", "name"), *_cells(draft)],
        "wall on node": _named(draft, "wall", "node"),
        "line-up": _named(draft, "line_up", "name"),
        "tag": _tags(draft),
    }
    for what, entries in groups.items():
        seen: dict[str, Key] = {}
        for path, name in entries:
            if name in seen:
                first = draft.document.place_of(*seen[name])
                remedy = f"The first is at {first.file}:{first.line}; rename or remove one."
                yield draft.document.mistake(path, f"the {what} {name} is given twice.", remedy)
            seen.setdefault(name, path)


def check_names(draft: Draft) -> Iterator[Mistake]:
    """Names are letters, digits, ``-`` and ``_``; only a part inside another has a dot in its tag (``M1.motor``)."""
    tables = (
        ("node", "name"),
        ("part", "tag"),
        ("switch", "tag"),
        ("air", "tag"),
        ("instrument", "tag"),
    )
    for table, key in tables:
        for path, name in _named(draft, table, key):
            inner = table == "part" and PART_OF_A_PART.fullmatch(name)
            if not (inner or PLAIN_NAME.fullmatch(name)) or name in RESERVED:
                what = f"{name!r} cannot be the {key} of a {table}."
                remedy = "Use letters, digits, - and _"
                reserved = f" ({' and '.join(RESERVED)} have a meaning of their own)."
                yield draft.document.mistake(path, what, remedy + reserved)


def _named(draft: Draft, table: str, key: str) -> list[tuple[Key, str]]:
    """(path, name) of every entry of ``[[table]]`` that has a name, read well or not."""
    value = draft.document.values.get(table)
    entries = enumerate(value) if isinstance(value, list) else ()
    named = [((table, i, key), entry.get(key)) for i, entry in entries if isinstance(entry, dict)]
    return [(path, name) for path, name in named if isinstance(name, str)]


def _cells(draft: Draft) -> list[tuple[Key, str]]:
    return [((*path, "prefix"), node.name) for path, node in draft.nodes if node.coil]


def _tags(draft: Draft) -> list[tuple[Key, str]]:
    bodies = {placed.tag for _, placed in draft.parts if placed.kind in SHARED_TAG_KINDS}
    bolted = [entry for entry in _named(draft, "instrument", "tag") if entry[1] not in bodies]
    others = [_named(draft, table, "tag") for table in ("part", "switch", "air")]
    return [*chain.from_iterable(others), *bolted]


def check_references(draft: Draft) -> Iterator[Mistake]:
    """Every name that points at a node, an air stream or a part finds it."""
    nodes = declared_nodes(draft.document)
    airs = ["room", *declared(draft.document, "air", "tag")]
    tags = declared(draft.document, "part", "tag")
    for what, known, references in (
        ("node", nodes, _node_references(draft)),
        ("air stream", airs, _air_references(draft)),
        ("part", tags, _part_references(draft)),
    ):
        for path, key, name in references:
            if name not in known:
                remedy = did_you_mean(name, known)
                yield draft.document.mistake((*path, key), f"there is no {what} {name}.", remedy)


def _node_references(draft: Draft) -> Iterator[tuple[Key, str, str]]:
    for path, wall in draft.walls:
        yield path, "node", wall.node
    for path, placed in draft.parts:
        if placed.senses:
            yield path, "senses", placed.senses
        yield from _field_references(path, placed, "node")
    for path, instrument in draft.instruments:
        if instrument.node:
            yield path, "node", instrument.node
    for path, switch in draft.switches:
        if isinstance(switch, HighPressureTrip | LowPressureControl):
            yield path, "tap", switch.tap


def _air_references(draft: Draft) -> Iterator[tuple[Key, str, str]]:
    for path, wall in draft.walls:
        yield path, "air", wall.air
    for path, placed in draft.parts:
        yield from _field_references(path, placed, "air")
    for path, switch in draft.switches:
        if isinstance(switch, Thermostat | LoadBox):
            yield path, "air", switch.air


def _part_references(draft: Draft) -> Iterator[tuple[Key, str, str]]:
    for path, placed in draft.parts:
        if placed.in_line_with:
            yield path, "in_line_with", placed.in_line_with
        yield from _field_references(path, placed, "with")
    for path, air in draft.airs:
        if air.fan:
            yield path, "fan", air.fan
    for path, switch in draft.switches:
        if isinstance(switch, Selector) and switch.works:
            yield path, "works", switch.works


def _field_references(path: Key, placed: PlacedPart, word: str) -> Iterator[tuple[Key, str, str]]:
    """Fields of a part called ``word`` or ``*_word`` that hold text name such a thing."""
    for field in fields(placed.part):
        value = getattr(placed.part, field.name)
        if (
            isinstance(value, str)
            and value
            and (field.name == word or field.name.endswith(f"_{word}"))
        ):
            yield path, field.name, value


def check_rescales(draft: Draft) -> Iterator[Mistake]:
    """A rescale is of an instrument that is there, and its scale makes sense."""
    instruments = {one.tag: one for _, one in draft.instruments}
    for path, rescale in draft.rescales:
        instrument = instruments.get(rescale.instrument)
        if instrument is None:
            yield draft.document.mistake((*path, "instrument"), f"rescale: there is no instrument {rescale.instrument!r}.", did_you_mean(rescale.instrument, instruments))  # fmt: skip
            continue
        for key, sentence in rescaled(instrument, rescale).check():
            where = (*path, "high" if key == "low" else key)
            yield draft.document.mistake(where, f"rescale of {instrument.tag}: {sentence}.", f"Correct {where[-1]}.")  # fmt: skip


def check_instruments(draft: Draft) -> Iterator[Mistake]:
    """An instrument shows a known reading, in a unit of that reading's quantity."""
    for path, instrument in draft.instruments:
        if instrument.reading not in READINGS:
            yield draft.document.mistake(
                (*path, "reading"),
                f"{instrument.tag}: there is no reading {instrument.reading}.",
                did_you_mean(instrument.reading, READINGS),
            )
            continue
        suffix = split_key(instrument.reading)[1]
        of_reading = SUFFIXES[suffix].quantity if suffix else "number"
        if instrument.unit and instrument.unit not in SYMBOLS:
            continue  # reported as a unit that is not known
        of_unit = SYMBOLS[instrument.unit].quantity if instrument.unit else "number"
        if not _may_show(of_reading, of_unit):
            fitting = [
                symbol for symbol, unit in SYMBOLS.items() if _may_show(of_reading, unit.quantity)
            ]
            yield draft.document.mistake(
                (*path, "unit"),
                f"{instrument.tag}: {instrument.unit} does not suit {instrument.reading}.",
                did_you_mean("", fitting),
            )


def _may_show(of_reading: str, of_unit: str) -> bool:
    """A float flowmeter shows a mass flow on a volume scale; a level or a fraction may be shown in percent."""
    return of_reading == of_unit or (of_reading, of_unit) in {
        ("mass flow", "volume flow"),
        ("number", "percent"),
    }


def check_line_ups(draft: Draft) -> Iterator[Mistake]:
    """Every step of a line-up moves something that exists, to a position that it has."""
    switches = {switch.tag: switch for _, switch in draft.switches}
    parts = declared(draft.document, "part", "tag")
    tags = [*parts, *declared(draft.document, "switch", "tag")]
    for path, line_up in draft.line_ups:
        for i, step in enumerate(line_up.steps):
            here = (*path, "step", i)
            tag = step.set.partition(".")[0]
            if tag not in tags:
                yield draft.document.mistake(
                    (*here, "set"),
                    f"line_up {line_up.name}: there is no {tag} to set.",
                    did_you_mean(tag, tags),
                )
                continue
            switch = switches.get(step.set)
            if isinstance(switch, Selector) and step.to not in switch.choices:
                yield draft.document.mistake(
                    (*here, "to"),
                    f"line_up {line_up.name}: {step.set} has no position {step.to!r}.",
                    did_you_mean(str(step.to), switch.choices),
                )
            elif tag in parts and not _is_opening(step.to, "." in step.set):
                yield draft.document.mistake(
                    (*here, "to"),
                    f"line_up {line_up.name}: {step.set} cannot be set to {step.to!r}.",
                    "Give a number, 0 shut to 1 open.",
                )


def _is_opening(value: float | str, of_a_key: bool) -> bool:
    return not isinstance(value, str) and (of_a_key or 0.0 <= value <= 1.0)


def check_spreads(draft: Draft) -> Iterator[Mistake]:
    """Every spread names a number of a part."""
    parts = {placed.tag: placed.part for _, placed in draft.parts}
    for path, spread in draft.spreads:
        tag, _, key = spread.of.rpartition(".")
        if tag not in parts:
            known = declared(draft.document, "part", "tag")
            if tag not in known:
                what = f"spread: there is no part {tag}."
                yield draft.document.mistake((*path, "of"), what, did_you_mean(tag, known))
            continue
        names = [field.name for field in fields(parts[tag]) if field.name != "tag"]
        if key not in names or not isinstance(getattr(parts[tag], key), int | float):
            yield draft.document.mistake(
                (*path, "of"), f"spread: {tag} has no number {key}.", did_you_mean(key, names)
            )
            continue
        low, high = parts[tag].RANGES.get(key, (-inf, inf))
        for end in ("low", "high"):
            if not low <= getattr(spread, end) <= high:
                what = f"spread of {spread.of}: {end} is {getattr(spread, end):g}; the model holds from {low:g} to {high:g}."
                yield draft.document.mistake((*path, end), what, f"Correct {end}.")
        if not spread.low < spread.high:
            yield draft.document.mistake((*path, "low"), f"spread of {spread.of}: low is not below high.", "Exchange them.")  # fmt: skip


CHECKS = (
    check_names,
    check_duplicates,
    check_references,
    check_instruments,
    check_rescales,
    check_line_ups,
    check_spreads,
    check_ports,
    check_in_line,
    check_walls,
    check_reach,
    check_fluid,
    check_ladder,
    check_charge,
)

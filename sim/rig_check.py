"""What can be wrong with a rig although every table reads well: names that lead nowhere, nodes out of reach, an impossible charge, a ladder out of order.

Each ``check_*`` takes the draft of the rig and yields mistakes with place and remedy.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields
from itertools import chain
from typing import Any

import numpy as np

from sim.errors import Mistake
from sim.fluid_kernel import SAT_RHOL, SAT_T
from sim.readings import READINGS
from sim.record import did_you_mean
from sim.rig import OUTSIDE, Node, PlacedPart
from sim.rig_read import Draft
from sim.switches import HighPressureTrip, LoadBox, LowPressureControl, Selector, Thermostat
from sim.tomlfile import Key
from sim.units import SUFFIXES, SYMBOLS, split_key

# source: EN 378-2:2016, 6.2.6.2 (from memory): a pressure limiter acts at no more than 0.9 PS
TRIP_SHARE = 0.9
SENSING_KINDS = {
    "thermostatic_valve": "its bulb and equaliser are on",
    "float_valve": "its float is in",
}
SHARED_TAG_KINDS = frozenset(("sight_glass", "flowmeter"))
"""An instrument may carry the tag of a part of these kinds: the part is its body in the pipe."""


def check_draft(draft: Draft) -> list[Mistake]:
    """Every mistake that the checks below find. Some make sense only when every table could be read."""
    always = (check_duplicates, check_fluid, check_ladder, check_references, check_instruments)
    whole = (check_reach, check_charge, check_line_ups, check_spreads)
    checks: tuple[Callable[[Draft], Iterator[Mistake]], ...] = always + (
        whole if draft.complete else ()
    )
    return list(chain.from_iterable(check(draft) for check in checks))


def check_duplicates(draft: Draft) -> Iterator[Mistake]:
    """No two nodes, walls or line-ups of one name, no two things of one tag."""
    groups: dict[str, list[tuple[Key, str, str]]] = {
        "node": [(path, node.name, "name") for path, node in draft.nodes],
        "wall on node": [(path, wall.node, "node") for path, wall in draft.walls],
        "line-up": [(path, line_up.name, "name") for path, line_up in draft.line_ups],
        "tag": [*_tags(draft)],
    }
    for what, entries in groups.items():
        seen: dict[str, Key] = {}
        for path, name, key in entries:
            if name in seen:
                first = draft.document.place_of(*seen[name])
                yield draft.document.mistake(
                    (*path, key),
                    f"the {what} {name} is given twice.",
                    f"The first is at {first.file}:{first.line}; rename or remove one.",
                )
            seen.setdefault(name, path)


def _tags(draft: Draft) -> Iterator[tuple[Key, str, str]]:
    bodies = {placed.tag for _, placed in draft.parts if placed.kind in SHARED_TAG_KINDS}
    for path, placed in draft.parts:
        yield path, placed.tag, "tag"
    for path, switch in draft.switches:
        yield path, switch.tag, "tag"
    for path, air in draft.airs:
        yield path, air.tag, "tag"
    for path, instrument in draft.instruments:
        if instrument.tag not in bodies:
            yield path, instrument.tag, "tag"


def check_fluid(draft: Draft) -> Iterator[Mistake]:
    """The fluid is known and is one that the parts are built for."""
    if draft.fluid is None:
        return
    from sim.fluid import FOLDER

    known = sorted(path.stem for path in FOLDER.glob("*.npz"))
    if draft.fluid.name not in known:
        yield draft.document.mistake(
            ("fluid", "name"),
            f"there is no fluid {draft.fluid.name!r}.",
            did_you_mean(draft.fluid.name, known),
        )
    if draft.fluid.name not in draft.fluid.built_for:
        built = ", ".join(draft.fluid.built_for) or "nothing"
        yield draft.document.mistake(
            ("fluid", "name"),
            f"this rig's parts are not built for {draft.fluid.name}; they are built for {built}.",
            "Charge it with a fluid from built_for.",
        )
    for i, name in enumerate(draft.fluid.built_for):
        if name not in known:
            yield draft.document.mistake(
                ("fluid", "built_for", i), f"there is no fluid {name!r}.", did_you_mean(name, known)
            )


def check_ladder(draft: Draft) -> Iterator[Mistake]:
    """Trip at most 0.9 PS, relief at most PS, both in gauge pressure; no node weaker than the rig's PS."""
    if draft.header is None:
        return
    ps, atmosphere = draft.header.ps_pa, draft.surroundings.atmospheric_pressure_pa
    yield from _check_trips(draft, atmosphere + TRIP_SHARE * (ps - atmosphere))
    for path, placed in draft.parts:
        relief = relief_pressure(placed)
        if relief is not None and relief[1] > ps:
            yield draft.document.mistake(
                (*path, relief[0]),
                f"protection ladder: {placed.tag} lifts at {relief[1]:.6g} Pa, above PS.",
                f"Set at most {ps:.6g} Pa.",
            )
    for path, node in draft.nodes:
        yield from _check_strength(draft, path, node, ps)


def _check_trips(draft: Draft, highest: float) -> Iterator[Mistake]:
    for path, switch in draft.switches:
        if not isinstance(switch, HighPressureTrip):
            continue
        for key in ("set_pa", "most_set_pa"):
            value = getattr(switch, key)
            if value > highest:
                yield draft.document.mistake(
                    (*path, key),
                    f"protection ladder: {switch.tag} {key} is {value:.6g} Pa, above 0.9 PS.",
                    f"Set at most {highest:.6g} Pa.",
                )


def _check_strength(draft: Draft, path: Key, node: Node, ps: float) -> Iterator[Mistake]:
    if node.ps_pa is not None and node.ps_pa < ps:
        yield draft.document.mistake(
            (*path, "ps_pa"),
            f"protection ladder: node {node.name} holds only {node.ps_pa:.6g} Pa, less than PS.",
            f"PS is that of the weakest part: lower [rig] ps_pa to {node.ps_pa:.6g}.",
        )
    limit = node.ps_pa or ps
    if node.burst_pa is not None and node.burst_pa <= limit:
        yield draft.document.mistake(
            (*path, "burst_pa"),
            f"node {node.name} would burst at {node.burst_pa:.6g} Pa, at or below its PS.",
            f"Give more than {limit:.6g} Pa.",
        )


def relief_pressure(placed: PlacedPart) -> tuple[str, float] | None:
    """(key, absolute pressure) at which a relief valve to the outside lifts; None for other parts."""
    if placed.kind != "relief_valve" or OUTSIDE not in placed.nodes:
        return None
    value = getattr(placed.part, "set_pa", None)
    return None if value is None else ("set_pa", float(value))


def check_references(draft: Draft) -> Iterator[Mistake]:
    """Every name that points at a node, an air stream or a part finds it."""
    nodes = [node.name for _, node in draft.nodes]
    vessels = {node.name for _, node in draft.nodes if node.kind == "vessel"}
    tags = {placed.tag for _, placed in draft.parts}
    for path, placed in draft.parts:
        yield from _check_ports(draft, path, placed, nodes, vessels)
        if placed.in_line_with and (
            placed.in_line_with not in tags or placed.in_line_with == placed.tag
        ):
            yield draft.document.mistake(
                (*path, "in_line_with"),
                f"{placed.tag} is in line with {placed.in_line_with}, which is no other part.",
                did_you_mean(placed.in_line_with, tags - {placed.tag}),
            )
        if placed.kind in SENSING_KINDS and not placed.senses:
            yield draft.document.mistake(
                path,
                f"{placed.tag}: the key senses is missing.",
                f"Add senses = the node that {SENSING_KINDS[placed.kind]}.",
            )
    for path, key, name in _node_references(draft):
        if name not in nodes:
            yield draft.document.mistake(
                (*path, key), f"there is no node {name}.", did_you_mean(name, nodes)
            )
    airs = ["room", *(air.tag for _, air in draft.airs)]
    for path, key, name in _air_references(draft):
        if name not in airs:
            yield draft.document.mistake(
                (*path, key), f"there is no air stream {name}.", did_you_mean(name, airs)
            )


def _check_ports(
    draft: Draft, path: Key, placed: PlacedPart, nodes: list[str], vessels: set[str]
) -> Iterator[Mistake]:
    table: dict[str, Any] = draft.document.values["part"][path[1]]
    keys = [key for key in placed.part.PORTS if key in table]
    for key, port in zip(keys, placed.ports, strict=False):
        if port.node != OUTSIDE and port.node not in nodes:
            yield draft.document.mistake(
                (*path, key),
                f"{placed.tag}: port {key} leads to {port.node}, and there is no such node.",
                did_you_mean(port.node, [*nodes, OUTSIDE]),
            )
        elif port.height != "mixed" and port.node not in vessels:
            yield draft.document.mistake(
                (*path, key),
                f"{placed.tag}: port {key} is at the {port.height} of {port.node}, which is no vessel.",
                f'Leave out .{port.height}, or give the node kind = "vessel".',
            )
    if len(placed.nodes) > len(set(placed.nodes)):
        yield draft.document.mistake(
            (*path, keys[-1]),
            f"{placed.tag}: two ports lead to one node.",
            "Join two different nodes.",
        )


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


def check_reach(draft: Draft) -> Iterator[Mistake]:
    """Refrigerant can get from the first node to every other one when all valves are open."""
    joined: dict[str, set[str]] = {node.name: set() for _, node in draft.nodes}
    if not joined:
        yield draft.document.mistake((), "the rig has no nodes.", "Add [[node]] tables.")
        return
    for group in _groups(draft):
        inside = [name for name in group if name in joined]
        for name in inside:
            joined[name].update(inside)
    reached, frontier = set(), [next(iter(joined))]
    while frontier:
        name = frontier.pop()
        if name not in reached:
            reached.add(name)
            frontier.extend(joined[name] - reached)
    first = next(iter(joined))
    for path, node in draft.nodes:
        if node.name not in reached:
            yield draft.document.mistake(
                path,
                f"node {node.name} cannot be reached from {first}.",
                "Join it with a part, or remove it.",
            )


def _groups(draft: Draft) -> Iterator[tuple[str, ...]]:
    """Sets of nodes that a part joins; the cells of one coil join each other."""
    cells: dict[str, list[str]] = {}
    for _, node in draft.nodes:
        if node.coil:
            cells.setdefault(node.coil, []).append(node.name)
    yield from (tuple(names) for names in cells.values())
    yield from (placed.nodes for _, placed in draft.parts)


def check_charge(draft: Draft) -> Iterator[Mistake]:
    """The charge fits into the rig: not more than it would hold full of liquid at room temperature."""
    from sim.fluid import FOLDER, Fluid

    if (
        draft.charge is None
        or draft.fluid is None
        or not (FOLDER / f"{draft.fluid.name}.npz").exists()
    ):
        return
    volume = sum(node.volume_m3 for _, node in draft.nodes)
    fluid = Fluid.load(draft.fluid.name)
    room = draft.surroundings.room_temperature_k
    temperatures = fluid.tables.sat[:, SAT_T, 0]
    if not temperatures[0] <= room <= temperatures[-1]:
        return
    most = volume * float(np.interp(room, temperatures, fluid.tables.sat[:, SAT_RHOL, 0]))
    if draft.charge.kg > most:
        yield draft.document.mistake(
            ("charge", "kg"),
            f"the charge of {draft.charge.kg:g} kg is impossible: full of liquid at {room:g} K the rig holds {most:.4g} kg.",
            "Lower the charge or correct the volumes.",
        )


def check_line_ups(draft: Draft) -> Iterator[Mistake]:
    """Every step of a line-up moves something that exists, to a position that it has."""
    switches = {switch.tag: switch for _, switch in draft.switches}
    tags = {*switches, *(placed.tag for _, placed in draft.parts)}
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
            elif step.set not in switches and not _is_opening(step.to, "." in step.set):
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
        tag, _, key = spread.of.partition(".")
        if tag not in parts:
            yield draft.document.mistake(
                (*path, "of"), f"spread: there is no part {tag}.", did_you_mean(tag, parts)
            )
            continue
        names = [field.name for field in fields(parts[tag]) if field.name != "tag"]
        if key not in names or not isinstance(getattr(parts[tag], key), int | float):
            yield draft.document.mistake(
                (*path, "of"), f"spread: {tag} has no number {key}.", did_you_mean(key, names)
            )

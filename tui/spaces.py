"""Which spaces the valves shut in, from the rig's own network: so that closing a valve on trapped liquid can be asked about before the act.

A space is a set of nodes that open passages join. It is trapped when no relief valve protects it and every node in it is full of liquid. The compressor counts
as shut: its valves let nothing flow back.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

from sim.switches import MAIN_SWITCH
from tui.plant import Place, Setting

FULL_OF_LIQUID = 0.05
"""Void share under which a node counts as full; guess: less vapour than a few degrees of warming would close."""
OUTSIDE = "outside"


@dataclass(frozen=True)
class Passage:
    """A way between two nodes, and the tags any of which can shut it."""

    ends: tuple[str, str]
    shut_by: tuple[str, ...]


@dataclass(frozen=True)
class Spaces:
    """All passages of a plant, and the nodes with a relief valve."""

    passages: tuple[Passage, ...] = ()
    relieved: frozenset[str] = frozenset()
    coils: tuple[tuple[str, str], ...] = ()
    """(switch, valve that shuts when the switch lets its coil go)."""
    names: Mapping[str, str] = field(default_factory=dict)
    """Node -> what a person calls it; the cells of a coil are called by its tag."""

    def valves_of(self, switch: str) -> tuple[str, ...]:
        """The valves whose coils a switch feeds."""
        return tuple(valve for one, valve in self.coils if one == switch)

    def around(self, node: str, shut: frozenset[str]) -> frozenset[str]:
        """All nodes joined with ``node`` while the valves ``shut`` are shut."""
        found, frontier = {node}, [node]
        while frontier:
            here = frontier.pop()
            for passage in self.passages:
                if here in passage.ends and shut.isdisjoint(passage.shut_by):
                    there = passage.ends[passage.ends[0] == here]
                    if there not in found:
                        found.add(there)
                        frontier.append(there)
        return frozenset(found)

    def trapped_by(self, tag: str, shut: frozenset[str], places: Mapping[str, Place]) -> frozenset[str]:  # fmt: skip
        """The nodes of a space full of liquid that shutting ``tag`` would shut in; empty when there is none."""
        for passage in self.passages:
            if tag not in passage.shut_by:
                continue
            for end in passage.ends:
                space = self.around(end, shut | {tag})
                if self._is_trap(space, places) and not self._is_trap(self.around(end, shut - {tag}), places):  # fmt: skip
                    return space
        return frozenset()

    def shut_around(self, space: frozenset[str], shut: frozenset[str]) -> tuple[str, ...]:
        """The shut valves at the ends of a space."""
        ends = [one for one in self.passages if len(space.intersection(one.ends)) == 1]
        return tuple(sorted({tag for one in ends for tag in shut.intersection(one.shut_by)}))

    def _is_trap(self, space: frozenset[str], places: Mapping[str, Place]) -> bool:
        if not space.isdisjoint(self.relieved) or OUTSIDE in space:
            return False
        return all(node in places and places[node].void < FULL_OF_LIQUID for node in space)


NO_SPACES = Spaces()


def shut_tags(commands: Mapping[str, Setting], positions: Mapping[str, float]) -> frozenset[str]:
    """Valves that are shut: by hand, or because their coil has let go."""
    by_hand = {tag for tag, value in commands.items() if isinstance(value, int | float) and not isinstance(value, bool) and value <= 0.0}  # fmt: skip
    return frozenset(by_hand | {tag for tag, share in positions.items() if share <= 0.0})


def spaces_of(rig: Any) -> Spaces:
    """Read the passages off a rig (``sim.rig.Rig``)."""
    in_line: dict[str, list[str]] = {}
    for placed in rig.parts:
        if placed.in_line_with:
            in_line.setdefault(placed.in_line_with, []).append(placed.tag)
    passages: list[Passage] = []
    relieved = set()
    for placed in rig.parts:
        if placed.kind == "relief_valve":
            relieved.add(placed.nodes[0])
        elif placed.kind == "reversing_valve":
            discharge, suction, coil_a, coil_b = placed.nodes
            passages += [Passage((discharge, coil_a), ()), Passage((suction, coil_b), ())]
        elif len(placed.nodes) == 2 and "compressor" not in placed.kind:
            shut_by = {placed.tag, *in_line.get(placed.tag, ()), getattr(placed.part, "shut_with", "")}  # fmt: skip
            passages.append(Passage((placed.nodes[0], placed.nodes[1]), tuple(sorted(shut_by - {""}))))  # fmt: skip
    solenoids = {placed.tag for placed in rig.parts if placed.kind == "solenoid_valve"}
    fed = {(switch.tag, switch.works) for switch in rig.switches if getattr(switch, "works", "") in solenoids}  # fmt: skip
    fed |= {(MAIN_SWITCH, valve) for valve in solenoids}
    names = {node.name: node.coil or node.what or node.name.replace("_", " ") for node in rig.nodes}
    return Spaces((*passages, *_coils(rig.nodes)), frozenset(relieved), tuple(sorted(fed)), names)


def _coils(nodes: Iterable[Any]) -> Iterable[Passage]:
    """The cells of a coil follow each other."""
    cells = [node for node in nodes if node.coil]
    for here, there in pairwise(cells):
        if here.coil == there.coil:
            yield Passage((here.name, there.name), ())

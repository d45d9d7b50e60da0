"""How the parts of a rig join its nodes: ports that lead nowhere, nodes that nothing leads to.

Judged from the ports alone, so that a wrong number in a part does not hide a loose end.
"""

from __future__ import annotations

from collections.abc import Iterator

from sim.errors import Mistake
from sim.record import did_you_mean
from sim.rig import OUTSIDE, Port
from sim.rig_draft import Draft, Placing, declared, declared_nodes
from sim.tomlfile import Key

SENSING_KINDS = {
    "thermostatic_valve": "its bulb and equaliser are on",
    "float_valve": "its float is in",
}


PUMPING_KINDS = ("reciprocating_compressor", "mapped_compressor")


def check_ports(draft: Draft) -> Iterator[Mistake]:
    """Every port leads to a node, no two of a part to the same; a part that senses says where."""
    nodes = declared_nodes(draft.document)
    plain = {node.name for _, node in draft.nodes if node.kind == "plain"}
    for placing in draft.placings:
        for key, port in _named(placing):
            yield from _check_port(draft, placing, key, port, nodes, plain)
        if placing.ports and placing.ports[0].node == OUTSIDE:
            what = f"{placing.tag}: port {placing.cls.PORTS[0]} leads outside."
            remedy = "Give a node here; what leaves the plant leaves by the second port."
            yield draft.document.mistake((*placing.path, placing.cls.PORTS[0]), what, remedy)
        reached = [port.node for _, port in _named(placing)]
        if len(reached) > len(set(reached)):
            what = f"{placing.tag}: two ports lead to one node."
            yield draft.document.mistake(placing.path, what, "Join two different nodes.")
        needed = SENSING_KINDS.get(placing.cls.KIND)
        if needed and not placing.words["senses"]:
            what = f"{placing.tag}: the key senses is missing."
            remedy = f"Add senses = the node that {needed}."
            yield draft.document.mistake(placing.path, what, remedy)


def _named(placing: Placing) -> list[tuple[str, Port]]:
    """(key, port); nothing for a part in line with another, or whose ports could not be read."""
    return list(zip(placing.cls.PORTS, placing.ports, strict=True)) if placing.ports else []


def _check_port(
    draft: Draft, placing: Placing, key: str, port: Port, nodes: list[str], plain: set[str]
) -> Iterator[Mistake]:
    path: Key = (*placing.path, key)
    if port.node != OUTSIDE and port.node not in nodes:
        what = f"{placing.tag}: port {key} leads to {port.node}, and there is no such node."
        yield draft.document.mistake(path, what, did_you_mean(port.node, [*nodes, OUTSIDE]))
    elif port.height != "mixed" and port.node in (*plain, OUTSIDE):
        what = (
            f"{placing.tag}: port {key} is at the {port.height} of {port.node}, which is no vessel."
        )
        remedy = f'Leave out .{port.height}, or give the node kind = "vessel".'
        yield draft.document.mistake(path, what, remedy)


def check_reach(draft: Draft) -> Iterator[Mistake]:
    """Refrigerant can get from the first node to every other one when all valves are open."""
    names = declared_nodes(draft.document)
    if not names:
        yield draft.document.mistake((), "the rig has no nodes.", "Add [[node]] tables.")
        return
    if _loose_ends(draft, names):
        return  # these are reported; what they cut off is no second mistake
    joined: dict[str, set[str]] = {name: set() for name in names}
    for group in _groups(draft):
        inside = [name for name in group if name in joined]
        for name in inside:
            joined[name].update(inside)
    reached: set[str] = set()
    frontier = [names[0]]
    while frontier:
        name = frontier.pop()
        if name not in reached:
            reached.add(name)
            frontier.extend(joined[name] - reached)
    for path, node in draft.nodes:
        if node.name not in reached:
            what = f"node {node.name} cannot be reached from {names[0]}."
            yield draft.document.mistake(path, what, "Join it with a part, or remove it.")


def check_walls(draft: Draft) -> Iterator[Mistake]:
    """Every node has a wall, but the cells of a coil, whose metal is the coil's."""
    walled = set(declared(draft.document, "wall", "node"))
    cells = {node.name for _, node in draft.nodes if node.coil}
    misnamed = walled - set(declared_nodes(draft.document))  # reported as a name that leads nowhere
    for path, node in draft.nodes:
        if not node.coil and node.name not in walled and not misnamed:
            remedy = "Add a [[wall]] for it (a pipe has metal too)."
            yield draft.document.mistake(path, f"node {node.name} has no wall.", remedy)
    for path, wall in draft.walls:
        if wall.node in cells:
            what = f"{wall.node} is a cell of a coil and needs no wall of its own."
            yield draft.document.mistake((*path, "node"), what, "Remove this [[wall]].")


def check_in_line(draft: Draft) -> Iterator[Mistake]:
    """A part in line with another throttles a part that has one passage of its own between two nodes."""
    by_tag = {placing.tag: placing for placing in draft.placings}
    for placing in draft.placings:
        partner = by_tag.get(placing.words["in_line_with"])
        if partner is None:
            continue
        one_passage = len(partner.cls.PORTS) == 2 and partner.cls.KIND not in PUMPING_KINDS
        if partner.words["in_line_with"] or not one_passage:
            what = f"{placing.tag} is in line with {partner.tag}, which is no valve, pipe or tube between two nodes."
            remedy = "Name the part that has the ports from and to."
            yield draft.document.mistake((*placing.path, "in_line_with"), what, remedy)


def _loose_ends(draft: Draft, names: list[str]) -> bool:
    if len(draft.placings) < len(declared(draft.document, "part", "tag")):
        return True  # a part of unknown kind: its ports are unknown too
    if any(placing.ports is None for placing in draft.placings):
        return True
    ends = [port.node for placing in draft.placings for _, port in _named(placing)]
    return any(node != OUTSIDE and node not in names for node in ends)


def _groups(draft: Draft) -> Iterator[list[str]]:
    """Sets of nodes that a part joins; the cells of one coil join each other."""
    cells: dict[str, list[str]] = {}
    for _, node in draft.nodes:
        if node.coil:
            cells.setdefault(node.coil, []).append(node.name)
    yield from cells.values()
    for placing in draft.placings:
        yield [port.node for _, port in _named(placing)]

"""Places of a rig that one can stand before, in the way of the refrigerant: from the compressor's outlet round to its shell."""

from __future__ import annotations

from collections import defaultdict

from sim.layout import cell_names, coil_tables
from sim.parts.coil import Coil
from sim.parts.compressor import ReciprocatingCompressor
from sim.parts.compressor_map import MappedCompressor
from sim.parts.reversing_valve import ReversingValve
from sim.rig import OUTSIDE, PlacedPart, Rig

MACHINES = (ReciprocatingCompressor, MappedCompressor)


def homes(rig: Rig) -> dict[str, str]:
    """Cell of a coil to the coil's tag; a coil is one place."""
    return {name: coil.tag for coil in coil_tables(rig) for name in cell_names(coil)}


class Reach:
    """What lies where on a rig; worked out once, since nothing of it changes."""

    def __init__(self, rig: Rig) -> None:
        self.coils: dict[str, Coil] = {coil.tag: coil for coil in coil_tables(rig)}
        self.home = homes(rig)
        self.cooling = path_of(rig)
        self.heating = _turned(self.cooling, rig)
        self.coil_of_fan = {air.fan: tag for air in rig.airs for tag, coil in self.coils.items() if coil.air == air.tag}  # fmt: skip
        self.what = {node.name: node.what or node.name.replace("_", " ") for node in rig.nodes}
        self.what |= {switch.tag: switch.what for switch in rig.switches}
        self.what |= {p.tag: p.what or p.kind.replace("_", " ") for p in rig.parts}
        self.switch_of = {works: switch.tag for switch in rig.switches if (works := getattr(switch, "works", ""))}  # fmt: skip
        self.tags = {node.name: _at(rig, node.name) for node in rig.nodes}
        self.beside = {place: [p for p in rig.parts if self._begins_at(p, place)] for place in self.cooling}  # fmt: skip
        """Place to the parts that begin there; a fan stands at its coil."""

    def _begins_at(self, placed: PlacedPart, place: str) -> bool:
        if placed.tag in self.coils or isinstance(placed.part, MACHINES):
            return False
        if self.coil_of_fan.get(placed.tag) == place:
            return True
        return bool(placed.ports) and self.home.get(placed.nodes[0], placed.nodes[0]) == place


def _at(rig: Rig, node: str) -> frozenset[str]:
    """Tags of what sits at a node; a compressor is its shell, not its outlet."""
    parts = [p.tag for p in rig.parts if node in (p.nodes[:1] if isinstance(p.part, MACHINES) else p.nodes)]  # fmt: skip
    switches = [s.tag for s in rig.switches if getattr(s, "tap", "") == node or getattr(s, "works", None) in parts]  # fmt: skip
    return frozenset((*parts, *switches, *(i.tag for i in rig.instruments if i.node == node)))


def path_of(rig: Rig) -> list[str]:
    """Nodes and coils in the order in which refrigerant passes them in cooling, side branches after what they leave from."""
    machine = next((p for p in rig.parts if isinstance(p.part, MACHINES)), None)
    behind: list[str] = []
    if machine is not None:
        _walk(machine.ports[1].node, _ways(rig), behind, set())
    home = homes(rig)
    every = [home.get(node.name, node.name) for node in rig.nodes]
    return list(dict.fromkeys([*reversed(behind), *every]))


def _ways(rig: Rig) -> dict[str, list[str]]:
    """Place to the places behind it in cooling."""
    home, ways = homes(rig), defaultdict(list)
    for placed in rig.parts:
        for start, end in _passages(placed):
            if OUTSIDE not in (start, end):
                ways[home.get(start, start)].append(home.get(end, end))
    return ways


def _passages(placed: PlacedPart) -> list[tuple[str, str]]:
    if isinstance(placed.part, MACHINES) or len(placed.ports) < 2:
        return []
    if isinstance(placed.part, ReversingValve):
        at = dict(zip(placed.part.PORTS, placed.nodes, strict=True))
        return [(at["discharge"], at["coil_a"]), (at["coil_b"], at["suction"])]
    return [(placed.ports[0].node, placed.ports[1].node)]


def _walk(place: str, ways: dict[str, list[str]], order: list[str], seen: set[str]) -> None:
    """Post-order: a place is noted when all that lies behind it has been."""
    if place in seen:
        return
    seen.add(place)
    for behind in ways.get(place, ()):
        _walk(behind, ways, order, seen)
    order.append(place)


def _turned(path: list[str], rig: Rig) -> list[str]:
    """The same with the cycle reversed: from coil to coil the other way round."""
    home = homes(rig)
    valve = next((p for p in rig.parts if isinstance(p.part, ReversingValve)), None)
    if valve is None:
        return path
    at = dict(zip(valve.part.PORTS, valve.nodes, strict=True))
    ends = sorted(path.index(home.get(at[port], at[port])) for port in ("coil_a", "coil_b"))
    return [*path[: ends[0]], *reversed(path[ends[0] : ends[1] + 1]), *path[ends[1] + 1 :]]

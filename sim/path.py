"""The way of the refrigerant through a rig, as a list of places: what one walks along from the compressor's outlet round to its shell."""

from __future__ import annotations

from collections import defaultdict

from sim.layout import cell_names, coil_tables
from sim.parts.compressor import ReciprocatingCompressor
from sim.parts.compressor_map import MappedCompressor
from sim.parts.reversing_valve import ReversingValve
from sim.rig import OUTSIDE, PlacedPart, Rig

MACHINES = (ReciprocatingCompressor, MappedCompressor)


def homes(rig: Rig) -> dict[str, str]:
    """Cell of a coil to the coil's tag; a coil is one place."""
    return {name: coil.tag for coil in coil_tables(rig) for name in cell_names(coil)}


def path_of(rig: Rig, heating: bool = False) -> list[str]:
    """Nodes and coils in the order in which refrigerant passes them, side branches after what they leave from."""
    ways = _ways(rig)
    machine = next((p for p in rig.parts if isinstance(p.part, MACHINES)), None)
    behind: list[str] = []
    if machine is not None:
        _walk(machine.ports[1].node, ways, behind, set())
    home = homes(rig)
    every = [home.get(node.name, node.name) for node in rig.nodes]
    found = list(dict.fromkeys([*reversed(behind), *every]))
    return _turned(found, rig) if heating else found


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

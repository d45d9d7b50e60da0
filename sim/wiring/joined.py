"""Which terminals hang together: through wires, through contacts taken as closed, through what is as good as a wire."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from sim.wiring.netlist import EARTH, LINE, NEUTRAL, Wiring
from sim.wiring.switchgear import Breaker, Fuse, Plug, ResidualCurrentDevice

Pair = tuple[str, str]
INCOMING = (Plug, Fuse, Breaker, ResidualCurrentDevice)
"""What may stand between the socket and the panel's own wiring."""


def reach(pairs: Iterable[Pair], start: str) -> set[str]:
    """Every terminal that ``start`` is joined to, itself included."""
    beside: dict[str, list[str]] = defaultdict(list)
    for a, b in pairs:
        beside[a].append(b)
        beside[b].append(a)
    found, waiting = {start}, [start]
    while waiting:
        for other in beside[waiting.pop()]:
            if other not in found:
                found.add(other)
                waiting.append(other)
    return found


def wires(wiring: Wiring) -> list[Pair]:
    """The ends of every wire."""
    return [(wire.a, wire.b) for wire in wiring.wires]


def conducting(wiring: Wiring) -> list[Pair]:
    """Wires, every contact closed, meters' current paths, series coils and capacitors."""
    pairs = wires(wiring)
    for device in wiring.devices:
        pairs += [(device.at(a), device.at(b)) for a, b in device.JOINS]
        pairs += [(b.a, b.b) for b in device.branches(wiring.motor) if b.role == "contact"]
    return pairs


def incoming(wiring: Wiring) -> set[str]:
    """Terminals of the incoming lead, up to the first hand switch: it does not lie in the harness."""
    pairs = wires(wiring)
    for device in wiring.devices:
        if isinstance(device, INCOMING):
            pairs += [(b.a, b.b) for b in device.branches(wiring.motor)]
    return reach(pairs, LINE) | reach(pairs, NEUTRAL) | {EARTH}

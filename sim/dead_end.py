"""A compressor that pushes into a dead end: hand valves shut in its outlet, and what it moves has nowhere to go.

A vessel, a coil, a device or a reversing valve is taken for a way on. A displacement machine that fills a short pipe raises its pressure by bars in a second (m R T / V); a protector is all that stands between that and a burst, and one that taps the
far side of the valve feels nothing. So it is a severe violation whatever follows. Source: common practice, discharge service valve open before every start.
"""

from __future__ import annotations

from collections.abc import Mapping

from sim.rig import PlacedPart, Rig
from sim.tags import Setting

VALVE = "hand_valve"
PASSED = ("pipe", VALVE, "check_valve")
"""Kinds that pass what comes on and hold next to nothing themselves."""
ASIDE = ("relief_valve", "service_port")
"""Hang at a pipe and lead nowhere while the plant is in order."""


def dead_end(rig: Rig, commands: Mapping[str, Setting]) -> tuple[str, ...]:
    """Tags of the shut valves between which the compressor's outlet lies; none when there is a way on."""
    machine = next((placed for placed in rig.parts if placed.kind.endswith("compressor")), None)
    if machine is None:
        return ()
    outlet = machine.ports[1].node
    seen, frontier, shut = {outlet}, [outlet], []
    while frontier:
        node = frontier.pop()
        for placed in rig.parts:
            if placed is machine or node not in placed.nodes or placed.kind in ASIDE:
                continue
            if placed.kind not in PASSED:
                return ()
            if _is_shut(placed, commands):
                shut.append(placed.tag)
                continue
            beyond = [end for end in placed.nodes if end not in seen]
            seen.update(beyond)
            frontier += beyond
    return tuple(shut)


def _is_shut(placed: PlacedPart, commands: Mapping[str, Setting]) -> bool:
    return placed.kind == VALVE and float(commands.get(placed.tag, 1.0)) <= 0.0

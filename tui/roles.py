"""What the parts of a rig are to the person who works it, read off the rig itself: which switch starts the compressor, which reverses the cycle, which valves stand at the compressor. No tag is known here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

STARTS, REVERSES, SUCTION, DISCHARGE, PROTECTS = "starts the compressor", "reverses the cycle", "suction service valve", "discharge service valve", "protective control"  # fmt: skip
ROLES = (STARTS, REVERSES, SUCTION, DISCHARGE, PROTECTS)
"""As ``rigs/cautions.toml`` names them."""
REJECTS, COLD_FAN, WARM_FAN, SHUTS_IN = "rejects heat in cooling", "moves the evaporator's air in cooling", "moves the condenser's air in cooling", "shuts a coil in"  # fmt: skip
"""Nothing is asked about these."""
PROTECTIVE_KINDS = ("high_pressure_trip", "low_pressure_control")
PIPE, VALVE, LOAD_BOX = "pipe", "hand_valve", "load_box"


class Roles(NamedTuple):
    """Tags of each role."""

    of: tuple[tuple[str, str], ...] = ()
    """(tag, role)."""

    def named(self, role: str) -> tuple[str, ...]:
        """Tags of a role."""
        return tuple(tag for tag, has in self.of if has == role)

    def roles(self, tag: str) -> tuple[str, ...]:
        """Roles of a tag; a set point or reset has those of its control."""
        own = tag.partition(".")
        return tuple(has for one, has in self.of if one == tag or (has == PROTECTS and own[2] in ("set", "reset") and one == own[0]))  # fmt: skip


NO_ROLES = Roles()


def roles_of(rig: Any) -> Roles:
    """Read them off a rig (``sim.rig.Rig``)."""
    kinds = {placed.tag: placed.kind for placed in rig.parts}
    found: list[tuple[str, str]] = []
    for switch in rig.switches:
        worked = kinds.get(getattr(switch, "works", ""), "")
        if worked.endswith("compressor"):
            found.append((switch.tag, STARTS))
        if worked == "reversing_valve":
            found.append((switch.tag, REVERSES))
        if switch.KIND in PROTECTIVE_KINDS:
            found.append((switch.tag, PROTECTS))
        if switch.KIND == LOAD_BOX:
            found.append((switch.tag, SHUTS_IN))
    for placed in rig.parts:
        if placed.kind.endswith("compressor"):
            inlet, outlet = placed.nodes[0], placed.nodes[1]
            found += [(tag, SUCTION) for tag in _nearest_valves(rig.parts, inlet)]
            found += [(tag, DISCHARGE) for tag in _nearest_valves(rig.parts, outlet)]
    return Roles(tuple(dict.fromkeys([*found, *_coils(rig)])))


def _coils(rig: Any) -> Iterator[tuple[str, str]]:
    """The first coil of a rig rejects heat in cooling (``sim.measure`` counts them so too); each has its air, and that its fan."""
    fans = {air.tag: air.fan for air in rig.airs}
    coils = [placed for placed in rig.parts if placed.kind == "coil"]
    for index, placed in enumerate(coils[:2]):
        if index == 0:
            yield placed.tag, REJECTS
        fan = fans.get(placed.part.air, "")
        role = COLD_FAN if index else WARM_FAN
        yield from ((switch.tag, role) for switch in rig.switches if fan and getattr(switch, "works", "") == fan)  # fmt: skip


def _nearest_valves(parts: Iterable[Any], node: str) -> tuple[str, ...]:
    """The hand valves that one meets first on the way along plain pipes."""
    links = [placed for placed in parts if len(placed.nodes) == 2 and placed.kind in (PIPE, VALVE)]
    seen = reached = {node}
    while reached:
        here = [placed for placed in links if not reached.isdisjoint(placed.nodes)]
        valves = tuple(placed.tag for placed in here if placed.kind == VALVE)
        if valves:
            return valves
        reached = {end for placed in here for end in placed.nodes} - seen
        seen = seen | reached
    return ()

"""Where on a rig a fault can sit. The catalogue names places so that it fits other rigs too:

    condenser, evaporator   the coil of that function in cooling (the one in the load box evaporates)
    a kind                  every part, instrument, switch or device of the wiring of that kind (thermostatic_valve, gauge, current_relay)
    a tag, a node           as it is called on the rig
    TAG/TAG                 two instruments
    a refrigerant           another than the rig's own: what it may be charged with by mistake
    a branch or terminal    of the wiring (HS-3.high, W28, M1.R)

What a rig does not have is left out; the first that it has is the usual place.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from sim.fluid import Fluid
from sim.layout import coil_tables
from sim.rig import Rig
from sim.rig_find import wirings
from sim.wiring import Circuit, wiring_of


@lru_cache(maxsize=8)
def names_by_kind(rig: Rig) -> dict[str, tuple[str, ...]]:
    """Kind to the tags of that kind, in file order."""
    things: list[tuple[str, str]] = [(part.kind, part.tag) for part in rig.parts]
    things += [(one.kind, one.tag) for one in rig.instruments]
    things += [(switch.KIND, switch.tag) for switch in rig.switches]
    if rig.wiring:
        things += [(device.KIND, device.tag) for device in wiring_of(rig).devices]
    found: dict[str, tuple[str, ...]] = {}
    for kind, tag in things:
        found[kind] = (*found.get(kind, ()), tag)
    return found


@lru_cache(maxsize=8)
def names_there(rig: Rig) -> frozenset[str]:
    """Everything on a rig that has a name."""
    names = {*rig.tags, *(node.name for node in rig.nodes)}
    if rig.wiring:
        made = wiring_of(rig)
        names |= {device.tag for device in made.devices} | set(made.terminals)
        names |= {branch.name for branch in Circuit(made).branches}
    return frozenset(names)


def coil_of(rig: Rig, role: str) -> tuple[str, ...]:
    """Tag of the coil that condenses or evaporates in cooling."""
    inlets = {air.tag: air.inlet for air in rig.airs}
    boxed = role == "evaporator"
    return tuple(coil.tag for coil in coil_tables(rig) if (inlets[coil.air] == "load_box") == boxed)


def places_on(rig: Rig, named: tuple[str, ...]) -> tuple[str, ...]:
    """Those of the named places that a rig has."""
    found: list[str] = []
    for name in named:
        if name in ("condenser", "evaporator"):
            found += coil_of(rig, name)
        elif name in Fluid.known():
            found += [name] if name != rig.fluid_name else []
        elif name in names_there(rig) or set(name.split("/")) <= names_there(rig):
            found.append(name)
        else:
            found += names_by_kind(rig).get(name, ())
    return tuple(dict.fromkeys(found))


def nowhere(rig: Rig, name: str, named: tuple[str, ...]) -> str:
    """What is said when a fault has no place on a rig; another wiring of it may have one."""
    text = f"{name} has no place on {rig.name}: it sits at {', '.join(named)}, and there is none"
    others = [f"{rig.name}:{one}" for one in (wirings(rig.folder) if rig.wiring else ()) if places_on(replace(rig, wiring=one), named)]  # fmt: skip
    return f"{text}; name {' or '.join(others)}, where there is." if others else f"{text}."

"""What a rig must not be: built for another fluid, weaker than its protection, in pieces, or fuller than full.

Each ``check_*`` takes the draft of the rig and yields mistakes with place and remedy.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from sim.errors import Mistake
from sim.fluid import FOLDER, Fluid
from sim.fluid_kernel import SAT_RHOL, SAT_T
from sim.record import did_you_mean
from sim.rig import OUTSIDE, Node, PlacedPart
from sim.rig_draft import Draft, declared_nodes
from sim.safety import LIMITER_SHARE, RELIEF_SHARE
from sim.switches import HighPressureTrip
from sim.tomlfile import Key

# guess: far below what any scale shows; a limit that is met exactly must not fail by the last bit
ROUNDING_PA = 1.0


def check_fluid(draft: Draft) -> Iterator[Mistake]:
    """The fluid is known and is one that the parts are built for."""
    if draft.fluid is None:
        return
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
    yield from _check_trips(draft, atmosphere + LIMITER_SHARE * (ps - atmosphere))
    highest = atmosphere + RELIEF_SHARE * (ps - atmosphere)
    for path, placed in draft.parts:
        relief = relief_pressure(placed, atmosphere)
        if relief is not None and relief[1] > highest + ROUNDING_PA:
            yield draft.document.mistake(
                (*path, relief[0]),
                f"protection ladder: {placed.tag} lifts at {relief[1]:.6g} Pa, above PS.",
                f"Set at most {highest - atmosphere:.6g} Pa above the room.",
            )
    for path, node in draft.nodes:
        yield from _check_strength(draft, path, node, ps)


def _check_trips(draft: Draft, highest: float) -> Iterator[Mistake]:
    for path, switch in draft.switches:
        if not isinstance(switch, HighPressureTrip):
            continue
        for key in ("set_pa", "most_set_pa"):
            value = getattr(switch, key)
            if value > highest + ROUNDING_PA:
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


def relief_pressure(placed: PlacedPart, atmosphere_pa: float) -> tuple[str, float] | None:
    """(key, absolute pressure) at which a relief valve to the outside lifts; None for other parts.

    A relief valve is set above its outlet; one that blows into the plant is a difference and no rung of the ladder.
    """
    if placed.kind != "relief_valve" or OUTSIDE not in placed.nodes:
        return None
    return "set_pa", atmosphere_pa + float(getattr(placed.part, "set_pa"))  # noqa: B009


def check_charge(draft: Draft) -> Iterator[Mistake]:
    """The charge fits into the rig: not more than it would hold full of liquid at room temperature."""
    if draft.charge is None or draft.fluid is None:
        return
    unread = len(draft.nodes) < len(declared_nodes(draft.document))
    if unread or not (FOLDER / f"{draft.fluid.name}.npz").exists():
        return  # the volume, or the density, is not known yet
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

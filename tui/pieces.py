"""What stands on a rig besides what a hand moves: instruments, parts, vessels, read off the rig itself. A rig that nobody has drawn lists them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tui.report import RigPiece
from tui.roles import PIPE

UNSEEN = (PIPE, "fan", "single_phase_motor", "shaded_pole_fan")
"""Kinds that a person finds under another tag: pipes between parts, a fan at its switch, a motor in its compressor."""
DRIERS = ("filter drier", "drier", "dryer", "desiccant")
"""Its node is a pipe to the model; a person finds it by one of these names, those of the glossary."""


def pieces_of(rig: Any) -> tuple[RigPiece, ...]:
    """Read them off a rig (``sim.rig.Rig``), instruments first."""
    return (*_instruments(rig), *_parts(rig), *_vessels(rig))


def reading_of(instrument: Any) -> str:
    """The reading that an instrument shows, by the name under which it stands among the readings."""
    if instrument.kind == "flowmeter":
        return "flowmeter"
    if instrument.kind == "glass" and instrument.reading != "sight_glass":
        return f"sight_glass_{instrument.tag}"
    return str(instrument.reading)


def _instruments(rig: Any) -> Iterator[RigPiece]:
    yield from (RigPiece(one.tag, one.what, reading_of(one)) for one in rig.instruments)


def _parts(rig: Any) -> Iterator[RigPiece]:
    for placed in rig.parts:
        inside = placed.kind == "relief_valve" and placed.nodes[1] in _shells(rig)
        if placed.kind not in UNSEEN and not inside:
            yield RigPiece(placed.tag, placed.what or placed.kind.replace("_", " "))


def _vessels(rig: Any) -> Iterator[RigPiece]:
    glazed = {one.node: reading_of(one) for one in rig.instruments if one.kind == "level"}
    for node in rig.nodes:
        what = node.what.lower().replace("-", " ")
        vessel = node.kind == "vessel" or what.removesuffix("s") in DRIERS
        if vessel and node.name not in _shells(rig):
            yield RigPiece(node.name, node.what or node.name, glazed.get(node.name, ""))


def _shells(rig: Any) -> set[str]:
    """Nodes that are a compressor's own."""
    return {placed.nodes[0] for placed in rig.parts if placed.kind.endswith("compressor")}

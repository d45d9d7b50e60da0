"""What the colour of a pipe says: how warm it is, or on which side of the compressor it stands. A side's letter stands in the pipes as well, so that no meaning hangs on colour.

A side is a matter of pressure: above or below the geometric mean of the two at the compressor, which is half-way on a logarithmic axis. While both are nearly the same there are no sides.
"""

from __future__ import annotations

import math
from enum import Enum

from tui.draw.ink import BOLD, Ink, heat_ink
from tui.draw.scene import Scene
from tui.plant import Place

APART = 1.02
"""Pressures whose ratio is less are the same on any gauge (guess: the instruments' classes are 1 to 1.6 percent of scale); the charts' cycle begins there too."""
EQUAL = "pressures equal"


class Side(Enum):
    """Where a place stands; the letter is what is written into its pipes."""

    HIGH = "H"
    LOW = "L"


SIDE_INKS = {Side.HIGH: Ink.HIGH, Side.LOW: Ink.LOW}
SIDE_WORDS = {Side.HIGH: "high", Side.LOW: "low side"}


def middle_pressure(scene: Scene) -> float:
    """Boils below it and condenses above: the geometric mean of the two sides."""
    low, high = (scene.place(node) for node in ("suction_port", "discharge"))
    return math.sqrt(low.pressure_pa * high.pressure_pa) if low and high else 0.0


def sided(scene: Scene) -> bool:
    """True while the compressor's two sides differ, and sides are what colours say."""
    low, high = (scene.place(node) for node in ("suction_port", "discharge"))
    return scene.by_side and low is not None and high is not None and high.pressure_pa > APART * low.pressure_pa  # fmt: skip


def side_of(place: Place, middle_pa: float) -> Side:
    """Which side a place stands on."""
    return Side.HIGH if place.pressure_pa > middle_pa else Side.LOW


def pipe_ink(place: Place | None, scene: Scene) -> int:
    """Of a pipe filled from a place; faint where nothing is known, plain where colours say sides and there are none."""
    if place is None:
        return Ink.FAINT
    if not scene.by_side:
        return heat_ink(place.temperature_k)
    return SIDE_INKS[side_of(place, middle_pressure(scene))] if sided(scene) else Ink.PART


def number_ink(kelvin: float, scene: Scene) -> int:
    """Of a temperature that stands beside a pipe: in the colour of the scale while that is what colours say."""
    return (Ink.STRONG if scene.by_side else heat_ink(kelvin)) | BOLD

"""What was chosen at the chart of states: which axes, a cursor, a stored cycle to compare with. No Textual, no drawing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Literal

from tui.fluid_chart import State

STEP = 0.02
"""Share of the chart that an arrow key moves the cursor."""


class Axes(Enum):
    """What is drawn over what."""

    PRESSURE_ENTHALPY = "p-h"
    TEMPERATURE_ENTROPY = "T-s"


@dataclass
class Charting:
    """Choices of one person."""

    axes: Axes = Axes.PRESSURE_ENTHALPY
    cursor: tuple[float, float] | None = None
    """Shares of the chart from the left and from the foot."""
    ghost: tuple[State, ...] = ()
    """Corners of a stored cycle."""
    ghost_at_s: float = 0.0

    def next_axes(self) -> Axes:
        """The other pair of axes; the cursor stays behind, since it would point at another state."""
        kinds = list(Axes)
        self.axes = kinds[(kinds.index(self.axes) + 1) % len(kinds)]
        self.cursor = None
        return self.axes

    def store(self, corners: Sequence[State], time_s: float) -> bool:
        """Keep a cycle to compare with, or forget the one that is kept. True when one is kept now."""
        self.ghost = () if self.ghost else tuple(corners)
        self.ghost_at_s = time_s
        return bool(self.ghost)

    def move(self, direction: Literal["left", "right", "up", "down"]) -> None:
        """The cursor by a step; the first step puts it into the middle."""
        x, y = self.cursor or (0.5, 0.5)
        if self.cursor is not None:
            x += {"left": -STEP, "right": STEP}.get(direction, 0.0)
            y += {"down": -STEP, "up": STEP}.get(direction, 0.0)
        self.point(x, y)

    def point(self, x: float, y: float) -> None:
        """The cursor to a place, as the mouse does."""
        self.cursor = min(max(x, 0.0), 1.0), min(max(y, 0.0), 1.0)

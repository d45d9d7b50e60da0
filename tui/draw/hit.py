"""What a click on the board means."""

from __future__ import annotations

from dataclasses import dataclass

from tui.draw.ladder_cells import Spot


@dataclass
class Hit:
    """What lies under the mouse."""

    tag: str = ""
    command: str = ""
    pane: str = ""
    spot: Spot | None = None
    """A terminal or wire of the ladder."""
    share: tuple[float, float] | None = None
    """Of the chart: from the left and from the foot."""
    time_s: float | None = None
    """Instant of a trend."""
    act: str = ""
    """What a click does at the fault board."""
    place: str = ""
    """A row of what one looks at, listens to and touches."""
    step: str = ""
    """A result of readings and working."""
    alarm: str = ""
    """Tag of what has tripped, on the top line."""

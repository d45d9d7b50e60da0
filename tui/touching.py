"""What comes before a bare hand is laid on a place: the cautions, what a thermometer there shows, whether a hand may go there at all. Once for the screen and for sentences."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from sim.cautions import cautions_for
from sim.senses import BITE_K, BURN_K, Spot
from tui.draw.scene import Scene
from tui.plant import Setting, TagInfo
from tui.roles import SHUTS_IN, Roles

TOUCHING = "command:look-listen-touch"
FIRST = "hot/cold"
"""The caution that concerns a hand most."""
NOTHING_THERE = "there is nothing to feel here; its pipes are places of their own"
SHUT_IN = "it is inside the closed load box: open that first"
SETTLE = "let the thermometer settle, read it, then touch"


class Before(NamedTuple):
    """What is read before a touch, and what is possible then."""

    lines: list[str]
    strap: str
    """The setting that straps a thermometer on here first; '' when it is here, or there is none."""
    allowed: bool
    """False when the thermometer says that this is not for a hand."""


def why_not(spot: Spot, roles: Roles) -> str:
    """Why nothing can be felt there; '' when something can."""
    if spot.shut_in:
        by = roles.named(SHUTS_IN)
        return f"{SHUT_IN} ({by[0]})" if by else SHUT_IN
    blades = any(sign.what.startswith(("turns", "stands")) for sign in spot.signs)
    return "" if spot.surfaces or blades else NOTHING_THERE


def strap_on(tags: Iterable[TagInfo]) -> TagInfo | None:
    """The setting of the thermometer that can be strapped on anywhere."""
    return next((info for info in tags if info.kind == "place"), None)


def before_touch(spot: Spot, scene: Scene, strap: TagInfo | None, at: Setting | None) -> Before:
    """Cautions and thermometer; ``at`` is where that is strapped on, or is on its way to."""
    lines = [one.line() for one in sorted(cautions_for(TOUCHING), key=lambda one: one.id != FIRST)]
    if not spot.surfaces or strap is None:
        return Before(lines, "", allowed=True)
    tag, place = strap.tag.rpartition(".")[0], str(at)
    if place not in {surface.node for surface in spot.surfaces}:
        lines.append(f"{tag} is strapped on elsewhere ({place.replace('_', ' ')}). Here nobody has measured yet.")  # fmt: skip
        return Before(lines, strap.tag, allowed=True)
    shown = scene.number("strap_on_temperature_k")
    lines.append(f"{tag} is strapped on here and shows {scene.words('strap_on_temperature_k')}.")
    allowed = BITE_K <= shown < BURN_K
    return Before([*lines, *([] if allowed else ["That is not for a bare hand."])], "", allowed)

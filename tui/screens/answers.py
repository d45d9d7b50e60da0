"""What can be chosen in the dialogs of a part and of a new beginning."""

from __future__ import annotations

from typing import Any

from tui.plant import Setting, TagInfo

MOST_ANSWERS = 5
"""Choices that a card lists itself; more get a list of their own."""
LOOK = "look"
"""Answer of a card that leads to the list of what one sees, hears and feels."""
STARTS: tuple[tuple[str, str], ...] = (
    ("again", "the same again, from its beginning"),
    ("off", "cold: off, equalised, lined up for the hand valve"),
    ("steady:thermostatic", "running steady on the thermostatic valve"),
    ("steady:capillary", "running steady on the capillary"),
    ("steady:hand", "running steady on the hand valve"),
    ("steady:float", "running steady on the float valve"),
)


NOW = "  (as it stands)"


def setting_answers(info: TagInfo, value: Setting | None) -> list[tuple[str, str]]:
    """What can be chosen for one setting."""
    if info.kind == "reset":
        return [(f"{info.tag}=1", f"{info.tag}: press")]
    if len(info.choices) > MOST_ANSWERS:
        return [(f"{info.tag}=choose", f"{info.tag}: another of {len(info.choices)}")]
    if info.choices:
        # where it stands is among them, so that each has its place whatever was chosen before
        return [(f"{info.tag}={choice}", f"{info.tag}: {choice}{NOW if choice == value else ''}") for choice in info.choices]  # fmt: skip
    if (info.low, info.high) == (0.0, 1.0):
        steps: list[Any] = [("open", 1.0), ("half open", 0.5), ("shut", 0.0)]
        found = [(f"{info.tag}={number}", f"{info.tag}: {words}") for words, number in steps if number != value]  # fmt: skip
        return [*found, (f"{info.tag}=number", f"{info.tag}: another position")]
    return [(f"{info.tag}=number", f"{info.tag}: another value")]

"""What a sight glass holds: one word for one state and the signs that stand for it, for the drawing, its legend, cards, help, senses and sentences.

The words are those of ``sim.readings``. A glass with nothing but vapour in it looks like one full of liquid, so only the instructor is told which it is.
"""

from __future__ import annotations

from typing import NamedTuple

from tui.draw.glyphs import Glyphs


class Glass(NamedTuple):
    """One state."""

    looks: str
    """The word for what one sees."""
    sign: str
    """What stands in the drawn glass, and nowhere else on the sheet; a name of ``Glyphs`` or a character."""


GLASSES = {
    "clear": Glass("clear", " "),
    "bubbles": Glass("bubbles", "fizz"),
    "foam": Glass("foam", "%"),
    "wet": Glass("wet", ";"),
    "empty": Glass("clear", " "),
}
"""What it holds -> how it looks."""


def drawn_glass(state: str, glyphs: Glyphs) -> str:
    """A glass as the drawing and its legend have it."""
    sign = GLASSES.get(state, GLASSES["clear"]).sign
    return f"({getattr(glyphs, sign, sign)})"


def glass_words(state: str) -> str:
    """What eye finds there."""
    return f"glass: {GLASSES[state].looks}"

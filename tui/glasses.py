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
    signs: tuple[str, str]
    """What stands in the drawn glass, in turn; names of ``Glyphs`` or characters."""


GLASSES = {
    "clear": Glass("clear", (" ", " ")),
    "bubbles": Glass("bubbles", ("bubble", "drop")),
    "foam": Glass("foam", ("%", "&")),
    "wet": Glass("wet", (":", ";")),
    "empty": Glass("clear", (" ", " ")),
}
"""What it holds -> how it looks."""


def drawn_glass(state: str, glyphs: Glyphs, clock_s: float) -> str:
    """A glass as the drawing has it; bubbles and foam move."""
    sign = GLASSES.get(state, GLASSES["clear"]).signs[0 if int(clock_s * 3) % 2 else 1]
    return f"({getattr(glyphs, sign, sign)})"


def glass_words(state: str) -> str:
    """What eye finds there."""
    return f"glass: {GLASSES[state].looks}"

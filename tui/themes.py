"""Our palettes as Textual themes, for dialogs and palette; the board uses the palettes directly."""

from __future__ import annotations

from textual.theme import Theme

from tui.draw.ink import Ink
from tui.draw.palette import PALETTES, Palette


def theme_of(palette: Palette) -> Theme:
    """One palette as a theme."""
    looks = palette.looks
    return Theme(
        name=palette.name,
        dark=palette.dark,
        primary=looks[Ink.LOW].colour,
        secondary=looks[Ink.PART].colour,
        accent=looks[Ink.HIGH].colour,
        warning=looks[Ink.CAUTION].colour,
        error=looks[Ink.ALARM].ground,
        success=looks[Ink.LOW].colour,
        foreground=looks[Ink.TEXT].colour,
        background=palette.ground,
        surface=palette.panel,
        panel=palette.panel,
        variables={
            "input-selection-background": looks[Ink.KEY].ground,
            "input-selection-foreground": looks[Ink.KEY].colour,
        },
    )


THEMES = tuple(theme_of(palette) for palette in PALETTES.values())
"""In the order in which the key goes round them."""

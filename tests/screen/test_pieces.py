"""What goes to the terminal: as few pieces of one look as possible, and no cell looks different for it."""

from __future__ import annotations

import pytest

from tests.screen.stored_screen import stored_screen
from tui.draw.canvas import Canvas
from tui.draw.ink import INK_MASK, REVERSE, UNDERLINE, Ink
from tui.draw.palette import PALETTES, Palette
from tui.views.board_view import Styles


def looks(palette: Palette, char: str, code: int) -> tuple[object, ...]:
    """All that one sees of a cell."""
    look = palette.looks[code & INK_MASK]
    if char != " " or code & (REVERSE | UNDERLINE) or look.underline:
        return char, code
    return char, look.ground


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
@pytest.mark.parametrize("name", PALETTES)
def test_the_picture_is_the_same_in_fewer_pieces(size: tuple[int, int], name: str) -> None:
    palette = PALETTES[name]
    canvas, grounds = stored_screen("cooling", *size).canvas, Styles(palette).grounds
    plain = joined = 0
    for y in range(size[1]):
        one, other = list(canvas.runs(y)), list(canvas.runs(y, grounds))
        cells = [[looks(palette, char, code) for text, code in runs for char in text] for runs in (one, other)]  # fmt: skip
        assert cells[0] == cells[1]
        plain, joined = plain + len(one), joined + len(other)
    assert joined < 0.75 * plain


def test_a_blank_that_shows_more_than_its_ground_stays_a_piece_of_its_own() -> None:
    canvas = Canvas.blank(7, 1)
    canvas.text(0, 0, "a b", Ink.STRONG)
    canvas.text(3, 0, "  ", Ink.CURSOR)
    canvas.inks[0, 5] = Ink.TEXT | REVERSE
    pieces = list(canvas.runs(0, Styles(PALETTES["rime-dark"]).grounds))
    assert pieces == [("a b", Ink.STRONG), ("  ", Ink.CURSOR), (" ", Ink.TEXT | REVERSE), (" ", Ink.TEXT)]  # fmt: skip

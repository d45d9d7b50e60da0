"""Dots finer than a cell."""

from __future__ import annotations

import math
import unicodedata

import pytest

from tui.draw.canvas import Canvas
from tui.draw.dots import Dots
from tui.draw.glyphs import Dotting
from tui.draw.ink import Ink

# Unicode names braille patterns by their dots: 1 2 3 7 down the left column, 4 5 6 8 down the right one (The Unicode Standard 15.0, chapter 21.1).
PLACES = {1: (0, 0), 2: (0, 1), 3: (0, 2), 7: (0, 3), 4: (1, 0), 5: (1, 1), 6: (1, 2), 8: (1, 3)}


@pytest.mark.parametrize("dot", PLACES)
def test_each_dot_becomes_the_braille_pattern_that_unicode_names(dot: int) -> None:
    dots, canvas = Dots(1, 1), Canvas.blank(1, 1)
    x, y = PLACES[dot]
    dots.points([x], [y], Ink.FIRST)
    dots.lay(canvas, 0, 0, Dotting.BRAILLE)
    assert unicodedata.name(canvas.row_text(0)) == f"BRAILLE PATTERN DOTS-{dot}"


def test_cells_without_a_dot_keep_what_was_there() -> None:
    dots, canvas = Dots(3, 1), Canvas.blank(3, 1)
    canvas.text(0, 0, "abc")
    dots.points([2], [0], Ink.FIRST)
    dots.lay(canvas, 0, 0, Dotting.BRAILLE)
    assert canvas.row_text(0)[0] == "a"
    assert canvas.row_text(0)[2] == "c"
    assert canvas.inks[0, 1] == Ink.FIRST


def test_a_curve_leaves_no_gap_wider_than_a_dot() -> None:
    dots = Dots(30, 10)
    dots.curve([1, 55, 20], [2, 30, 39], Ink.FIRST)
    ys, xs = dots.on.nonzero()
    found = set(zip(xs.tolist(), ys.tolist(), strict=True))
    alone = [(x, y) for x, y in found if not any((x + i, y + j) in found for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j)]  # fmt: skip
    assert not alone
    assert {(1, 2), (55, 30), (20, 39)} <= found


def test_what_is_not_a_number_leaves_a_gap_and_never_raises() -> None:
    dots = Dots(10, 2)
    dots.curve([0, 4, math.nan, 12, 19], [0, 0, 0, 7, 7], Ink.FIRST)
    assert dots.on[0, :5].all()
    assert dots.on[7, 12:].all()
    assert not dots.on[:, 6:11].any()


@pytest.mark.parametrize(("dotting", "char"), [(Dotting.BLOCKS, "▀"), (Dotting.ASCII, "'")])
def test_without_braille_the_upper_half_is_a_plainer_mark(dotting: Dotting, char: str) -> None:
    dots, canvas = Dots(1, 1), Canvas.blank(1, 1)
    dots.points([0], [1], Ink.FIRST)
    dots.lay(canvas, 0, 0, dotting)
    assert canvas.row_text(0) == char

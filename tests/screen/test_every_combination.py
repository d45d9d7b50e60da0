"""Whole screens of the stored states: every pair of view, state, size, characters, units, theme and person is painted at least once and linted."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations, product
from typing import Any

import pytest

from tests.screen.linted import (
    LintCanvas,
    cut_words,
    out_of_the_mouses_reach,
    unreadable_tags,
    words_on_words,
)
from tests.screen.pairwise import covering, pairs_of
from tests.screen.stored import STATES
from tests.screen.stored_screen import Shown, stored_screen
from tui.draw.canvas import Canvas
from tui.draw.glyphs import SETS
from tui.draw.ink import INK_MASK
from tui.draw.layout import View
from tui.draw.palette import PALETTES
from tui.words import UNIT_CHOICES, Units

OWN_UNITS = Units("us", False, (("temperature", "K"), ("pressure", "kPa g")), True)
FACTORS: dict[str, Sequence[object]] = {
    "view": list(View),
    "state": list(STATES),
    "size": [(80, 24), (100, 30), (120, 40), (160, 50), (200, 60)],
    "glyphs": list(SETS),
    "units": [*UNIT_CHOICES, OWN_UNITS],
    "theme": list(PALETTES),
    "instructor": [False, True],
    "by_side": [False, True],
}
ROWS = covering(FACTORS)


def shown(row: dict[str, Any]) -> Shown:
    return stored_screen(row["state"], *row["size"], view=row["view"], units=row["units"], glyphs=row["glyphs"], instructor=row["instructor"], by_side=row["by_side"])  # fmt: skip


def test_the_rows_cover_every_pair_and_are_few() -> None:
    wanted = {(a, x, b, y) for a, b in combinations(FACTORS, 2) for x, y in product(FACTORS[a], FACTORS[b])}  # fmt: skip
    assert set().union(*(pairs_of(row) for row in ROWS)) == wanted
    most = sorted((len(values) for values in FACTORS.values()), reverse=True)
    assert len(ROWS) <= 1.5 * most[0] * most[1], "no covering array has fewer than the product of the two largest"  # fmt: skip


@pytest.mark.parametrize("row", ROWS, ids=lambda row: "-".join(str(getattr(value, "name", value)) for value in row.values()))  # fmt: skip
def test_a_screen_has_no_words_on_words_none_cut_and_every_part_in_reach(row: dict[str, Any]) -> None:  # fmt: skip
    found = shown(row)
    assert cut_words(found.canvas) == []
    assert words_on_words(found.canvas) == []
    assert unreadable_tags(found.board, found.canvas) == []
    assert out_of_the_mouses_reach(found.board) == []
    beyond = 126 if row["glyphs"] == "ascii" else 0x3000
    assert int(found.canvas.chars.max()) <= beyond
    looks = PALETTES[str(row["theme"])].looks
    assert set((found.canvas.inks & INK_MASK).ravel().tolist()) <= set(looks)
    assert found.board.hit(1, found.canvas.height - 1).command == "emergency_stop"


@pytest.mark.parametrize(("width", "height"), [(80, 24), (120, 40), (200, 60)])
def test_every_terminal_and_wire_of_the_ladder_is_in_the_mouses_reach(width: int, height: int) -> None:  # fmt: skip
    found = stored_screen("cooling", width, height, view=View.WIRING)
    ladder = found.board.ladder.ladder
    assert ladder is not None
    clicked = {spot.name for y in range(ladder.size[1]) for x in range(ladder.size[0]) if (spot := ladder.at(x, y)) is not None}  # fmt: skip
    assert clicked == {spot.name for spot in ladder.spots}


def test_the_lint_finds_what_is_wrong() -> None:
    canvas = LintCanvas.blank(20, 4)
    canvas.window(10, 1, 6, 2).text(0, 0, "receiver")
    assert cut_words(canvas) == ["receiv|er at 10, 1"]
    canvas.text(8, 1, "HV-12")
    assert len(words_on_words(canvas)) == 1
    canvas.window(8, 1, 12, 1).clear()
    assert words_on_words(canvas) == []
    found = stored_screen("cooling", 120, 40)
    blank = Canvas.blank(120, 40)
    assert "HV-12" in unreadable_tags(found.board, blank)
    moved = found.board.picture("m")
    moved.holds = moved.holds[1:]
    assert out_of_the_mouses_reach(found.board) != []

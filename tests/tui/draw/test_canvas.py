"""Planes of characters and inks, and which cells changed."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from tui.draw.canvas import Canvas, Span
from tui.draw.ink import Ink


def test_text_outside_the_canvas_is_cut_and_never_raises() -> None:
    canvas = Canvas.blank(5, 2)
    canvas.text(-2, 0, "abcdefghij")
    canvas.text(3, 1, "xyz")
    canvas.text(0, 7, "nowhere")
    assert canvas.row_text(0) == "cdefg"
    assert canvas.row_text(1) == "   xy"


@given(st.integers(-30, 30), st.integers(-5, 5), st.text(min_size=0, max_size=40))
def test_no_place_and_no_text_breaks_a_canvas(x: int, y: int, text: str) -> None:
    canvas = Canvas.blank(12, 3)
    end = canvas.text(x, y, "".join(char for char in text if not 0xD800 <= ord(char) < 0xE000))
    assert end >= x
    assert canvas.chars.shape == (3, 12)


def test_a_window_draws_on_the_canvas_that_it_was_cut_from() -> None:
    canvas = Canvas.blank(6, 3)
    canvas.window(2, 1, 3, 1).text(0, 0, "hello", Ink.STRONG)
    assert canvas.row_text(1) == "  hel "
    assert canvas.inks[1, 2] == Ink.STRONG


def test_the_first_look_shows_everything_and_the_second_nothing() -> None:
    canvas = Canvas.blank(4, 2)
    assert canvas.changes() == [Span(0, 0, 4), Span(1, 0, 4)]
    assert canvas.changes() == []


def test_only_changed_cells_are_reported_whether_character_or_ink() -> None:
    canvas = Canvas.blank(10, 3)
    canvas.changes()
    canvas.put(7, 0, "x", Ink.TEXT)
    canvas.tint(2, 2, 3, Ink.ALARM)
    assert canvas.changes() == [Span(0, 7, 8), Span(2, 2, 5)]


def test_runs_are_cut_where_the_ink_changes_and_cover_the_row() -> None:
    canvas = Canvas.blank(6, 1)
    canvas.text(1, 0, "ab", Ink.STRONG)
    assert list(canvas.runs(0)) == [(" ", Ink.TEXT), ("ab", Ink.STRONG), ("   ", Ink.TEXT)]

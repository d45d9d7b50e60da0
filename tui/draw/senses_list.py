"""The list of what hand, eye and ear find: three columns, wrapped, scrolled so that the cursor's row is in sight."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import wrap

from tui.draw.canvas import Canvas
from tui.draw.ink import Ink
from tui.draw.scrolled import Scrolled
from tui.senses import NOTHING, UNTOUCHED, Row

GAP = 2
HEADS = ("place", "look and listen", "touch")
SHARES = (0.31, 0.43)
"""Of the width: place, look and listen; the rest is for the hand."""
MOST_WIDTH = 150
"""Wider lines are hard to follow with the eye."""


class SensesList(Scrolled):
    """Keeps where it is scrolled to, and which place stands in which row."""

    def paint(self, canvas: Canvas, rows: Sequence[Row], cursor: str) -> None:
        """Paint what finds room."""
        widths = columns(min(canvas.width, MOST_WIDTH))
        cells = [[wrap(text, width) or [""] for text, width in zip((row.name, row.found, row.hand), widths, strict=True)] for row in rows]  # fmt: skip
        heights = [max(map(len, texts)) for texts in cells]
        self.lines = [row.place for row, height in zip(rows, heights, strict=True) for _ in range(height)]  # fmt: skip
        self.room = canvas.height - 1
        self.follow(cursor)
        _across(canvas, 0, HEADS, widths, (Ink.FAINT,) * 3)
        at = 1 - self.top
        for row, texts, height in zip(rows, cells, heights, strict=True):
            for line in range(height):
                if 1 <= at + line < canvas.height:
                    part = tuple(text[line] if line < len(text) else "" for text in texts)
                    _across(canvas, at + line, part, widths, inks(row, cursor, line))
            at += height


def columns(width: int) -> tuple[int, int, int]:
    """Widths of the three columns."""
    first, second = (round(share * width) - GAP for share in SHARES)
    return first, second, width - first - second - 2 * GAP


def inks(row: Row, cursor: str, line: int) -> tuple[int, int, int]:
    """Cursor, frost and a hurt hand are marked; everything else is plain, so that nothing is pointed at."""
    name = Ink.CURSOR if row.place == cursor and line == 0 else Ink.TEXT
    hand = Ink.CAUTION if row.hurt else Ink.FAINT if row.hand == UNTOUCHED else Ink.STRONG
    found = Ink.FROST if row.white else Ink.FAINT if row.found == NOTHING else Ink.TEXT
    return name, found, hand


def _across(canvas: Canvas, y: int, texts: Sequence[str], widths: Sequence[int], ink: Sequence[int]) -> None:  # fmt: skip
    x = 0
    for text, width, colour in zip(texts, widths, ink, strict=True):
        canvas.text(x, y, text[:width], colour)
        x += width + GAP

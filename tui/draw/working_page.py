"""The page of readings and working: a row a reading, a row or two a result, scrolled so that the cursor's row is in sight."""

from __future__ import annotations

from collections.abc import Iterator
from textwrap import wrap

from tui.draw.canvas import Canvas
from tui.draw.glyphs import Glyphs
from tui.draw.ink import BOLD, Ink
from tui.draw.scrolled import Scrolled
from tui.working import Row, WorkingFrame

INDENT, GAP = 3, 2
ONE_LINE = 150
"""From this width on formula, numbers and result stand in one line where they fit."""
MIDDLE = 66
"""Column of the numbers there."""
MOST_WIDTH = 190

Text = tuple[int, str, int]
"""Column, words, ink."""
_INKS = {"head": Ink.TITLE, "none": Ink.FAINT, "covered": Ink.FAINT, "wrong": Ink.CAUTION, "words": Ink.TEXT}  # fmt: skip
_ASCII = str.maketrans({"±": "+/-", "−": "-", "·": "x", "√": "sqrt", "ρ": "rho", "Δ": "d", "′": "'", "″": "''"})  # fmt: skip
_MARKS = {"right": "agrees   ", "near": "near   ", "wrong": "differs   "}


class WorkingPage(Scrolled):
    """Keeps where it is scrolled to, and which result stands in which row."""

    heads = 0

    def paint(self, canvas: Canvas, frame: WorkingFrame, glyphs: Glyphs) -> None:
        """Paint what finds room."""
        width = min(canvas.width, MOST_WIDTH)
        rows = [_plain(row) for row in frame.rows] if glyphs.name == "ascii" else frame.rows
        made = [(row.key, texts) for row in rows for texts in _lines(row, width, row.key == frame.cursor)]  # fmt: skip
        self.lines = [key for key, _ in made]
        self.room = canvas.height
        self.follow(frame.cursor)
        if frame.cursor == next(filter(None, self.lines), ""):
            self.top = 0  # its heading with it
        for y, (_, texts) in enumerate(made[self.top : self.top + self.room]):
            for x, words, ink in texts:
                canvas.text(x, y, words[: max(0, width - x)], ink)


def _plain(row: Row) -> Row:
    """With signs that every terminal has."""
    left, right, *below = (text.translate(_ASCII) for text in (row.left, row.right, *row.below))
    return row._replace(left=left, right=right, below=tuple(below))


def _lines(row: Row, width: int, here: bool) -> Iterator[list[Text]]:
    """The lines of a row."""
    ink = _INKS.get(row.kind, Ink.STRONG)
    left = Ink.CURSOR if here else Ink.TITLE | BOLD if row.kind == "head" else Ink.TEXT
    right = _MARKS.get(row.kind, "") + row.right
    at = width - len(right)
    below = list(row.below)
    first: list[Text] = [(at, right, ink | BOLD if row.kind not in ("none", "covered") else ink)]
    room = at - GAP - MIDDLE
    if width >= ONE_LINE and below and len(row.left) < MIDDLE - GAP and len(below[0]) <= room:
        first.append((MIDDLE, below.pop(0), Ink.FAINT))
    lead = wrap(row.left, at - GAP, subsequent_indent="   ") if row.left else []
    if lead:
        yield [(0, lead[0], left), *first]
        yield from ([(0, more, left)] for more in lead[1:])
    for said in below:
        inks = Ink.CAUTION if row.kind == "wrong" and said.startswith("own") else Ink.FAINT
        for part in wrap(said, width - INDENT):
            yield [(INDENT, part, left if row.kind == "words" else inks)]

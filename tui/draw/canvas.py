"""A canvas: one plane of characters, one plane of inks, and which rows changed since the last look.

Painters draw on ``Canvas`` or on a window of it (``window``), which shares the planes, so a painter never knows where on the screen it stands. Writing
outside is cut off silently: a picture may be larger than its window.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tui.draw.ink import Ink

BLANK = 32
MOST_TEXTS = 2048
Codes = NDArray[np.uint32]
Inks = NDArray[np.uint16]


class Span(NamedTuple):
    """Cells ``left`` up to and without ``right`` of row ``y``."""

    y: int
    left: int
    right: int


@lru_cache(maxsize=MOST_TEXTS)
def codes_of(text: str) -> Codes:
    """Code points of ``text``; read-only. Most of what a frame writes stood in the last one."""
    return np.frombuffer(text.encode("utf-32-le"), np.uint32)


@dataclass(eq=False)
class Canvas:
    """Two planes of the same shape (rows, columns)."""

    chars: Codes
    inks: Inks
    seen_chars: Codes | None = field(default=None, repr=False)
    seen_inks: Inks | None = field(default=None, repr=False)

    @classmethod
    def blank(cls, width: int, height: int) -> Canvas:
        """An empty canvas whose every row still has to be shown."""
        shape = (max(0, height), max(0, width))
        return cls(np.full(shape, BLANK, np.uint32), np.full(shape, Ink.TEXT, np.uint16))

    @property
    def width(self) -> int:
        """Columns."""
        return int(self.chars.shape[1])

    @property
    def height(self) -> int:
        """Rows."""
        return int(self.chars.shape[0])

    def window(self, x: int, y: int, width: int, height: int) -> Canvas:
        """The part of this canvas from (x, y); drawing on it draws here."""
        x, y = max(0, x), max(0, y)
        rows, columns = slice(y, y + max(0, height)), slice(x, x + max(0, width))
        return Canvas(self.chars[rows, columns], self.inks[rows, columns])

    def clear(self, ink: int = Ink.TEXT) -> None:
        """Blank every cell."""
        self.chars.fill(BLANK)
        self.inks.fill(ink)

    def text(self, x: int, y: int, text: str, ink: int = Ink.TEXT) -> int:
        """Write ``text`` from (x, y); returns the column after it."""
        end = x + len(text)
        height, width = self.chars.shape
        if not 0 <= y < height or end <= 0 or x >= width:
            return end
        if x < 0 or end > width:
            text = text[max(0, -x) : width - x]
        left = x if x > 0 else 0
        right = left + len(text)
        self.chars[y, left:right] = codes_of(text)
        self.inks[y, left:right] = ink
        return end

    def text_right(self, right: int, y: int, text: str, ink: int = Ink.TEXT) -> None:
        """Write ``text`` so that it ends before column ``right``."""
        self.text(right - len(text), y, text, ink)

    def text_middle(self, y: int, text: str, ink: int = Ink.TEXT) -> None:
        """Write ``text`` in the middle of row ``y``."""
        self.text((self.width - len(text)) // 2, y, text, ink)

    def put(self, x: int, y: int, char: str, ink: int) -> None:
        """One character."""
        height, width = self.chars.shape
        if 0 <= x < width and 0 <= y < height:
            self.chars[y, x] = ord(char)
            self.inks[y, x] = ink

    def cells(
        self, xs: NDArray[np.intp], ys: NDArray[np.intp], chars: Codes | np.uint32, ink: int | Inks
    ) -> None:
        """Many characters at once; the caller keeps them inside. The last one wins where two have one cell."""
        self.chars[ys, xs] = chars
        self.inks[ys, xs] = ink

    def tint(self, x: int, y: int, width: int, ink: int) -> None:
        """Change the ink of ``width`` cells and leave the characters."""
        if 0 <= y < self.height:
            self.inks[y, max(0, x) : max(0, x + width)] = ink

    def box(self, x: int, y: int, width: int, height: int, strokes: str, ink: int = Ink.FRAME) -> None:  # fmt: skip
        """A frame; ``strokes`` is horizontal, vertical and the corners from top left clockwise."""
        if width < 2 or height < 2:
            return
        across, down, top_left, top_right, low_right, low_left = tuple(strokes)
        self.text(x, y, top_left + across * (width - 2) + top_right, ink)
        self.text(x, y + height - 1, low_left + across * (width - 2) + low_right, ink)
        rows = slice(max(0, y + 1), max(0, y + height - 1))
        for column in (x, x + width - 1):
            if 0 <= column < self.chars.shape[1]:
                self.chars[rows, column] = ord(down)
                self.inks[rows, column] = ink

    def changes(self) -> list[Span]:
        """Which cells differ from the last call, one span a row; remembers the planes.

        Several spans a row were tried and cost more bytes and time than they saved.
        """
        if self.seen_chars is None or self.seen_inks is None:
            spans = [Span(y, 0, self.width) for y in range(self.height)]
            self.seen_chars, self.seen_inks = self.chars.copy(), self.inks.copy()
            return spans
        differs = (self.chars != self.seen_chars) | (self.inks != self.seen_inks)
        spans = []
        for y in np.flatnonzero(differs.any(axis=1)).tolist():
            columns = np.flatnonzero(differs[y])
            spans.append(Span(y, int(columns[0]), int(columns[-1]) + 1))
            self.seen_chars[y] = self.chars[y]
            self.seen_inks[y] = self.inks[y]
        return spans

    def runs(self, y: int, grounds: NDArray[np.int16] | None = None) -> Iterator[tuple[str, int]]:
        """Row ``y`` as (text, ink) pieces of one ink each. With ``grounds`` (ink code -> what a blank in it looks like, negative: like nothing else) a blank goes with the piece before it where that looks the same: fewer pieces, the same picture."""
        inks = self.inks[y]
        line = self.row_text(y)
        if grounds is not None:
            seen = grounds[inks]
            joins = (self.chars[y] == BLANK) & (seen >= 0)
            joins[1:] &= seen[1:] == seen[:-1]
            joins[:1] = False
            inks = inks[np.maximum.accumulate(np.where(joins, 0, np.arange(self.width)))]
        start = 0
        for end in (*(np.flatnonzero(inks[1:] != inks[:-1]) + 1).tolist(), self.width):
            if end > start:
                yield line[start:end], int(inks[start])
            start = end

    def row_text(self, y: int) -> str:
        """The characters of row ``y``."""
        return str(self.chars[y].tobytes(), "utf-32-le")

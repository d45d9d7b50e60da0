"""Dots finer than a cell: two across and four down, for curves and dials.

Dots are kept as one Boolean plane, an ink a cell (the last curve through a cell owns it), and become characters when they are laid on a canvas: braille,
half blocks or ASCII, as the set of glyphs asks.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tui.draw.canvas import Canvas
from tui.draw.glyphs import Dotting
from tui.draw.ink import Ink

ACROSS, DOWN = 2, 4

# Unicode 15, block Braille Patterns: dots 1-8 are bits 0-7; dots 1, 2, 3, 7 stand left from the top, 4, 5, 6, 8 right.
_BRAILLE_WEIGHTS = np.array([[0x01, 0x08], [0x02, 0x10], [0x04, 0x20], [0x40, 0x80]], np.uint32)
_BRAILLE_FIRST = 0x2800
_HALVES = {Dotting.BLOCKS: " ▀▄█", Dotting.ASCII: " '.:"}


class Dots:
    """A plane of dots over ``width`` by ``height`` cells."""

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = max(1, width), max(1, height)
        self.on = np.zeros((self.height * DOWN, self.width * ACROSS), np.bool_)
        self.inks = np.full((self.height, self.width), Ink.TEXT, np.uint16)

    @property
    def across(self) -> int:
        """Dots from left to right."""
        return self.width * ACROSS

    @property
    def down(self) -> int:
        """Dots from top to bottom."""
        return self.height * DOWN

    def clear(self) -> None:
        """Take all dots away."""
        self.on.fill(False)

    def copy_from(self, other: Dots) -> None:
        """Become a copy of ``other``, which has the same size (a cached background)."""
        np.copyto(self.on, other.on)
        np.copyto(self.inks, other.inks)

    def points(self, xs: ArrayLike, ys: ArrayLike, ink: int) -> None:
        """Dots at the nearest whole positions; those outside are dropped."""
        columns = np.rint(np.asarray(xs, float)).astype(np.intp)
        rows = np.rint(np.asarray(ys, float)).astype(np.intp)
        inside = (columns >= 0) & (rows >= 0) & (columns < self.across) & (rows < self.down)
        columns, rows = columns[inside], rows[inside]
        self.on[rows, columns] = True
        self.inks[rows // DOWN, columns // ACROSS] = ink

    def curve(self, xs: ArrayLike, ys: ArrayLike, ink: int) -> None:
        """Straight strokes from point to point; a gap where a coordinate is not finite."""
        x, y = np.asarray(xs, float), np.asarray(ys, float)
        if x.size < 2:
            return
        x0, y0, x1, y1 = self._strokes(x, y)
        if x0.size == 0:
            return
        steps = np.maximum(np.ceil(np.maximum(np.abs(x1 - x0), np.abs(y1 - y0))), 1.0)
        counts = steps.astype(np.intp) + 1
        stroke = np.repeat(np.arange(counts.size), counts)
        place = np.arange(stroke.size) - np.repeat(np.cumsum(counts) - counts, counts)
        share = place / steps[stroke]
        self.points(
            x0[stroke] + (x1 - x0)[stroke] * share, y0[stroke] + (y1 - y0)[stroke] * share, ink
        )

    def _strokes(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> tuple[NDArray[np.float64], ...]:  # fmt: skip
        """Ends of the strokes that are finite and not wholly beside the plane."""
        x = np.clip(x, -self.across, 2 * self.across)
        y = np.clip(y, -self.down, 2 * self.down)
        ends = (x[:-1], y[:-1], x[1:], y[1:])
        keep = np.isfinite(ends[0]) & np.isfinite(ends[1]) & np.isfinite(ends[2]) & np.isfinite(ends[3])  # fmt: skip
        return tuple(end[keep] for end in ends)

    def lay(self, canvas: Canvas, x: int, y: int, dotting: Dotting) -> None:
        """Put the dots on ``canvas`` from cell (x, y); cells without a dot stay as they are."""
        target = canvas.window(x, y, self.width, self.height)
        rows, columns = target.height, target.width
        cells = self.on.reshape(self.height, DOWN, self.width, ACROSS)[:rows, :, :columns]
        if dotting is Dotting.BRAILLE:
            codes = np.asarray(np.einsum("rdca,da->rc", cells, _BRAILLE_WEIGHTS), np.uint32)
            filled = codes != 0
            shown = codes[filled] + _BRAILLE_FIRST
        else:
            halves = np.array([ord(char) for char in _HALVES[dotting]], np.uint32)
            upper, lower = cells[:, :2].any(axis=(1, 3)), cells[:, 2:].any(axis=(1, 3))
            index = np.asarray(upper.astype(np.intp) + 2 * lower.astype(np.intp), np.intp)
            filled = index != 0
            shown = halves[index[filled]]
        target.chars[filled] = shown
        target.inks[filled] = self.inks[:rows, :columns][filled]

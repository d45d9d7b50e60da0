"""The screen as SVG, cell by cell, in the colours in which it stands. Charts are drawn from their data: ``state_picture``, ``trend_picture``."""

from __future__ import annotations

from tui.draw.canvas import Canvas
from tui.draw.ink import BOLD, INK_MASK
from tui.draw.palette import Palette
from tui.session.svg import MONO, Svg

CELL_WIDTH, CELL_HEIGHT = 8.4, 17.0


def screen(canvas: Canvas, palette: Palette) -> str:
    """The whole file."""
    svg = Svg(canvas.width * CELL_WIDTH, canvas.height * CELL_HEIGHT, "Screen of rimebench", ground=palette.ground, font=MONO)  # fmt: skip
    for row in range(canvas.height):
        column, y = 0, row * CELL_HEIGHT
        for text, ink in canvas.runs(row):
            look, width = palette.looks[ink & INK_MASK], len(text) * CELL_WIDTH
            if look.ground != palette.ground:
                svg.box(column * CELL_WIDTH, y, width, CELL_HEIGHT, look.ground)
            if text.strip():
                svg.write(column * CELL_WIDTH, y + 13, text, colour=look.colour, size=14, bold=look.bold or bool(ink & BOLD), length=width)  # fmt: skip
            column += len(text)
    return svg.text

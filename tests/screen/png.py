"""A picture of a screen: every cell drawn with Pillow, lines, blocks and braille as shapes so that they join as on a terminal.

    python -m tests.screen.png 120x40 out.png [--palette rime-light] [--view plant] [--start steady]

Pictures are for looking at; tests compare text (see ``golden.py``).
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterable
from typing import NamedTuple

from PIL import Image, ImageDraw, ImageFont

from tests.screen.sample import screen
from tui.draw.canvas import Canvas
from tui.draw.ink import BOLD, INK_MASK
from tui.draw.palette import PALETTES, Palette

CELL_WIDTH, CELL_HEIGHT = 10, 20
FONT_FILES = ("DejaVuSansMono.ttf", "DejaVuSansMono-Bold.ttf")

# Strokes of box-drawing characters to north, east, south, west: 0 none, 1 light, 2 heavy (Unicode 15, block Box Drawing).
_STROKES = {
    "─": "0101", "│": "1010", "┌": "0110", "┐": "0011", "└": "1100", "┘": "1001", "╭": "0110", "╮": "0011", "╯": "1001", "╰": "1100",
    "├": "1110", "┤": "1011", "┬": "0111", "┴": "1101", "┼": "1111", "━": "0202", "┃": "2020", "┏": "0220", "┓": "0022", "┗": "2200",
    "┛": "2002", "┯": "0212", "┣": "2220", "┫": "2022", "┳": "0222", "┻": "2202", "╋": "2222", "╍": "0202", "╏": "2020",
}  # fmt: skip
_DASHED = "╍╏"


class Cell(NamedTuple):
    """One character with its colours, as #rrggbb."""

    char: str
    colour: str
    ground: str
    bold: bool = False


def cells_of(canvas: Canvas, palette: Palette) -> list[list[Cell]]:
    """The cells of a canvas under a palette."""
    rows = []
    for y in range(canvas.height):
        row = []
        for text, code in canvas.runs(y):
            look = palette.looks[code & INK_MASK]
            bold = look.bold or bool(code & BOLD)
            row += [Cell(char, look.colour, look.ground, bold) for char in text]
        rows.append(row)
    return rows


def picture(rows: Iterable[list[Cell]]) -> Image.Image:
    """Draw rows of cells."""
    table = list(rows)
    width = max((len(row) for row in table), default=1)
    image = Image.new("RGB", (width * CELL_WIDTH, len(table) * CELL_HEIGHT))
    draw = ImageDraw.Draw(image)
    fonts = [_font(name) for name in FONT_FILES]
    for y, row in enumerate(table):
        for x, cell in enumerate(row):
            _cell(draw, x * CELL_WIDTH, y * CELL_HEIGHT, cell, fonts[cell.bold])
    return image


def _font(name: str) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    try:
        return ImageFont.truetype(name, 16)
    except OSError:
        return ImageFont.load_default()


def _cell(draw: ImageDraw.ImageDraw, x: int, y: int, cell: Cell, font: ImageFont.FreeTypeFont | ImageFont.ImageFont) -> None:  # fmt: skip
    draw.rectangle((x, y, x + CELL_WIDTH - 1, y + CELL_HEIGHT - 1), cell.ground)
    code = ord(cell.char)
    if cell.char in _STROKES:
        _strokes(draw, x, y, cell)
    elif 0x2800 <= code < 0x2900:
        _braille(draw, x, y, code - 0x2800, cell.colour)
    elif 0x2581 <= code <= 0x2588:
        draw.rectangle((x, y + CELL_HEIGHT - (code - 0x2580) * CELL_HEIGHT // 8, x + CELL_WIDTH - 1, y + CELL_HEIGHT - 1), cell.colour)  # fmt: skip
    elif 0x2589 <= code <= 0x258F:
        draw.rectangle((x, y, x + max(1, (0x2590 - code) * CELL_WIDTH // 8) - 1, y + CELL_HEIGHT - 1), cell.colour)  # fmt: skip
    elif cell.char != " ":
        draw.text((x, y), cell.char, cell.colour, font)


def _strokes(draw: ImageDraw.ImageDraw, x: int, y: int, cell: Cell) -> None:
    north, east, south, west = (int(weight) for weight in _STROKES[cell.char])
    middle_x, middle_y = x + CELL_WIDTH // 2, y + CELL_HEIGHT // 2
    right, bottom = x + CELL_WIDTH - 1, y + CELL_HEIGHT - 1
    for weight, box in (
        (north, (middle_x, y, middle_x, middle_y)), (south, (middle_x, middle_y, middle_x, bottom)),
        (east, (middle_x, middle_y, right, middle_y)), (west, (x, middle_y, middle_x, middle_y)),
    ):  # fmt: skip
        if weight:
            grow = weight - 1
            wide = box[0] != box[2]
            draw.rectangle((box[0] - (0 if wide else grow), box[1] - (grow if wide else 0), box[2] + (0 if wide else grow), box[3] + (grow if wide else 0)), cell.colour)  # fmt: skip
    if cell.char in _DASHED:
        gap = (middle_x - 1, y, middle_x + 1, bottom) if cell.char == "╍" else (x, middle_y - 2, right, middle_y + 2)  # fmt: skip
        draw.rectangle(gap, cell.ground)


def _braille(draw: ImageDraw.ImageDraw, x: int, y: int, bits: int, colour: str) -> None:
    for bit, (column, row) in enumerate(((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))):  # fmt: skip
        if bits >> bit & 1:
            left, top = x + 2 + column * 5, y + 1 + row * 5
            draw.rectangle((left, top, left + 2, top + 2), colour)


def main(arguments: list[str]) -> int:
    """Draw one screen of the stand-in bench."""
    parser = argparse.ArgumentParser()
    parser.add_argument("size")
    parser.add_argument("out")
    parser.add_argument("--palette", default="rime-dark", choices=list(PALETTES))
    parser.add_argument("--view", default="plant")
    parser.add_argument("--start", default="steady")
    parser.add_argument("--instructor", action="store_true")
    parser.add_argument("--us", action="store_true")
    parser.add_argument("--glyphs", default="full")
    chosen = parser.parse_args(arguments)
    width, height = (int(part) for part in chosen.size.split("x"))
    canvas = screen(width, height, view=chosen.view, start=chosen.start, instructor=chosen.instructor, us=chosen.us, glyphs=chosen.glyphs)  # fmt: skip
    picture(cells_of(canvas, PALETTES[chosen.palette])).save(chosen.out)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))

"""Large digits for a meter's face: three rows of line characters, seven strokes a digit."""

from __future__ import annotations

from tui.draw.canvas import Canvas
from tui.draw.glyphs import Glyphs

ROWS = 3
_LINES = {
    "0": ("┏━┓", "┃ ┃", "┗━┛"), "1": ("  ┃", "  ┃", "  ┃"), "2": ("━━┓", "┏━┛", "┗━━"), "3": ("━━┓", " ━┫", "━━┛"), "4": ("┃ ┃", "┗━┫", "  ┃"),
    "5": ("┏━━", "┗━┓", "━━┛"), "6": ("┏━━", "┣━┓", "┗━┛"), "7": ("━━┓", "  ┃", "  ┃"), "8": ("┏━┓", "┣━┫", "┗━┛"), "9": ("┏━┓", "┗━┫", "━━┛"),
    ".": (" ", " ", "."), "-": ("   ", "━━━", "   "), "O": ("┏━┓", "┃ ┃", "┗━┛"), "L": ("┃  ", "┃  ", "┗━━"),
}  # fmt: skip
_ASCII = {
    "0": (" _ ", "| |", "|_|"), "1": ("   ", "  |", "  |"), "2": (" _ ", " _|", "|_ "), "3": (" _ ", " _|", " _|"), "4": ("   ", "|_|", "  |"),
    "5": (" _ ", "|_ ", " _|"), "6": (" _ ", "|_ ", "|_|"), "7": (" _ ", "  |", "  |"), "8": (" _ ", "|_|", "|_|"), "9": (" _ ", "|_|", " _|"),
    ".": (" ", " ", "."), "-": ("   ", " _ ", "   "), "O": (" _ ", "| |", "|_|"), "L": ("   ", "|  ", "|_ "),
}  # fmt: skip


def rows_of(number: str, glyphs: Glyphs) -> list[str]:
    """Three rows of text. Every character of ``number`` is a digit, a point, a minus, O or L."""
    shapes = _ASCII if glyphs.name == "ascii" else _LINES
    return [" ".join(shapes[char][row] for char in number) for row in range(ROWS)]


def large(number: str) -> bool:
    """Can it be written so?"""
    return bool(number) and all(char in _LINES for char in number)


def paint_digits(canvas: Canvas, x: int, y: int, number: str, ink: int, glyphs: Glyphs) -> int:
    """Write ``number`` large; returns the column after it."""
    rows = rows_of(number, glyphs)
    for row, text in enumerate(rows):
        canvas.text(x, y + row, text, ink)
    return x + len(rows[0])

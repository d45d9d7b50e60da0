"""Letters and digits made of square blocks, at any size: for what is read from the back of a room.

Five squares high and mostly three wide, drawn for this program. A size of 1 makes a square half a row high and one column wide, so that it looks square on a terminal, whose cells
are about twice as high as wide; a digit of size 2 is five rows high.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from tui.draw.canvas import Canvas
from tui.draw.glyphs import Glyphs

HEIGHT = 5
"""Squares from top to bottom."""
_SHAPES = {
    "0": "###|# #|# #|# #|###", "1": " # |## | # | # |###", "2": "###|  #|###|#  |###", "3": "###|  #| ##|  #|###", "4": "# #|# #|###|  #|  #",
    "5": "###|#  |###|  #|###", "6": "###|#  |###|# #|###", "7": "###|  #|  #| # | # ", "8": "###|# #|###|# #|###", "9": "###|# #|###|  #|###",
    ".": " | | | |#", ",": "  |  |  | #|# ", "-": "   |   |###|   |   ", "+": "   | # |###| # |   ", "/": "  #|  #| # |#  |#  ", "%": "# #|  #| # |#  |# #",
    "°": "###|# #|###|   |   ", " ": "  |  |  |  |  ", "—": "     |     |#####|     |     ", "(": " #|# |# |# | #", ")": "# | #| #| #|# ",
    "a": "   |   | ##|# #|###", "b": "#  |#  |## |# #|## ", "c": "   |   |###|#  |###", "d": "  #|  #| ##|# #| ##", "e": "   |###|###|#  |###",
    "f": " ##|#  |###|#  |#  ", "g": "###|# #|###|  #|## ", "h": "#  |#  |## |# #|# #", "i": "#| |#|#|#", "j": " #|  | #| #|##",
    "k": "#  |# #|## |# #|# #", "l": "# |# |# |# |##", "m": "     |     |#### |# # #|# # #", "n": "   |   |## |# #|# #", "o": "   |   |###|# #|###",
    "p": "   |## |# #|## |#  ", "q": "   | ##|# #| ##|  #", "r": "   |   |###|#  |#  ", "s": "   | ##|#  |  #|## ", "t": "#  |###|#  |#  | ##",
    "u": "   |   |# #|# #| ##", "v": "   |   |# #|# #| # ", "w": "     |     |# # #|# # #| # # ", "x": "   |   |# #| # |# #", "y": "   |# #|###|  #|## ", "z": "   |   |## | # | ##",
    "A": " # |# #|###|# #|# #", "B": "## |# #|## |# #|## ", "C": "###|#  |#  |#  |###", "D": "## |# #|# #|# #|## ", "E": "###|#  |## |#  |###", "F": "###|#  |## |#  |#  ",
    "G": "####|#   |# ##|#  #|####", "H": "# #|# #|###|# #|# #", "I": "###| # | # | # |###", "J": "  #|  #|  #|# #|###", "K": "# #|# #|## |# #|# #", "L": "#  |#  |#  |#  |###",
    "M": "#   #|## ##|# # #|#   #|#   #", "N": "#  #|## #|# ##|#  #|#  #", "O": "###|# #|# #|# #|###", "P": "###|# #|###|#  |#  ", "Q": "### |# # |# # |### |   #", "R": "###|# #|## |# #|# #",
    "S": "###|#  |###|  #|###", "T": "###| # | # | # | # ", "U": "# #|# #|# #|# #|###", "V": "# #|# #|# #|# #| # ", "W": "#   #|#   #|# # #|## ##|#   #", "X": "# #|# #| # |# #|# #",
    "Y": "# #|# #| # | # | # ", "Z": "###|  #| # |#  |###", "↑": "  #  | ### |# # #|  #  |  #  ", "↓": "  #  |  #  |# # #| ### |  #  ", "→": "  #  |   # |#####|   # |  #  ", "³": "##|##|##|  |  ",
}  # fmt: skip
_HALVES = " ▀▄█"


@lru_cache(maxsize=256)
def squares(text: str) -> NDArray[np.bool_]:
    """The text as squares, a column between two letters. A letter that is not there leaves its place empty."""
    shapes = [_SHAPES.get(char, _SHAPES[" "]).split("|") for char in text]
    rows = [" ".join(shape[row] for shape in shapes) for row in range(HEIGHT)]
    return np.array([[char == "#" for char in row] for row in rows], np.bool_).reshape(HEIGHT, -1)


def width_of(text: str, size: int) -> int:
    """Columns."""
    return int(squares(text).shape[1]) * size


def rows_of(size: int) -> int:
    """Rows."""
    return (HEIGHT * size + 1) // 2


def paint_blocks(canvas: Canvas, x: int, y: int, text: str, size: int, ink: int, glyphs: Glyphs) -> None:  # fmt: skip
    """Write ``text`` from (x, y)."""
    plane = np.repeat(np.repeat(squares(text), size, axis=0), size, axis=1)
    if plane.shape[0] % 2:
        plane = np.vstack([plane, np.zeros((1, plane.shape[1]), np.bool_)])
    halves = plane[0::2].astype(int) + 2 * plane[1::2]
    chars = " '.#" if glyphs.name == "ascii" else _HALVES
    for row, line in enumerate(halves):
        canvas.text(x, y + row, "".join(chars[code] for code in line), ink)

"""Which characters stand for what: a full set, one without braille, and plain ASCII.

A pipe's line style is its phase: liquid heavy, boiling or condensing mixture heavy and dashed, vapour light. So the phase is
readable without any colour. Characters of the full set are those that the common monospaced fonts of terminals have (WGL4 and braille); triangles that some
systems replace by coloured pictures are left out.
"""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache

import numpy as np

from tui.draw.canvas import Canvas

NORTH, EAST, SOUTH, WEST = 1, 2, 4, 8


class Phase(Enum):
    """What fills a pipe."""

    LIQUID = 0
    MIXTURE = 1
    VAPOUR = 2


class Dotting(Enum):
    """How charts put dots into cells."""

    BRAILLE = 0
    BLOCKS = 1
    ASCII = 2


def _joins(across: str, down: str, corners: str) -> str:
    """Sixteen characters by the sides that are joined (NORTH + EAST + ...); ``corners`` is ┌┐└┘├┤┬┴┼ in some stroke."""
    south_east, south_west, north_east, north_west, east_tee, west_tee, south_tee, north_tee, cross = tuple(corners)  # fmt: skip
    return "".join(
        (
            " ", down, across, north_east, down, down, south_east, east_tee,
            across, north_west, across, north_tee, south_west, west_tee, south_tee, cross,
        )
    )  # fmt: skip


@dataclass(frozen=True)
class Glyphs:
    """One set of characters."""

    name: str
    dotting: Dotting
    lines: tuple[str, str, str]
    """By ``Phase`` value: sixteen characters each, by joined sides."""
    arrows: str
    """Flow to north, east, south, west."""
    frame: str
    heavy_frame: str
    valve: str
    """The two wings of a valve; between them stands the handle."""
    along: str
    """Handle of an open valve, in line with a pipe that runs across, then with one that runs down."""
    athwart: str
    """Handle of a shut valve, the other way round."""
    throttled: str
    bubble: str
    """Boiling, in a pipe or coil; ``drop``: condensing there."""
    drop: str
    fizz: str
    """Bubbles in a sight glass."""
    eighths: str
    bar: str
    """Filling of a bar meter, half as high as a cell so that bars do not touch: a half cell, a whole cell."""
    spinner: str
    degree: str
    full: str
    caution: str
    to: str
    mark: str
    dot: str
    frost: str
    """Between the passes of a coil that is white."""


FULL = Glyphs(
    name="full",
    dotting=Dotting.BRAILLE,
    lines=(
        _joins("━", "┃", "┏┓┗┛┣┫┳┻╋"),
        _joins("╍", "╏", "┏┓┗┛┣┫┳┻╋"),
        _joins("─", "│", "╭╮╰╯├┤┬┴┼"),
    ),
    arrows="▲►▼◄",
    frame="─│╭╮╯╰",
    heavy_frame="━┃┏┓┛┗",
    valve="►◄",
    along="─│",
    athwart="┃━",
    throttled="╱",
    bubble="○",
    drop="•",
    fizz="∞",
    eighths=" ▁▂▃▄▅▆▇█",
    bar="▖▄",
    spinner="|/─\\",
    degree="°",
    full="█",
    caution="▲",
    to="→",
    mark="■",
    dot="·",
    frost="░",
)
NO_BRAILLE = replace(
    FULL,
    name="no-braille",
    dotting=Dotting.BLOCKS,
    throttled="/",
    bar="▄▄",
    eighths=" ▄▄▄▄▄▄██",
)
ASCII = Glyphs(
    name="ascii",
    dotting=Dotting.ASCII,
    lines=(
        _joins("=", "#", "+++++++++"),
        _joins("~", ":", "+++++++++"),
        _joins("-", "|", "+++++++++"),
    ),
    arrows="^>v<",
    frame="-|++++",
    heavy_frame="=|++++",
    valve="><",
    along="-|",
    athwart="I=",
    throttled="/",
    bubble="o",
    drop=".",
    fizz="@",
    eighths=" ...:::##",
    bar="-=",
    spinner="|/-\\",
    degree="'",
    full="#",
    caution="!",
    to=">",
    mark="#",
    dot=".",
    frost="*",
)
_PLAIN = {
    "°": "'",
    "—": "-",
    "…": ".",
    "→": ">",
    "Ω": "R",
    "×": "x",
    "µ": "u",
    "²": "2",
    "³": "3",
    "−": "-",
    "–": "-",
    "•": "*",
    "▲": "!",
}


def to_ascii(canvas: Canvas) -> None:
    """Replace what units and words bring along; nothing beyond ASCII stays."""
    beyond = canvas.chars > 126
    for code in np.unique(canvas.chars[beyond]).tolist():
        canvas.chars[canvas.chars == code] = ord(plain(chr(code)))


@cache
def plain(char: str) -> str:
    """One character of ASCII for any other: by what it means, or for strokes and blocks by their names in Unicode; '?' for the rest."""
    if char.isascii():
        return char
    name = unicodedata.name(char, "")
    if name.startswith("BOX DRAWINGS"):
        across, down = ("HORIZONTAL" in name, "VERTICAL" in name)
        return "-" if across and not down else "|" if down and not across else "+"
    if name in ("LOWER ONE EIGHTH BLOCK", "UPPER ONE EIGHTH BLOCK"):
        return "-"
    if name in ("LEFT HALF BLOCK", "RIGHT HALF BLOCK"):
        return "|"
    return _PLAIN.get(char, "#" if name.endswith("BLOCK") else "?")


SETS = {glyphs.name: glyphs for glyphs in (FULL, NO_BRAILLE, ASCII)}

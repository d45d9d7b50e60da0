"""Where the letters of a jump stand: always so that what they choose follows them, to the right. Directly before a tag where there is room for them and for a blank to their left;
else over the tag's first characters. A box (receiver, drum, compressor) has them on its upper left corner. They cover nothing of any other tag.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from tui.draw.drawing import BOXES, PORTLESS, Drawing, Rect, Symbol
from tui.draw.holds import Cell, choices_of, holds_of

DOING = 14
"""Columns behind a coil's name that say what it does."""


@lru_cache(maxsize=16)
def letter_spots(drawing: Drawing, width: int) -> dict[str, Cell]:
    """Tag -> the first cell of its letters, which are ``width`` cells wide."""
    words = {cell for cells in _words(drawing) for cell in cells}
    bodies = {cell: hold.tag for hold in holds_of(drawing) for cell in hold.body.cells()}
    sheet = Rect(0, 0, drawing.sheet.width, drawing.sheet.height)
    found: dict[str, Cell] = {}
    taken: set[Cell] = set()
    for hold in choices_of(drawing):
        symbol = drawing.symbol(hold.tag)
        first = hold.written or hold.body
        before = [(first.x - k, first.y) for k in range(1, width + 1)]
        beside = (first.x - width - 1, first.y)
        if symbol is not None and symbol.shape in BOXES and first.y > hold.body.y:
            spot = hold.body.x, hold.body.y
        elif all(sheet.holds(*cell) and cell not in words and bodies.get(cell, hold.tag) == hold.tag for cell in before) and words.union(taken).isdisjoint([*before, beside]):  # fmt: skip
            spot = before[-1]
        else:
            # a second number has its own arrow before it
            spot = first.x - (symbol is None and hold.written is None and before[0] in words), first.y  # fmt: skip
        found[hold.tag] = spot
        taken |= {(spot[0] + k, spot[1]) for k in range(width)}
    return found


def _words(drawing: Drawing) -> Iterator[Iterable[Cell]]:
    """Cells that carry words and numbers."""
    for coil in drawing.coils:
        yield Rect(coil.at[0] + 2, coil.at[1], len(coil.what) + DOING, 1).cells()
    for text in drawing.texts:
        if not text.against:
            yield text.rect.cells()
    for symbol in drawing.symbols:
        yield from _of_symbol(symbol)
    if drawing.sheet.legend:
        x, y = drawing.sheet.legend
        yield Rect(x, y, drawing.sheet.width - x, 1).cells()
    for hold in holds_of(drawing):
        if hold.written is not None:
            yield hold.written.cells()


def _of_symbol(symbol: Symbol) -> Iterator[Iterable[Cell]]:
    x, y, width, height = symbol.rect
    if symbol.shape in BOXES:
        yield Rect(x + 1, y + 1, width - 2, height - 2).cells()
    elif symbol.shape in PORTLESS:
        yield symbol.rect.cells()
    if symbol.shape == "device" and symbol.words:
        yield Rect(symbol.at[0] + 2, y + 1, len(symbol.words), 1).cells()

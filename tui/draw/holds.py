"""Everything on a sheet that one can choose: parts, coils, and the instruments whose readings stand there. Where a click finds each, and where its tag stands."""

from __future__ import annotations

from functools import lru_cache
from typing import NamedTuple

from tui.draw.drawing import BOXES, INLINE, PORTLESS, Coil, Drawing, Rect, Symbol, Text

Cell = tuple[int, int]
NUMBER_WIDTH = 6
"""Columns of a first number and the space behind it, where two stand in a line."""


class Hold(NamedTuple):
    """One thing to choose."""

    tag: str
    spot: Cell
    """The cell that stands for it when the cursor looks for the nearest one."""
    rects: tuple[Rect, ...]
    """Where a click finds it."""
    body: Rect
    """Its symbol, or the words that stand for it."""
    written: Rect | None
    """Where its name stands, if it does."""


@lru_cache(maxsize=8)
def holds_of(drawing: Drawing) -> tuple[Hold, ...]:
    """All of them, in the order in which they are painted: what comes later lies on top."""
    coils = [_coil(coil) for coil in drawing.coils]
    instruments = [hold for text in drawing.texts for hold in _instruments(text)]
    return (*coils, *instruments, *(_symbol(symbol) for symbol in drawing.symbols))


def hold_of(drawing: Drawing, tag: str) -> Hold | None:
    """The one of a tag: its symbol rather than a number that stands elsewhere."""
    return next((hold for hold in reversed(holds_of(drawing)) if hold.tag == tag), None)


def choices_of(drawing: Drawing) -> tuple[Hold, ...]:
    """Each tag once, in reading order."""
    once = {hold.tag: hold for hold in holds_of(drawing)}
    return tuple(sorted(once.values(), key=lambda hold: (hold.spot[1], hold.spot[0])))


def _symbol(symbol: Symbol) -> Hold:
    rect, label = symbol.rect, symbol.label_rect
    rects = (rect,) if label is None else (rect, label)
    return Hold(symbol.tag, hand_hold(symbol), rects, rect, label or _own_name(symbol))


def _own_name(symbol: Symbol) -> Rect | None:
    """Where a symbol that has no label carries its name."""
    x, y, width, _ = symbol.rect
    if symbol.shape in INLINE:
        return None
    if symbol.shape in BOXES:
        return Rect(x + 1, y + 1, width - 2, 1)
    if symbol.shape in ("fan", "switch"):
        return Rect(x + (symbol.shape == "fan"), y, len(symbol.tag), 1)
    return symbol.rect


def hand_hold(symbol: Symbol) -> Cell:
    """The middle of a symbol, or the beginning of a line of words."""
    rect = symbol.rect
    if symbol.shape in PORTLESS:
        return rect.x, rect.y
    return rect.x + rect.width // 2, rect.y + rect.height // 2


def _coil(coil: Coil) -> Hold:
    title = title_of(coil)
    return Hold(coil.tag, (title.x, title.y), (coil.rect,), title, title)


def title_of(coil: Coil) -> Rect:
    """Where a coil's name stands on its frame; what it does now follows behind."""
    return Rect(coil.at[0] + 2, coil.at[1], len(coil.what), 1)


def _instruments(text: Text) -> list[Hold]:
    """The instruments of a line. The second has the number behind the arrow."""
    x, y, width, _ = text.rect
    second = x + len(text.words) + (1 if text.words else 0) + NUMBER_WIDTH
    rooms = [Rect(x, y, second - x, 1), Rect(second, y, width - (second - x), 1)] if text.then else [text.rect]  # fmt: skip
    found = []
    for tag, room in zip(text.tags, rooms, strict=False):
        at = text.words.find(tag)
        written = Rect(x + at, y, len(tag), 1) if at >= 0 else None
        body = written or Rect(room.x, y, min(room.width, NUMBER_WIDTH), 1)
        found.append(Hold(tag, (body.x, y), (room,), body, written))
    return found

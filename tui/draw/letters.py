"""Where the letters of a jump stand: on a valve's sign or beside a name, never over a tag while there is room, and no two on one cell.

Every cell of a sheet has a price, by what would be hidden; each letter takes the cheapest place close to what it stands for. Those with the least choice go first.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import product

from tui.draw.drawing import BOXES, INLINE, PORTLESS, Drawing, Rect, Symbol
from tui.draw.holds import Cell, Hold, choices_of, holds_of
from tui.draw.pipes import walk

TAG, WORDS, SIGN, LINE = 1000.0, 20.0, 6.0, 1.0
"""Prices of hiding a cell of a tag, of other words and numbers, of a sign, of a line."""
FAR = 2.0
"""Price of a row or a column between a letter and what it stands for."""
STRANGER = 1.5
"""Price of touching what the letter does not stand for."""
DOING = 14
"""Columns behind a coil's name that say what it does."""


@lru_cache(maxsize=16)
def letter_spots(drawing: Drawing, width: int) -> dict[str, Cell]:
    """Tag -> the first cell of its letters, which are ``width`` cells wide."""
    prices, bodies = _prices(drawing), _bodies(drawing)
    wanted = {
        hold.tag: _places(drawing, hold, width, prices, bodies) for hold in choices_of(drawing)
    }
    free = {tag: sum(price <= LINE * width for price, _ in places) for tag, places in wanted.items()}  # fmt: skip
    taken: set[Cell] = set()
    found: dict[str, Cell] = {}
    for tag in sorted(wanted, key=lambda tag: free[tag]):
        for _, (x, y) in wanted[tag]:
            cells = {(x + k, y) for k in range(width)}
            if cells.isdisjoint(taken):
                # a blank at either side, so that two letters are not read as one
                taken |= {*cells, (x - 1, y), (x + width, y)}
                found[tag] = (x, y)
                break
    return found


def _places(drawing: Drawing, hold: Hold, width: int, prices: dict[Cell, float], bodies: dict[Cell, str]) -> list[tuple[float, Cell]]:  # fmt: skip
    """Places near a hold with their prices, the cheapest first."""
    found = []
    sheet, body = Rect(0, 0, drawing.sheet.width, drawing.sheet.height), hold.body
    symbol = drawing.symbol(hold.tag)
    own = body.cells() if symbol is not None and symbol.shape in INLINE else set()
    columns = range(body.x - width - 2, body.x + body.width + 3)
    for x, y in product(columns, range(body.y - 2, body.y + body.height + 2)):
        cells = [(x + k, y) for k in range(width)]
        if all(sheet.holds(*cell) for cell in cells):
            price = sum(LINE / 2 if cell in own else prices[cell] for cell in cells)
            beside = {bodies.get((x - 1, y), hold.tag), bodies.get((x + width, y), hold.tag)}
            price += STRANGER * len(beside - {hold.tag})
            found.append((price + FAR * _gap(body, x, y, width), (x, y)))
    return sorted(found)


def _bodies(drawing: Drawing) -> dict[Cell, str]:
    """Cell -> the tag whose symbol or name is there."""
    return {cell: hold.tag for hold in holds_of(drawing) if drawing.symbol(hold.tag) is not None or hold.written for rect in (hold.body, hold.written or hold.body) for cell in rect.cells()}  # fmt: skip


def _gap(body: Rect, x: int, y: int, width: int) -> float:
    """Columns and rows between letters and a body; above and below are a little worse than beside."""
    across = max(0, body.x - (x + width), x - (body.x + body.width))
    down = max(0, body.y - y, y - (body.y + body.height - 1))
    return across + 1.5 * down


def _prices(drawing: Drawing) -> dict[Cell, float]:
    """What each cell of a sheet costs."""
    prices: dict[Cell, float] = defaultdict(float)
    for cells, price in _costs(drawing):
        for cell in cells:
            prices[cell] = max(prices[cell], price)
    return prices


def _costs(drawing: Drawing) -> Iterator[tuple[Iterable[Cell], float]]:
    for pipe in drawing.pipes:
        yield walk(pipe.points), LINE
    for coil in drawing.coils:
        yield coil.rect.cells(), LINE
        yield Rect(coil.at[0] + 2, coil.at[1], len(coil.what) + DOING, 1).cells(), WORDS
    for text in drawing.texts:
        yield text.rect.cells(), LINE if text.against else WORDS
    for symbol in drawing.symbols:
        yield from _of_symbol(symbol)
    if drawing.sheet.legend:
        x, y = drawing.sheet.legend
        yield Rect(x, y, drawing.sheet.width - x, 1).cells(), WORDS
    for hold in holds_of(drawing):
        if hold.written is not None:
            yield hold.written.cells(), TAG


def _of_symbol(symbol: Symbol) -> Iterator[tuple[Iterable[Cell], float]]:
    x, y, width, height = symbol.rect
    if symbol.shape in BOXES:
        yield symbol.rect.cells(), LINE
        yield Rect(x + 1, y + 1, width - 2, height - 2).cells(), SIGN
        yield Rect(x + 1, y + height - 2, width - 2, 1).cells(), WORDS
    else:
        yield symbol.rect.cells(), WORDS if symbol.shape in PORTLESS else SIGN
    if symbol.shape == "device" and symbol.words:
        yield Rect(symbol.at[0] + 2, y + 1, len(symbol.words), 1).cells(), WORDS

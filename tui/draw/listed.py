"""Sheets for a rig that nobody has drawn: everything on it as a list, so that every rig can be worked and read from the screen."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from tui.draw.drawing import Drawing, Sheet, Symbol
from tui.plant import TagInfo
from tui.report import RigPiece

AT_WIRING = ("lead", "jumper")
"""Kinds of tags that have their place on the ladder."""
SHEETS = {"s": (78, 19), "m": (78, 25), "l": (116, 36)}
"""Columns and rows, as the drawn sheets have them."""


def listed(tags: Sequence[TagInfo], pieces: Sequence[RigPiece] = ()) -> dict[str, Drawing]:
    """One line for each part that a hand can move, then for each instrument, part and vessel; what is worked at the wiring stands on the ladder."""
    known = {piece.tag: piece for piece in pieces}
    moved = {piece.tag: piece for piece in _moved(tags, known)}
    lines = tuple((known | moved)[tag] for tag in {**moved, **known})
    return {size: _sheet(lines, *room) for size, room in SHEETS.items()}


def _moved(tags: Sequence[TagInfo], known: Mapping[str, RigPiece]) -> Iterator[RigPiece]:
    """A part once, whatever else can be set on it; its card has that."""
    here = [info for info in tags if info.kind not in AT_WIRING]
    whats = {info.tag: info.what for info in here}
    for info in here:
        tag = info.tag.partition(".")[0]
        piece = known.get(tag, RigPiece(tag, info.what.partition(": ")[0]))
        yield piece._replace(what=whats.get(tag, piece.what))


def _sheet(lines: Sequence[RigPiece], width: int, height: int) -> Drawing:
    """In as many columns as are needed."""
    columns = max(1, -(-len(lines) // height))
    room = width // columns
    symbols = tuple(
        Symbol(
            tag=piece.tag,
            shape="switch",
            at=(index // height * room, index % height),
            size=(room - (2 if columns > 1 else 0), 1),
            words=piece.what,
            what=piece.what,
            reading=piece.reading,
        )
        for index, piece in enumerate(lines)
    )
    return Drawing("no drawing", Sheet(width=width, height=height), symbols=symbols)

"""A canvas that remembers what was written on it, and what is wrong with a finished picture: words on words, words cut at an edge, tags that cannot be read."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np

from tui.draw.board import Board
from tui.draw.canvas import BLANK, Canvas
from tui.draw.drawing import Drawing
from tui.draw.holds import choices_of
from tui.draw.ink import Ink

NAMED_IN_WORDS = ("COIL-A", "COIL-B", "receiver", "accumulator", "drum")
"""Called by their plain names, some of them cut short, on the small sheets."""


class Written(NamedTuple):
    """One call of ``text``: where on the whole screen, and what of it was cut off at the sides."""

    x: int
    y: int
    text: str
    cut: str


@dataclass(eq=False)
class LintCanvas(Canvas):
    """Windows share the record of the whole."""

    left: int = 0
    top: int = 0
    record: list[Written] = field(default_factory=list)

    @classmethod
    def blank(cls, width: int, height: int) -> LintCanvas:
        """An empty canvas with an empty record."""
        shape = (max(0, height), max(0, width))
        return cls(np.full(shape, BLANK, np.uint32), np.full(shape, Ink.TEXT, np.uint16))

    def window(self, x: int, y: int, width: int, height: int) -> LintCanvas:
        """A part of the canvas; what is written there is on the record of the whole."""
        part = super().window(x, y, width, height)
        return LintCanvas(part.chars, part.inks, left=self.left + max(0, x), top=self.top + max(0, y), record=self.record)  # fmt: skip

    def text(self, x: int, y: int, text: str, ink: int = Ink.TEXT) -> int:
        """Write and remember."""
        if 0 <= y < self.height:
            inside = text[max(0, -x) : max(0, self.width - x)]
            cut = text[: max(0, -x)] + text[max(0, self.width - x) :]
            self.record.append(Written(self.left + max(0, x), self.top + y, inside, cut.strip()))
        return super().text(x, y, text, ink)

    def clear(self, ink: int = Ink.TEXT) -> None:
        """What lay under a cleared part is no longer there."""
        here = range(self.left, self.left + self.width), range(self.top, self.top + self.height)
        self.record[:] = [one for one in self.record if one.x not in here[0] or one.y not in here[1]]  # fmt: skip
        super().clear(ink)


def cut_words(canvas: LintCanvas) -> list[str]:
    """Words of which a part fell over an edge."""
    return [f"{one.text}|{one.cut} at {one.x}, {one.y}" for one in canvas.record if one.cut]


def words_on_words(canvas: LintCanvas) -> list[str]:
    """Letters and digits that were written over by others."""
    owner: dict[tuple[int, int], Written] = {}
    found = []
    for one in canvas.record:
        for k, char in enumerate(one.text):
            if not char.isalnum():
                continue
            cell = one.x + k, one.y
            below = owner.get(cell)
            if below is not None and below.text[cell[0] - below.x] != char:
                found.append(f"{one.text!r} over {below.text!r} at {cell}")
                break
            owner[cell] = one
    return found


def _sheet(board: Board) -> tuple[Drawing, int, int] | None:
    """The plant's sheet on the screen, and where it begins."""
    pane = next((one for one in board.arrangement.panes if one.kind == "plant"), None)
    if board.drawing is None or pane is None or not board.arrangement.drawing:
        return None
    return board.drawing, *board._plant_origin(pane)


def unreadable_tags(board: Board, canvas: Canvas) -> list[str]:
    """Tags that do not stand in full where the sheet has their labels, or on what carries its own tag."""
    sheet = _sheet(board)
    if sheet is None:
        return []
    drawing, left, top = sheet
    found = []
    for hold in choices_of(drawing):
        rect = hold.written
        if rect is None or hold.tag in NAMED_IN_WORDS:
            continue
        row = canvas.row_text(top + rect.y)[left + rect.x : left + rect.x + rect.width]
        found += [] if hold.tag in row else [hold.tag]
    return found


def out_of_the_mouses_reach(board: Board) -> list[str]:
    """Parts and instruments of the sheet on the screen that a click on them does not find."""
    sheet = _sheet(board)
    if sheet is None:
        return []
    drawing, left, top = sheet
    spots = {hold.tag: hold.spot for hold in choices_of(drawing)}
    return [tag for tag, (x, y) in spots.items() if board.hit(left + x, top + y).tag != tag]

"""What the terminal library draws of its own accord, frames, scroll bars, an emoji, and the words of dialogs, in plain ASCII where that was chosen."""

from __future__ import annotations

from rich.cells import cell_len
from rich.segment import Segment
from textual.color import Color
from textual.filter import LineFilter

from tui.draw.glyphs import plain


class PlainLetters(LineFilter):
    """Every character beyond ASCII becomes one or two of ASCII, as wide as it was."""

    def apply(self, segments: list[Segment], background: Color) -> list[Segment]:
        """One line."""
        return [Segment(plainly(text), style, control) for text, style, control in segments]


def plainly(text: str) -> str:
    """A text of the same width; what is wider than a cell is left out."""
    if text.isascii():
        return text
    return "".join(plain(char) if cell_len(char) == 1 else " " * cell_len(char) for char in text)

"""The one large widget of the bench's screen: a canvas whose changed rows become Textual strips."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from textual import events
from textual.geometry import Region
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from tui.draw.canvas import Canvas
from tui.draw.ink import BOLD, INK_MASK, REVERSE, UNDERLINE, Ink
from tui.draw.palette import Palette

CODES = 2 * UNDERLINE
"""Ink codes with all flags lie below."""
Paint = Callable[[Canvas], None]


class Styles(dict[int, Style]):
    """Ink codes as Rich styles, each made when it is first asked for."""

    def __init__(self, palette: Palette) -> None:
        super().__init__()
        self.palette = palette
        self.grounds = self._grounds()

    def _grounds(self) -> NDArray[np.int16]:
        """Ink code -> a number for what a blank in it looks like; -1 where more than the ground is seen of it."""
        grounds = [look.ground for look in self.palette.looks.values()]
        found = np.full(CODES, -1, np.int16)
        for code in range(CODES):
            look = self.palette.looks.get(code & INK_MASK)
            if look is not None and not look.underline and not code & (REVERSE | UNDERLINE):
                found[code] = grounds.index(look.ground)
        return found

    def __missing__(self, code: int) -> Style:
        look = self.palette.looks[code & INK_MASK]
        self[code] = Style.from_color(Color.parse(look.colour), Color.parse(look.ground)) + Style(
            bold=look.bold or bool(code & BOLD) or None,
            reverse=bool(code & REVERSE) or None,
            underline=look.underline or bool(code & UNDERLINE) or None,
        )
        return self[code]


class BoardView(Widget):
    """Shows a canvas. ``show`` paints and refreshes only the cells that changed."""

    DEFAULT_CSS = "BoardView { width: 1fr; height: 1fr; }"

    class Resized(Message):
        """The canvas has a new size and wants painting."""

    class Clicked(Message):
        """A click on a cell."""

        def __init__(self, x: int, y: int, button: int) -> None:
            self.x, self.y, self.button = x, y, button
            super().__init__()

    class Scrolled(Message):
        """The wheel turned; ``rows`` is positive downwards."""

        def __init__(self, x: int, y: int, rows: int) -> None:
            self.x, self.y, self.rows = x, y, rows
            super().__init__()

    def __init__(self, palette: Palette) -> None:
        super().__init__()
        self.styles_of = Styles(palette)
        self.canvas = Canvas.blank(0, 0)
        self._strips: list[Strip] = []
        self.rows_painted = 0
        """Rows whose strips were rebuilt, ever: what tests count instead of time."""

    def use(self, palette: Palette) -> None:
        """Change the palette; everything is painted anew."""
        self.styles_of = Styles(palette)
        self._renew()

    def _renew(self) -> None:
        width, height = self.size
        self.canvas = Canvas.blank(width, height)
        blank = Strip([Segment(" " * width, self.styles_of[Ink.TEXT])], width)
        self._strips = [blank] * height
        self.post_message(self.Resized())

    def show(self, paint: Paint) -> int:
        """Paint and refresh; returns how many rows changed."""
        if not self.canvas.width or not self.canvas.height:
            return 0
        paint(self.canvas)
        spans = self.canvas.changes()
        styles = self.styles_of
        for y, _, _ in spans:
            pieces = [
                Segment(text, styles[ink]) for text, ink in self.canvas.runs(y, styles.grounds)
            ]
            self._strips[y] = Strip(pieces, self.canvas.width)
        self.rows_painted += len(spans)
        if spans:
            self.refresh(*(Region(left, y, right - left, 1) for y, left, right in spans))
        return len(spans)

    def render_line(self, y: int) -> Strip:
        """The strip of a row."""
        if y < len(self._strips):
            return self._strips[y]
        return Strip.blank(self.size.width, self.styles_of[Ink.TEXT])

    def on_resize(self, event: events.Resize) -> None:
        self._renew()

    def on_click(self, event: events.Click) -> None:
        offset = event.get_content_offset(self)
        if offset is not None:
            self.post_message(self.Clicked(offset.x, offset.y, event.button))

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        self.post_message(self.Scrolled(int(event.x), int(event.y), 1))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        self.post_message(self.Scrolled(int(event.x), int(event.y), -1))

"""A dialog to tick a few of many; returns what was ticked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.segment import Segment
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.strip import Strip
from textual.widgets import Button, Label, SelectionList

from tui.help_dialogs import TICK_HOW
from tui.screens.dialogs import Dialog

TICK = "X"


class Ticks(SelectionList[str]):
    """The library writes a tick before every row and hides it by its colour; here there is none where nothing is ticked."""

    def render_line(self, y: int) -> Strip:
        """One row."""
        strip = super().render_line(y)
        left, tick, *rest = strip
        row = tick.style.meta.get("option") if tick.text == TICK and tick.style else None
        if row is None or self.get_option_at_index(row).value in self.selected:
            return strip
        return Strip([left, Segment(" ", tick.style), *rest], strip.cell_length)


class Choose(Dialog[tuple[str, ...]]):
    """Enter or space ticks, the button or ctrl+s takes them, escape leaves everything as it was."""

    BINDINGS: ClassVar[list[BindingType]] = [("ctrl+s", "take", "Show them")]
    how: ClassVar[str] = TICK_HOW
    DEFAULT_CSS = """
    Choose Ticks { height: auto; max-height: 14; border: none; background: $surface; }
    Choose Button { width: 100%; margin-top: 1; }
    """

    def __init__(self, title: str, choices: Sequence[tuple[str, str]], ticked: Sequence[str], most: int, topic: str = "trend") -> None:  # fmt: skip
        super().__init__()
        self.topic = topic
        self.heading, self.choices, self.ticked, self.most = title, choices, tuple(ticked), most

    def compose(self) -> ComposeResult:
        """Title, list, button."""
        with Vertical():
            yield Label(f"{self.heading}, at most {self.most}", classes="title", markup=False)
            yield Ticks(*((words, key, key in self.ticked) for key, words in self.choices))  # fmt: skip
            yield Button("Show them (ctrl+s)", id="take")
            yield Label("[@click=screen.leave]esc: leave[/]")

    def on_mount(self) -> None:
        """Arrows move in the list at once."""
        self.query_one(SelectionList).focus()

    def on_selection_list_selection_toggled(self, event: SelectionList.SelectionToggled[str]) -> None:  # fmt: skip
        """One too many is not ticked."""
        ticked = event.selection_list.selected
        if len(ticked) > self.most:
            event.selection_list.deselect(event.selection)
            self.notify(f"at most {self.most}")

    async def on_button_pressed(self) -> None:
        """Take what is ticked."""
        await self.action_take()

    async def action_take(self) -> None:
        """Take what is ticked."""
        self.dismiss(tuple(self.query_one(SelectionList).selected))

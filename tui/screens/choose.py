"""A dialog to tick a few of many; returns what was ticked."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Button, Label, SelectionList

from tui.screens.dialogs import Dialog


class Choose(Dialog[tuple[str, ...]]):
    """Enter or space ticks, the button or ctrl+s takes them, escape leaves everything as it was."""

    BINDINGS: ClassVar[list[BindingType]] = [("ctrl+s", "take", "Show them")]
    DEFAULT_CSS = """
    Choose SelectionList { height: auto; max-height: 14; border: none; background: $surface; }
    Choose Button { width: 100%; margin-top: 1; }
    """

    def __init__(self, title: str, choices: Sequence[tuple[str, str]], ticked: Sequence[str], most: int) -> None:  # fmt: skip
        super().__init__()
        self.heading, self.choices, self.ticked, self.most = title, choices, tuple(ticked), most

    def compose(self) -> ComposeResult:
        """Title, list, button."""
        with Vertical():
            yield Label(f"{self.heading}, at most {self.most}", classes="title", markup=False)
            yield SelectionList[str](*((words, key, key in self.ticked) for key, words in self.choices))  # fmt: skip
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
            self.notify(f"a chart shows at most {self.most}")

    async def on_button_pressed(self) -> None:
        """Take what is ticked."""
        await self.action_take()

    async def action_take(self) -> None:
        """Take what is ticked."""
        self.dismiss(tuple(self.query_one(SelectionList).selected))

"""Dialogs of what lasts: a file to write, and the settings."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Input, Label, OptionList, Static
from textual.widgets.option_list import Option

from tui.help_dialogs import SETTINGS, SETTINGS_HOW, TEXT_HOW
from tui.screens.dialogs import TAKE_OR_LEAVE, Dialog, Field
from tui.session.settings import IN_DIALOG, TABLES, Settings, following
from tui.session.writing import wrong_with

REPLACE = "There is a file of that name. Enter again replaces it; or type another name."


class AskFile(Dialog[str]):
    """A file to write. A name is proposed; a file that is there is replaced only after a second enter."""

    how: ClassVar[str] = TEXT_HOW
    help_key: ClassVar[str] = "F1"

    def __init__(self, title: str, lines: Sequence[str], proposed: str, *, topic: str = "file") -> None:  # fmt: skip
        super().__init__()
        self.topic = topic
        self.heading, self.lines, self.proposed = title, lines, proposed
        self._warned = ""

    def compose(self) -> ComposeResult:
        """Title, text, a field, what is wrong."""
        with Vertical():
            yield Label(self.heading, classes="title", markup=False)
            for line in self.lines:
                yield Static(line, classes="text", markup=False)
            yield Field(self.proposed)
            yield Label("", id="wrong", markup=False)
            yield Label(TAKE_OR_LEAVE)

    def on_mount(self) -> None:
        """Type at once."""
        self.query_one(Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the name, or say what speaks against it."""
        typed = event.value.strip()
        if not typed:
            self._say("Type a file name; escape leaves.")
            return
        wrong = wrong_with(typed)
        if wrong:
            self._say(wrong)
        elif Path(typed).expanduser().exists() and typed != self._warned:
            self._warned = typed
            self._say(REPLACE)
        else:
            self.dismiss(str(Path(typed).expanduser()))

    def _say(self, words: str) -> None:
        self.query_one("#wrong", Label).update(words)


WORDS = {
    "system": "units",
    "beside": "the other units beside",
    "flow": "refrigerant flow",
    "power": "heat and capacity",
    "decimal_comma": "decimal comma",
    "theme": "colours",
    "pipes": "pipes coloured by",
    "frames_per_s": "frames a second",
    "reduced_motion": "reduced motion",
    "tour": "tour at the start",
}
VALUES = {"": "as the units above", "rig": "as the rig has them", "si": "SI", "us": "US", "offer": "offered once", "over": "not offered", True: "yes", False: "no"}  # fmt: skip


class SettingsDialog(Dialog[None]):
    """A row a setting; enter or a click goes to its next value, at once and for good."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape,q,S", "leave", "Close")]
    topic, heading = "settings", "Settings"
    how: ClassVar[str] = SETTINGS_HOW

    def explained(self) -> list[str]:
        """With what the setting under the cursor does."""
        rows = self.query_one(OptionList)
        table, key = _keys()[rows.highlighted or 0]
        return [f"{WORDS.get(key, key)}: {SETTINGS[f'{table}.{key}']}", *super().explained()]

    def __init__(self, settings: Settings, use: Callable[[Settings], str], where: str) -> None:
        super().__init__()
        self.settings, self.use, self.where = settings, use, where

    def compose(self) -> ComposeResult:
        """Rows, and where they are kept."""
        with Vertical():
            yield Label("Settings", classes="title", markup=False)
            yield OptionList(*(Option(self._row(table, key), id=f"{table}.{key}") for table, key in _keys()), markup=False)  # fmt: skip
            yield Static(self.where, id="where", classes="text", markup=False)
            yield Label("enter or click: next value   [@click=screen.leave]esc: close[/]")

    def on_mount(self) -> None:
        """Arrows move at once."""
        rows = self.query_one(OptionList)
        rows.styles.max_height = len(_keys())
        rows.focus()
        rows.highlighted = 0

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """The next value of one setting."""
        table, _, key = str(event.option.id).partition(".")
        self.settings = following(self.settings, table, key)
        trouble = self.use(self.settings)
        event.option_list.replace_option_prompt_at_index(event.option_index, self._row(table, key))
        if trouble:
            self.query_one("#where", Static).update(trouble)

    def _row(self, table: str, key: str) -> str:
        value = getattr(getattr(self.settings, table), key)
        words = VALUES.get(value, str(value)) if not isinstance(value, int) or isinstance(value, bool) else str(value)  # fmt: skip
        return f"{WORDS.get(key, key):<26}{words}"


def _keys() -> list[tuple[str, str]]:
    return [(table, one.name) for table in IN_DIALOG for one in fields(TABLES[table])]

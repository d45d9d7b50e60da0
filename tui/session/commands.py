"""Commands of what lasts: notes, reading sets, exports, settings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.command import Command

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


class WriteNote(Command):
    """Write a note: a line of text with the plant's time."""

    name, keys, shown_key, group, ready_only = "note", ("N",), "N", "session", True

    def run(self, screen: BenchScreen) -> None:
        screen.write_note()


class TakeReadings(Command):
    """Take a reading set: all that the instruments show now, to compare later."""

    name, keys, shown_key, footer, group, ready_only = "reading_set", ("R",), "R", "record", "session", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.take_readings()


class ShowNotebook(Command):
    """Look at notes and reading sets, side by side."""

    name, keys, shown_key, footer, group = "notebook", ("L",), "L", "notes", "session"

    def run(self, screen: BenchScreen) -> None:
        screen.show_notebook()


class Export(Command):
    """Export: report, log, charts, the screen."""

    name, keys, shown_key, group, ready_only = "export", ("E",), "E", "session", True

    def run(self, screen: BenchScreen) -> None:
        screen.export()


class ShowSettings(Command):
    """Settings: units, decimal comma, colours, characters, frame rate, reduced motion."""

    name, keys, shown_key, group = "settings", ("S",), "S", "session"

    def run(self, screen: BenchScreen) -> None:
        screen.show_settings()


SESSION_COMMANDS: tuple[type[Command], ...] = (WriteNote, TakeReadings, ShowNotebook, Export, ShowSettings)  # fmt: skip

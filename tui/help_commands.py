"""Commands that explain: glossary and tour. The help itself stands with the other commands of the last line."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.command import Command

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


class Glossary(Command):
    """Trade terms in plain words: type to search."""

    name, keys, shown_key, group = "glossary", ("G",), "G", "help"

    def run(self, screen: BenchScreen) -> None:
        screen.show_glossary()


class TakeTour(Command):
    """A tour of six steps on the bench as it runs; while it is under way: to the next step."""

    name, keys, shown_key, group, ready_only = "tour", ("H",), "H", "help", True

    def run(self, screen: BenchScreen) -> None:
        screen.take_tour()


class EndTour(Command):
    """End the tour, or do without it."""

    name, keys, shown_key, group = "end_tour", ("X",), "X", "help"

    def run(self, screen: BenchScreen) -> None:
        screen.end_tour()


HELP_COMMANDS: tuple[type[Command], ...] = (Glossary, TakeTour, EndTour)

"""Commands at the fault board, and those that make copies of the bench."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.command import Command

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


BOARD_GROUP = "board"
"""Only the instructor's palette lists these."""


class SearchFaults(Command):
    """Search the fault board: type words of a name, a sentence or a family; enter ends, escape clears."""

    name, keys, shown_key, footer, group, ready_only = "search_faults", ("slash",), "/", "search", BOARD_GROUP, True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.search_faults()


class RemoveFault(Command):
    """Take the chosen fault out."""

    name, keys, shown_key, footer, group, ready_only = "remove_fault", ("delete",), "del", "remove", BOARD_GROUP, True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.remove_fault()


class UndoFault(Command):
    """Take out the fault that was put in last."""

    name, keys, shown_key, footer, group, ready_only = "undo_fault", ("ctrl+z",), "ctrl+z", "undo", BOARD_GROUP, True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.undo_fault()


class LookAhead(Command):
    """What would happen: a copy of the bench runs ten minutes on by itself; what trips, lifts, bursts is listed. The bench stays as it is."""

    name, keys, shown_key, footer, group, ready_only = "what_would_happen", ("a",), "a", "ahead", "time", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.look_ahead()


class ForkBench(Command):
    """Make a copy of the bench that runs beside it on the same clock, or end it."""

    name, keys, shown_key, footer, group, ready_only = "fork", ("f",), "f", "copy", "time", True

    def run(self, screen: BenchScreen) -> None:
        screen.fork_bench()


class SwitchHand(Command):
    """Work on the copy, or on the bench again."""

    name, keys, shown_key, footer, group, ready_only = "switch_hand", ("F",), "F", "hand", "time", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.switch_hand()


class PutBy(Command):
    """Put the plant by under a name, or go on with one that was put by: beside the bench, or in its place."""

    name, keys, shown_key, footer, group, ready_only = "put_by", ("B",), "B", "put by", "time", True

    def run(self, screen: BenchScreen) -> None:
        screen.ask_put_by()


class HideBoard(Command):
    """Hide the fault board behind a PIN from somebody who passes by. It is no lock."""

    name, keys, shown_key, group, ready_only = (
        "hide_board",
        ("ctrl+l",),
        "ctrl+l",
        BOARD_GROUP,
        True,
    )

    def run(self, screen: BenchScreen) -> None:
        screen.hide_board()


BOARD_COMMANDS: tuple[type[Command], ...] = (SearchFaults, RemoveFault, UndoFault, HideBoard)
COPY_COMMANDS: tuple[type[Command], ...] = (LookAhead, ForkBench, SwitchHand, PutBy)
AT_BOARD = ("emergency_stop", "search_faults", "act", "more", "less", "remove_fault", "help", "undo_fault", "card", "hold", "instructor", "quit")  # fmt: skip
AT_PAIR = ("emergency_stop", "fork", "switch_hand", "trend_set", "what_would_happen", "help", "put_by", "hold", "slower", "faster", "units", "quit")  # fmt: skip
"""The last lines of these two views."""

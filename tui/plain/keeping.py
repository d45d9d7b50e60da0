"""What becomes of a session that nobody ends by a command: the bench is kept by the screen's autosave, and the next start offers it in a sentence.

Kept is what has changed: after every command, within a wait as often as the keeper says, and once more at a signal or when nobody reads any more. A clean end leaves nothing.
"""

from __future__ import annotations

import time
from typing import Any

from tui.session.autosave import Keeper
from tui.session.signals import Endings

STAYS = "The bench as it stood is kept; the next start offers it."
"""Said at an end that no command has asked for."""


class Keeping:
    """The autosave of one conversation; without a keeper nothing is written."""

    def __init__(self, keeper: Keeper | None = None, endings: Endings | None = None) -> None:
        self._keeper = keeper
        self._endings = endings or Endings()
        self._stamp: tuple[object, ...] = ()
        self._at_s = time.monotonic()
        self._told = False

    @property
    def holds(self) -> bool:
        """Would a next start find something?"""
        return self._keeper is not None and self._keeper.holds

    def begin(self, bench: Any) -> None:
        """Nothing has happened yet that could be lost."""
        self._stamp = self._stamp_of(bench)

    def keep(self, bench: Any) -> None:
        """Keep the bench if something has changed on it. Never raises; see ``told``."""
        if self._keeper is None:
            return
        self._at_s, stamp = time.monotonic(), self._stamp_of(bench)
        if stamp != self._stamp:
            self._keeper.keep(bench)
            self._stamp = self._stamp if self._keeper.trouble else stamp

    def look(self, bench: Any) -> None:
        """Between two steps of the plant's time. Raises EndedError when the end was asked for."""
        self._endings.check()
        if self._keeper is not None and time.monotonic() - self._at_s >= self._keeper.every_s:
            self.keep(bench)

    def told(self) -> str:
        """A sentence about an autosave that fails, once; '' otherwise."""
        if self._told or self._keeper is None or not self._keeper.trouble:
            return ""
        self._told = True
        return self._keeper.words

    def close(self) -> None:
        """A clean end leaves nothing behind."""
        if self._keeper is not None:
            self._keeper.close()

    def _stamp_of(self, bench: Any) -> tuple[object, ...]:
        changes = self._keeper.notebook.changes if self._keeper is not None else 0
        return (bench.time_s, dict(bench.commands), changes, len(bench.events))

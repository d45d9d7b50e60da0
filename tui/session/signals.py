"""Ends that nobody chose, where no event loop runs: SIGTERM, and SIGHUP when the terminal goes away.

The program ends at the next moment at which nothing is under way on the bench: at once while a line is waited for, between two steps of a wait. When no such moment comes in
time it ends all the same: what stood before the command is on the disk.
"""

from __future__ import annotations

import os
import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

SIGNALS = tuple(getattr(signal, name) for name in ("SIGTERM", "SIGHUP") if hasattr(signal, name))
SAVE_S = 3.0
"""Longest wait for the last save."""


class EndedError(BaseException):
    """The system wants the program to end; no command may take it for its own mistake."""

    def __init__(self, number: int) -> None:
        super().__init__(number)
        self.number = number
        self.code = 128 + number  # common practice: 128 and the number of the signal


class Endings:
    """Hears the signals that end a program."""

    def __init__(self) -> None:
        self._number = 0
        self._listening = False
        self._last: threading.Timer | None = None

    @contextmanager
    def watching(self) -> Iterator[None]:
        """From now on. A signal that the program was started to ignore (``nohup``) stays ignored."""
        before = {number: signal.getsignal(number) for number in SIGNALS}
        mine = [number for number, was in before.items() if was is not signal.SIG_IGN]
        for number in mine:
            signal.signal(number, self._heard)
        try:
            yield
        finally:
            for number in mine:
                signal.signal(number, before[number] or signal.SIG_DFL)
            if self._last is not None:
                self._last.cancel()

    @contextmanager
    def listening(self) -> Iterator[None]:
        """While a line is waited for."""
        self.check()
        self._listening = True
        try:
            yield
        finally:
            self._listening = False

    def check(self) -> None:
        """A moment at which nothing is under way on the bench. Raises EndedError when the end was asked for."""
        if self._number:
            raise EndedError(self._number)

    def _heard(self, number: int, frame: FrameType | None) -> None:
        if self._last is None:
            self._last = threading.Timer(SAVE_S, os._exit, (128 + number,))
            self._last.daemon = True
            self._last.start()
        self._number = number
        if self._listening:
            raise EndedError(number)

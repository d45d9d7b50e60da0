"""Ends that nobody chose on the screen: SIGTERM, and SIGHUP when the terminal goes away. The bench is kept, the terminal restored, the program left.

A terminal that is gone can make the screen's own shutdown hang; then the process ends all the same, since all that matters is on the disk.
"""

from __future__ import annotations

import asyncio
import os
import threading
from typing import TYPE_CHECKING

from tui.session.signals import SAVE_S, SIGNALS

if TYPE_CHECKING:
    from tui.app import BenchApp

SHUTDOWN_S = 3.0
LOOK_S = 0.02


class Endings:
    """Watches for one app."""

    def __init__(self, app: BenchApp) -> None:
        self._app = app
        self._ending: asyncio.Task[None] | None = None

    def watch(self) -> None:
        """From now on. Where the system has no such signals (Windows) nothing is watched."""
        loop = asyncio.get_running_loop()
        for number in SIGNALS:
            try:
                loop.add_signal_handler(number, self._end, number)
            except (NotImplementedError, RuntimeError, ValueError):
                return

    def _end(self, number: int) -> None:
        if self._ending is None:
            self._ending = asyncio.get_running_loop().create_task(self._save_and_leave(number))

    async def _save_and_leave(self, number: int) -> None:
        order, waited = self._app.bench.autosave(), 0.0
        while self._app.runner.latest.applied < order and waited < SAVE_S:
            await asyncio.sleep(LOOK_S)
            waited += LOOK_S
        code = 128 + number  # common practice: 128 and the number of the signal
        last = threading.Timer(SHUTDOWN_S, os._exit, (code,))
        last.daemon = True
        last.start()
        self._app.exit(code)

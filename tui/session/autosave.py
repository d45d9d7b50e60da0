"""Autosave: a folder a process, locked while it lives; what a dead process left is found and offered at the next start.

In the folder: ``bench.rime`` (the newest), ``bench.before.rime`` (the one before it), ``bench.notes.json``, ``lock``. The bench writes itself to a third name first and
is renamed when it is whole and on the disk, so at every instant at least one whole bench is there. The system drops a lock when its process dies, however it dies, so a
lock that can be taken belongs to nobody.
"""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tui.session.notebook import Notebook, beside
from tui.session.writing import reason

NEWEST, BEFORE, NEXT, LOCK = "bench.rime", "bench.before.rime", "next.rime", "lock"
ASSESSED = "assessed"
"""An empty file beside a bench that is assessed: told before the bench is opened, which knows it too."""

OF_ANOTHER = "an assessed session broke off: a start without --instructor offers it"
AUTOSAVE_S = 10.0
"""Wall seconds between two autosaves while something changes."""
YOUNG_S = 60.0


class Lock:
    """A lock file, held until ``release`` or the end of the process."""

    def __init__(self, path: Path) -> None:
        self._file = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            _lock(self._file)
        except OSError:
            os.close(self._file)
            raise

    def release(self) -> None:
        """Let it go."""
        os.close(self._file)


def _lock(file: int) -> None:
    """Raises OSError when somebody else holds it."""
    if sys.platform == "win32":
        import msvcrt

        msvcrt.locking(file, msvcrt.LK_NBLCK, 1)
    else:
        import fcntl

        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


@dataclass(frozen=True)
class Left:
    """What a session that broke off has left; its lock is ours while it is offered."""

    folder: Path
    bench: Path
    saved_at: float
    """Seconds since the epoch."""
    lock: Lock
    assessed: bool = False

    @property
    def older(self) -> Path | None:
        """The save before it, should this one be damaged."""
        before = self.folder / BEFORE
        return before if self.bench.name == NEWEST and before.is_file() else None

    @property
    def words(self) -> str:
        """When it was kept, for a question."""
        when = time.strftime("%Y-%m-%d %H:%M", time.localtime(self.saved_at))
        return f"Its bench was kept on {when}.{' It was assessed, and goes on so.' if self.assessed else ''}"  # fmt: skip

    def remove(self) -> None:
        """Not wanted."""
        self.lock.release()
        shutil.rmtree(self.folder, ignore_errors=True)


class Keeper:
    """Keeps the bench of this process. ``keep`` runs in the plant's thread, everything else in the screen's."""

    def __init__(self, state: Path, notebook: Notebook, every_s: float = AUTOSAVE_S) -> None:
        self.notebook, self.every_s = notebook, every_s
        self.trouble = ""
        """Why the last autosave failed; '' when it did not."""
        self._state = state
        self._folder: Path | None = None
        self._lock: Lock | None = None

    @property
    def holds(self) -> bool:
        """Is there something on the disk that a next start would find?"""
        return self._folder is not None and (self._folder / NEWEST).exists()

    @property
    def words(self) -> str:
        """What a person hears of the trouble; '' without any."""
        return (
            f"Autosave does not work: {self.trouble.rstrip('.')}. The bench goes on."
            if self.trouble
            else ""
        )

    def open(self) -> None:
        """Make the folder and lock it."""
        self._state.mkdir(parents=True, mode=0o700, exist_ok=True)
        folder = Path(tempfile.mkdtemp(prefix=f"{int(time.time())}-", dir=self._state))
        self._lock, self._folder = Lock(folder / LOCK), folder

    def adopt(self, left: Left) -> None:
        """Go on in the folder of a session that broke off: nothing of it is removed before something newer is there."""
        self.close()
        self._folder, self._lock = left.folder, left.lock

    def keep(self, bench: Any) -> None:
        """Write the bench and the notes. Never raises: ``trouble`` says what went wrong."""
        try:
            if self._folder is None:
                self.open()
            assert self._folder is not None
            fresh = self._folder / NEXT
            bench.save(fresh)
            if getattr(bench, "assessed", False):
                (self._folder / ASSESSED).touch()
            with contextlib.suppress(FileNotFoundError):
                os.replace(self._folder / NEWEST, self._folder / BEFORE)
            os.replace(fresh, self._folder / NEWEST)
            self.notebook.save(beside(self._folder / NEWEST))
            self.trouble = ""
        except OSError as error:
            self.trouble = reason(error)
        except (
            Exception
        ) as error:  # the bench's own words about a disk, a damaged state: the session goes on
            self.trouble = str(error) or type(error).__name__

    def close(self) -> None:
        """A clean end: nothing is left behind."""
        if self._lock is not None:
            self._lock.release()
        if self._folder is not None:
            shutil.rmtree(self._folder, ignore_errors=True)
        self._lock = self._folder = None


def left_behind(state: Path) -> Iterator[Left]:
    """Sessions that broke off, the newest first; each is locked for us. Empty folders of the dead are swept."""
    try:
        folders = sorted((one for one in state.iterdir() if one.is_dir()), reverse=True)
    except OSError:
        return
    for folder in folders:
        try:
            lock = Lock(folder / LOCK)
        except OSError:  # alive, or not ours
            continue
        found = next(
            (folder / name for name in (NEWEST, BEFORE) if (folder / name).is_file()), None
        )
        if found is None:
            _sweep(folder, lock)
            continue
        yield Left(folder, found, found.stat().st_mtime, lock, (folder / ASSESSED).exists())


def _sweep(folder: Path, lock: Lock) -> None:
    """Remove a dead process's empty folder; a young one may belong to a process that has not locked it yet."""
    young = time.time() - folder.stat().st_mtime < YOUNG_S
    lock.release()
    if not young:
        shutil.rmtree(folder, ignore_errors=True)

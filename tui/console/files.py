"""Result files, and what may go wrong with them: a full disk, a missing folder, a folder in a file's place."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TextIO

from sim.errors import InputError, Mistake
from sim.tomlfile import shown_path

STANDARD_OUTPUT = "-"


@contextmanager
def opened(name: str) -> Iterator[TextIO]:
    """The result file ``name``, or standard output for "-". Raises InputError when it cannot be written."""
    if name == STANDARD_OUTPUT:
        yield sys.stdout
        return
    try:
        with Path(name).open("w", encoding="utf-8", newline="") as stream:
            yield stream
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        raise InputError([cannot_write(name, error)]) from None


def cannot_write(name: str, error: Exception) -> Mistake:
    """Why ``name`` could not be written, and what to do."""
    reason = getattr(error, "strerror", None) or str(error)
    remedies: dict[type[Exception], str] = {
        FileNotFoundError: "Make its folder first.",
        IsADirectoryError: "Name a file in that folder.",
        PermissionError: "Choose a folder that you may write to.",
    }
    remedy = remedies.get(
        type(error), "Free some space or choose another disk; what is in the file is not complete."
    )
    shown = name if "\0" in name else shown_path(Path(name))
    return Mistake(shown, 1, f"cannot be written: {reason}.", remedy)


def silence_output() -> None:
    """Point standard output at nothing, so that the interpreter does not complain once more when it closes it."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError, AttributeError):
        sys.stdout = None

"""Files are put in place whole or not at all, and a person hears in one sentence why one could not be written."""

from __future__ import annotations

import os
from pathlib import Path

from sim.whole_file import write_whole

MOST_TRIES = 1000
"""Numbers that are tried behind a proposed name."""


class NotWrittenError(Exception):
    """A file could not be written; the text is a sentence for the person."""


def put_in_place(path: Path, content: bytes) -> None:
    """Write a file whole or not at all. Raises NotWrittenError."""
    try:
        write_whole(path, content)
    except (OSError, ValueError) as error:  # ValueError: a NUL in the name
        raise NotWrittenError(f"{path} could not be written: {reason(error)}.") from None


def reason(error: Exception) -> str:
    """Why, in the system's words."""
    return getattr(error, "strerror", None) or str(error)


def free_name(path: Path) -> Path:
    """``path``, or with a number behind its name when there is a file already."""
    if not os.path.lexists(path):
        return path
    numbered = (path.with_stem(f"{path.stem}-{number}") for number in range(2, MOST_TRIES))
    return next((other for other in numbered if not os.path.lexists(other)), path)


def wrong_with(typed: str) -> str:
    """What speaks against a file name that a person typed; '' when nothing does. An existing file is asked about elsewhere."""
    if "\0" in typed or not typed.isprintable():
        return "A file name has no control characters."
    path = Path(typed).expanduser()
    try:
        if path.is_dir():
            return f"{path} is a folder: name a file in it."
        if not path.parent.is_dir():
            return f"There is no folder {path.parent}: make it first."
    except OSError as error:
        return f"This name cannot be used: {reason(error)}."
    return ""

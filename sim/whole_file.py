"""A file is put in place whole or not at all."""

from __future__ import annotations

import contextlib
import os
import tempfile
from pathlib import Path


def write_whole(path: Path, content: bytes) -> None:
    """Write ``content`` beside ``path``, flush it to the disk, then rename it: what stood there is whole until the new one is. Raises OSError, or ValueError for a NUL in the name."""
    temporary = ""
    try:
        with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as file:
            temporary = file.name
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    except (OSError, ValueError):
        if temporary:
            with contextlib.suppress(OSError):
                os.unlink(temporary)
        raise

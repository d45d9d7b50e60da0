"""A journal on disk: records as they are computed, one JSON text a line, so that work that was cut off is not done again.

The first line says what the records belong to. A last line that was cut off is passed over. Every piece is on the disk before the next one counts as done.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import IO, Any

from sim.errors import InputError

FORMAT = 1


def fingerprint(*parts: object) -> str:
    """A short name of everything that results depend on."""
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:16]


class Journal:
    """Open for reading what is done and adding to it. Raises InputError for a file that is something else, or cannot be written."""

    def __init__(self, path: Path, belongs_to: str) -> None:
        self.path = path
        self.records: dict[str, dict[str, Any]] = {}
        head = {"rimebench_journal": FORMAT, "belongs_to": belongs_to}
        try:
            kept = self._read(head)
            self._file: IO[str] = path.open("a" if kept else "w", encoding="utf-8")
            if not kept:
                self._put(head)
        except OSError as error:
            raise InputError(f"{path}: cannot be written ({error.strerror}). Choose another place with --out.") from None  # fmt: skip

    def _read(self, head: Mapping[str, Any]) -> bool:
        """Take in what is there. True when it belongs to this work and may be added to."""
        if not self.path.exists():
            return False
        raw = self.path.read_bytes()
        whole = raw[: raw.rfind(b"\n") + 1]
        lines = whole.decode("utf-8", errors="replace").splitlines()
        try:
            first = json.loads(lines[0]) if lines else {}
        except json.JSONDecodeError:
            first = None
        if not isinstance(first, dict) or (raw and "rimebench_journal" not in first):
            raise InputError(f"{self.path}: this is no journal of a survey. Move it away, or name another file with --out.")  # fmt: skip
        if first != head:
            return False
        for line in lines[1:]:
            record = json.loads(line)
            self.records[record["key"]] = record
        if len(whole) < len(raw):  # cut off in the middle of a line
            with self.path.open("r+b") as file:
                file.truncate(len(whole))
        return True

    def add(self, records: Sequence[Mapping[str, Any]]) -> None:
        """Put records on the disk."""
        for record in records:
            self._put(record)
            self.records[str(record["key"])] = dict(record)
        os.fsync(self._file.fileno())

    def _put(self, record: Mapping[str, Any]) -> None:
        self._file.write(json.dumps(record, separators=(",", ":"), allow_nan=True) + "\n")
        self._file.flush()

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()

    def remove(self) -> None:
        """The work is done and its result written: the journal is not needed any more."""
        self.close()
        self.path.unlink(missing_ok=True)

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

FORMAT = 2
SIGN = b'{"rimebench_journal"'


def sources() -> str:
    """A short name of every source file of the model: results of another model are not mixed in."""
    found = hashlib.sha256()
    for path in sorted(Path(__file__).parents[1].rglob("*.py")):
        found.update(path.read_bytes())
    return found.hexdigest()[:16]


def fingerprint(*parts: object) -> str:
    """A short name of everything that results depend on."""
    return hashlib.sha256(repr(parts).encode()).hexdigest()[:16]


def _whole(line: bytes) -> dict[str, Any] | None:
    """A line that was written to its end."""
    try:
        found = json.loads(line) if line.endswith(b"\n") else None
    except ValueError:
        return None
    return found if isinstance(found, dict) and ("key" in found or "rimebench_journal" in found) else None  # fmt: skip


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
        if raw and not raw.startswith(SIGN):
            raise InputError(f"{self.path}: this is no journal of a survey. Move it away, or name another file with --out.")  # fmt: skip
        good = 0
        for number, line in enumerate(raw.splitlines(keepends=True)):
            record = _whole(line)
            if record is None:  # cut off, or spoilt: what follows is computed again
                break
            if number == 0 and record != head:
                return False
            if number > 0:
                self.records[record["key"]] = record
            good += len(line)
        with self.path.open("r+b") as file:
            file.truncate(good)
        return good > 0

    def add(self, records: Sequence[Mapping[str, Any]]) -> None:
        """Put records on the disk."""
        for record in records:
            self._put(record)
            self.records[str(record["key"])] = dict(record)
        os.fsync(self._file.fileno())

    def _put(self, record: Mapping[str, Any]) -> None:
        self._file.write(json.dumps(record, separators=(",", ":")) + "\n")
        self._file.flush()

    def close(self) -> None:
        """Let go of the file."""
        self._file.close()

    def remove(self) -> None:
        """The work is done and its result written: the journal is not needed any more."""
        self.close()
        self.path.unlink(missing_ok=True)

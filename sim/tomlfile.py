"""TOML with line numbers: the values as ``tomllib`` reads them, and the line of every table and key.

``tomllib`` decides what is valid; the light scanner here only runs over text that it accepted, so it may assume good syntax. The position of
a key is kept under its path: ``("part", 3, "bore_m")`` is key ``bore_m`` of the fourth ``[[part]]``.

Over 300 lines: values, lines and laying one file over another belong together.
"""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Any

from sim.errors import InputError, Mistake

Key = tuple[str | int, ...]
"""A path through tables and arrays."""

# guess: a rig file has some 50 kB; anything this large is some other kind of file
MOST_BYTES = 4_000_000


# guess: our files nest four deep; far beyond that only a slip or a prank goes, and Python's own recursion ends somewhere
MOST_DEEP = 40


@dataclass(frozen=True)
class Place:
    """A line of a file."""

    file: str
    line: int


@dataclass(frozen=True)
class TomlFile:
    """Values, and where each of them stands: looked for only when somebody asks, which is when something is wrong."""

    file: str
    values: dict[str, Any]
    text: str = ""

    @cached_property
    def places(self) -> dict[Key, Place]:
        """Line of every header, key and array element. After ``extends`` they may lie in several files."""
        return _Scanner(self.text, self.file).run()

    def place_of(self, *path: str | int) -> Place:
        """Where ``path`` stands, or the nearest table around it, or line 1."""
        for length in range(len(path), 0, -1):
            if path[:length] in self.places:
                return self.places[path[:length]]
        return Place(self.file, 1)

    def line_of(self, *path: str | int) -> int:
        """Line number of ``path`` (see ``place_of``)."""
        return self.place_of(*path).line

    def mistake(self, path: Key, what: str, remedy: str = "") -> Mistake:
        """A mistake at ``path``."""
        place = self.place_of(*path)
        return Mistake(place.file, place.line, what, remedy)


def shown_path(path: Path) -> str:
    """``path`` as a person would type it from where they stand."""
    relative = os.path.relpath(path)
    return str(path) if relative.startswith("..") else relative


def read_toml(path: Path) -> TomlFile:
    """Read a TOML file. Raises InputError with FILE:LINE for whatever stops it from being read."""
    name = shown_path(path)
    return parse_toml(_text_of(path, name), name)


def parse_toml(text: str, name: str) -> TomlFile:
    """Parse TOML ``text``; ``name`` stands in messages."""
    try:
        values = _values_of(text)
    except tomllib.TOMLDecodeError as error:
        raise InputError([_syntax_mistake(text, name, error)]) from None
    except RecursionError:
        raise InputError(
            [
                Mistake(
                    name, 1, "brackets are nested too deeply.", "Write tables one below the other."
                )
            ]
        ) from None
    except ValueError as error:  # a date or a number that Python cannot hold
        raise InputError(
            [Mistake(name, 1, f"a value cannot be read: {error}.", "Shorten or correct it.")]
        ) from None
    read = TomlFile(name, values, text)
    if _too_deep(values):
        read.places  # noqa: B018  # says where
    return read


@lru_cache(maxsize=8)
def _values_of(text: str) -> dict[str, Any]:
    """Shared by all who read the same text, as a rig's file is read for its lineage, its wirings and itself; nobody changes it (``sim.rig_find.overlay`` works on a copy)."""
    return tomllib.loads(text)


def _too_deep(values: dict[str, Any]) -> bool:
    """Are tables and arrays nested too deeply?"""
    level: list[Any] = [values]
    for _ in range(MOST_DEEP + 1):
        level = [one for outer in level for one in _inside(outer)]
    return bool(level)


def _inside(value: object) -> Iterable[object]:
    return value.values() if isinstance(value, dict) else value if isinstance(value, list) else ()


def _text_of(path: Path, name: str) -> str:
    try:
        with path.open("rb") as stream:
            raw = stream.read(MOST_BYTES + 1)
    except FileNotFoundError:
        raise InputError([Mistake(name, 1, "there is no such file.", "Check the path.")]) from None
    except IsADirectoryError:
        raise InputError(
            [Mistake(name, 1, "this is a folder, not a file.", "Name the file inside it.")]
        ) from None
    except PermissionError:
        raise InputError(
            [Mistake(name, 1, "you may not read this file.", "Ask its owner for read permission.")]
        ) from None
    except (OSError, ValueError) as error:  # ValueError: a NUL in the path
        reason = getattr(error, "strerror", None) or str(error)
        raise InputError(
            [
                Mistake(
                    name, 1, f"the file cannot be read: {reason}.", "Check the path and the disk."
                )
            ]
        ) from None
    if len(raw) > MOST_BYTES:
        raise InputError(
            [
                Mistake(
                    name,
                    1,
                    f"the file is larger than {MOST_BYTES // 1_000_000} MB.",
                    "That is not a TOML file of ours.",
                )
            ]
        )
    try:
        return raw.decode("utf-8-sig")  # some editors put a mark before the first line
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise InputError(
            [
                Mistake(
                    name,
                    line,
                    "this is not UTF-8 text.",
                    "Save the file as UTF-8 text; a binary file cannot be used here.",
                )
            ]
        ) from None


def _syntax_mistake(text: str, name: str, error: tomllib.TOMLDecodeError) -> Mistake:
    message = str(error)
    found = re.search(r"\(at line (\d+), column \d+\)", message)
    line = int(found[1]) if found else text.count("\n") + 1
    last = max(1, len(text.splitlines()))
    what = re.sub(r"\s*\(at .*\)$", "", message)
    return Mistake(
        name,
        min(line, last),
        f"this is not valid TOML: {what}.",
        "Mend the line (strings need quotes, tables square brackets).",
    )


_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SPACE = re.compile(r"[ \t]*")
_BLANK = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_PLAIN = re.compile(r"[^,\]}#\r\n]*")
_STRINGS = (
    re.compile(r'"""(?:[^\\]|\\.)*?"""(?:"{0,2})', re.DOTALL),
    re.compile(r"'''.*?'''(?:'{0,2})", re.DOTALL),
    re.compile(r'"(?:[^"\\\n]|\\.)*"'),
    re.compile(r"'[^'\n]*'"),
)


class _Scanner:
    """Walks once over valid TOML and notes the line of every header, key and array element."""

    def __init__(self, text: str, name: str) -> None:
        self.text, self.name = text, name
        self.at, self.line = 0, 1
        self.places: dict[Key, Place] = {}
        self.counts: dict[Key, int] = {}  # path of an array of tables -> how many so far
        self.table: Key = ()

    def run(self) -> dict[Key, Place]:
        self._skip(_BLANK)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                self._header()
            else:
                self._pair(self.table)
            self._skip(_BLANK)
        return self.places

    def _skip(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self.text, self.at)
        piece = found[0] if found else ""
        self.at += len(piece)
        self.line += piece.count("\n")
        return piece

    def _note(self, path: Key) -> None:
        if len(path) > MOST_DEEP:
            what = f"tables are nested more than {MOST_DEEP} deep."
            raise InputError([Mistake(self.name, self.line, what, "Write them flatter.")])
        self.places.setdefault(path, Place(self.name, self.line))

    def _key(self) -> list[str]:
        parts = []
        while True:
            self._skip(_SPACE)
            if self.text[self.at] in "\"'":
                parts.append(str(tomllib.loads(f"k={self._string()}")["k"]))
            else:
                parts.append(self._skip(_BARE))
            self._skip(_SPACE)
            if self.text[self.at] != ".":
                return parts
            self.at += 1

    def _string(self) -> str:
        for pattern in _STRINGS:
            if pattern.match(self.text, self.at):
                return self._skip(pattern)
        raise AssertionError("a string that tomllib accepted")  # unreachable on valid TOML

    def _header(self) -> None:
        width = 2 if self.text.startswith("[[", self.at) else 1
        self.at += width
        parts = self._key()
        self.at += width
        path: Key = ()
        for part in parts[:-1]:
            path = self._latest((*path, part))
        path = (*path, parts[-1])
        if width == 2:
            self.counts[path] = self.counts.get(path, 0) + 1
            self._note(path)
        self.table = self._latest(path)
        self._note(self.table)

    def _latest(self, path: Key) -> Key:
        return (*path, self.counts[path] - 1) if path in self.counts else path

    def _pair(self, table: Key) -> None:
        path = table
        for part in self._key():
            path = (*path, part)
            self._note(path)
        self.at += 1  # the equals sign
        self._skip(_SPACE)
        self._value(path)

    def _value(self, path: Key) -> None:
        opening = self.text[self.at]
        if opening in "\"'":
            self._string()
        elif opening == "[":
            self._array(path)
        elif opening == "{":
            self._inline_table(path)
        else:
            self._skip(_PLAIN)

    def _array(self, path: Key) -> None:
        self.at += 1
        index = 0
        self._skip(_BLANK)
        while self.text[self.at] != "]":
            self._note((*path, index))
            self._value((*path, index))
            index += 1
            self._skip(_BLANK)
            if self.text[self.at] == ",":
                self.at += 1
                self._skip(_BLANK)
        self.at += 1

    def _inline_table(self, path: Key) -> None:
        self.at += 1
        self._skip(_BLANK)
        while self.text[self.at] != "}":
            self._pair(path)
            self._skip(_BLANK)
            if self.text[self.at] == ",":
                self.at += 1
                self._skip(_BLANK)
        self.at += 1

"""The exceptions of ``sim``, drawn once.

RimebenchError
├── InputError        a file, key or value is wrong (exit code 1); carries every mistake at once
├── UsageError        a command was used wrongly (exit code 2)
├── FluidRangeError   a public property call outside the tables
└── PlantError        the plant could not be computed (exit code 3); carries a named reason
"""

from __future__ import annotations

from dataclasses import dataclass


class RimebenchError(Exception):
    """Base of everything that ``sim`` raises on purpose."""


@dataclass(frozen=True)
class Mistake:
    """One thing wrong with a file: where, what, and how to mend it."""

    file: str
    line: int
    what: str
    remedy: str = ""

    def __str__(self) -> str:
        tail = f" {self.remedy}" if self.remedy else ""
        return f"{self.file}:{self.line}: {self.what}{tail}"


class InputError(RimebenchError):
    """A file, key or value is wrong. ``mistakes`` holds all of them."""

    def __init__(self, mistakes: list[Mistake] | str) -> None:
        self.mistakes = mistakes if isinstance(mistakes, list) else []
        super().__init__(
            mistakes if isinstance(mistakes, str) else "\n".join(str(m) for m in mistakes)
        )


class UsageError(RimebenchError):
    """A command was used wrongly."""


class FluidRangeError(RimebenchError):
    """A property was asked for outside the tables; the text names fluid, state and limits."""


class PlantError(RimebenchError):
    """The plant could not be computed. ``reason`` is a short name, ``str()`` a sentence."""

    def __init__(self, reason: str, text: str) -> None:
        self.reason = reason
        super().__init__(text)

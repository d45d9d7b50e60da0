"""Notes and reading sets: what a person wrote down, with the plant's time. Both last as long as the session and its saves.

A reading set holds every value that the screen showed at one instant, as words in the units of the person who took it, so that it reads later as it read then; the displays
as numbers, to work with; and the results that the person has worked out from them.
"""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path
from typing import Any

from sim.working.sheet import Held
from sim.working.steps import STEPS
from tui.draw.lists import clock_words
from tui.marking import Answer
from tui.session.writing import put_in_place
from tui.words import listed

LONGEST_NOTE = 500
"""Characters; a note is a line, not a page."""
MOST_BYTES = 16_000_000
"""guess: ten thousand reading sets; anything larger is no notebook"""


@dataclass(frozen=True)
class Note:
    """A line of text."""

    time_s: float
    text: str


@dataclass(frozen=True)
class ReadingSet:
    """What stood on the instruments: (name, words) in the order of the table."""

    time_s: float
    values: tuple[tuple[str, str], ...]
    held: Held | None = None
    """The displays as numbers; None in a set from before they were kept."""
    answers: tuple[Answer, ...] = ()
    """Own results, in the order in which they were given."""


@dataclass
class Notebook:
    """All of them, oldest first. ``changes`` counts, so that an autosave knows whether there is something new; ``written``: how far it had counted when a person last saved."""

    notes: list[Note] = field(default_factory=list)
    sets: list[ReadingSet] = field(default_factory=list)
    changes: int = 0
    written: int = 0

    def write(self, time_s: float, text: str) -> Note:
        """A new note; control characters become spaces."""
        clean = " ".join("".join(c if c.isprintable() else " " for c in text).split())
        note = Note(time_s, clean[:LONGEST_NOTE])
        self.notes.append(note)
        self.changes += 1
        return note

    def take(self, time_s: float, values: Sequence[tuple[str, str]], held: Held | None = None) -> ReadingSet:  # fmt: skip
        """A new reading set."""
        taken = ReadingSet(time_s, tuple(values), held)
        self.sets.append(taken)
        self.changes += 1
        return taken

    def answer(self, number: int, answer: Answer) -> None:
        """An own result for a set; the first one stands."""
        old = self.sets[number]
        if all(one.step != answer.step for one in old.answers):
            self.sets[number] = replace(old, answers=(*old.answers, answer))
            self.changes += 1

    def clear(self) -> None:
        """Another bench: a clean page."""
        self.notes.clear()
        self.sets.clear()
        self.changes += 1

    def mark_written(self) -> None:
        """It stands in a file of a person's own as it is now (not in an autosave, which goes with the session)."""
        self.written = self.changes

    @property
    def unwritten(self) -> str:
        """What would be lost with the session, ``2 notes and 1 reading set``; '' when nothing would."""
        if self.changes == self.written:
            return ""
        return listed(self.held)

    @property
    def held(self) -> list[str]:
        """``2 notes``, ``1 reading set``."""
        counts = (("note", len(self.notes)), ("reading set", len(self.sets)))
        return [f"{count} {name}{'s' if count > 1 else ''}" for name, count in counts if count]

    def save(self, path: Path) -> None:
        """Write it. Raises NotWrittenError."""
        kept = {"notes": [asdict(note) for note in self.notes], "sets": [asdict(one) for one in self.sets]}  # fmt: skip
        put_in_place(path, json.dumps(kept, ensure_ascii=False).encode())

    def load(self, path: Path) -> bool:
        """Take what a file holds in place of what is here; False, and nothing changed, when it is none of ours."""
        try:
            if path.stat().st_size > MOST_BYTES:
                return False
            kept = json.loads(path.read_text(encoding="utf-8"))
            notes = [Note(float(note["time_s"]), str(note["text"])) for note in kept["notes"]]
            sets = [_set_from(one) for one in kept["sets"]]
        except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
            return False
        self.notes, self.sets = notes, sets
        self.changes += 1
        return True

    def open(self, bench: Path) -> None:
        """Take the notebook beside a person's own saved bench, if there is one: it is written."""
        if self.load(beside(bench)):
            self.mark_written()

    def compared(self, columns: int) -> list[tuple[str, ...]]:
        """The newest ``columns`` sets side by side: a row of times, then a row for every name that any of them has."""
        shown = self.sets[-columns:]
        tables = [dict(one.values) for one in shown]
        names = dict.fromkeys(name for table in tables for name in table)
        head = ("", *(clock_words(one.time_s) for one in shown))
        return [head, *((name, *(table.get(name, "") for table in tables)) for name in names)]


def _set_from(kept: dict[str, Any]) -> ReadingSet:
    """A set as it was written. Raises what a stranger's file makes Python raise."""
    values = tuple((str(name), str(words)) for name, words in kept["values"])
    held, answers = kept.get("held"), kept.get("answers", ())
    numbers = None
    if held is not None:
        shown = {str(name): value if isinstance(value, str) else float(value) for name, value in held["shown"].items()}  # fmt: skip
        numbers = Held(float(held["time_s"]), shown, float(held["atmosphere_pa"]), bool(held["running"]), bool(held["heating"]))  # fmt: skip
    return ReadingSet(float(kept["time_s"]), values, numbers, tuple(map(_answer_from, answers)))


def _answer_from(kept: dict[str, Any]) -> Answer:
    """An own result as it was written; raises likewise."""
    own, computed = (None if kept[name] is None else float(kept[name]) for name in ("own", "computed"))  # fmt: skip
    tolerance, reading, rounding = (float(kept[name]) for name in ("tolerance", "reading", "rounding"))  # fmt: skip
    if kept["step"] not in STEPS:
        raise ValueError(kept["step"])
    return Answer(str(kept["step"]), own, computed, tolerance, reading, rounding, str(kept["why"]), str(kept["slip"]))  # fmt: skip


def unwritten_words(held: str) -> str:
    """What is said before a session ends that holds this."""
    return f"The notebook holds {held}, not all of them saved."


def beside(bench: Path) -> Path:
    """The notebook's file of a saved bench."""
    return bench.with_name(f"{bench.stem}.notes.json")

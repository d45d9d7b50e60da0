"""The cautions: stored once in ``rigs/cautions.toml``, looked up by what carries them, never written out anywhere else."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Literal

from sim.errors import InputError, Mistake
from sim.record import Reader, did_you_mean
from sim.tomlfile import TomlFile, read_toml

SUBJECTS = (
    "part",
    "switch",
    "fault",
    "command",
    "event",
    "lesson",
    "export",
    "screen",
    "safety-class",
)
"""What may stand before the colon in ``applies``."""
SYMBOLS = {"notice": "i", "caution": "!", "danger": "!!"}
"""The sign that stands beside the word, so that neither depends on colour."""


@dataclass(frozen=True, kw_only=True)
class _CautionTable:
    """One ``[[caution]]`` as written; ``class`` is a word of Python and is read beside it."""

    id: str
    text: str
    applies: tuple[str, ...]
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class Caution:
    """One caution. ``danger`` may injure, ``caution`` may hurt, ``notice`` says what this program is."""

    id: str
    text: str
    level: Literal["notice", "caution", "danger"]
    applies: frozenset[str]
    source: str = ""

    @property
    def record(self) -> dict[str, str]:
        """As JSON has it."""
        return {"id": self.id, "level": self.level, "text": self.text}

    def line(self, *, safety_class: str = "") -> str:
        """Symbol, word and text on one line; ``{class}`` becomes the refrigerant's safety class."""
        text = self.text.replace("{class}", safety_class or "Flammable")
        return f"[{SYMBOLS[self.level]}] {self.level.upper()}: {text}"


@cache
def all_cautions() -> dict[str, Caution]:
    """Every caution by its id, in the order of the file. Raises InputError."""
    return read_cautions(Path(str(files("rigs") / "cautions.toml")))


def read_cautions(path: Path) -> dict[str, Caution]:
    """The cautions of a file. Raises InputError with every mistake."""
    document = read_toml(path)
    reader = Reader(document)
    found: dict[str, Caution] = {}
    entries = document.values.get("caution")
    if not isinstance(entries, list):
        raise InputError([Mistake(document.file, 1, "there are no cautions.", "Add [[caution]].")])
    for i in range(len(entries)):
        caution = _read(reader, document, i)
        if caution and caution.id in found:
            reader.wrong(("caution", i, "id"), f"{caution.id} is given twice.", "Remove one.")
        elif caution:
            found[caution.id] = caution
    if reader.mistakes:
        raise InputError(reader.mistakes)
    return found


def _read(reader: Reader, document: TomlFile, i: int) -> Caution | None:
    path = ("caution", i)
    table = reader.read(_CautionTable, path, f"caution {i + 1}", other_keys=("class",))
    if table is None:
        return None
    level = document.values["caution"][i].get("class")
    if level not in SYMBOLS:
        what = f"caution {table.id}: class is {level!r}."
        reader.wrong((*path, "class"), what, did_you_mean(str(level), SYMBOLS))
        return None
    for j, subject in enumerate(table.applies):
        word, _, name = subject.partition(":")
        if word not in SUBJECTS or not name:
            what = f"caution {table.id} applies to {subject!r}."
            remedy = "Write SUBJECT:NAME. " + did_you_mean(word, SUBJECTS)
            reader.wrong((*path, "applies", j), what, remedy)
    applies = frozenset(table.applies)
    return Caution(id=table.id, text=table.text, level=level, applies=applies, source=table.source)


def cautions_for(*subjects: str, also: Iterable[str] = ()) -> list[Caution]:
    """Cautions that apply to any of ``subjects`` ("part:fan", "fault:overcharge"), and those with the ids ``also``."""
    wanted, ids = set(subjects), set(also)
    return [
        caution
        for caution in all_cautions().values()
        if caution.id in ids or not wanted.isdisjoint(caution.applies)
    ]

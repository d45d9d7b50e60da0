"""The glossary of trade terms: stored once in ``rigs/glossary.toml``, shown on the screen, in lists and in plain sentences, and written out nowhere else."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path

from sim.cautions import cautions_for
from sim.errors import InputError, Mistake
from sim.record import Reader, did_you_mean
from sim.tomlfile import read_toml
from tui.draw.lists import WORKED_OUT, table_keys
from tui.draw.scene import Scene
from tui.words import MISSING, label_of

NO_GAUGE = ("atmospheric_pressure_pa",)
"""As a gauge pressure it is always 0."""
MOST_FOR_A_PART = 3
"""Terms that the help of a part leads to."""


@dataclass(frozen=True, kw_only=True)
class Term:
    """One ``[[term]]``; the head of the file says what each key holds."""

    name: str
    plain: str
    seen: str
    source: str
    also: tuple[str, ...] = ()
    unit: str = ""
    readings: tuple[str, ...] = ()
    kinds: tuple[str, ...] = ()
    related: tuple[str, ...] = ()

    def check(self) -> list[tuple[str, str]]:
        """(key, sentence) of what is wrong."""
        empty = [key for key in ("name", "plain", "seen", "source") if not getattr(self, key).strip()]  # fmt: skip
        return [(key, f"{key} is empty") for key in empty]

    @property
    def names(self) -> tuple[str, ...]:
        """All that it is called."""
        return (self.name, *self.also)


def read_glossary(path: Path) -> dict[str, Term]:
    """The terms of a file by their names, in alphabetical order. Raises InputError with every mistake."""
    document = read_toml(path)
    reader = Reader(document)
    entries = document.values.get("term")
    if not isinstance(entries, list):
        raise InputError([Mistake(document.file, 1, "there are no terms.", "Add [[term]].")])
    found: dict[str, Term] = {}
    owners: dict[str, str] = {}
    for k in range(len(entries)):
        term = reader.read(Term, ("term", k), f"term {k + 1}")
        for called in term.names if term is not None else ():
            other = owners.setdefault(called.lower(), term.name)  # type: ignore[union-attr]
            if other != term.name or called.lower() in map(str.lower, found):  # type: ignore[union-attr]
                reader.wrong(("term", k, "name"), f"{called} stands for {other} already.", "Leave one of them out.")  # fmt: skip
        if term is not None:
            found[term.name] = term
    for k, term in enumerate(found.values()):
        for name in term.related:
            if name not in found:
                reader.wrong(("term", k, "related"), f"{term.name}: there is no term {name}.", did_you_mean(name, found))  # fmt: skip
    if reader.mistakes:
        raise InputError(reader.mistakes)
    return {name: found[name] for name in sorted(found, key=str.lower)}


@cache
def glossary() -> dict[str, Term]:
    """The shipped terms. Raises InputError."""
    return read_glossary(Path(str(files("rigs") / "glossary.toml")))


def found_by(typed: str) -> list[Term]:
    """Terms whose names hold every word of ``typed``, then those that only speak of them; what begins so comes first."""
    words = typed.lower().split()
    if not words:
        return list(glossary().values())
    ranked = [(_rank(term, typed.strip().lower(), words), term) for term in glossary().values()]
    return [term for rank, term in sorted(ranked, key=lambda one: one[0]) if rank < NOT_FOUND]


NOT_FOUND = 9


def _rank(term: Term, typed: str, words: Sequence[str]) -> int:
    names = [name.lower() for name in term.names]
    if typed in names:
        return 0 if typed == names[0] else 1
    if names[0].startswith(typed):
        return 2
    if any(name.startswith(typed) for name in names):
        return 3
    if all(word in " ".join(names) for word in words):
        return 4
    said = f"{' '.join(names)} {term.plain} {term.seen}".lower()
    return 5 if all(word in said for word in words) else NOT_FOUND


def called(typed: str) -> Term | None:
    """The term that is called exactly so, in its own or another name; a plural counts."""
    wanted = " ".join(typed.lower().split())
    by_name = {name.lower(): term for term in glossary().values() for name in term.names}
    return by_name.get(wanted) or by_name.get(wanted.removesuffix("s"))


def terms_for(tag: str, kind: str) -> list[str]:
    """Names of the terms that a part leads to: those of its kind, its own tag's first."""
    of_kind = [term for term in glossary().values() if kind and kind in term.kinds]
    named = [term for term in glossary().values() if tag and tag in tags_in(term.seen)]
    both = [term.name for term in of_kind if term in named]
    rest = [*([kind] if kind in glossary() else []), *(term.name for term in (*of_kind, *named))]
    return list(dict.fromkeys([*both, *rest]))[:MOST_FOR_A_PART]


def tags_in(text: str) -> Collection[str]:
    """Words of a sentence that are written like tags."""
    return {word.strip(".,;:()") for word in text.split() if word[:1].isupper()}


def now_words(term: Term, scene: Scene) -> list[str]:
    """What this bench shows of it now, as this person may see it; nothing where no instrument shows any of it."""
    may = {*table_keys(scene), *(key for _, _, key in WORKED_OUT)}
    keys = [key for key in term.readings if key in may and key not in NO_GAUGE]
    return [f"{label_of(key)} {scene.words(key)}" for key in keys if scene.words(key) != MISSING]


def entry_lines(term: Term, scene: Scene | None = None, where: str = "On this bench") -> list[str]:
    """A term in full, a paragraph a line."""
    lines = [term.plain]
    if term.also:
        lines.append(f"Also: {', '.join(term.also)}.")
    if term.unit:
        lines.append(f"Unit: {term.unit}.")
    lines.append(f"{where}: {term.seen}")
    now = now_words(term, scene) if scene is not None else []
    if now:
        lines.append(f"Now: {', '.join(now)}.")
    lines += [caution.line() for caution in cautions_for(f"command:{term.name}")]
    lines.append(f"Source: {term.source}.")
    return lines

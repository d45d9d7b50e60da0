"""Find a rig's files: a shipped name, a name with a wiring, or a folder; and lay a rig over the one that it extends."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Any, NamedTuple

from sim.errors import InputError, Mistake
from sim.record import did_you_mean
from sim.tomlfile import Key, Place, TomlFile, read_toml

IDENTITY = {
    "node": "name",
    "part": "tag",
    "wall": "node",
    "air": "tag",
    "instrument": "tag",
    "switch": "tag",
    "line_up": "name",
    "spread": "of",
    "device": "tag",
    "wire": "tag",
}
"""Array of tables -> the key by which an entry is recognised when one rig or wiring extends another."""


class Found(NamedTuple):
    """A rig's folder and the wiring that was asked for ('' for the rig's own)."""

    folder: Path
    wiring: str


def shipped_folder() -> Path:
    """The folder of the shipped rigs."""
    return Path(str(files("rigs")))


def shipped_names() -> tuple[str, ...]:
    """Names of the rigs that come with the program."""
    return tuple(sorted(path.parent.name for path in shipped_folder().glob("*/rig.toml")))


def wirings(folder: Path) -> tuple[str, ...]:
    """Names of the wirings of the rig in a folder, those of the rigs that it extends among them."""
    found = {path.stem for place in lineage(folder) for path in place.glob("wiring_*.toml")}
    return tuple(sorted(stem.removeprefix("wiring_") for stem in found))


def wiring_file(folder: Path, wiring: str) -> Path:
    """The file of a wiring of the rig in a folder: its own, or else that of a rig that it extends. Raises InputError."""
    for place in lineage(folder):
        if _is_file(place / f"wiring_{wiring}.toml"):
            return place / f"wiring_{wiring}.toml"
    here = wirings(folder)
    raise InputError([Mistake(str(folder / "rig.toml"), 1, f"there is no wiring {wiring!r}.", did_you_mean(wiring, here))])  # fmt: skip


def lineage(folder: Path) -> list[Path]:
    """A rig's folder, then those of the rigs that it extends. Raises InputError."""
    return [place for place, _ in _chain(folder)]


def find_rig(name_or_path: str | Path, near: Path | None = None) -> Found:
    """Where a rig lies. ``near`` is the folder of the file that names it. Raises InputError."""
    text = str(name_or_path)
    if "\0" in text or not text.strip():
        raise InputError([Mistake(repr(text), 1, "this is no rig name.", _choose(""))])
    name, _, wiring = text.partition(":")
    if name in shipped_names():
        return _with_wiring(shipped_folder() / name, wiring, text)
    for folder in (Path(text), (near or Path()) / text):
        path = folder.parent if folder.name == "rig.toml" else folder
        if _is_file(path / "rig.toml"):
            return Found(path, "")
    path = Path(name)
    if wiring and _is_file(path / "rig.toml"):
        return _with_wiring(path, wiring, text)
    if "/" in text or "\\" in text or text.endswith(".toml"):
        raise InputError(
            [
                Mistake(
                    text,
                    1,
                    "there is no rig.toml in this folder.",
                    "Name a folder that holds a rig.toml.",
                )
            ]
        )
    raise InputError([Mistake(text, 1, "there is no rig of this name.", _choose(name))])


def _is_file(path: Path) -> bool:
    try:
        return path.is_file()
    except OSError:  # a name too long, a folder that may not be entered
        return False


def _choose(name: str) -> str:
    return did_you_mean(name, shipped_names()) + " A path to a rig's folder works too."


def _with_wiring(folder: Path, wiring: str, text: str) -> Found:
    if wiring and wiring not in wirings(folder):
        here = wirings(folder)
        remedy = (
            did_you_mean(wiring, here)
            if here
            else "This rig has no wiring file; leave out the colon and what follows it."
        )
        raise InputError([Mistake(text, 1, f"there is no wiring {wiring!r}.", remedy)])
    return Found(folder, wiring)


def read_rig_file(folder: Path) -> TomlFile:
    """The ``rig.toml`` of a folder, laid over the rigs that it extends. Raises InputError."""
    chain = [document for _, document in _chain(folder)]
    merged = chain.pop()
    while chain:
        merged = overlay(merged, chain.pop())
    return merged


def _chain(folder: Path) -> list[tuple[Path, TomlFile]]:
    """A rig's folder and file, then those of the rigs that it extends. Raises InputError."""
    chain: list[tuple[Path, TomlFile]] = []
    while True:
        document = read_toml(folder / "rig.toml")
        chain.append((folder, document))
        base = _extended(document)
        if base is None:
            return chain
        try:
            folder = find_rig(base, near=folder if "/" in base else folder.parent).folder
        except InputError as error:
            where = document.place_of("rig", "extends")
            first = error.mistakes[0]
            raise InputError(
                [Mistake(where.file, where.line, f"extends {base!r}: {first.what}", first.remedy)]
            ) from None
        if folder.resolve() in {seen.resolve() for seen, _ in chain}:
            what = f"extends {base!r} leads back to this rig."
            remedy = "Remove one of the extends lines."
            raise InputError([document.mistake(("rig", "extends"), what, remedy)])


def _extended(document: TomlFile) -> str | None:
    header = document.values.get("rig")
    base = header.get("extends") if isinstance(header, dict) else None
    if base is None:
        return None
    if not isinstance(base, str):
        raise InputError(
            [document.mistake(("rig", "extends"), "extends must be text in quotes.", "Name a rig.")]
        )
    return base


def overlay(base: TomlFile, top: TomlFile) -> TomlFile:
    """``top`` over ``base``: tables key by key, entries of the named arrays by their identity, anything else whole."""
    merged = TomlFile(top.file, _copy(base.values))
    merged.places.update({key: place for key, place in base.places.items() if key[:2] != ("rig", "extends")})  # fmt: skip
    header = merged.values.get("rig")
    if isinstance(header, dict):
        header.pop("extends", None)
    for name, value in top.values.items():
        if (
            name in IDENTITY
            and isinstance(value, list)
            and isinstance(merged.values.get(name), list)
        ):
            _overlay_array(merged, top, name, value)
        else:
            _overlay_value(merged.values, (), merged.places, name, value, top, (name,))
    return merged


def _copy(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _copy(item) for key, item in value.items()}
    return [_copy(item) for item in value] if isinstance(value, list) else value


def _overlay_array(merged: TomlFile, top: TomlFile, name: str, entries: list[Any]) -> None:
    target: list[Any] = merged.values[name]
    identity = IDENTITY[name]
    index = {entry.get(identity): i for i, entry in enumerate(target) if isinstance(entry, dict)}
    for j, entry in enumerate(entries):
        here = index.get(entry.get(identity)) if isinstance(entry, dict) else None
        if here is None:
            target.append(_copy(entry))
            _move(merged.places, top, (name, j), (name, len(target) - 1))
            continue
        if "kind" in entry and entry["kind"] != target[here].get("kind"):
            target[here] = {}  # another kind of thing: nothing of the old one fits
        for key, value in entry.items():
            _overlay_value(
                target[here], (name, here), merged.places, key, value, top, (name, j, key)
            )


def _overlay_value(
    table: dict[str, Any],
    path: Key,
    places: dict[Key, Place],
    key: str,
    value: Any,
    top: TomlFile,
    source: Key,
) -> None:
    if isinstance(value, dict) and isinstance(table.get(key), dict):
        for inner, item in value.items():
            _overlay_value(table[key], (*path, key), places, inner, item, top, (*source, inner))
        return
    for old in [known for known in places if known[: len(path) + 1] == (*path, key)]:
        del places[old]
    table[key] = _copy(value)
    _move(places, top, source, (*path, key))


def _move(places: dict[Key, Place], top: TomlFile, source: Key, target: Key) -> None:
    for key, place in top.places.items():
        if key[: len(source)] == source:
            places[(*target, *key[len(source) :])] = place

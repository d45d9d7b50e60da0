"""Turn one TOML table into one frozen dataclass, and say everything that is wrong with it at once.

Generic over the dataclass: its fields are the keys, its types the types, its defaults the defaults, its RANGES the limits. Nothing here knows what a
compressor is; a new part kind needs no line in this file.
"""

from __future__ import annotations

import difflib
import math
import types
import typing
from collections.abc import Collection, Iterable, Mapping
from dataclasses import MISSING, Field, fields
from functools import cache
from typing import Any, TypeVar

from sim.errors import Mistake
from sim.tomlfile import Key, TomlFile
from sim.units import SUFFIXES, from_si, is_difference, split_key, to_si

T = TypeVar("T")

NOT_IN_FILE: Mapping[str, bool] = {"in_file": False}
"""Metadata of a field that the loader fills in; it is no key of the file."""


class Reader:
    """Reads tables of one TOML file into dataclasses and collects the mistakes."""

    def __init__(self, document: TomlFile) -> None:
        self.document = document
        self.mistakes: list[Mistake] = []

    def wrong(self, path: Key, what: str, remedy: str = "") -> None:
        """Note a mistake at ``path``."""
        self.mistakes.append(self.document.mistake(path, what, remedy))

    def read(
        self, cls: type[T], path: Key, name: str, *, other_keys: Iterable[str] = ()
    ) -> T | None:
        """The table at ``path`` as a ``cls``; None if it cannot be made. ``other_keys`` are the caller's."""
        table = self.at(path)
        if not isinstance(table, dict):
            self.wrong(
                path, f"{name} must be a table.", f"Write it as [{name}] with one key a line."
            )
            return None
        known = {field.name: field for field in fields(cls) if field.metadata.get("in_file", True)}  # type: ignore[arg-type]
        self._unknown(table, known, set(other_keys), path, name)
        values = self._values(cls, table, known, path, name)
        if values is None:
            return None
        made = cls(**values)
        self._judge(made, path, name)
        return made

    def at(self, path: Key) -> Any:
        """The value at ``path`` (which must exist)."""
        value: Any = self.document.values
        for key in path:
            value = value[key]
        return value

    def _unknown(
        self,
        table: Mapping[str, Any],
        known: Mapping[str, object],
        others: Collection[str],
        path: Key,
        name: str,
    ) -> None:
        allowed = {*known, *others}
        for key, value in table.items():
            if key not in allowed:
                what, remedy = unknown_key(key, value, allowed, name)
                self.wrong((*path, key), what, remedy)

    def _values(
        self,
        cls: type,
        table: Mapping[str, Any],
        known: Mapping[str, Field[Any]],
        path: Key,
        name: str,
    ) -> dict[str, Any] | None:
        """Value of every key that is there; None when one is missing or of the wrong type."""
        hints = _hints(cls)
        values: dict[str, Any] = {}
        whole = True
        for key, field in known.items():
            if key in table:
                try:
                    values[key] = _convert(table[key], hints[key])
                except ValueError as error:
                    remedy = _type_remedy(key, hints[key])
                    self.wrong((*path, key), f"{name}: {key} {error}.", remedy)
                    whole = False
            elif field.default is MISSING and field.default_factory is MISSING:
                self._missing(key, table, path, name)
                whole = False
        return values if whole else None

    def _missing(self, key: str, table: Mapping[str, Any], path: Key, name: str) -> None:
        if any(mistaken_for(other, key) for other in table):
            return  # already reported as that key's wrong unit
        self.wrong(path, f"{name}: the key {key} is missing.", f"Add a line {_example(key)}.")

    def _judge(self, made: object, path: Key, name: str) -> None:
        check = getattr(made, "check", None)
        for field_name, sentence in check() if check else range_faults(made):
            self.wrong(
                (*path, field_name),
                f"{name}: {sentence.rstrip(chr(46))}.",
                _range_remedy(made, field_name),
            )


def range_faults(made: object) -> list[tuple[str, str]]:
    """(field, sentence) for every field of a record outside its class's RANGES."""
    limits: Mapping[str, tuple[float, float]] = getattr(made, "RANGES", {})
    faults = []
    for key, (low, high) in limits.items():
        value = getattr(made, key, None)
        if value is not None and not low <= value <= high:
            faults.append((key, f"{key} is {value:g}; the model holds from {low:g} to {high:g}"))
    return faults


def suggestion(word: str, choices: Iterable[str]) -> str:
    """The choice that ``word`` was probably meant to be, or ''."""
    choices = list(choices)
    folded = {choice.lower(): choice for choice in choices}
    near = difflib.get_close_matches(word.lower(), folded, n=1, cutoff=0.6)
    return folded[near[0]] if near else ""


def did_you_mean(word: str, choices: Iterable[str], *, most: int = 12) -> str:
    """A remedy sentence: the nearest choice, or the list of them."""
    choices = sorted(choices)
    near = suggestion(word, choices)
    if near:
        return f"Did you mean {near}?"
    if not choices:
        return "There is none to choose from."
    listed = ", ".join(choices[:most])
    return f"Choose one of: {listed}{', …' if len(choices) > most else ''}."


def mistaken_for(key: str, field_name: str) -> bool:
    """True when ``key`` is ``field_name`` with another unit or with none."""
    stem, suffix = split_key(field_name)
    if not suffix or key == field_name:
        return False
    return key == stem or split_key(key)[0] == stem


def unknown_key(key: str, value: object, allowed: Collection[str], name: str) -> tuple[str, str]:
    """(what, remedy) for a key that ``name`` does not have."""
    for field_name in sorted(allowed):
        if mistaken_for(key, field_name):
            return _wrong_unit(key, value, field_name, name)
    return f"{name}: there is no key {key}.", did_you_mean(key, allowed)


def _wrong_unit(key: str, value: object, right: str, name: str) -> tuple[str, str]:
    given, wanted = split_key(key)[1], split_key(right)[1]
    if not given:
        return (
            f"{name}: {key} carries no unit.",
            f"The key is {right}, in {SUFFIXES[wanted].symbol}.",
        )
    old, new = SUFFIXES[given], SUFFIXES[wanted]
    what = f"{name}: {key} has the wrong unit ending."
    if old.quantity != new.quantity:
        return what, f"The key is {right}, in {new.symbol} ({old.symbol} is a {old.quantity})."
    if isinstance(value, bool) or not isinstance(value, int | float):
        return what, f"The key is {right}, in {new.symbol}."
    apart = is_difference(right)
    converted = from_si(to_si(float(value), old, difference=apart), new, difference=apart)
    at_sea_level = " at sea level" if old.gauge != new.gauge else ""
    return (
        what,
        f"Write {right} = {converted:.6g} ({value:g} {old.symbol} is {converted:.6g} {new.symbol}{at_sea_level}).",
    )


def _example(key: str) -> str:
    suffix = split_key(key)[1]
    return f"{key} = … ({SUFFIXES[suffix].symbol})" if suffix else f"{key} = …"


def _range_remedy(made: object, key: str) -> str:
    """What to do about ``key``: perhaps the number was written down in another unit."""
    limits: Mapping[str, tuple[float, float]] = getattr(made, "RANGES", {})
    value = getattr(made, key, None)
    if key not in limits or value is None or limits[key][0] <= value <= limits[key][1]:
        return f"Correct {key}."
    low, high = limits[key]
    wanted = split_key(key)[1]
    for unit in SUFFIXES.values() if wanted else ():
        if unit.quantity == SUFFIXES[wanted].quantity and not unit.gauge:
            converted = from_si(to_si(value, unit), SUFFIXES[wanted])
            if low <= converted <= high:
                return f"If it is {value:g} {unit.symbol}, write {key} = {converted:.6g}."
    return "Give a value within that range."


@cache
def _hints(cls: type) -> dict[str, Any]:
    return typing.get_type_hints(cls)


def _convert(value: object, hint: Any) -> Any:
    """``value`` as the type ``hint``. Raises ValueError with the end of a sentence."""
    origin = typing.get_origin(hint)
    if origin in (typing.Union, types.UnionType):
        return _convert_union(
            value, [kind for kind in typing.get_args(hint) if kind is not type(None)]
        )
    if origin is typing.Literal:
        return _convert_choice(value, typing.get_args(hint))
    if origin is tuple:
        return _convert_array(value, typing.get_args(hint)[0])
    return _SIMPLE[hint](value)


def _convert_union(value: object, kinds: list[Any]) -> Any:
    for kind in kinds[:-1]:
        try:
            return _convert(value, kind)
        except ValueError:
            continue
    return _convert(value, kinds[-1])


def _convert_choice(value: object, choices: tuple[Any, ...]) -> Any:
    if value not in choices or isinstance(value, bool):
        raise ValueError(f"is {value!r}, which is no choice here")
    return value


def _convert_array(value: object, kind: Any) -> tuple[Any, ...]:
    if not isinstance(value, list):
        raise ValueError("must be an array")
    return tuple(_convert(item, kind) for item in value)


def _to_float(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise ValueError("must be a number")
    try:
        number = float(value)
    except OverflowError:
        raise ValueError("is too large a number") from None
    if not math.isfinite(number):
        raise ValueError("is not a finite number")
    return number


def _to_int(value: object) -> int:
    if isinstance(value, bool) or not isinstance(value, int):
        raise ValueError("must be a whole number")
    if abs(value) > 2**53:
        raise ValueError("is too large a number")
    return value


def _to_str(value: object) -> str:
    if not isinstance(value, str):
        raise ValueError("must be text in quotes")
    return value


def _to_bool(value: object) -> bool:
    if not isinstance(value, bool):
        raise ValueError("must be true or false")
    return value


_SIMPLE: dict[Any, Any] = {float: _to_float, int: _to_int, str: _to_str, bool: _to_bool}


def _type_remedy(key: str, hint: Any) -> str:
    for kind in (hint, *typing.get_args(hint)):
        if typing.get_origin(kind) is typing.Literal:
            return f"Choose one of: {', '.join(map(str, typing.get_args(kind)))}."
    suffix = split_key(key)[1]
    if suffix:
        return f"Give a plain number in {SUFFIXES[suffix].symbol}."
    return f"Correct the value of {key}."

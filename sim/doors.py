"""How Python enters the machine code: arguments as a row of 8-byte words, results behind them.

A number is a word (a complex one two), an array is what numba makes of it (two unused words, items, bytes an item, address, shape, strides), a NamedTuple of
arrays is the address of its fields' words, which are written once and kept: nothing that a bench keeps moves. The machine code behind a door is made for
exactly the kinds that the annotations name (``sim.arrays``); anything else is refused, because it would read beside its memory.
"""

from __future__ import annotations

import ctypes
import struct
from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache, cached_property
from typing import Any, TypeVar, cast, get_args, get_origin, get_type_hints

import numpy as np

from sim.compiled import Law
from sim.library import enter

F = TypeVar("F", bound=Callable[..., object])
KEPT_BUNDLES = 64
"""NamedTuples whose words are kept; a bench has four."""


@dataclass(frozen=True)
class Number:
    """A scalar: its Python type and how ``struct`` writes it."""

    type: type
    code: str


@dataclass(frozen=True)
class Axes:
    """A C-ordered array: its dtype and how many axes it has."""

    dtype: np.dtype[Any]
    count: int


@dataclass(frozen=True)
class Bundle:
    """A NamedTuple of arrays and of other such tuples."""

    type: type
    fields: tuple[Axes | Bundle, ...]


Kind = Number | Axes | Bundle
CODES = {float: "d", int: "q", bool: "q", complex: "dd"}


@dataclass(frozen=True)
class Signature:
    """What a door takes and gives back (numbers only)."""

    arguments: tuple[Kind, ...]
    results: tuple[Number, ...]
    several: bool


def kind_of(hint: Any) -> Kind:
    """The kind that an annotation names. Raises TypeError for one that no door can take."""
    if hint in CODES:
        return Number(hint, CODES[hint])
    if getattr(hint, "__metadata__", None):
        array, (count,) = get_args(hint)[0], hint.__metadata__
        return Axes(np.dtype(get_args(get_args(array)[1])[0]), count)
    if isinstance(hint, type) and issubclass(hint, tuple):
        return _bundle(hint)
    raise TypeError(f"no door can take {hint}: numbers, arrays of sim.arrays, and NamedTuples of those")  # fmt: skip


@cache
def _bundle(type_: type) -> Bundle:
    fields = get_type_hints(type_, include_extras=True).values()
    return Bundle(type_, tuple(cast(Axes | Bundle, kind_of(hint)) for hint in fields))


def signature_of(function: Callable[..., object]) -> Signature:
    """What the annotations of a function say. Raises TypeError."""
    hints = get_type_hints(function, include_extras=True)
    result = hints.pop("return")
    several = get_origin(result) is tuple
    results = get_args(result) if several else () if result is type(None) else (result,)
    numbers = tuple(kind_of(one) for one in results)
    return Signature(tuple(map(kind_of, hints.values())), cast(tuple[Number, ...], numbers), several)  # fmt: skip


class _Bundles:
    """Words of NamedTuples, at an address that stays while they are kept."""

    def __init__(self) -> None:
        self._kept: OrderedDict[int, tuple[object, Any, int]] = OrderedDict()

    def address(self, kind: Bundle, value: Any) -> int:
        """Where the words of a NamedTuple lie. Raises TypeError for one of another kind."""
        _check_type(kind, value)
        found = self._kept.get(id(value))
        if found is None:
            words: list[float] = []
            _write_fields(kind, value, words)
            block = (ctypes.c_int64 * len(words))(*cast(list[int], words))
            found = self._kept[id(value)] = (value, block, ctypes.addressof(block))
            if len(self._kept) > KEPT_BUNDLES:
                self._kept.popitem(last=False)
        return found[2]


_BUNDLES = _Bundles()


def _check_type(kind: Bundle, value: object) -> None:
    found: Any = type(value)
    if found is not kind.type:
        raise TypeError(f"{kind.type.__name__} expected, not {found.__name__}")


def _write_fields(kind: Bundle, value: Any, words: list[float]) -> None:
    for field, one in zip(kind.fields, value, strict=True):
        if isinstance(field, Bundle):
            _check_type(field, one)
            _write_fields(field, one, words)
        else:
            _write_array(field, one, words)


def _write_array(kind: Axes, value: Any, words: list[float]) -> None:
    if not (type(value) is np.ndarray and value.dtype == kind.dtype and value.ndim == kind.count and value.flags.c_contiguous):  # fmt: skip
        raise TypeError(f"a C-ordered {kind.dtype} array of {kind.count} axes expected, not {value!r}")  # fmt: skip
    address = value.__array_interface__["data"][0]
    words += (0, 0, value.size, value.itemsize, address, *value.shape, *value.strides)


def _write(kind: Kind, value: Any, words: list[float]) -> None:
    if isinstance(kind, Bundle):
        words.append(_BUNDLES.address(kind, value))
    elif isinstance(kind, Axes):
        _write_array(kind, value, words)
    elif kind.type is complex:
        words += (value.real, value.imag)
    else:
        words.append(value)


def _words(kind: Kind) -> str:
    """How ``struct`` writes a kind."""
    if isinstance(kind, Number):
        return kind.code
    return "q" if isinstance(kind, Bundle) else "q" * (5 + 2 * kind.count)


class Door(Law):
    """A law that the program calls from Python, through the library of machine code."""

    @property
    def symbol(self) -> str:
        """Its name in the library."""
        return self.name.replace(".", "_")

    @cached_property
    def signature(self) -> Signature:
        """What it takes and gives back."""
        return signature_of(self.py_func)

    @cached_property
    def _enter(self) -> Callable[..., Any]:
        kinds = self.signature.arguments
        into = struct.Struct("=" + "".join(map(_words, kinds)))
        out = struct.Struct("=" + "".join(one.code for one in self.signature.results))
        types = [one.type for one in self.signature.results]
        room = ctypes.c_char * (into.size + out.size)
        code = enter(self.symbol)
        several = self.signature.several

        def call(*arguments: object) -> Any:
            words: list[float] = []
            for kind, value in zip(kinds, arguments, strict=True):
                _write(kind, value, words)
            memory = room()
            into.pack_into(memory, 0, *words)
            if code(memory):
                raise ArithmeticError(f"{self.name} failed")
            if not types:
                return None
            found = out.unpack_from(memory, into.size)
            if several:
                return tuple(_returned(types, found))
            return next(_returned(types, found))

        return call

    def __call__(self, *arguments: object, **named: object) -> Any:
        if named:
            raise TypeError(f"{self.name} takes its arguments by position")
        return self._enter(*arguments)


def _returned(types: list[type], found: tuple[Any, ...]) -> Any:
    at = iter(found)
    for one in types:
        yield complex(next(at), next(at)) if one is complex else bool(next(at)) if one is bool else next(at)  # fmt: skip


DOORS: dict[str, Door] = {}
"""All doors by their names in the library, filled as modules are imported."""


def door(function: F) -> F:
    """A law that the program calls from Python; its annotations say what it takes."""
    made = Door(function)
    DOORS[made.symbol] = made
    return cast(F, made)

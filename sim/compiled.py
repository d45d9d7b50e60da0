"""The decorators of numerical functions: plain Python to read and test, machine code to run.

``@compiled`` marks a law; laws call each other in machine code. ``@inlined`` is one whose code is pasted into every caller. ``@door`` (``sim.doors``) is a law
that the program calls from Python. All of them become one library of machine code, made once on a machine (``sim.forge``) and loaded at every start
(``sim.library``); the running program needs no compiler.

A law that is no door is called from Python by tests only. Then numba compiles it on its own, in the process that asks, and remembers it in the cache folder.
The undecorated function stays reachable as ``f.py_func``.
"""

from __future__ import annotations

import functools
import importlib
from collections.abc import Callable
from functools import cache, cached_property
from types import FunctionType
from typing import Any, TypeVar, cast

from sim.cache import cache_folder, writable

F = TypeVar("F", bound=Callable[..., object])
FORGING: list[bool] = []
"""Not empty while laws are lowered for the library: numba then has nothing to remember."""


class Law:
    """A numerical function on scalars and arrays; division by zero gives inf as in numpy. It makes no arrays and keeps none: machine code without reference counts."""

    def __init__(self, function: Callable[..., object], *, pasted: bool = False) -> None:
        functools.update_wrapper(self, function)
        self.py_func = cast(FunctionType, function)
        self.pasted = pasted

    @property
    def name(self) -> str:
        """Module and function: the name of the machine code."""
        return f"{self.py_func.__module__}.{self.py_func.__qualname__}"

    @cached_property
    def dispatcher(self) -> Any:
        """The law as numba's compiler calls it from another."""
        return _compile(self.py_func, no_cpython_wrapper=True, forceinline=self.pasted)

    @cached_property
    def _alone(self) -> Any:
        """The law with a way in from Python; a copy under a name of its own, so that the cache keeps the two apart."""
        f = self.py_func
        copy = FunctionType(f.__code__, f.__globals__, f.__name__, None, f.__closure__)
        copy.__module__, copy.__qualname__ = f.__module__, f"{f.__qualname__}.alone"
        return _compile(copy)

    def __call__(self, *arguments: object, **named: object) -> Any:
        return self._alone(*arguments, **named)


def compiled(function: F) -> F:
    """A law."""
    return cast(F, Law(function))


def inlined(function: F) -> F:
    """A law whose machine code is pasted into every caller: one that is called millions of times with many arrays."""
    return cast(F, Law(function, pasted=True))


def _compile(function: Callable[..., object], **options: object) -> Any:
    keep = not FORGING and writable(cache_folder())
    return numba().njit(cache=keep, error_model="numpy", no_cfunc_wrapper=True, _nrt=False, **options)(function)  # fmt: skip


@cache
def numba() -> Any:
    """The compiler, taught what a law is."""
    found: Any = importlib.import_module("numba")
    if writable(cache_folder()):
        found.core.config.CACHE_DIR = str(cache_folder())

    def type_of(law: Law, _context: object) -> Any:
        return found.types.Dispatcher(law.dispatcher)

    found.extending.typeof_impl.register(Law, type_of)
    return found

"""The decorators that compile a numerical function; ``@compiled`` is the usual one, the others save time in the kernel.

They are numba's ``njit`` with an on-disk cache. The cache lives in the platform's cache folder, in a directory named after a hash of every
kernel source and of the versions that matter, because numba does not notice when an *imported* function changes. A cache folder that cannot
be written only costs the compile time at each start; it is never an error.

The undecorated function stays reachable as ``f.py_func`` for tests that want to step through the equations in plain Python.
"""

from __future__ import annotations

import hashlib
import importlib
import os
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path
from types import FunctionType
from typing import Any, TypeVar, cast

import numpy
from platformdirs import user_cache_dir


def _load_numba() -> Any:
    """numba without scipy, which it would import only to offer linear algebra to kernels: a sixth of a second of every start.

    If scipy is there already, numba may have it. The kernels use none of it.
    """
    hidden = "scipy" not in sys.modules
    if hidden:
        sys.modules["scipy"] = None  # type: ignore[assignment]
    try:
        importlib.import_module("numba.np.arraymath")
        return importlib.import_module("numba")
    finally:
        if hidden:
            del sys.modules["scipy"]


numba = _load_numba()
numba_config = numba.core.config
_Dispatcher: Any = numba.core.registry.CPUDispatcher

F = TypeVar("F", bound=Callable[..., object])

_PACKAGE = Path(__file__).parent
DECORATORS = (b"@compiled", b"@inlined", b"@merged", b"@allocating")
CONSTANTS_ONLY = ("columns.py", "plant.py", "compiled.py")
"""Files without a compiled function whose constants the kernels freeze."""


def source_key() -> str:
    """Hash of all Python sources under ``sim`` and of the interpreter, numba and numpy versions."""
    digest = hashlib.sha256()
    for path in sorted(_PACKAGE.rglob("*.py")):
        text = path.read_bytes()
        if any(name in text for name in DECORATORS) or path.name in CONSTANTS_ONLY:
            digest.update(path.relative_to(_PACKAGE).as_posix().encode())
            digest.update(text)
    digest.update(f"{sys.version_info[:3]} {numba.__version__} {numpy.__version__}".encode())
    return digest.hexdigest()[:16]


def cache_folder() -> Path:
    """Folder that holds the compiled kernels of exactly these sources (it may not exist yet)."""
    base = os.environ.get("RIMEBENCH_CACHE") or user_cache_dir("rimebench")
    return Path(base) / f"kernels-{source_key()}"


def _writable(folder: Path) -> bool:
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


_FOLDER = cache_folder()
CACHED = _writable(_FOLDER)
if CACHED:
    setattr(numba_config, "CACHE_DIR", str(_FOLDER))  # noqa: B010 - numba builds this module at run time


def _compile(function: F, **options: object) -> F:
    made = numba.njit(cache=CACHED, error_model="numpy", no_cfunc_wrapper=True, **options)(function)
    return cast(F, made)


class Inside(_Dispatcher):  # type: ignore[misc]
    """A compiled function whose door from Python is only built when someone comes in by it.

    Unpacking arguments at a door takes longer to compile than most laws, and nearly all calls come from compiled functions. The door is compiled
    from a copy of the function, under a name of its own so that the cache keeps the two apart.
    """

    _door: Any = None

    def __call__(self, *arguments: object, **named: object) -> object:
        if self._door is None:
            f = self.py_func
            copy = FunctionType(f.__code__, f.__globals__, f.__name__, None, f.__closure__)
            copy.__module__, copy.__qualname__ = f.__module__, f"{f.__qualname__}.door"
            self._door = _compile(copy, _nrt=False)
        return self._door(*arguments, **named)


def _inside(function: F, **options: object) -> F:
    made = _compile(function, _nrt=False, no_cpython_wrapper=True, **options)
    cast(Any, made).__class__ = Inside
    return made


def compiled(function: F) -> F:
    """Compile ``function`` for scalars and arrays; division by zero gives inf as in numpy.

    It must not make arrays: the code is free of reference counting, which otherwise costs more than the equations.
    """
    return _inside(function)


def inlined(function: F) -> F:
    """As ``compiled``, but the machine code is pasted into every caller: for a law that is called millions of times with many arrays."""
    return _inside(function, forceinline=True)


def merged(function: F) -> F:
    """As ``compiled``, for a function with a single caller: it becomes part of the caller before compilation, which saves compiling its callees again."""
    return _inside(function, inline="always")


def allocating(function: F) -> F:
    """As ``compiled``, for the few functions that make an array of their own."""
    return _compile(function)

"""The folder of compiled machine code, and those of earlier versions, which nothing uses any more. It is named after everything that went into it, so that a change anywhere makes it anew.

It lies in the platform's cache folder, or in ``RIMEBENCH_CACHE``. One that cannot be written only costs the compile time at each start; it is never an error.
"""

from __future__ import annotations

import hashlib
import os
import platform
import re
import shutil
import tempfile
from collections.abc import Callable, Sequence
from contextlib import suppress
from functools import cache
from importlib.util import find_spec
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

_PACKAGE = Path(__file__).parent
DECORATORS = (b"@compiled", b"@inlined", b"@door")
WITHOUT_LAWS = (
    "arrays.py",
    "columns.py",
    "plant.py",
    "compiled.py",
    "doors.py",
    "bundle_type.py",
    "forge.py",
)
"""Files without a law whose constants the laws freeze, or that say how laws are compiled."""
COMPILER = ("numba", "llvmlite")
KERNELS = re.compile(r"kernels-[0-9a-f]{16}")
KEPT_DAYS = 30.0
"""Another environment or an older copy on the same machine may still want its machine code."""
DAY_S = 86_400.0


def laws() -> list[Path]:
    """All Python files under ``sim`` that hold a law."""
    return [path for path in sorted(_PACKAGE.rglob("*.py")) if _holds_a_law(path.read_bytes())]


def _holds_a_law(text: bytes) -> bool:
    return any(line.startswith(DECORATORS) for line in text.splitlines())


@cache
def source_key() -> str:
    """Hash of every source that becomes machine code, of the compiler's version and of the machine's kind."""
    digest = hashlib.sha256()
    for path in sorted({*laws(), *(_PACKAGE / name for name in WITHOUT_LAWS)}):
        digest.update(path.relative_to(_PACKAGE).as_posix().encode())
        digest.update(path.read_bytes())
    for name in COMPILER:
        digest.update(_version_of(name))
    digest.update(f"{platform.system()} {platform.machine()}".encode())
    return digest.hexdigest()[:16]


def _version_of(name: str) -> bytes:
    """The file in which a package of the compiler says its version, without an import of it (or of ``importlib.metadata``: 20 ms of each start); nothing where there is none: who compiles will say so."""
    found = find_spec(name)
    if found is None or found.origin is None:
        return b""
    says = Path(found.origin).with_name("_version.py")
    return (says if says.is_file() else Path(found.origin)).read_bytes()


def cache_folder() -> Path:
    """Folder that holds the machine code of exactly these sources (it may not exist yet)."""
    base = os.environ.get("RIMEBENCH_CACHE") or _user_cache()
    return Path(base) / f"kernels-{source_key()}"


def _user_cache() -> str:
    from platformdirs import user_cache_dir

    return user_cache_dir("rimebench")


@cache
def writable(folder: Path) -> bool:
    """Can something be written there? Makes the folder."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryFile(dir=folder):
            return True
    except OSError:
        return False


def put(path: Path, write: Callable[[Path], object]) -> None:
    """Write a file beside its place and move it there, so that nobody finds half of it. Raises OSError."""
    beside = path.with_name(f"{path.name}.{os.getpid()}")
    try:
        write(beside)
        os.replace(beside, path)
    finally:
        beside.unlink(missing_ok=True)


def kept(name: str, inputs: Sequence[NDArray[np.float64]], make: Callable[[], NDArray[np.float64]]) -> NDArray[np.float64]:  # fmt: skip
    """The array that ``make`` computes from ``inputs``: found beside the machine code that computes it, or computed and left there."""
    digest = hashlib.sha256(b"".join(np.ascontiguousarray(one).tobytes() for one in inputs))
    path = cache_folder() / f"{name}-{digest.hexdigest()[:32]}.npy"
    with suppress(OSError, ValueError, EOFError):
        found: NDArray[np.float64] = np.load(path, allow_pickle=False)
        return found
    made = make()
    with suppress(OSError):
        put(path, lambda beside: _save(beside, made))
    return made


def _save(path: Path, array: NDArray[np.float64]) -> None:
    with path.open("wb") as stream:
        np.save(stream, array)


def remove_old_kernels(now_s: float) -> int:
    """Remove machine code of other versions that are older than ``KEPT_DAYS`` from the cache; what cannot be removed stays. Returns the bytes freed."""
    current = cache_folder()
    freed = 0
    try:
        others = [one for one in current.parent.iterdir() if one.name != current.name]
    except OSError:
        return 0
    for folder in others:
        if KERNELS.fullmatch(folder.name) and folder.is_dir() and not folder.is_symlink():
            before, newest = _size_and_time(folder)
            if now_s - newest > KEPT_DAYS * DAY_S:
                shutil.rmtree(folder, ignore_errors=True)
                freed += before - _size_and_time(folder)[0]
    return freed


def _size_and_time(folder: Path) -> tuple[int, float]:
    """Bytes of all files in a folder, and the instant at which the newest was written; links are not followed."""
    size, newest = 0, 0.0
    for path in [folder, *folder.rglob("*")]:
        try:
            found = path.lstat()
        except OSError:
            continue
        size += 0 if path.is_dir() else found.st_size
        newest = max(newest, found.st_mtime)
    return size, newest

"""The library of machine code: found in the cache folder, or made there first by another process, which takes the compiler's memory with it.

Two forms: a shared library, where a linker was found when it was made, or the bare object, which llvmlite loads (some 20 MB more in memory).
"""

from __future__ import annotations

import ctypes
import subprocess
import sys
import tempfile
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from sim.cache import cache_folder, writable
from sim.errors import PlantError

SHARED = "laws.so"
OBJECT = "laws.o"
COMPILING = "compiling the plant's equations for this machine"
MODULE = "sim.forge"
REMEDY = "install numba and llvmlite as pyproject.toml asks, and let RIMEBENCH_CACHE name a folder that can be written"

Progress = Callable[[str, float | None], None]
Entry = Callable[[Any], int]


_LOADED: list[Callable[[str], int]] = []
_LISTENING: list[Progress] = []


def listen(progress: Progress) -> None:
    """Tell ``progress`` how far making the library has come, should it have to be made in the middle of something else."""
    _LISTENING[:] = [progress]


def ready(progress: Progress | None = None) -> None:
    """Have the library loaded, telling how far making it has come. Raises PlantError when it cannot be made."""
    if not _LOADED:
        _LOADED.append(_open(progress or (_LISTENING or [_silent])[0]))


def _silent(what: str, share: float | None) -> None:
    """Nobody wants to know."""


@cache
def enter(symbol: str) -> Entry:
    """The machine code of a door: takes the address of its words, returns zero. Raises PlantError."""
    ready()
    return ctypes.PYFUNCTYPE(ctypes.c_int, ctypes.c_void_p)(_LOADED[0](symbol))


def _open(progress: Progress) -> Callable[[str], int]:
    folder = cache_folder()
    found = _load(folder)
    if found is not None:
        return found
    if writable(folder):
        make(folder, progress)
        found = _load(folder)
    else:
        with tempfile.TemporaryDirectory(prefix="rimebench-", ignore_cleanup_errors=True) as room:
            make(Path(room), progress)
            found = _load(Path(room))
    if found is None:
        raise PlantError("compiling", f"the compiled equations cannot be loaded: {REMEDY}")
    return found


def make(folder: Path, progress: Progress) -> None:
    """Let another process compile all laws into a folder. Raises PlantError with what it said last when it fails."""
    command = [sys.executable, "-c", f"import sys; sys.path[:] = {sys.path!r}; from {MODULE} import main; main()", str(folder)]  # fmt: skip
    with tempfile.TemporaryFile("w+", encoding="utf-8") as complaints:
        with subprocess.Popen(command, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=complaints, text=True) as process:  # fmt: skip
            try:
                for line in process.stdout or ():
                    progress(COMPILING, float(line))
                process.wait()
            finally:
                process.kill()  # for one that was not waited for; the others do not mind
        if process.returncode:
            complaints.seek(0)
            last = (complaints.read().strip().splitlines() or ["it said nothing"])[-1]
            raise PlantError("compiling", f"the plant's equations cannot be compiled ({last}): {REMEDY}")  # fmt: skip


def _load(folder: Path) -> Callable[[str], int] | None:
    """A way from names to addresses, or nothing when there is nothing that can be loaded."""
    shared, bare = folder / SHARED, folder / OBJECT
    try:
        library = ctypes.CDLL(str(shared))
    except OSError:
        return _linked(bare.read_bytes()) if bare.is_file() else None
    return lambda symbol: ctypes.cast(getattr(library, symbol), ctypes.c_void_p).value or 0


def _linked(code: bytes) -> Callable[[str], int]:
    """Let llvmlite link a bare object in memory."""
    import llvmlite.binding as llvm

    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    if sys.platform == "win32":
        for name in ("exp", "log", "pow"):
            llvm.add_symbol(name, ctypes.cast(getattr(ctypes.cdll.ucrtbase, name), ctypes.c_void_p).value)  # fmt: skip
    machine = llvm.Target.from_triple(llvm.get_process_triple()).create_target_machine(jit=True)
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), machine)
    engine.add_object_file(llvm.ObjectFileRef.from_data(code))
    engine.finalize_object()

    def address(symbol: str) -> int:
        return int(engine.get_function_address(symbol))

    return address

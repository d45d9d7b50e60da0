"""What the first start has to compile: how far it has come, and the kernels of earlier versions in the cache, which nothing uses any more.

A share needs a whole. On a machine without a cache a known number of functions is compiled until a bench has taken its first step; with a cache it is fewer, down to none, and the
share ends early.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any, cast

import numpy as np

from sim import columns as c
from sim.bench import Bench
from sim.columns import P_P
from sim.compiled import cache_folder, numba
from sim.errors import InputError
from sim.fluid_kernel import SAT_HL, SAT_HV
from sim.jacobian import jacobian
from sim.measure import View
from sim.network import build_plant
from sim.rig import load_rig
from sim.switches import MAIN_SWITCH

Shares = tuple[tuple[int, ...], tuple[float, ...]]
# measured on a machine without a cache; a check measures anew
ALONE: Shares = (0, 60, 120, 180, 240, 277, 285, 300, 306), (0.0, 0.1, 0.18, 0.31, 0.46, 0.77, 0.83, 0.99, 1.0)  # fmt: skip
"""Functions that are done, and the share of the whole time that they took: the last ones, which hold all others, are the largest."""
BESIDE: Shares = (0, 60, 120, 180, 220, 231, 240, 252), (0.0, 0.13, 0.27, 0.44, 0.65, 0.78, 0.97, 1.0)  # fmt: skip
"""The same while another process compiles the Jacobian."""
MOST_SHARE = 0.99
"""What is compiled is not yet ready."""
COMPILING = "compiling the plant's equations for this machine"
FIRST_STEP_S = 1.0
BESIDE_J_KG = 1e4
"""A little beside the saturation lines."""
KERNELS = re.compile(r"kernels-[0-9a-f]{16}")
KEPT_DAYS = 30.0
"""Another environment or an older copy on the same machine may still want its kernels."""
DAY_S = 86_400.0

Progress = Callable[[str, float | None], None]
_Listener: Any = numba.core.event.Listener


class _Count(_Listener):  # type: ignore[misc]
    """Told of every function that is compiled, callees before their callers."""

    def __init__(self, progress: Progress, shares: Shares) -> None:
        self.done, self.progress, self.shares = 0, progress, shares

    def on_start(self, event: Any) -> None:
        """Nothing is done yet."""

    def on_end(self, event: Any) -> None:
        """One more; the compiler's own functions do not count, each version of it has others."""
        if event.data["dispatcher"].py_func.__module__.startswith(f"{__package__}."):
            self.done += 1
            self.progress(COMPILING, min(MOST_SHARE, float(np.interp(self.done, *self.shares))))


@contextmanager
def counted(progress: Progress, shares: Shares = ALONE) -> Iterator[None]:
    """Tell the share whenever a function has been compiled in this block."""
    with numba.core.event.install_listener("numba:compile", _Count(progress, shares)):
        yield


def compile_slopes(rig_name: str) -> None:
    """Compile the Jacobian alone, two fifths of all there is to compile, without running anything. Raises InputError for an unknown rig."""
    rig = load_rig(rig_name)
    plant, layout = build_plant(rig)
    n, links = layout.n_states, len(layout.plans) + 1
    nodes = np.zeros((layout.n_species + 4, layout.n_nodes, c.P_COLUMNS))
    arguments = (np.zeros(n), np.zeros((n, n)), np.zeros(layout.n_nodes), nodes, np.zeros((links, 3)), plant)  # fmt: skip
    cast(Any, jacobian).compile(tuple(numba.typeof(one) for one in arguments))


def first_step(bench: Bench) -> None:
    """Let a copy of a bench take a step and be looked at, so that whatever a run needs is compiled; the bench stays as it is. Raises PlantError."""
    copy = bench.fork()
    with suppress(InputError):  # a rig without the switch, or one that is locked off
        copy.set(MAIN_SWITCH, "on")  # a dead panel's meters compute nothing
    copy.advance(FIRST_STEP_S)
    copy.snapshot()
    view = View(copy)
    pressure = float(view.P[0, P_P])
    line = view.saturation(pressure)
    for enthalpy in (line[SAT_HL] - BESIDE_J_KG, line[SAT_HV] + BESIDE_J_KG):
        view.temperature(pressure, enthalpy)  # streams that a cold plant does not have yet


def remove_old_kernels(now_s: float) -> int:
    """Remove kernels of other versions that are older than ``KEPT_DAYS`` from the cache; what cannot be removed stays. Returns the bytes freed."""
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

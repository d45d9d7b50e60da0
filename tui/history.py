"""The last hour of the readings that trends can show, kept by the screen: a ring of 32-bit numbers."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tui.fluid_chart import FluidChart
from tui.plant import Snapshot
from tui.seen import worked_out

LEAST_STEP_S = 0.5
"""Simulated seconds between two samples; half a second is one dot of the shortest trend on a wide screen."""
CAPACITY = 8192
"""More than an hour of half seconds."""


class History:
    """Samples of some readings, in both views: what the instruments showed and what was true."""

    def __init__(self, keys: tuple[str, ...], capacity: int = CAPACITY) -> None:
        self.keys = keys
        self._rows = {(key, truth): index + 1 for index, (key, truth) in enumerate((key, truth) for key in keys for truth in (False, True))}  # fmt: skip
        self._ring = np.full((len(self._rows) + 1, capacity), np.nan, np.float32)
        self._count = 0
        self._start_s = 0.0
        self.now_s = 0.0

    def clear(self) -> None:
        """Forget everything."""
        self._count = 0
        self._ring.fill(np.nan)

    def add(self, snapshot: Snapshot, fluid: FluidChart | None) -> None:
        """Keep a sample if enough time has passed; time that runs backwards means another bench."""
        if self._count and snapshot.time_s < self.now_s:
            self.clear()
        if self._count == 0:
            self._start_s = snapshot.time_s
        elif snapshot.time_s < self.now_s + LEAST_STEP_S:
            return
        self.now_s = snapshot.time_s
        column = self._count % self._ring.shape[1]
        self._ring[0, column] = snapshot.time_s - self._start_s
        for (key, truth), row in self._rows.items():
            self._ring[row, column] = worked_out(snapshot, key, truth, fluid)
        self._count += 1

    def window(self, keys: tuple[str, ...], span_s: float, truth: bool) -> tuple[NDArray[np.float64], list[NDArray[np.float64]]]:  # fmt: skip
        """(times, one array a key) of the last ``span_s`` seconds."""
        size = self._ring.shape[1]
        kept = min(self._count, size)
        index = np.arange(self._count - kept, self._count) % size
        times = self._ring[0, index].astype(np.float64) + self._start_s
        index = index[np.searchsorted(times, self.now_s - span_s) :]
        times = self._ring[0, index].astype(np.float64) + self._start_s
        return times, [self._ring[self._rows[key, truth], index].astype(np.float64) for key in keys]

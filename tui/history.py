"""The whole session's readings, kept by the screen for trends, trails and exports, in bounded memory.

Each reading is kept as the lowest and the highest value of equal spans of the plant's time, half a second at first. When the room is used up, neighbouring spans become
one and spans are twice as long from then on: the record always reaches back to its beginning, and no peak is ever lost.
"""

from __future__ import annotations

from itertools import product

import numpy as np
from numpy.typing import NDArray

from tui.derived import DERIVED
from tui.fluid_chart import FluidChart
from tui.plant import Snapshot
from tui.seen import all_worked_out

LEAST_STEP_S = 0.5
"""Half a second is one dot of the shortest trend on a wide screen."""
CAPACITY = 4096
"""Half an hour of half seconds, an hour of whole ones, and so on."""
Numbers = NDArray[np.float64]


class History:
    """Spans of all readings that are numbers, in both views: what the instruments showed and what was true."""

    def __init__(self, capacity: int = CAPACITY) -> None:
        self.capacity = capacity
        self.clear()

    def clear(self) -> None:
        """Forget everything."""
        self.step_s = LEAST_STEP_S
        self.now_s = self.start_s = 0.0
        self._keys: tuple[str, ...] = ()
        self._rows: dict[tuple[str, bool], int] = {}
        self._times = np.zeros(self.capacity)
        self._low = self._high = np.zeros((0, self.capacity), np.float32)
        self._count = 0

    @property
    def keys(self) -> tuple[str, ...]:
        """Readings that it has."""
        return self._keys

    def add(self, snapshot: Snapshot, fluid: FluidChart | None, inside: FluidChart | None = None) -> None:  # fmt: skip
        """Keep what a snapshot says; time that runs backwards takes back what was to come. ``inside`` is of what is in the plant, if that is another refrigerant."""
        if not self._rows:
            self._begin(snapshot)
        elif snapshot.time_s < self.now_s:
            self._cut(snapshot.time_s)
        elif snapshot.time_s == self.now_s and self._count:
            return
        self.now_s = snapshot.time_s
        values = np.array([all_worked_out(snapshot, self._keys, truth, of) for truth, of in ((False, fluid), (True, inside or fluid))], np.float32).ravel()  # fmt: skip
        last = self._count - 1
        if last < 0 or snapshot.time_s >= self._times[last] + self.step_s:
            if self._count == self.capacity:
                self._halve()
            last, self._count = self._count, self._count + 1
            self._times[last] = snapshot.time_s
            self._low[:, last] = self._high[:, last] = values
        else:
            self._low[:, last] = np.fmin(self._low[:, last], values)
            self._high[:, last] = np.fmax(self._high[:, last], values)

    def _begin(self, snapshot: Snapshot) -> None:
        numbers = [key.removesuffix("_shown") for key, value in snapshot.readings.items() if isinstance(value, int | float)]  # fmt: skip
        self._keys = tuple(dict.fromkeys([*numbers, *DERIVED]))
        self._rows = {(key, truth): row for row, (truth, key) in enumerate(product((False, True), self._keys))}  # fmt: skip
        self._low = np.full((len(self._rows), self.capacity), np.nan, np.float32)
        self._high = self._low.copy()
        self.start_s = snapshot.time_s

    def _cut(self, time_s: float) -> None:
        self._count = int(np.searchsorted(self._times[: self._count], time_s))
        self.start_s = min(self.start_s, time_s)

    def _halve(self) -> None:
        """Make one span of two."""
        half = self.capacity // 2
        pairs = slice(0, 2 * half, 2), slice(1, 2 * half, 2)
        self._times[:half] = self._times[pairs[0]]
        self._low[:, :half] = np.fmin(self._low[:, pairs[0]], self._low[:, pairs[1]])
        self._high[:, :half] = np.fmax(self._high[:, pairs[0]], self._high[:, pairs[1]])
        self._count, self.step_s = half, 2.0 * self.step_s

    def window(self, keys: tuple[str, ...], begin_s: float, end_s: float, truth: bool) -> tuple[Numbers, list[Numbers], list[Numbers]]:  # fmt: skip
        """(times, lowest, highest) of the spans from ``begin_s`` to ``end_s``, an array a key; not numbers where it has none. One that the left edge cuts begins at the edge: its peak may lie behind it."""
        times = self._times[: self._count]
        first, last = np.searchsorted(times, begin_s), np.searchsorted(times, end_s, side="right")
        if first > 0 and times[first - 1] + self.step_s > begin_s:
            first -= 1
        rows = [self._rows.get((key, truth)) for key in keys]
        missing = np.full(int(last - first), np.nan)
        low, high = ([missing if row is None else plane[row, first:last].astype(np.float64) for row in rows] for plane in (self._low, self._high))  # fmt: skip
        return np.maximum(times[first:last], begin_s), low, high

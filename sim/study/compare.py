"""Two run sheets on one clock: where their benches part, instrument by instrument, and how far they stand apart in the end."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import inf
from typing import NamedTuple

from sim.bench import Bench
from sim.events import Event
from sim.rig import Rig
from sim.run_bench import run_on
from sim.run_sheet import RunSheet
from sim.study.dials import Dial, Readings, dials_of

CURVE_POINTS = 60
"""So many looks make a curve."""


class Parting(NamedTuple):
    """One instrument of both benches."""

    tag: str
    what: str
    key: str
    unit: str
    """Of its scale."""
    first_s: float
    """When the two displays first stood apart by twice the resolution; infinite for never."""
    shift: float
    """In the end, second less first, in units of the scale; of a glass 1 when the words differ."""
    steps: float
    """The same in steps of what the instrument tells."""
    curve: tuple[float, ...]
    """The shift at each look."""


@dataclass
class Comparison:
    """What two sheets do."""

    times_s: list[float] = field(default_factory=list)
    partings: list[Parting] = field(default_factory=list)
    readings: tuple[Readings, Readings] = ({}, {})
    events: tuple[list[Event], list[Event]] = field(default_factory=lambda: ([], []))
    duration_s: float = 0.0


def compare(rigs: tuple[Rig, Rig], sheets: tuple[RunSheet, RunSheet], begin: Callable[[Rig, RunSheet], Bench], every_s: float) -> Comparison:  # fmt: skip
    """Run both to the end of the shorter one. Raises PlantError."""
    duration = min(sheet.duration_s for sheet in sheets)
    looks: list[dict[float, Readings]] = []
    benches = []
    for rig, sheet in zip(rigs, sheets, strict=True):
        bench = begin(rig, sheet)
        seen: dict[float, Readings] = {}
        cut = replace(sheet.until(duration), log_every_s=every_s)
        run_on(bench, cut, lambda at_s, row, seen=seen: seen.__setitem__(round(at_s, 6), dict(row)))  # type: ignore[misc]
        looks.append(seen)
        benches.append(bench)
    times = sorted(set(looks[0]) & set(looks[1]))
    found = Comparison(times, duration_s=duration, readings=(looks[0][times[-1]], looks[1][times[-1]]))  # fmt: skip
    found.events = (list(benches[0].events), list(benches[1].events))
    second = {dial.key: dial for dial in dials_of(rigs[1])}
    found.partings = [_parting(dial, times, looks) for dial in dials_of(rigs[0]) if dial.key in second]  # fmt: skip
    return found


def _parting(dial: Dial, times: Sequence[float], looks: Sequence[dict[float, Readings]]) -> Parting:
    shifts = [dial.shift(looks[0][at], looks[1][at]) for at in times]
    first = next((at for at, shift in zip(times, shifts, strict=True) if dial.has_moved(shift)), inf)  # fmt: skip
    steps = shifts[-1] if dial.glass else shifts[-1] / (dial.least_told or 1.0)
    stride = max(1, len(times) // CURVE_POINTS)
    return Parting(
        dial.tag, dial.what, dial.key, dial.unit, first, shifts[-1], steps, tuple(shifts[::stride])
    )

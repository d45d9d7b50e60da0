"""The plant's clock in whole microseconds, and what was put off to a later tick."""

from __future__ import annotations

from dataclasses import dataclass, field
from heapq import heapify
from typing import Any

TICKS_PER_S = 1_000_000  # times are whole microseconds


def tick_after(instant_s: float) -> int:
    """The first tick that does not lie before an instant, by the same division that makes seconds of ticks."""
    tick = int(instant_s * TICKS_PER_S)
    while tick / TICKS_PER_S < instant_s:
        tick += 1
    return tick


@dataclass(order=True)
class Due:
    """Something that was put off to a later tick: a method of ``Happenings`` by name, with its arguments."""

    tick: int
    number: int
    method: str = field(compare=False)
    arguments: tuple[Any, ...] = field(compare=False, default=())


def take_back(due: list[Due], method: str, *arguments: Any) -> None:
    """Forget every call of a method (that begins with these arguments) that was put off to later."""
    known = (method, *arguments)
    due[:] = [one for one in due if (one.method, *one.arguments)[: len(known)] != known]
    heapify(due)

"""How a fault sets in: at once, bit by bit, at a time, when something else happens, or on and off.

    share(t) = min((t - begin)/ramp, 1),  0 before the beginning;  intermittent: only while it is present

An intermittent fault is present once in every period, for ``duty`` of it; where in the period is drawn anew each time from its seed, so that nobody can set a
watch by it, and the same seed always gives the same hours. All instants are whole microseconds, like the bench's own.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, isfinite

import numpy as np

from sim.errors import InputError

TICK_S = 1e-6  # the bench's clock
RAMP_STEPS = 50  # a ramp grows in so many steps, each a fiftieth of it
LEAST_PERIOD_S = 1.0  # guess: what comes and goes faster is a rattle, not a fault that one can find
OWN_KINDS = ("fault",)
"""Kinds of event that start nothing: what an instructor does is nothing that happens on the plant."""


@dataclass(frozen=True)
class Onset:
    """How a fault sets in. ``at_s`` is an instant on the bench's clock; ``on`` is ``KIND`` or ``KIND:TAG`` of an event that starts it."""

    ramp_s: float = 0.0
    at_s: float | None = None
    on: str = ""
    period_s: float = 0.0
    """0: always there once it has set in."""
    duty: float = 0.5
    seed: int = 0

    def mistakes(self, name: str) -> list[tuple[str, str]]:
        """(key, sentence) for everything that cannot be."""
        wrong = []
        if not 0.0 <= self.ramp_s < inf:
            wrong.append(("ramp_s", f"ramp_s of {name} is {self.ramp_s:g}; it is a time from 0 up"))
        if self.at_s is not None and not (0.0 <= self.at_s < inf):
            wrong.append(("at_s", f"at_s of {name} is {self.at_s:g}; it is a time from 0 up"))
        if self.period_s and not (isfinite(self.period_s) and self.period_s >= LEAST_PERIOD_S):
            wrong.append(("period_s", f"period_s of {name} is {self.period_s:g}; what comes and goes takes {LEAST_PERIOD_S:g} s or more"))  # fmt: skip
        if not 0.0 < self.duty <= 1.0:
            wrong.append(
                ("duty", f"duty of {name} is {self.duty:g}; it is a share above 0, up to 1")
            )
        if self.seed < 0:
            wrong.append(("seed", f"seed of {name} is {self.seed}; it is a number from 0 up"))
        if self.period_s and self.ramp_s:
            wrong.append(
                ("ramp_s", f"{name} is either intermittent (period_s) or grows (ramp_s), not both")
            )
        return wrong

    def check(self, name: str) -> None:
        """Raises InputError for the first thing that cannot be."""
        for _, sentence in self.mistakes(name):
            raise InputError(f"{sentence}.")

    def starts_with(self, kind: str, tag: str) -> bool:
        """Is this event the one that it waits for?"""
        return kind not in OWN_KINDS and self.on in (kind, f"{kind}:{tag}")

    def window(self, k: int) -> tuple[float, float]:
        """(from, to) of its presence in period k, s after its beginning."""
        free = (1.0 - self.duty) * self.period_s
        begin = k * self.period_s + free * float(np.random.default_rng([self.seed, k]).random())
        return round(begin, 6), round(begin + self.duty * self.period_s, 6)

    def share(self, age_s: float) -> float:
        """How much of its severity has set in, ``age_s`` after it began (negative: before)."""
        if age_s < 0.0:
            return 0.0
        if self.period_s:
            first, last = self.window(int((age_s + 0.5 * TICK_S) / self.period_s))
            return float(first - 0.5 * TICK_S <= age_s < last - 0.5 * TICK_S)
        return 1.0 if self.ramp_s <= 0.0 else min(age_s / self.ramp_s, 1.0)

    def next_change(self, age_s: float) -> float | None:
        """Age at which ``share`` has to be looked at again; None when it stays as it is."""
        if age_s < 0.0:
            return 0.0
        if self.period_s:
            k = int((age_s + 0.5 * TICK_S) / self.period_s)
            edges = [*self.window(k), (k + 1) * self.period_s, self.window(k + 1)[0]]
            return next(edge for edge in edges if edge > age_s + 0.5 * TICK_S)
        if self.share(age_s) < 1.0:
            return age_s + self.ramp_s / RAMP_STEPS
        return None

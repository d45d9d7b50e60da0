"""From a number to a place on the screen, and the round numbers to write beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray


@dataclass(frozen=True)
class Scale:
    """Maps ``low``..``high`` onto ``start``..``end``; logarithmic on request."""

    low: float
    high: float
    start: float
    end: float
    log: bool = False

    def __call__(self, value: ArrayLike) -> NDArray[np.float64]:
        """Position of ``value``; not a number where it has none."""
        number = np.asarray(value, float)
        low, high = self.low, self.high
        if self.log:
            with np.errstate(divide="ignore", invalid="ignore"):
                number = np.log(number)
            low, high = math.log(low), math.log(high)
        return self.start + (number - low) / (high - low) * (self.end - self.start)

    def at(self, value: float) -> float:
        """Position of one ``value``; as above, without an array."""
        low, high = self.low, self.high
        if self.log:
            value = math.log(value) if value > 0.0 else math.nan
            low, high = math.log(low), math.log(high)
        return self.start + (value - low) / (high - low) * (self.end - self.start)


def round_step(span: float, most: int) -> float:
    """The smallest of 1, 2, 2.5, 5 times a power of ten that divides ``span`` into at most ``most`` steps."""
    rough = span / max(1, most)
    power = 10.0 ** math.floor(math.log10(rough)) if rough > 0 else 1.0
    for factor in (1.0, 2.0, 2.5, 5.0, 10.0):
        if factor * power >= rough * (1 - 1e-9):
            return factor * power
    return 10.0 * power


def ticks(low: float, high: float, most: int) -> list[float]:
    """Round numbers from ``low`` to ``high``, at most ``most`` + 1 of them."""
    if not high > low:
        return [low]
    step = round_step(high - low, most)
    first = math.ceil(low / step - 1e-9)
    return [index * step for index in range(first, math.floor(high / step + 1e-9) + 1)]


def log_ticks(low: float, high: float) -> list[float]:
    """1, 2 and 5 times the powers of ten between ``low`` and ``high``."""
    powers = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    marks = [factor * 10.0**power for power in powers for factor in (1, 2, 5)]
    return [mark for mark in marks if low <= mark <= high]


def tick_text(value: float) -> str:
    """A tick's number without needless digits."""
    return f"{value:.4g}"


def widen(low: float, high: float, least: float) -> tuple[float, float]:
    """A range around low..high that is at least ``least`` wide and has a little air above and below."""
    middle, half = (low + high) / 2, max((high - low) * 0.55, least / 2)
    return middle - half, middle + half

"""What a hand meter shows of a true value: range, resolution, class and the fixed gain error of this one meter. Nothing else ever sees these."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite, isnan
from random import Random

COUNTS = 6000  # common practice: a 6000-count meter


@dataclass(frozen=True)
class Function:
    """A position of the meter's knob: ranges (full scale, SI) and class (percent of reading)."""

    name: str
    unit: str
    ranges: tuple[float, ...]
    class_percent: float


# ranges and classes of an ordinary hand meter: common practice
FUNCTIONS = {
    made.name: made
    for made in (
        Function("volts", "V", (6.0, 60.0, 600.0, 1000.0), 1.0),
        Function("volts-low-impedance", "V", (6.0, 60.0, 600.0, 1000.0), 1.0),
        Function("dc-volts", "V", (6.0, 60.0, 600.0, 1000.0), 0.5),
        Function("ohms", "Ω", (600.0, 6e3, 6e4, 6e5, 6e6, 6e7), 0.9),
        Function("continuity", "Ω", (600.0,), 1.0),
        Function("farads", "F", (6e-9, 6e-8, 6e-7, 6e-6, 6e-5, 6e-4, 6e-3), 1.5),
        Function("amps", "A", (6.0, 60.0, 600.0), 2.0),
        Function("watts", "W", (600.0, 6e3, 6e4), 2.5),
        Function("power-factor", "", (1.2,), 2.5),
    )
}
PREFIXES = (  # definition: SI prefixes
    (1e6, "M"),
    (1e3, "k"),
    (1.0, ""),
    (1e-3, "m"),
    (1e-6, "µ"),
    (1e-9, "n"),
)


class Display:
    """One meter's face. The same seed is the same meter."""

    def __init__(self, seed: int) -> None:
        dice = Random(seed)
        self._gain = {
            name: 1.0 + 0.5 * dice.uniform(-1.0, 1.0) * function.class_percent / 100.0
            for name, function in FUNCTIONS.items()
        }
        """guess: a calibrated meter errs by up to half its class."""

    def number(self, name: str, value: float) -> float:
        """``value`` after gain error, range and resolution; infinite when over the last range."""
        function = FUNCTIONS[name]
        seen = value * self._gain[name]
        full = next((full for full in function.ranges if abs(seen) < full), None)
        if full is None or isnan(seen):
            return float("inf")
        step = full / COUNTS
        return round(seen / step) * step

    def text(self, name: str, value: float) -> str:
        """What stands on the face: digits and unit, or OL."""
        function, shown = FUNCTIONS[name], self.number(name, value)
        if not isfinite(shown):
            return "OL"
        full = next(full for full in function.ranges if abs(shown) <= full)
        scale, prefix = next(p for p in PREFIXES if full >= 5.0 * p[0]) if function.unit else (1.0, "")  # fmt: skip
        step = full / COUNTS / scale
        digits = max(0, len(f"{step:.9f}".rstrip("0").partition(".")[2]))
        return f"{shown / scale:.{digits}f} {prefix}{function.unit}".rstrip()

"""Instruments as a calculation needs them: scale, smallest step, class; and how far a display may stand from what is true."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import hypot
from typing import Protocol

from sim.units import SYMBOLS, Unit

EDGE = 1e-6
"""Of a step: displays are whole steps, converted to SI and back."""


class InstrumentLike(Protocol):
    """A rig's instrument (``sim.rig.Instrument``)."""

    @property
    def tag(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def what(self) -> str: ...
    @property
    def reading(self) -> str: ...
    @property
    def unit(self) -> str: ...
    @property
    def low(self) -> float: ...
    @property
    def high(self) -> float: ...
    @property
    def resolution(self) -> float: ...
    @property
    def class_percent(self) -> float: ...
    @property
    def lag_s(self) -> float: ...
    @property
    def float_density_kg_m3(self) -> float: ...
    @property
    def scale_density_kg_m3(self) -> float: ...


@dataclass(frozen=True)
class Scale:
    """One instrument. ``low``, ``high`` and ``step`` in its own ``unit``; the methods in SI."""

    tag: str
    what: str
    reading: str
    """What it shows; "flowmeter" for a flowmeter, whose display is in its scale's unit."""
    unit: str
    low: float
    high: float
    step: float
    class_percent: float
    lag_s: float = 0.0
    float_kg_m3: float = 0.0
    scale_kg_m3: float = 0.0

    @property
    def _in(self) -> Unit:
        return SYMBOLS[self.unit] if self.unit else Unit("", "number")

    @property
    def step_si(self) -> float:
        """Its smallest step."""
        return self.step * self._in.factor

    @property
    def limit_si(self) -> float:
        """Its largest permissible error: the class is a share of the span (EN 837-1 for gauges, IEC 60051-1 for meters; the others: common practice)."""
        return self.class_percent / 100.0 * (self.high - self.low) * self._in.factor

    @property
    def reading_doubt(self) -> float:
        """How far a display may be off for its steps alone: half of one."""
        return self.step_si / 2.0

    @property
    def doubt(self) -> float:
        """For class and steps, which do not know of each other."""
        return hypot(self.limit_si, self.reading_doubt)

    def off_scale(self, dialled: float) -> str:
        """Why a display, in the scale's unit, says nothing; '' when it does."""
        if self.reading == "flowmeter" and dialled < self.low:
            return f"{self.tag}: the float rests on its stop, below {self.low:g} {self.unit}"
        if dialled <= self.low + EDGE * self.step and self.reading not in ("voltage_v", "current_a", "power_w"):  # fmt: skip
            return f"{self.tag} stands at the lower end of its scale"
        if dialled >= self.high - EDGE * self.step:
            return f"{self.tag} stands at the upper end of its scale"
        return ""

    def dialled(self, si: float, atmosphere_pa: float) -> float:
        """A display in the scale's unit."""
        unit = self._in
        return (si - unit.offset - (atmosphere_pa if unit.gauge else 0.0)) / unit.factor


def scales_of(instruments: Iterable[InstrumentLike]) -> dict[str, Scale]:
    """The instruments of a rig that show a number, one a reading."""
    found: dict[str, Scale] = {}
    for one in instruments:
        if one.kind != "glass":
            key = "flowmeter" if one.kind == "flowmeter" else one.reading
            found.setdefault(key, Scale(one.tag, one.what, key, one.unit, one.low, one.high, one.resolution, one.class_percent, one.lag_s, one.float_density_kg_m3, one.scale_density_kg_m3))  # fmt: skip
    return found

"""Switches and controls of a rig: what a hand turns, and what opens a contact by itself. Data only; the contacts are worked by the bench.

A pressure in these records is absolute; differences are differences.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from sim.record import range_faults

EMERGENCY_STOP, MAIN_SWITCH = "HS-0", "HS-1"
"""Tags that every rig with a panel uses for these two."""
Limits = dict[str, tuple[float, float]]


@dataclass(frozen=True, kw_only=True)
class Switch:
    """Base of all switches. ``what`` is one plain line for lists and cards."""

    KIND: ClassVar[str] = ""
    RANGES: ClassVar[Limits] = {}
    HAZARDS: ClassVar[tuple[str, ...]] = ()

    tag: str
    what: str


@dataclass(frozen=True, kw_only=True)
class Selector(Switch):
    """A hand switch with named positions."""

    KIND = "selector"

    choices: tuple[str, ...]
    initial: str
    works: str = ""
    """Tag of the part that it works, when that is one part."""
    guarded: bool = False
    """Under a cover that has to be lifted first."""

    def check(self) -> list[tuple[str, str]]:
        """A selector needs two different positions and starts in one of them."""
        faults = []
        if len(self.choices) < 2 or len(set(self.choices)) < len(self.choices):
            faults.append(("choices", "choices must name at least two different positions"))
        if self.initial not in self.choices:
            faults.append(
                ("initial", f"initial is {self.initial!r}, which is no position of this switch")
            )
        return faults


@dataclass(frozen=True, kw_only=True)
class LoadBox(Selector):
    """The load box round an air stream: open to room air, closed, or closed and heated."""

    KIND = "load_box"
    RANGES: ClassVar[Limits] = {
        "most_heat_w": (0.0, 2000.0),
        "wall_conductance_w_k": (0.01, 50.0),
        "heat_capacity_j_k": (100.0, 1e5),
        "air_kg": (0.01, 10.0),
        "leak_kg_s": (0.0, 0.01),
    }

    air: str
    most_heat_w: float
    wall_conductance_w_k: float
    heat_capacity_j_k: float
    air_kg: float
    leak_kg_s: float

    def check(self) -> list[tuple[str, str]]:
        """Positions as for a selector, numbers within their ranges."""
        return [*super().check(), *range_faults(self)]


@dataclass(frozen=True, kw_only=True)
class HighPressureTrip(Switch):
    """Opens above ``set_pa``; stays open until reset by hand, which works only below ``reset_below_pa``."""

    KIND = "high_pressure_trip"
    RANGES: ClassVar[Limits] = {
        "set_pa": (2e5, 50e5),
        "reset_below_pa": (1e5, 45e5),
        "least_set_pa": (1e5, 50e5),
        "most_set_pa": (2e5, 60e5),
    }
    HAZARDS = ("protective",)

    tap: str
    set_pa: float
    reset_below_pa: float
    least_set_pa: float
    most_set_pa: float

    def check(self) -> list[tuple[str, str]]:
        """The reset lies below the set point, and that within the scale."""
        faults = range_faults(self)
        if self.reset_below_pa >= self.set_pa:
            faults.append(
                (
                    "reset_below_pa",
                    f"reset_below_pa ({self.reset_below_pa:g}) is not below set_pa ({self.set_pa:g})",
                )
            )
        return faults + _outside_scale(self.set_pa, self.least_set_pa, self.most_set_pa, "set_pa")


@dataclass(frozen=True, kw_only=True)
class LowPressureControl(Switch):
    """Opens below ``set_pa`` and closes again by itself above ``set_pa + difference_pa``."""

    KIND = "low_pressure_control"
    RANGES: ClassVar[Limits] = {
        "set_pa": (0.3e5, 15e5),
        "difference_pa": (0.1e5, 5e5),
        "least_set_pa": (0.2e5, 15e5),
        "most_set_pa": (0.3e5, 20e5),
    }
    HAZARDS = ("protective", "restart")

    tap: str
    set_pa: float
    difference_pa: float
    least_set_pa: float
    most_set_pa: float

    def check(self) -> list[tuple[str, str]]:
        """The set point lies within the scale."""
        return range_faults(self) + _outside_scale(
            self.set_pa, self.least_set_pa, self.most_set_pa, "set_pa"
        )


@dataclass(frozen=True, kw_only=True)
class Thermostat(Switch):
    """Closes when the air it senses is above ``set_k + difference_k``, opens below ``set_k``."""

    KIND = "thermostat"
    RANGES: ClassVar[Limits] = {
        "set_k": (230.0, 320.0),
        "difference_k": (0.1, 15.0),
        "lag_s": (0.0, 600.0),
        "least_set_k": (220.0, 320.0),
        "most_set_k": (230.0, 330.0),
    }
    HAZARDS = ("restart",)

    air: str
    set_k: float
    difference_k: float
    lag_s: float
    least_set_k: float
    most_set_k: float

    def check(self) -> list[tuple[str, str]]:
        """The set point lies within the scale."""
        return range_faults(self) + _outside_scale(
            self.set_k, self.least_set_k, self.most_set_k, "set_k"
        )


def _outside_scale(value: float, least: float, most: float, field: str) -> list[tuple[str, str]]:
    if least <= value <= most:
        return []
    return [(field, f"{field} ({value:g}) lies outside its scale, {least:g} to {most:g}")]


KINDS: dict[str, type[Switch]] = {
    kind.KIND: kind
    for kind in (Selector, LoadBox, HighPressureTrip, LowPressureControl, Thermostat)
}
"""Switch kind -> class."""

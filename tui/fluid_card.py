"""The pressure-temperature card of a refrigerant: saturation at round temperatures, gauge and absolute, in both systems of units.

Gauge pressures hold at the standard atmosphere. A blend boils along a glide and so has two columns: bubble for subcooling, dew for superheat.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from textwrap import wrap
from typing import NamedTuple

import numpy as np

from sim.cautions import cautions_for
from sim.units import INCH_MERCURY_PA, PSI_PA, STANDARD_ATMOSPHERE_PA
from tui.fluid_chart import Array, FluidChart

FIRST_C, LAST_C, STEP_C = -40, 70, 2
GLIDE_K = 0.3
"""guess: a glide that no gauge on a bench would show; less is printed as one column."""
ICE_K = 273.15
WIDTH = 60
HEAD = ("°C", "bar g", "bar abs", "°F", "psig", "psia")
VACUUM = "v"
"""Stands behind inches of mercury below the atmosphere, as gauges show a vacuum in US units (common practice)."""


class Row(NamedTuple):
    """One temperature and its pressure."""

    temperature_k: float
    pressure_pa: float


def has_glide(fluid: FluidChart) -> bool:
    """Does it boil along a range of temperatures?"""
    return float(np.max(fluid.dew_k - fluid.bubble_k)) > GLIDE_K


def rows_of(fluid: FluidChart, line: Array) -> list[Row]:
    """Saturation along one line (dew or bubble) at round temperatures that the fluid has."""
    found = []
    for celsius in range(FIRST_C, LAST_C + 1, STEP_C):
        temperature = celsius + ICE_K
        if line[0] <= temperature <= line[-1]:
            found.append(Row(temperature, math.exp(np.interp(temperature, line, np.log(fluid.pressure_pa)))))  # fmt: skip
    return found


def cells(row: Row) -> tuple[str, ...]:
    """In the order of ``HEAD``."""
    above = row.pressure_pa - STANDARD_ATMOSPHERE_PA
    celsius = row.temperature_k - ICE_K
    psi = f"{above / PSI_PA:.1f}" if above >= 0 else f"{-above / INCH_MERCURY_PA:.1f}{VACUUM}"
    return (f"{celsius:.0f}", f"{above / 1e5:.2f}", f"{row.pressure_pa / 1e5:.2f}", f"{1.8 * celsius + 32:.1f}", psi, f"{row.pressure_pa / PSI_PA:.1f}")  # fmt: skip


def tables_of(fluid: FluidChart) -> list[tuple[str, list[tuple[str, ...]]]]:
    """(heading, rows of cells): one table, two for a blend with a glide."""
    if not has_glide(fluid):
        return [("saturation", [cells(row) for row in rows_of(fluid, fluid.dew_k)])]
    return [
        (f"{words}: for {use}", [cells(row) for row in rows_of(fluid, line)])
        for words, use, line in (
            ("dew", "superheat", fluid.dew_k),
            ("bubble", "subcooling", fluid.bubble_k),
        )
    ]


def notes_of(fluid: FluidChart) -> list[str]:
    """What has to stand on the card besides numbers."""
    notes = [
        f"{fluid.name}, safety class {fluid.safety_class} (ISO 817)",
        "Gauge pressures above 1.013 bar (14.7 psi).",
        f"{VACUUM}: inches of mercury below the atmosphere.",
    ]
    for caution in cautions_for(f"safety-class:{fluid.safety_class}", also=("gas",)):
        notes += wrap(caution.line(safety_class=fluid.safety_class), WIDTH)
    return notes


def card_lines(fluid: FluidChart) -> list[str]:
    """The card as text, at most 60 columns."""
    lines = notes_of(fluid)
    for heading, table in tables_of(fluid):
        lines += ["", heading, _line(HEAD)]
        lines += [_line(row) for row in table]
    return lines


def _line(row: Sequence[str]) -> str:
    return "".join(f"{cell:>9}" for cell in row)

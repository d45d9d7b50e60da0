"""A refrigerant: its tables for the compiled functions, its facts, and public property calls that refuse what the tables do not cover."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from sim.errors import FluidRangeError, InputError
from sim.fluid_kernel import FluidTables

FOLDER = Path(__file__).parent / "fluids"


@dataclass(frozen=True, eq=False)
class Fluid:
    """One refrigerant. ``tables`` goes into compiled functions."""

    name: str
    safety_class: str
    tables: FluidTables
    molar_mass: float
    critical_temperature_k: float
    critical_pressure_pa: float
    critical_density: float
    t_low_k: float
    t_high_k: float
    liquid_span_pa: float
    source: str
    transport_note: str

    @staticmethod
    @cache
    def load(name: str) -> Fluid:
        """The shipped fluid of this name."""
        path = FOLDER / f"{name}.npz"
        if not path.exists():
            known = ", ".join(sorted(p.stem for p in FOLDER.glob("*.npz")))
            raise InputError(f"there is no fluid '{name}'; known are {known}")
        with np.load(path) as data:
            tables = FluidTables(data["meta"], data["core"], data["sat_meta"], data["sat"])
            m, Tc, pc, rhoc, low, high, span = (float(x) for x in data["facts"])
            texts = [str(x) for x in data["texts"]]
        return Fluid(
            texts[0], texts[1], tables, m, Tc, pc, rhoc, low, high, span, texts[3], texts[2]
        )


__all__ = ["Fluid", "FluidRangeError"]

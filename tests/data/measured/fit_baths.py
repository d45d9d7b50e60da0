"""Fits five numbers of the rig ``bath_r12`` to run B1; run as ``python -m tests.data.measured.fit_baths`` (a few minutes). Run B2 is not looked at.

Residuals are weighted with the middle of the uncertainty that the source states: 0.3 K, 0.4 and 0.2 bar, 7.5 W. Readings count from minute 2 on.
"""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim.rig import Rig, load_rig
from tests.data.measured.bath_run import run

HERE = Path(__file__).parent
RIG = HERE.parent / "rigs" / "bath_r12"
RUNS: dict[str, dict[str, list[float]]] = tomllib.loads((HERE / "bath_r12.toml").read_text())
COLUMNS = ("hot_bath_c", "cold_bath_c", "high_bar", "low_bar", "power_w")
UNCERTAINTY = np.array([0.3, 0.3, 0.4, 0.2, 7.5])
FROM_S = 120.0
Floats = NDArray[np.float64]

FITTED: dict[str, tuple[tuple[str, ...], float, float]] = {
    "displacement_m3": (("M1",), 1.5e-6, 5e-6),
    "friction_torque_n_m": (("M1",), 0.01, 0.3),
    "coil_conductance_w_k": (("BATH-A", "BATH-B"), 30.0, 300.0),
    "area_m2": (("shell",), 0.005, 0.08),
    "spring_pa": (("TCV-1",), 5e3, 1e5),
}
"""What is fitted: which parts (or which wall) have it, and its physical range."""


def fitted_rig(rig: Rig, values: Floats) -> Rig:
    """The rig with these values of ``FITTED``."""
    for (name, (tags, _, _)), value in zip(FITTED.items(), values.tolist(), strict=True):
        change: dict[str, Any] = {name: value}
        parts = tuple(
            replace(p, part=replace(p.part, **change)) if p.tag in tags else p for p in rig.parts
        )
        walls = tuple(replace(w, **change) if w.node in tags else w for w in rig.walls)
        rig = replace(rig, parts=parts, walls=walls)
    return rig


def observed(name: str) -> tuple[list[float], Floats]:
    """Times and readings (a row a time) of a run."""
    table = RUNS[name]
    return table["time_s"], np.array([table[column] for column in COLUMNS]).T


def residuals(values: Floats) -> Floats:
    """Weighted misses of run B1."""
    times, seen = observed("B1")
    rows = run(fitted_rig(load_rig(RIG), values), seen[0, 0], seen[0, 1], times)
    late = np.array(times) >= FROM_S
    misses: Floats = ((rows - seen)[late] / UNCERTAINTY).ravel()
    return misses


def main() -> None:
    """Fit and print."""
    from scipy.optimize import least_squares

    low = np.array([bounds[1] for bounds in FITTED.values()])
    high = np.array([bounds[2] for bounds in FITTED.values()])

    def scaled(u: Floats) -> Floats:
        return residuals(low + u * (high - low))

    start = np.array([0.21, 0.16, 0.5, 0.4, 0.05])
    # the baths' steps of a second and the integrator's own roughen the misses: over a finer difference their slope is lost
    found = least_squares(scaled, start, bounds=(0.0, 1.0), diff_step=1e-2, xtol=1e-4, ftol=1e-4)
    for name, value in zip(FITTED, low + found.x * (high - low), strict=True):
        print(f"{name:24s} {value:.4g}")
    print(f"rms of the weighted misses {np.sqrt(np.mean(found.fun**2)):.3f}")


if __name__ == "__main__":
    main()

"""A fresh memory for the integrator, and what counts as a whole for each state's error."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim import integrate
from sim.layout import Layout
from sim.pattern import solver_pattern
from sim.plant import Plant

Floats = NDArray[np.float64]

SCALES = {
    "flow": 0.1,
    "speed": 370.0,
    "slide": 1.0,
    "position": 1.0,
    "humidity": 0.1,
    "frost": 0.02,
    "oil": 0.02,
}
"""What counts as a whole for a slow state's error, by the end of its name; 100 K for temperatures."""
TEMPERATURE_SCALE = 100.0
NEVER = 1e30


def error_scales(layout: Layout) -> Floats:
    """Error scale of every state; mass and energy have their own."""
    scale = np.full(layout.n_states, TEMPERATURE_SCALE)
    for name, index in layout.slow.items():
        scale[index] = SCALES.get(name.rpartition(".")[2], TEMPERATURE_SCALE)
    scale[layout.ledger_start :] = NEVER
    return scale


def fresh_memory(y: Floats, plant: Plant, layout: Layout, rtol: float) -> integrate.Memory:
    """The integrator at time 0 in state ``y``, everything at its walls' temperature."""
    n = len(y)
    clock = np.zeros(integrate.CLOCK_SIZE)
    clock[integrate.CLOCK_STEP] = integrate.RESTART_STEP
    clock[integrate.CLOCK_RTOL] = rtol
    guess = np.full(layout.n_nodes, y[layout.wall_start])
    return integrate.Memory(
        clock,
        y,
        np.zeros(n),
        y.copy(),
        np.zeros(n),
        np.zeros((8, n)),
        np.zeros((n, n)),
        solver_pattern(plant),
        guess,
        np.zeros((layout.n_species + 5, layout.n_nodes, c.P_COLUMNS)),
        np.zeros((len(layout.plans) + 1, 3)),
        np.zeros(6, dtype=np.int64),
    )

"""The motor as the circuit sees it: a 2 x 2 impedance between its two windings, and the torque that their currents make.

Double revolving field, as in ``sim.parts.motor`` (equations and sources there):
    V_m = (R_1 + j k X_1 + S) I_m - j a D I_a
    V_a = j a D I_m + (R_a + j k X_a + a^2 S) I_a,      S, D = (Z_f +- Z_b)/2
"""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import NDArray

from sim.parts.motor import (
    ALUMINIUM_K,
    COPPER_K,
    M_HERTZ,
    M_POLES,
    M_R1,
    M_R2,
    M_RA,
    M_TURNS,
    M_X1,
    M_XA,
    Row,
    field_impedance,
    resistance_ratio,
)

Phasors = NDArray[np.complex128]


def fields(row: Row, hertz: float, speed: float, rotor_k: float) -> tuple[complex, complex]:
    """Forward and backward field impedance, ohm; ``speed`` in rad/s."""
    slip = 1.0 - speed * row[M_POLES] / (4.0 * pi * hertz)
    k = hertz / row[M_HERTZ]
    rotor = row[M_R2] * resistance_ratio(rotor_k, ALUMINIUM_K)
    return field_impedance(row, slip, k, rotor), field_impedance(row, 2.0 - slip, k, rotor)


def impedance(row: Row, hertz: float, speed: float, main_k: float, start_k: float) -> Phasors:
    """The matrix that turns (I_main, I_start) into the windings' voltages."""
    forward, backward = fields(row, hertz, speed, main_k)
    k, turns = hertz / row[M_HERTZ], row[M_TURNS]
    total, gap = 0.5 * (forward + backward), 0.5 * (forward - backward)
    main_ohm, start_ohm = resistances(row, main_k, start_k)
    main = main_ohm + 1j * k * row[M_X1] + total
    start = start_ohm + 1j * k * row[M_XA] + turns * turns * total
    cross = 1j * turns * gap
    return np.array(((main, -cross), (cross, start)))


def resistances(row: Row, main_k: float, start_k: float) -> tuple[float, float]:
    """Ohms of the main and the start winding at their temperatures."""
    main = row[M_R1] * resistance_ratio(main_k, COPPER_K)
    return float(main), float(row[M_RA] * resistance_ratio(start_k, COPPER_K))


def torque(
    row: Row, hertz: float, speed: float, rotor_k: float, main_a: complex, start_a: complex
) -> float:
    """Torque of the two winding currents, N m."""
    forward, backward = fields(row, hertz, speed, rotor_k)
    quadrature = 1j * row[M_TURNS] * start_a
    with_rotor, against = 0.5 * (main_a - quadrature), 0.5 * (main_a + quadrature)
    synchronous = 4.0 * pi * hertz / row[M_POLES]
    gap_w = 2.0 * (abs(with_rotor) ** 2 * forward.real - abs(against) ** 2 * backward.real)
    return float(gap_w / synchronous)

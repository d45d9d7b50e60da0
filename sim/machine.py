"""The compressor in its shell: process and motor laws joined to gas, wall and winding, so that every joule has one place.

Outputs of ``machine``, in this order:
    0 flow shell to head, kg/s          4 angular acceleration, rad/s2
    1 energy into the shell's gas, W    5 rate of the winding temperature, K/s
    2 energy into the head's gas, W     6 rate of the start winding's temperature, K/s
    3 heat into the shell wall, W       7 rate of the overload's bimetal, K/s
    8 electrical power into the windings, W
    9 power into the rotor's speed, W
    10 gas that does not condense, part of the flow, kg/s

Balance: (1) + (2) + (3) + winding capacities (5), (6) + (9) = (8) at every state.
"""

from __future__ import annotations

from math import pi

import numpy as np
from numpy.typing import NDArray

from sim.columns import (
    FEED_MAIN,
    FEED_OVERLOAD,
    FEED_START,
    G_CONTACT,
    G_HERTZ,
    P_GAS_P,
    P_HL,
    P_HV,
    P_P,
    P_RHOL,
    P_RHOV,
    P_SAT,
    P_T,
    P_VOID,
)
from sim.compiled import compiled
from sim.fluid_columns import GAS_CONSTANT, SAT_T_DEW
from sim.fluid_inverse import dew_temperature
from sim.gas import carried, gas_share, joined, lightened
from sim.oil import extra_torque
from sim.parts import compressor, compressor_map, motor
from sim.plant import MACHINE_KIND, MAPPED, Plant

Row = NDArray[np.float64]

MAPPED_RUN_UP_S = (
    0.1  # guess: a map says nothing of starting; a small motor is at speed in tenths of a second
)
MAPPED_FOLLOWS_S = 60.0  # guess: nothing is computed from it
MAPPED_POWER_FACTOR = 0.6  # common practice: small capacitor-start machines run at 0.55 to 0.65; a map gives watts only

Outputs = tuple[float, float, float, float, float, float, float, float, float, float, float]


@compiled
def mapped_running(
    pl: Plant, Ps: Row, Ph: Row, speed: float
) -> tuple[float, float, float, float, float]:
    """Flow, h_in, gas power, electrical power and loss of a compressor given by its map, at a share of its full speed."""
    share = min(max(speed / (2.0 * pi * pl.glob[G_HERTZ]), 0.0), 1.0)
    # a map is read at the dew temperatures of the whole pressures, gas included
    dew_s, dew_h = Ps[P_SAT + SAT_T_DEW], Ph[P_SAT + SAT_T_DEW]
    if Ps[P_GAS_P] + Ph[P_GAS_P] > 0.0:
        dew_s, dew_h = dew_temperature(pl.fluid, Ps[P_P]), dew_temperature(pl.fluid, Ph[P_P])
    return compressor_map.mapped(
        pl.machine,
        pl.fluid,
        Ps[P_P],
        Ps[P_T],
        Ps[P_RHOV],
        Ps[P_HV],
        dew_s,
        Ph[P_P],
        dew_h,
        pl.glob[G_HERTZ],
        share,
    )


@compiled
def mapped_machine(
    pl: Plant, Ps: Row, Ph: Row, wall_t: float, speed: float, winding_t: float, start_t: float, bimetal_t: float
) -> Outputs:  # fmt: skip
    """A compressor given by its map: it runs up with its contact, its loss warms the shell, windings and bimetal follow the shell."""
    flow, h_in, gas_power, power, lost = mapped_running(pl, Ps, Ph, speed)
    q = carried(Ps, h_in)
    flow *= lightened(Ps, pl.fluid.meta[GAS_CONSTANT])
    h_in = joined(h_in, q, Ps[P_T])
    full = 2.0 * pi * pl.glob[G_HERTZ]
    return (
        flow,
        -flow * h_in,
        flow * h_in + gas_power,
        lost,
        (pl.glob[G_CONTACT] * full - speed) / MAPPED_RUN_UP_S,
        (wall_t - winding_t) / MAPPED_FOLLOWS_S,
        (wall_t - start_t) / MAPPED_FOLLOWS_S,
        (wall_t - bimetal_t) / MAPPED_FOLLOWS_S,
        power,
        0.0,
        flow * gas_share(q),
    )


Drive = tuple[float, complex, complex, float, float]


@compiled
def driven(pl: Plant, speed: float, winding_t: float, start_t: float) -> Drive:
    """Torque, main and start current, heat of both windings (``motor.drive``) on the present feed."""
    a, b = pl.feed[FEED_MAIN], pl.feed[FEED_START]
    supply = (a[0], b[0], -a[1], -a[2], -b[1], -b[2])
    return motor.drive(pl.motor, supply, pl.glob[G_HERTZ], speed, winding_t, start_t)


@compiled
def phasor(pl: Plant, k: int, main: complex, start: complex) -> complex:
    """Row k of the feed at these winding currents: V or A, rms."""
    return complex(pl.feed[k, 0] + pl.feed[k, 1] * main + pl.feed[k, 2] * start)


@compiled
def machine(
    pl: Plant, Ps: Row, Ph: Row, wall_t: float, speed: float, winding_t: float, start_t: float, bimetal_t: float, dissolved_kg: float
) -> Outputs:  # fmt: skip
    """Ps, Ph are the rows of shell and head, temperatures in K, speed in rad/s, refrigerant dissolved in the oil in kg."""
    if pl.machine_i[MACHINE_KIND] == MAPPED:
        return mapped_machine(pl, Ps, Ph, wall_t, speed, winding_t, start_t, bimetal_t)
    void_h = Ph[P_VOID]
    rho_h = Ph[P_RHOL] * (1.0 - void_h) + Ph[P_RHOV] * void_h
    flow, h_in, gas_power, load, friction_w, _ = compressor.compress(
        pl.machine,
        pl.fluid,
        pl.wear,
        Ps[P_P],
        Ps[P_T],
        Ps[P_VOID],
        Ps[P_RHOL],
        Ps[P_RHOV],
        Ps[P_HL],
        Ps[P_HV],
        Ph[P_P],
        Ph[P_T],
        rho_h,
        wall_t,
        speed,
    )
    thinner = extra_torque(pl.machine, wall_t, dissolved_kg) * compressor.turning(speed)
    load += thinner
    friction_w += thinner * speed
    back = compressor.rest_leak(pl.machine, pl.wear, Ps[P_P], Ph[P_P], rho_h, speed)
    h_head = Ph[P_HV] if void_h > 0.0 else Ph[P_HL]
    q, q_head = carried(Ps, h_in), carried(Ph, h_head)
    flow *= lightened(Ps, pl.fluid.meta[GAS_CONSTANT])
    h_in, h_head = joined(h_in, q, Ps[P_T]), joined(h_head, q_head, Ph[P_T])
    to_wall = compressor.head_heat(pl.machine, Ph[P_T], wall_t)
    torque, main, start, main_w, start_w = driven(pl, speed, winding_t, start_t)
    to_gas, winding_to_wall = motor.winding_heat(pl.motor, winding_t, Ps[P_T], wall_t)
    across = pl.motor[motor.M_START_TO_MAIN] * (start_t - winding_t)
    amps = abs(phasor(pl, FEED_OVERLOAD, main, start))
    return (
        flow - back,
        -flow * h_in + back * h_head + to_gas,
        flow * h_in + gas_power - back * h_head - to_wall,
        friction_w + to_wall + winding_to_wall,
        motor.acceleration(pl.motor, torque, load),
        (main_w + across - to_gas - winding_to_wall) / pl.motor[motor.M_WINDING_HEAT],
        (start_w - across) / pl.motor[motor.M_START_HEAT],
        motor.overload_rate(pl.motor, amps, bimetal_t, wall_t),
        main_w + start_w + torque * speed,
        (torque - load) * speed,
        flow * gas_share(q) - back * gas_share(q_head),
    )

"""The compressor in its shell: process and motor laws joined to gas, wall and winding, so that every joule has one place.

Outputs of ``machine``, in this order:
    0 flow shell to head, kg/s          4 angular acceleration, rad/s2
    1 energy into the shell's gas, W    5 rate of the winding temperature, K/s
    2 energy into the head's gas, W     6 rate of the overload's bimetal, K/s
    3 heat into the shell wall, W       7 electrical power taken, W
    8 power into the rotor's speed, W

Balance: (1) + (2) + (3) + winding capacity (5) + (8) = (7) at every state.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim.columns import (
    G_CONTACT,
    G_HERTZ,
    G_START,
    G_VOLTS,
    P_HL,
    P_HV,
    P_P,
    P_RHOL,
    P_RHOV,
    P_T,
    P_VOID,
)
from sim.compiled import inner
from sim.parts import compressor, motor
from sim.plant import Plant

Row = NDArray[np.float64]

Outputs = tuple[float, float, float, float, float, float, float, float, float]


@inner
def machine(
    pl: Plant, Ps: Row, Ph: Row, wall_t: float, speed: float, winding_t: float, bimetal_t: float
) -> Outputs:
    """Ps, Ph are the rows of shell and head, temperatures in K, speed in rad/s."""
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
        speed,
    )
    back = compressor.rest_leak(pl.machine, pl.wear, Ps[P_P], Ph[P_P], rho_h, speed)
    h_head = Ph[P_HV] if void_h > 0.0 else Ph[P_HL]
    to_wall = compressor.head_heat(pl.machine, Ph[P_T], wall_t)
    volts = pl.glob[G_VOLTS] * pl.glob[G_CONTACT]
    torque, amps, power, losses, _ = motor.motor_state(
        pl.motor, volts, pl.glob[G_HERTZ], speed, winding_t, int(pl.glob[G_START])
    )
    to_gas, winding_to_wall = motor.winding_heat(pl.motor, winding_t, Ps[P_T], wall_t)
    return (
        flow - back,
        -flow * h_in + back * h_head + to_gas,
        flow * h_in + gas_power - back * h_head - to_wall,
        friction_w + to_wall + winding_to_wall,
        motor.acceleration(pl.motor, torque, load),
        (losses - to_gas - winding_to_wall) / pl.motor[motor.M_WINDING_HEAT],
        motor.overload_rate(pl.motor, amps, bimetal_t, wall_t),
        power,
        (torque - load) * speed,
    )

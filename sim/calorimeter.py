"""The steady state of a compressor with its motor on a calorimeter: given suction state, discharge pressure, room and supply, what flow and what power.

This is the test-stand arithmetic of compressor ratings, not part of a running plant: five balances are solved with the very functions that the plant uses.

    rotor      T_motor = T_load
    winding    losses = to gas + to wall
    shell gas  m (h1 - h_return) = winding to gas + wall to gas
    head       m h1 + gas_power = m h2 + head to wall
    wall       winding to wall + friction + head to wall = wall to gas + wall to room

The shell is taken at suction pressure, the head at discharge pressure. Newton with a difference Jacobian; a state that cannot run (a stalled motor) raises.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from sim.errors import PlantError
from sim.fluid_columns import FluidTables
from sim.fluid_inverse import density_at_pT_vapour, vapour_at_ps, vapour_entropy
from sim.fluid_kernel import energy
from sim.parts import compressor, motor

Floats = NDArray[np.float64]

STEPS = 80
TOLERANCE = 1e-9
SPEED_SCALE, KELVIN_SCALE = 370.0, 300.0
LARGEST_STEP_K = 15.0
GUESS_RISE_K = 60.0
LEAST_SLIP, MOST_SLIP = 1e-4, 0.25
"""The search stays on the running branch of the torque curve."""


@dataclass(frozen=True, kw_only=True)
class Stand:
    """Where the compressor stands."""

    suction_pressure_pa: float
    suction_temperature_k: float
    """Gas as it enters the shell."""
    discharge_pressure_pa: float
    room_k: float
    voltage_v: float
    frequency_hz: float
    shell_to_room_w_k: float
    wall_to_gas_w_k: float
    """Inner film of the shell wall."""


@dataclass(frozen=True, kw_only=True)
class Rating:
    """What the stand reads."""

    flow_kg_s: float
    power_w: float
    current_a: float
    speed_rpm: float
    winding_k: float
    shell_wall_k: float
    shell_gas_k: float
    head_k: float
    shaft_torque_n_m: float
    gas_power_w: float
    friction_w: float
    room_heat_w: float
    volumetric_efficiency: float
    """Flow over displacement times speed times density at the shell inlet."""
    isentropic_efficiency: float
    """Isentropic power from the shell inlet over electrical power."""
    power_factor: float


def _enthalpy(fl: FluidTables, p: float, T: float) -> tuple[float, float]:
    rho = density_at_pT_vapour(fl, p, T)
    return rho, energy(fl, rho, T) + p / rho


class _Balance:
    """The five balances as functions of (speed, winding, wall, shell gas, head)."""

    def __init__(
        self, machine: Floats, drive: Floats, fl: FluidTables, wear: Floats, stand: Stand
    ) -> None:
        self.machine, self.motor, self.fl, self.wear = machine, drive, fl, wear
        self.stand = stand
        self.inlet_rho, self.inlet_h = _enthalpy(
            fl, stand.suction_pressure_pa, stand.suction_temperature_k
        )

    def parts(self, x: Floats) -> tuple[tuple[float, ...], tuple[float, ...], float]:
        """compress(...), motor_state(...) and the enthalpy of the head at x."""
        s, fl = self.stand, self.fl
        speed, winding, wall, gas, head = x
        rho1, h1 = _enthalpy(fl, s.suction_pressure_pa, gas)
        rho2, h2 = _enthalpy(fl, s.discharge_pressure_pa, head)
        work = compressor.compress(
            self.machine,
            fl,
            self.wear,
            s.suction_pressure_pa,
            gas,
            1.0,
            rho1,
            rho1,
            h1,
            h1,
            s.discharge_pressure_pa,
            head,
            rho2,
            wall,
            speed,
        )
        drive = motor.motor_state(self.motor, s.voltage_v, s.frequency_hz, speed, winding, 0)
        return work, drive, h2

    def miss(self, x: Floats) -> Floats:
        """Residuals: N m, then W."""
        s = self.stand
        _, winding, wall, gas, head = x
        (flow, h_in, gas_power, torque, friction, _), drive, h2 = self.parts(x)
        to_gas, to_wall = motor.winding_heat(self.motor, winding, gas, wall)
        wall_gas = s.wall_to_gas_w_k * (wall - gas)
        head_wall = compressor.head_heat(self.machine, head, wall)
        return np.array(
            [
                drive[0] - torque,
                drive[3] - to_gas - to_wall,
                flow * (h_in - self.inlet_h) - to_gas - wall_gas,
                flow * (h_in - h2) + gas_power - head_wall,
                to_wall + friction + head_wall - wall_gas - s.shell_to_room_w_k * (wall - s.room_k),
            ]
        )

    def solve(self) -> Floats:
        s = self.stand
        synchronous = 4.0 * pi * s.frequency_hz / self.motor[motor.M_POLES]
        x: Floats = np.array(
            [0.97 * synchronous, s.room_k + 50.0, s.room_k + 30.0, s.room_k + 25.0, s.room_k + 70.0]
        )
        scale = np.array([SPEED_SCALE] + [KELVIN_SCALE] * 4)
        for _ in range(STEPS):
            r = self.miss(x)
            jacobian = np.empty((5, 5))
            for k in range(5):
                step = np.zeros(5)
                step[k] = 1e-6 * scale[k]
                jacobian[:, k] = (self.miss(x + step) - self.miss(x - step)) / (2.0 * step[k])
            change: Floats = np.asarray(np.linalg.solve(jacobian, -r), dtype=np.float64)
            change[1:] = np.clip(change[1:], -LARGEST_STEP_K, LARGEST_STEP_K)
            x = x + change
            x[0] = min(max(x[0], (1.0 - MOST_SLIP) * synchronous), (1.0 - LEAST_SLIP) * synchronous)
            if np.max(np.abs(change) / scale) < TOLERANCE:
                return x
        raise PlantError("no-steady-state", f"the compressor finds no steady state at {s}")


def rate(
    machine: compressor.ReciprocatingCompressor,
    drive: motor.SinglePhaseMotor,
    fl: FluidTables,
    stand: Stand,
    *,
    discharge_leak_m2: float = 0.0,
    pumping_worn: float = 0.0,
) -> Rating:
    """Steady reading of a compressor with its motor on ``stand``. Raises PlantError if it cannot run there."""
    wear = np.zeros(compressor.WEAR_COLUMNS)
    wear[compressor.WEAR_DISCHARGE_LEAK] = discharge_leak_m2
    wear[compressor.WEAR_PUMPING] = pumping_worn
    balance = _Balance(compressor.row(machine), motor.row(drive), fl, wear, stand)
    x = balance.solve()
    work, state, _ = balance.parts(x)
    s = stand
    entropy = vapour_entropy(fl, balance.inlet_rho, s.suction_temperature_k)
    ideal = vapour_at_ps(
        fl, s.discharge_pressure_pa, entropy, s.suction_temperature_k + GUESS_RISE_K
    )[2]
    swept = machine.displacement_m3 * x[0] / (2.0 * pi)
    start_gear_w = state[2] - state[0] * x[0] - state[3]  # relay and overload sit outside the shell
    return Rating(
        flow_kg_s=work[0],
        power_w=state[2],
        current_a=state[1],
        speed_rpm=x[0] * 30.0 / pi,
        winding_k=x[1],
        shell_wall_k=x[2],
        shell_gas_k=x[3],
        head_k=x[4],
        shaft_torque_n_m=work[3],
        gas_power_w=work[2],
        friction_w=work[4],
        room_heat_w=s.shell_to_room_w_k * (x[2] - s.room_k) + start_gear_w,
        volumetric_efficiency=work[0] / (swept * balance.inlet_rho),
        isentropic_efficiency=work[0] * (ideal - balance.inlet_h) / state[2],
        power_factor=state[2] / (s.voltage_v * state[1]),
    )

"""Single-phase induction motor of a hermetic compressor: capacitor start through a current relay, induction run, bimetal overload.

What it is: main winding (common to run terminal), start winding (common to start terminal) in space quadrature, cage rotor. The start winding is
fed through the start capacitor while the start circuit is in. The relay's coil lies in the main line, the overload's heater in the common lead.

Equations (double revolving field, phasors in rms values, k = frequency / rated frequency, s = 1 - w/w_s, w_s = 4 pi f / poles):

    Z_f = j k X_m (R_2 + j s k X_2) / (R_2 + j s k (X_2 + X_m));   Z_b the same with 2 - s in place of s
    S = (Z_f + Z_b)/2,  D = (Z_f - Z_b)/2
    V_m = (R_1 + j k X_1 + S) I_m - j a D I_a
    V_a = j a D I_m + (R_a + j k X_a + a^2 S) I_a
The supply as the two windings see it, whatever lies between (core loss G across the main winding counted with it):
    V_m = E_m - Z_mm I_m - Z_ma I_a,   V_a = E_a - Z_am I_m - Z_aa I_a
On a plain supply V, through relay coil z_r and overload heater r_h, the start circuit (capacitor z_c) in or out (``plain_supply``):
    V = V_m + (z_r + r_h) I_run + r_h I_a = V_a + z_c I_a + r_h (I_run + I_a),    I_run = I_m + G V_m
    T   = (2/w_s) (|I_f|^2 Re Z_f - |I_b|^2 Re Z_b),   I_f, I_b = (I_m -+ j a I_a)/2
    copper  R(T) = R(20 degC) (234.5 + T)/(254.5);  aluminium cage with 225 in place of 234.5   (T in degC)

    rotor    J dw/dt = T - T_load
    bimetal  dT_b/dt = (k I^2 - (T_b - T_shell))/tau;  opens at ``overload_open_k``, closes again at ``overload_close_k``
    relay    pulls in above ``relay_pull_in_a``, drops out below ``relay_drop_out_a``, both held for ``relay_delay_s`` (the bench moves contacts)

Power into the windings = T w + losses exactly; losses are copper of both windings, rotor and core. The start winding is a small mass of its own on the main one:
    C_s dT_s/dt = R_a |I_a|^2 - K (T_s - T_m);   main winding, rotor and core warm the other one, which gives to gas and shell

Source: A. E. Fitzgerald, C. Kingsley, S. D. Umans, Electric Machinery, 6th ed., section 9.3 (revolving fields), and P. C. Krause and others, Analysis of
Electric Machinery, for two unlike windings; resistance against temperature IEC 60034-1. Range: quasi-steady (the first cycles of a start come out up to 10 % low), linear
iron, 70 to 115 % of rated voltage, standstill to synchronous speed. The capacitor's own temperature rise is not followed.
Over 300 lines because relay and overload are checked against the same circuit that feeds them.

Over 300 lines: a part reads alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Vector
from sim.compiled import compiled
from sim.doors import door
from sim.part import Part

Row = NDArray[np.float64]

COPPER_K = 234.5  # IEC 60034-1, copper: resistance is proportional to 234.5 + t/degC
ALUMINIUM_K = 225.0  # IEC 60034-1, aluminium
REFERENCE_C = 20.0  # common practice: winding resistances are stated at 20 degC
ZERO_C = 273.15  # definition of the Celsius scale

# relay check
HIGH_VOLTAGE = 1.1  # NEMA MG 1-12.44: motors work at +-10 % of rated voltage
LOW_VOLTAGE = 0.9  # NEMA MG 1-12.44
HOT_K = 273.15 + 120.0  # common practice: hottest winding that may still be asked to start
COLD_K = 273.15 + 20.0  # the temperature at which resistances are stated
RELEASE_SLIP = 0.10  # guess: slip at which an unloaded machine with the start circuit still in has stopped accelerating

(
    M_HERTZ,
    M_POLES,
    M_R1,
    M_X1,
    M_R2,
    M_X2,
    M_XM,
    M_RA,
    M_XA,
    M_TURNS,
    M_CORE,
    M_CAPACITOR,
    M_CAPACITOR_R,
    M_RELAY_R,
    M_RELAY_X,
    M_HEATER_R,
    M_INERTIA,
    M_BIMETAL_K,
    M_BIMETAL_TAU,
    M_WINDING_HEAT,
    M_WINDING_TO_GAS,
    M_WINDING_TO_SHELL,
    M_START_HEAT,
    M_START_TO_MAIN,
) = range(24)
M_COLUMNS = 24
OPEN_OHM = (
    1e10  # an open contact's leakage; large beside any winding, small enough for exact arithmetic
)


@dataclass(frozen=True, kw_only=True)
class SinglePhaseMotor(Part):
    """Parameters of the motor, its start relay and its overload. Ohms at rated frequency and 20 degC; rotor values seen from the main winding."""

    KIND: ClassVar[str] = "single_phase_motor"
    PORTS: ClassVar[tuple[str, ...]] = ()
    HAZARDS: ClassVar[tuple[str, ...]] = ("terminals", "capacitor", "restart")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "rated_voltage_v": (100.0, 250.0),
        "rated_frequency_hz": (50.0, 60.0),
        "poles": (2, 4),
        "main_resistance_ohm": (0.5, 30.0),
        "main_reactance_ohm": (0.5, 40.0),
        "rotor_resistance_ohm": (0.5, 40.0),
        "rotor_reactance_ohm": (0.5, 40.0),
        "magnetising_reactance_ohm": (20.0, 800.0),
        "start_resistance_ohm": (1.0, 60.0),
        "start_reactance_ohm": (0.5, 60.0),
        "turns_ratio": (0.6, 2.0),
        "core_loss_w": (0.0, 60.0),
        "start_capacitor_farad": (10e-6, 400e-6),
        "start_capacitor_resistance_ohm": (0.0, 5.0),
        "relay_resistance_ohm": (0.0, 1.0),
        "relay_reactance_ohm": (0.0, 1.0),
        "relay_pull_in_a": (1.0, 40.0),
        "relay_drop_out_a": (1.0, 40.0),
        "relay_delay_s": (0.005, 0.05),
        "overload_resistance_ohm": (0.0, 1.0),
        "overload_time_constant_s": (10.0, 300.0),
        "overload_rise_k_per_a2": (0.1, 60.0),
        "overload_open_k": (353.15, 423.15),
        "overload_close_k": (313.15, 393.15),
        "rotor_inertia_kg_m2": (1e-4, 5e-3),
        "winding_heat_capacity_j_k": (50.0, 2000.0),
        "winding_to_gas_w_k": (0.1, 10.0),
        "winding_to_shell_w_k": (0.1, 10.0),
        "start_winding_heat_capacity_j_k": (5.0, 500.0),
        "start_to_main_w_k": (0.05, 5.0),
    }

    rated_voltage_v: float
    rated_frequency_hz: float
    poles: int = 2
    main_resistance_ohm: float
    main_reactance_ohm: float
    rotor_resistance_ohm: float
    rotor_reactance_ohm: float
    magnetising_reactance_ohm: float
    start_resistance_ohm: float
    start_reactance_ohm: float
    turns_ratio: float
    """Effective turns of the start winding over those of the main winding."""
    core_loss_w: float
    """At rated voltage across the main winding."""
    start_capacitor_farad: float
    start_capacitor_resistance_ohm: float
    relay_resistance_ohm: float
    relay_reactance_ohm: float
    relay_pull_in_a: float
    relay_drop_out_a: float
    relay_delay_s: float
    overload_resistance_ohm: float
    overload_time_constant_s: float
    overload_rise_k_per_a2: float
    """Steady rise of the bimetal over the shell, per ampere squared."""
    overload_open_k: float
    overload_close_k: float
    rotor_inertia_kg_m2: float
    """Rotor and crankshaft."""
    winding_heat_capacity_j_k: float
    """The main winding with the iron that follows it."""
    winding_to_gas_w_k: float
    winding_to_shell_w_k: float
    start_winding_heat_capacity_j_k: float = 38.0
    """guess: 0.1 kg of copper."""
    start_to_main_w_k: float = 0.67
    """From the start winding to the main one; guess: 1.5 K/W through slot paper and varnish."""

    def check(self) -> list[tuple[str, str]]:
        """Ranges, and whether relay and overload can do their work at the ends of the voltage tolerance."""
        wrong = super().check()
        if wrong:
            return wrong
        return relay_mistakes(self) + overload_mistakes(self)


def relay_mistakes(part: SinglePhaseMotor) -> list[tuple[str, str]]:
    """A relay must pull in on a hot locked rotor at low voltage and drop out near full speed at high voltage."""
    r = row(part)
    hertz = part.rated_frequency_hz
    synchronous = 4.0 * pi * hertz / part.poles
    # the contact is still open when the relay has to pull in: only the main winding draws current
    locked = motor_state(r, LOW_VOLTAGE * part.rated_voltage_v, hertz, 0.0, HOT_K, 0)[4]
    fast = (1.0 - RELEASE_SLIP) * synchronous
    released = motor_state(r, HIGH_VOLTAGE * part.rated_voltage_v, hertz, fast, COLD_K, 1)[4]
    wrong = []
    if part.relay_pull_in_a >= locked:
        wrong.append(
            (
                "relay_pull_in_a",
                f"the relay pulls in at {part.relay_pull_in_a:g} A but a hot locked rotor at low voltage draws only {locked:.1f} A: it would never start",
            )
        )
    if part.relay_drop_out_a <= released:
        wrong.append(
            (
                "relay_drop_out_a",
                f"the relay drops out at {part.relay_drop_out_a:g} A but the main winding still draws {released:.1f} A near full speed at high voltage: the start winding would stay in",
            )
        )
    if part.relay_drop_out_a >= part.relay_pull_in_a:
        wrong.append(("relay_drop_out_a", "a relay drops out below its pull-in current"))
    return wrong


def overload_mistakes(part: SinglePhaseMotor) -> list[tuple[str, str]]:
    """The bimetal must reach its opening temperature on locked-rotor current, and must cool to its closing temperature."""
    locked = motor_state(
        row(part), LOW_VOLTAGE * part.rated_voltage_v, part.rated_frequency_hz, 0.0, HOT_K, 0
    )[1]
    reach = COLD_K + part.overload_rise_k_per_a2 * locked * locked
    wrong = []
    if reach <= part.overload_open_k:
        wrong.append(
            (
                "overload_rise_k_per_a2",
                f"a locked rotor at low voltage warms the overload only to {reach - ZERO_C:.0f} degC: it would never open",
            )
        )
    if part.overload_close_k >= part.overload_open_k:
        wrong.append(
            ("overload_close_k", "the overload closes below the temperature at which it opens")
        )
    return wrong


def row(part: SinglePhaseMotor) -> Row:
    """The parameters in the order that the compiled functions read (columns M_...)."""
    values = np.zeros(M_COLUMNS)
    values[M_HERTZ] = part.rated_frequency_hz
    values[M_POLES] = part.poles
    values[M_R1], values[M_X1] = part.main_resistance_ohm, part.main_reactance_ohm
    values[M_R2], values[M_X2] = part.rotor_resistance_ohm, part.rotor_reactance_ohm
    values[M_XM] = part.magnetising_reactance_ohm
    values[M_RA], values[M_XA] = part.start_resistance_ohm, part.start_reactance_ohm
    values[M_TURNS] = part.turns_ratio
    values[M_CORE] = part.core_loss_w / part.rated_voltage_v**2
    values[M_CAPACITOR] = part.start_capacitor_farad
    values[M_CAPACITOR_R] = part.start_capacitor_resistance_ohm
    values[M_RELAY_R], values[M_RELAY_X] = part.relay_resistance_ohm, part.relay_reactance_ohm
    values[M_HEATER_R] = part.overload_resistance_ohm
    values[M_INERTIA] = part.rotor_inertia_kg_m2
    values[M_BIMETAL_K] = part.overload_rise_k_per_a2
    values[M_BIMETAL_TAU] = part.overload_time_constant_s
    values[M_WINDING_HEAT] = part.winding_heat_capacity_j_k
    values[M_WINDING_TO_GAS] = part.winding_to_gas_w_k
    values[M_WINDING_TO_SHELL] = part.winding_to_shell_w_k
    values[M_START_HEAT] = part.start_winding_heat_capacity_j_k
    values[M_START_TO_MAIN] = part.start_to_main_w_k
    return values


@door
def resistance_ratio(temperature_k: float, metal_k: float) -> float:
    """Resistance at a temperature over that at 20 degC; metal_k is COPPER_K or ALUMINIUM_K."""
    return (metal_k + temperature_k - ZERO_C) / (metal_k + REFERENCE_C)


@door
def field_impedance(row: Vector, slip: float, k: float, rotor_ohm: float) -> complex:
    """Impedance (ohm) of one revolving field at its slip, k = frequency over rated frequency; finite at slip 0."""
    xm = 1j * k * row[M_XM]
    x2 = 1j * k * row[M_X2]
    impedance: complex = xm * (rotor_ohm + slip * x2) / (rotor_ohm + slip * (x2 + xm))
    return impedance


@door
def plain_supply(
    row: Vector, volts: complex, hertz: float, start_in: int
) -> tuple[complex, complex, complex, complex, complex, complex]:
    """(E_m, E_a, Z_mm, Z_ma, Z_am, Z_aa) of a supply of no impedance behind relay coil, overload heater and start capacitor."""
    k = hertz / row[M_HERTZ]
    heater = row[M_HEATER_R] + 0.0j
    lead = row[M_RELAY_R] + 1j * k * row[M_RELAY_X] + heater
    g = row[M_CORE]
    share = 1.0 / (1.0 + lead * g)
    capacitor = row[M_CAPACITOR_R] - 1j / (2.0 * pi * hertz * row[M_CAPACITOR])
    if start_in == 0:
        capacitor = OPEN_OHM + 0.0j
    # run current = I_m + G V_m carries the core's share through the heater
    main = volts * share
    return (
        main,
        volts - heater * g * main,
        lead * share,
        heater * share,
        heater * (1.0 - g * lead * share),
        capacitor + heater * (1.0 - g * heater * share),
    )


@compiled
def winding_currents(
    row: Row,
    supply: tuple[complex, complex, complex, complex, complex, complex],
    hertz: float,
    forward: complex,
    backward: complex,
    main_k: float,
    start_k: float,
) -> tuple[complex, complex]:
    """Main- and start-winding current (A, rms phasors) on a supply given as in ``plain_supply``."""
    k = hertz / row[M_HERTZ]
    a = row[M_TURNS]
    half_sum = 0.5 * (forward + backward)
    cross = 1j * a * 0.5 * (forward - backward)
    e_m, e_a, z_mm, z_ma, z_am, z_aa = supply
    mm = z_mm + row[M_R1] * resistance_ratio(main_k, COPPER_K) + 1j * k * row[M_X1] + half_sum
    aa = z_aa + row[M_RA] * resistance_ratio(start_k, COPPER_K) + 1j * k * row[M_XA]
    aa += a * a * half_sum
    ma = z_ma - cross
    am = z_am + cross
    det = mm * aa - ma * am
    return (e_m * aa - ma * e_a) / det, (mm * e_a - am * e_m) / det


@compiled
def drive(
    row: Row,
    supply: tuple[complex, complex, complex, complex, complex, complex],
    hertz: float,
    omega: float,
    main_k: float,
    start_k: float,
) -> tuple[float, complex, complex, float, float]:
    """Torque (N m), main and start current (A), heat of main winding with rotor and core (W), heat of the start winding (W)."""
    synchronous = 4.0 * pi * hertz / row[M_POLES]
    slip = 1.0 - omega / synchronous
    k = hertz / row[M_HERTZ]
    rotor = row[M_R2] * resistance_ratio(main_k, ALUMINIUM_K)
    forward = field_impedance(row, slip, k, rotor)
    backward = field_impedance(row, 2.0 - slip, k, rotor)
    main, start = winding_currents(row, supply, hertz, forward, backward, main_k, start_k)
    quadrature = 1j * row[M_TURNS] * start
    with_rotor = square(0.5 * (main - quadrature)) * forward.real
    against = square(0.5 * (main + quadrature)) * backward.real
    torque = 2.0 / synchronous * (with_rotor - against)
    v_m = supply[0] - supply[2] * main - supply[3] * start
    v_a = supply[1] - supply[4] * main - supply[5] * start
    power = (v_m * main.conjugate()).real + (v_a * start.conjugate()).real
    start_w = row[M_RA] * resistance_ratio(start_k, COPPER_K) * square(start)
    return (
        torque,
        main,
        start,
        power - start_w - torque * omega + row[M_CORE] * square(v_m),
        start_w,
    )


@compiled
def square(phasor: complex) -> float:
    """Squared magnitude."""
    return float(phasor.real * phasor.real + phasor.imag * phasor.imag)


@door
def motor_state(
    row: Vector,
    volts: float,
    hertz: float,
    omega: float,
    winding_k: float,
    start_in: int,
) -> tuple[float, float, float, float, float]:
    """On a plain supply: torque (N m), line current (A), power from the supply (W), heat in windings, rotor and core (W), run current through the relay coil (A).

    volts rms at the supply, omega in rad/s, both windings at winding_k, start_in 1 while the start circuit is closed. What relay coil, heater and capacitor take
    is the rest of the power. At zero volts everything is zero.
    """
    supply = plain_supply(row, volts + 0.0j, hertz, start_in)
    torque, main, start, main_w, start_w = drive(row, supply, hertz, omega, winding_k, winding_k)
    run = main + row[M_CORE] * (supply[0] - supply[2] * main - supply[3] * start)
    line = run + start
    return torque, abs(line), volts * line.real, main_w + start_w, abs(run)


@compiled
def acceleration(row: Row, torque: float, load_torque: float) -> float:
    """Angular acceleration (rad/s2). Holding a standing rotor is the load's affair: see ``compressor.standing``."""
    return float((torque - load_torque) / row[M_INERTIA])


@compiled
def overload_rate(row: Row, amps: float, bimetal_k: float, shell_k: float) -> float:
    """Rate of the overload's bimetal temperature (K/s): heated by the line current, cooled to the shell it is clipped on."""
    return float((row[M_BIMETAL_K] * amps * amps - (bimetal_k - shell_k)) / row[M_BIMETAL_TAU])


@door
def winding_heat(row: Vector, winding_k: float, gas_k: float, wall_k: float) -> tuple[float, float]:
    """Heat from the windings to the gas around them and to the shell wall, W."""
    return row[M_WINDING_TO_GAS] * (winding_k - gas_k), row[M_WINDING_TO_SHELL] * (
        winding_k - wall_k
    )

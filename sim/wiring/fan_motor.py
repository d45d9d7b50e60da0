"""A fan's motor with a run capacitor (permanent split capacitor): main and auxiliary winding both stay in, the capacitor shifts the second one's current.

Two windings in quadrature on one cage, the double revolving field of ``sim.wiring.windings`` (equations and sources in ``sim.parts.motor``), seen from two pairs
of inner terminals as an admittance Y(w) = Z(w)^-1 that the circuit takes into its matrix. The shaft carries blades and bearings:

    T(w) = T_rated (f + (1 - f) (w/w_rated)^2)      f: dry friction; fan law: ASHRAE Handbook HVAC Systems and Equipment, chapter on fans; air goes with w
    standing, it starts when T(0) is above ``BREAKAWAY`` T_rated; turning, it stays at the highest w at which the torques meet, and stops where there is none

With less capacitance the auxiliary current falls, the backward field grows: less torque, a slower shaft, more copper loss for less air; below some tenth
it no longer starts, but runs on when it turns already. Simplifications: quasi-steady (a fan takes seconds), windings at one temperature, no iron loss,
turns of the low tap as a plain impedance in front of both windings. Range: 5 to 100 W, standstill to synchronous speed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from math import inf, pi
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.parts import motor as rows
from sim.parts.motor import SinglePhaseMotor
from sim.record import range_faults
from sim.wiring import windings
from sim.wiring.branch import LINK_OHM, Branch, Impedance
from sim.wiring.device import Device, Limits, Place
from sim.wiring.loads import insulation

Phasors = NDArray[np.complex128]
Row = NDArray[np.float64]

WARM_K = 343.15  # guess: 70 degC, a small fan motor in its own air
FRICTION = 0.05  # guess: of the rated torque, when turning; sleeve bearings
BREAKAWAY = 0.1  # guess: of the rated torque; the same bearings with some age
SCAN = 64  # guess: speeds looked at for a crossing; the torque bends far less within one of them
ROUNDS = 6  # of them: 64^6 leaves less than a millionth of a rpm by far


@dataclass(frozen=True, kw_only=True)
class CapacitorFan(Device):
    """Main winding 1-3, auxiliary winding 4-3, low tap 2 (so many more turns in front of both), frame PE. The run capacitor lies between 1 and 4."""

    KIND: ClassVar[str] = "capacitor_fan"
    HAZARDS: ClassVar[tuple[str, ...]] = ("restart", "capacitor")
    ON_RIG: ClassVar[Place] = "fan"
    PINS: ClassVar[tuple[str, ...]] = ("1", "2", "3", "4", "PE")
    FRAME: ClassVar[str] = "PE"
    LOADS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "3"), ("2", "3"), ("4", "3"))
    RANGES: ClassVar[Limits] = {
        "volts_v": (50.0, 280.0),
        "hertz": (45.0, 65.0),
        "poles": (2.0, 8.0),
        "rpm": (300.0, 3600.0),
        "run_farad": (1e-7, 5e-5),
        "main_ohm": (5.0, 5e3),
        "main_reactance_ohm": (5.0, 5e3),
        "rotor_ohm": (5.0, 1e4),
        "rotor_reactance_ohm": (5.0, 5e3),
        "magnetising_reactance_ohm": (50.0, 5e4),
        "auxiliary_ohm": (5.0, 1e4),
        "turns_ratio": (0.5, 3.0),
        "tap_resistance_ohm": (1.0, 1e4),
        "tap_reactance_ohm": (1.0, 1e4),
    }

    volts_v: float
    """Rated, as the next four."""
    hertz: float
    poles: float
    rpm: float
    """At which it drives its blades."""
    run_farad: float
    """The capacitor that it is made for."""
    main_ohm: float
    """Copper at 20 degC; rotor values are seen from the main winding."""
    main_reactance_ohm: float
    rotor_ohm: float
    rotor_reactance_ohm: float
    magnetising_reactance_ohm: float
    auxiliary_ohm: float
    turns_ratio: float
    """Turns of the auxiliary winding over those of the main one; its leakage goes with their square."""
    tap_resistance_ohm: float
    """Of the turns between the two taps."""
    tap_reactance_ohm: float

    def check(self) -> list[tuple[str, str]]:
        """Ranges; at its rated speed it drives, and what it drives it can start."""
        wrong = range_faults(self)
        if wrong:
            return wrong
        if self.poles not in (2.0, 4.0, 6.0, 8.0):
            return [("poles", f"poles is {self.poles:g}; they come in pairs")]
        if not (self.rated_rad_s < self.synchronous(self.hertz) and self.rated_nm > 0.0):
            return [("rpm", f"at {self.rpm:g} rpm it gives no torque")]
        standing = np.zeros(1)
        for low, key in ((False, "run_farad"), (True, "tap_reactance_ohm")):
            if self.alone(standing, low=low)[0] <= BREAKAWAY * self.rated_nm:
                where = "on its low tap" if low else "with its own capacitor"
                return [(key, f"{where} it would not start")]
        return []

    @property
    def inner(self) -> tuple[str, str]:
        """Inner ends of the two windings; no probe gets there."""
        return self.at("main-inside"), self.at("auxiliary-inside")

    def inside(self) -> dict[str, str]:
        return dict.fromkeys(self.inner, self.at("3"))

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        ends = ((self.tag, "1", self.inner[0]), (f"{self.tag}.auxiliary", "4", self.inner[1]))
        joints = (
            Branch(name=name, a=self.at(pin), b=node, role="link", rest=Impedance(LINK_OHM))
            for name, pin, node in ends
        )
        tap = Branch(
            name=f"{self.tag}.tap",
            a=self.at("2"),
            b=self.at("1"),
            role="load",
            rest=Impedance(self.tap_resistance_ohm, self.tap_reactance_ohm),
        )
        return (*joints, tap, insulation(self, "1"))

    # --- the machine ---

    @cached_property
    def row(self) -> Row:
        """Its values in the columns of ``sim.parts.motor``."""
        values = np.zeros(rows.M_COLUMNS)
        values[rows.M_HERTZ], values[rows.M_POLES] = self.hertz, self.poles
        values[rows.M_R1], values[rows.M_X1] = self.main_ohm, self.main_reactance_ohm
        values[rows.M_R2], values[rows.M_X2] = self.rotor_ohm, self.rotor_reactance_ohm
        values[rows.M_XM], values[rows.M_TURNS] = self.magnetising_reactance_ohm, self.turns_ratio
        values[rows.M_RA] = self.auxiliary_ohm
        values[rows.M_XA] = self.turns_ratio**2 * self.main_reactance_ohm
        return values

    def copper(self) -> tuple[float, float]:
        """Ohms of both windings, as an ohmmeter sees them."""
        return windings.resistances(self.row, WARM_K, WARM_K)

    @property
    def rated_rad_s(self) -> float:
        """Rated speed."""
        return self.rpm * pi / 30.0

    def synchronous(self, hertz: float) -> float:
        """Speed of the field, rad/s."""
        return 4.0 * pi * hertz / self.poles

    def impedance(self, hertz: float, speed: float) -> Phasors:
        """The matrix that turns the two currents, from the inner ends to pin 3, into the windings' voltages."""
        return windings.impedance(self.row, hertz, speed, WARM_K, WARM_K)

    def admittance(self, hertz: float, speed: float) -> Phasors:
        """The matrix that turns the windings' voltages into their currents."""
        return np.linalg.inv(self.impedance(hertz, speed)).astype(np.complex128)

    def torques(self, hertz: float, speeds: Row, open_v: Phasors, behind: Phasors) -> Row:
        """Torque at many speeds, N m, on what offers ``open_v`` with the matrix ``behind`` it to the two windings."""
        forward, backward = (self._field(hertz, way * speeds) for way in (1.0, -1.0))
        a, k = self.turns_ratio, hertz / self.hertz
        main, auxiliary = windings.resistances(self.row, WARM_K, WARM_K)
        total, gap = 0.5 * (forward + backward), 0.5j * a * (forward - backward)
        z11 = main + 1j * k * self.row[rows.M_X1] + total + behind[0, 0]
        z22 = auxiliary + 1j * k * self.row[rows.M_XA] + a * a * total + behind[1, 1]
        z12, z21 = behind[0, 1] - gap, behind[1, 0] + gap
        both = z11 * z22 - z12 * z21
        main_a = (z22 * open_v[0] - z12 * open_v[1]) / both
        turned_a = 1j * a * (z11 * open_v[1] - z21 * open_v[0]) / both
        gap_w = 0.5 * (np.abs(main_a - turned_a) ** 2 * forward.real - np.abs(main_a + turned_a) ** 2 * backward.real)  # fmt: skip
        made: Row = gap_w / self.synchronous(hertz)
        return made

    def _field(self, hertz: float, speeds: Row) -> Phasors:
        """Impedance of the field that turns with the shaft at these speeds, ohm."""
        slip, k = 1.0 - speeds / self.synchronous(hertz), hertz / self.hertz
        rotor = self.rotor_ohm * float(rows.resistance_ratio(WARM_K, rows.ALUMINIUM_K))
        magnetising, leakage = 1j * k * self.magnetising_reactance_ohm, 1j * k * self.rotor_reactance_ohm  # fmt: skip
        made: Phasors = magnetising * (rotor + slip * leakage) / (rotor + slip * (leakage + magnetising))  # fmt: skip
        return made

    def alone(self, speeds: Row, *, low: bool = False) -> Row:
        """Torque at many speeds on its rated supply with a sound capacitor and nothing else in the way."""
        tap = complex(self.tap_resistance_ohm, self.tap_reactance_ohm) if low else 0.0
        behind = np.full((2, 2), tap, dtype=complex)
        behind[1, 1] += 1.0 / (2j * pi * self.hertz * self.run_farad)
        return self.torques(self.hertz, speeds, np.full(2, self.volts_v, dtype=complex), behind)

    @cached_property
    def rated_nm(self) -> float:
        """Torque at its rated speed."""
        return float(self.alone(np.array([self.rated_rad_s]))[0])

    def load_nm(self, speeds: Row) -> Row:
        """What blades and bearings take."""
        made: Row = FRICTION + (1.0 - FRICTION) * (speeds / self.rated_rad_s) ** 2
        return self.rated_nm * made

    @cached_property
    def low_rad_s(self) -> float:
        """Speed on the low tap of its rated supply."""
        return meeting(lambda w: self.alone(w, low=True) - self.load_nm(w), self.synchronous(self.hertz))  # fmt: skip


def meeting(over: Callable[[Row], Row], highest: float) -> float:
    """The highest speed at which the motor's torque meets the load's; ``over`` is by how much it is larger. 0 when it never is."""
    slow, fast = 0.0, highest
    for _ in range(ROUNDS):
        speeds = np.linspace(fast, slow, SCAN + 1)
        drives = np.flatnonzero(over(speeds) > 0.0)
        if not len(drives):
            return 0.0 if slow == 0.0 else slow
        first = int(drives[0])
        slow, fast = float(speeds[first]), float(speeds[max(first - 1, 0)])
    return 0.5 * (slow + fast)


@dataclass(frozen=True, kw_only=True)
class RunCapacitor(Device):
    """A capacitor that stays in a motor's circuit, 1-2. Its windings discharge it."""

    KIND: ClassVar[str] = "run_capacitor"
    HAZARDS: ClassVar[tuple[str, ...]] = ("capacitor",)
    JOINS: ClassVar[tuple[tuple[str, str], ...]] = (("1", "2"),)
    RANGES: ClassVar[Limits] = {"farad": (1e-7, 1e-4), "resistance_ohm": (0.01, 100.0)}

    farad: float
    resistance_ohm: float
    """Of its losses, in series."""

    def branches(self, motor: SinglePhaseMotor) -> tuple[Branch, ...]:
        shape = Impedance(self.resistance_ohm, farad=self.farad)
        return (
            Branch(name=self.tag, a=self.at("1"), b=self.at("2"), role="capacitor", rest=shape, dc_ohm=inf),
        )  # fmt: skip

"""A hand multimeter with a clamp: it can be put anywhere, and it refuses what would destroy a real one.

    AC volts     V = V_open / (1 + Z_source Y_meter),   Y_meter: 10 Mohm beside 100 pF, or 3 kohm on low impedance
    clamp        phasor sum of the conductors in its jaws, each with its direction
    watts, pf    P = Re(V conj I),  pf = P / (|V| |I|)
    ohms         the direct-current network with the meter's own current, and the leads
    capacitance  Im(1/Z)/w at 10 Hz with the supply dead

Input impedances, lead resistance and the refusals are those of ordinary category III meters (common practice; IEC 61010-031, IEC 61557-1).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import inf, isfinite, pi
from random import Random
from typing import Literal

from sim.errors import InputError
from sim.record import did_you_mean
from sim.wiring.direct import DirectNetwork
from sim.wiring.display import FUNCTIONS, Display
from sim.wiring.netlist import EARTH
from sim.wiring.solution import Solution

INPUT_OHM, INPUT_FARAD = 1e7, 1e-10  # common practice: 10 Mohm and 100 pF
LOW_IMPEDANCE_OHM = 3e3  # common practice: 2 to 4 kohm, to tell a ghost from a supply
OHMS_INPUT_OHM = 1e5  # guess: what the resistance circuit of a meter looks like to a voltage
LIVE_V = 1.0  # guess: more than this across the probes makes a resistance reading nonsense
COMMON_V = 5.0  # guess: more than this from a probe to earth, with power behind it, is a live part
CHARGED_V = 1.0  # guess: as LIVE_V, for a charge that stayed behind
MOST_OHM = 6e7  # common practice: above 60 Mohm a hand meter shows OL
BEEP_OHM = 30.0  # common practice: the buzzer sounds below some 30 ohm
FARAD_TEST_HZ = (
    10.0  # common practice: a meter charges and discharges a large capacitor about so often
)
LEAST_V = 1e-3  # a floating part is computed to 1 mV in common mode; less is shown as nothing
LEAD_OHM = (0.1, 0.2)  # common practice: a pair of test leads with their plugs
LEAST_A = 1e-9  # numerical: no power factor below this

Refusal = Literal["", "LIVE", "LIVE common-mode", "CHARGED"]

WOULD_HAVE: dict[Refusal, str] = {
    "": "",
    "LIVE": "The probes stand across {v:.0f} V. A real meter set to measure resistance is driven from outside: its fuse or its input goes, a cheap one"
    " bursts in the hand, and the person is working on a live circuit without knowing it.",
    "LIVE common-mode": "Both probes stand at {v:.0f} V to earth with almost nothing between them, as across a closed live contact. A real meter would show a few"
    " ohms or nonsense and look healthy; the person touches line with both hands.",
    "CHARGED": "A capacitor still holds {v:.0f} V between the probes. A real meter is discharged into: its input goes; the charge stings or burns the person, who drops"
    " things and falls.",
}


@dataclass(frozen=True)
class Reading:
    """One measurement. ``value`` is true (SI); ``shown`` is what this meter shows of it."""

    mode: str
    value: float
    shown: str
    refusal: Refusal = ""
    would_have: str = ""
    """What would have happened to a real meter and a person."""
    cautions: tuple[str, ...] = ()
    """Ids in rigs/cautions.toml."""


class Multimeter:
    """One meter. The same seed is the same meter: its gain errors and its leads."""

    def __init__(self, seed: int = 0) -> None:
        self._display = Display(seed)
        self._lead_ohm = Random(f"leads {seed}").uniform(*LEAD_OHM)
        self._zeroed_ohm = 0.0

    def zero_leads(self) -> None:
        """Touch the probes together and press zero: later ohms leave the leads out."""
        self._zeroed_ohm = self._lead_ohm

    def measure(
        self,
        mode: str,
        solution: Solution,
        between: Sequence[str] = (),
        around: Sequence[str] = (),
        now_s: float = 0.0,
    ) -> Reading:
        """Any mode by its name, as run sheets write it: two terminals ``between`` the probes, branches ``around`` which the clamp goes.

        Raises InputError for an unknown mode, or without the probes or the clamp that it needs.
        """
        if mode not in FUNCTIONS:
            raise InputError(f"a meter has no mode {mode!r}. {did_you_mean(mode, FUNCTIONS)}")
        if mode != "amps" and len(between) != 2:
            raise InputError(f"{mode} is measured between two terminals")
        if mode in ("amps", "watts", "power-factor") and not around:
            raise InputError(f"{mode} is measured around at least one conductor")
        a, b = between if len(between) == 2 else ("", "")
        return {
            "volts": lambda: self.volts(solution, a, b),
            "volts-low-impedance": lambda: self.volts(solution, a, b, low_impedance=True),
            "dc-volts": lambda: self.dc_volts(solution, a, b, now_s),
            "ohms": lambda: self.ohms(solution, a, b, now_s),
            "continuity": lambda: self.continuity(solution, a, b, now_s),
            "farads": lambda: self.farads(solution, a, b, now_s),
            "amps": lambda: self.amps(solution, around),
            "watts": lambda: self.watts(solution, a, b, around),
            "power-factor": lambda: self.power_factor(solution, a, b, around),
        }[mode]()

    def volts(self, solution: Solution, a: str, b: str, *, low_impedance: bool = False) -> Reading:
        """AC volts between two terminals."""
        mode = "volts-low-impedance" if low_impedance else "volts"
        return self._reading(mode, abs(self._phasor(solution, a, b, low_impedance)))

    def _phasor(self, solution: Solution, a: str, b: str, low_impedance: bool = False) -> complex:
        omega = 2.0 * pi * solution.port.state.hertz
        own = 1.0 / LOW_IMPEDANCE_OHM if low_impedance else 1.0 / INPUT_OHM + 1j * omega * INPUT_FARAD  # fmt: skip
        volts = solution.volts(a, b) / (1.0 + solution.source_impedance(a, b) * own)
        return volts if abs(volts) > LEAST_V else 0j

    def dc_volts(self, solution: Solution, a: str, b: str, now_s: float) -> Reading:
        """Direct volts of ``a`` over ``b``: what capacitors kept."""
        network = DirectNetwork(solution.circuit, solution.port.state)
        volts = network.volts(a, b, INPUT_OHM, now_s)
        return self._reading("dc-volts", volts if abs(volts) > LEAST_V else 0.0)

    def amps(self, solution: Solution, conductors: Sequence[str]) -> Reading:
        """The clamp round one or several branches; "-W9" lies in the jaws the other way round."""
        return self._reading("amps", abs(clamped(solution, conductors)))

    def watts(self, solution: Solution, a: str, b: str, conductors: Sequence[str]) -> Reading:
        """Power from the voltage of ``a`` over ``b`` and the clamp."""
        power = self._phasor(solution, a, b) * clamped(solution, conductors).conjugate()
        return self._reading("watts", power.real)

    def power_factor(
        self, solution: Solution, a: str, b: str, conductors: Sequence[str]
    ) -> Reading:
        """Power over volts times amperes; 0 when either is missing."""
        volts, amps = self._phasor(solution, a, b), clamped(solution, conductors)
        there = abs(volts) > LEAST_V and abs(amps) > LEAST_A
        share = (volts * amps.conjugate()).real / (abs(volts) * abs(amps)) if there else 0.0
        return self._reading("power-factor", share)

    def ohms(self, solution: Solution, a: str, b: str, now_s: float) -> Reading:
        """Resistance between two terminals, or why not."""
        network = DirectNetwork(solution.circuit, solution.port.state)
        refused = refused_as("ohms", solution, network, a, b, now_s)
        return refused or self._reading("ohms", self._resistance(network, a, b))

    def continuity(self, solution: Solution, a: str, b: str, now_s: float) -> Reading:
        """As ohms; below 30 ohm it beeps, and the face says so."""
        network = DirectNetwork(solution.circuit, solution.port.state)
        refused = refused_as("continuity", solution, network, a, b, now_s)
        if refused:
            return refused
        ohm = self._resistance(network, a, b)
        made = self._reading("continuity", ohm)
        beep = f"{made.shown} beep" if ohm < BEEP_OHM else made.shown
        return Reading(made.mode, made.value, beep)

    def farads(self, solution: Solution, a: str, b: str, now_s: float) -> Reading:
        """Capacitance between two terminals; OL where the path is no capacitor."""
        network = DirectNetwork(solution.circuit, solution.port.state)
        refused = refused_as("farads", solution, network, a, b, now_s)
        if refused:
            return refused
        state = solution.port.state.copy()
        state.supply_v, state.hertz, state.speed_rad_s = 0.0, FARAD_TEST_HZ, 0.0
        state.fan_rad_s = dict.fromkeys(state.fan_rad_s, 0.0)
        between = solution.circuit.solve(state).source_impedance(a, b) if a != b else 0.0
        siemens = 1.0 / (between + self._lead_ohm)
        is_capacitor = siemens.imag > 0.0 and siemens.imag > siemens.real
        farad = siemens.imag / (2.0 * pi * FARAD_TEST_HZ) if is_capacitor else inf
        return self._reading("farads", farad)

    def _resistance(self, network: DirectNetwork, a: str, b: str) -> float:
        ohm = network.resistance(a, b) if a != b else 0.0
        return inf if ohm > MOST_OHM else max(0.0, ohm + self._lead_ohm - self._zeroed_ohm)

    def _reading(self, mode: str, value: float) -> Reading:
        return Reading(mode, value, self._display.text(mode, value))


class PeakHold:
    """Keeps the largest value shown to it, as the meter's peak key does."""

    def __init__(self) -> None:
        self.value = 0.0

    def take(self, reading: Reading) -> float:
        """Look at a reading; the largest so far."""
        if isfinite(reading.value):
            self.value = max(self.value, abs(reading.value))
        return self.value


def clamped(solution: Solution, conductors: Sequence[str]) -> complex:
    """Phasor sum of the conductors in the jaws."""
    total = 0j
    for name in conductors:
        total += -solution.amps(name[1:]) if name.startswith("-") else solution.amps(name)
    return total


def loaded(solution: Solution, a: str, b: str) -> float:
    """Volts between two terminals with the ohms circuit of a meter across them: a ghost collapses, a supply does not."""
    if solution.circuit.number(a) == solution.circuit.number(b):
        return 0.0
    return abs(solution.volts(a, b) / (1.0 + solution.source_impedance(a, b) / OHMS_INPUT_OHM))


def refused_as(
    mode: str, solution: Solution, network: DirectNetwork, a: str, b: str, now_s: float
) -> Reading | None:
    """The refusal of anything that sends the meter's own current, or None when it is safe."""
    across = loaded(solution, a, b)
    if across > LIVE_V:
        return refusal(mode, "LIVE", across, ("isolate",))
    common = max(loaded(solution, a, EARTH), loaded(solution, b, EARTH))
    if common > COMMON_V:
        return refusal(mode, "LIVE common-mode", common, ("isolate",))
    charge = abs(network.volts(a, b, INPUT_OHM, now_s))
    if charge > CHARGED_V:
        return refusal(mode, "CHARGED", charge, ("capacitor", "isolate"))
    return None


def refusal(mode: str, kind: Refusal, volts: float, cautions: tuple[str, ...]) -> Reading:
    """A reading that was not taken, and why it matters."""
    return Reading(mode, inf, kind, kind, WOULD_HAVE[kind].format(v=volts), cautions)

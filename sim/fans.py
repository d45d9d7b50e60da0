"""Fans of a wiring, quasi-steady: standing or turning, how fast, and what they draw.

    shaded pole       turns by the voltage across its winding; speed over that at rated volts = 1 - 0.13 (rated volts/volts)^2, over the same at rated volts
                      (slip grows as the torque's voltage square falls; 13 % rated slip: common practice)
    run capacitor     the speed at which its torque meets the blades', on what the rest of the circuit is at its terminals (``sim.wiring.fan_motor``)

Air goes with speed (fan law).
"""

from __future__ import annotations

from collections.abc import Callable, Collection

import numpy as np

from sim.supply import FanDrive
from sim.wiring import Circuit, State
from sim.wiring.fan_motor import BREAKAWAY, CapacitorFan, Phasors, Row, meeting
from sim.wiring.loads import ShadedPoleFan

RATED_SLIP = (
    0.13  # common practice: a loaded shaded-pole fan turns at 80 to 90 % of synchronous speed
)
SLOW, FAST = 1, 2  # the steps of its switch

Sensed = Callable[[str], complex]


class Fans:
    """Those of one circuit. Remembers nothing: what turns, and how fast, stands in the circuit's state."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.shaded = circuit.wiring.fans
        self.split = circuit.wiring.capacitor_fans
        self.rated_v = {(fan.tag, step): self._rated_v(fan, step) for fan in self.shaded for step in (SLOW, FAST)}  # fmt: skip

    def names(self) -> list[str]:
        """What is to be sensed of them in every solution."""
        made = []
        for fan in self.shaded:
            made += [f"fan:{fan.tag}", f"amps:{fan.tag}", f"amps:{fan.tag}.tap"]
        return made + [f"amps:{fan.tag}.tap" for fan in self.split]

    def _rated_v(self, fan: ShadedPoleFan, step: int) -> float:
        """Volts across its winding at rated supply on the low (1) or high (2) tap."""
        winding = complex(fan.resistance_ohm, fan.reactance_ohm)
        tap = complex(fan.tap_resistance_ohm, fan.tap_reactance_ohm) if step == SLOW else 0.0
        return float(self.circuit.wiring.supply.volts_v * abs(winding / (winding + tap)))

    def move(self, state: State, sensed: Sensed, held: Collection[str]) -> bool:
        """Let each start, stop or take its speed; was there any change? ``held`` are those whose shaft cannot turn."""
        moved = False
        for fan in self.shaded:
            turning = state.fan_turning[fan.tag]
            volts = abs(sensed(f"fan:{fan.tag}"))
            goes = volts > (fan.stall_v if turning else fan.start_v)
            goes = goes and fan.tag not in held
            state.fan_turning[fan.tag] = goes
            moved = moved or goes != turning
        for split in self.split:
            speed = 0.0 if split.tag in held else self.speed(split, state)
            moved = moved or speed != state.fan_rad_s[split.tag]
            state.fan_rad_s[split.tag], state.fan_turning[split.tag] = speed, speed > 0.0
        return moved

    def speed(self, fan: CapacitorFan, state: State) -> float:
        """Where its torque meets that of the blades, rad/s."""
        open_v, impedance = self.circuit.without(state, fan.tag).seen_from(self.circuit.fan_ends[fan.tag])  # fmt: skip

        def torques(w: Row) -> Row:
            return fan.torques(state.hertz, w, open_v, impedance)

        if not state.fan_turning[fan.tag] and torques(np.zeros(1))[0] <= BREAKAWAY * fan.rated_nm:
            return 0.0
        return meeting(lambda w: torques(w) - fan.load_nm(w), fan.synchronous(state.hertz))

    def drive(self, tag: str, state: State, sensed: Sensed, node_v: Phasors) -> FanDrive:  # fmt: skip
        """How it is driven now; ``node_v`` are the voltages of all nodes."""
        fan = self.circuit.wiring.device(tag)
        tap_a = abs(sensed(f"amps:{tag}.tap"))
        if isinstance(fan, ShadedPoleFan):
            return self._shaded(fan, state, sensed, tap_a)
        assert isinstance(fan, CapacitorFan)
        volts, amps = self.circuit.fan_flow(state, tag, node_v)
        watts = float((volts @ amps.conj()).real) + tap_a**2 * fan.tap_resistance_ohm
        speed = state.fan_rad_s[tag]
        if speed == 0.0:
            return FanDrive(0.0, 1.0, watts)
        step = SLOW if tap_a > 0.5 * abs(amps[0] + amps[1]) else FAST
        return FanDrive(float(step), speed / (fan.low_rad_s if step == SLOW else fan.rated_rad_s), watts)  # fmt: skip

    def _shaded(self, fan: ShadedPoleFan, state: State, sensed: Sensed, tap_a: float) -> FanDrive:
        """By the voltage across its winding, and by which tap feeds it."""
        winding_a, turning = abs(sensed(f"amps:{fan.tag}")), state.fan_turning[fan.tag]
        watts = winding_a**2 * (fan.resistance_ohm if turning else fan.stalled_resistance_ohm)
        watts += tap_a**2 * fan.tap_resistance_ohm
        if not turning:
            return FanDrive(0.0, 1.0, watts)
        step = SLOW if tap_a > 0.5 * winding_a else FAST
        volts, rated = abs(sensed(f"fan:{fan.tag}")), self.rated_v[fan.tag, step]
        share = (1.0 - RATED_SLIP * (rated / volts) ** 2) / (1.0 - RATED_SLIP)
        return FanDrive(float(step), max(share, 0.0), watts)

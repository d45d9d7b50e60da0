"""The supply of a rig with a wiring file: positions of switches and armatures go into the circuit, and what it gives comes back.

The circuit is solved once for every move of a contact or change of supply; between two of them the motor's currents, and with them everything else, follow
from the feed (``sim.feed``). Fans are quasi-steady (``sim.fans``).
"""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.controls import Controls
from sim.electrical import ElectricalFault, Spoilt, compose
from sim.fans import Fans
from sim.parts import motor
from sim.plant import Plant
from sim.rig import Rig
from sim.supply import Coil, FanDrive, MotorState
from sim.surroundings import Surroundings
from sim.switches import Selector
from sim.tags import LIFTED, NOWHERE, Setting
from sim.wiring import Circuit, Solution, wiring_of
from sim.wiring.direct import capacitor_volts, contacts_moved
from sim.wiring.loads import Ammeter, Heater, Voltmeter
from sim.wiring.machine import BimetalOverload, CurrentRelay
from sim.wiring.now import CircuitNow, circuit_now, loading
from sim.wiring.state import BranchFault, Bridge, Charge, State
from sim.wiring.switchgear import (
    Breaker,
    Contactor,
    ControlContact,
    Fuse,
    Limiter,
    ResidualCurrentDevice,
    SelectorSwitch,
)

LIVE_SHARE = 0.1  # guess: of the rated voltage; what has less does nothing
ROUNDS = 4  # a fan that starts or stops moves the others' voltage by a fraction of a volt
HEATER_OFF = 1e6  # factor on the heater's ohms at no watts


class WiredSupply:
    """A computed circuit. Its state is ``state``; ``port`` is its newest solution."""

    def __init__(self, rig: Rig, plant: Plant, controls: Controls, commands: dict[str, Setting]) -> None:  # fmt: skip
        self.wiring = wiring_of(rig)
        self.circuit = Circuit(self.wiring)
        self.state = self.circuit.rest()
        self.plant, self.controls, self.commands = plant, controls, commands
        made = self.wiring
        self.contactor = f"{made.of_kind(Contactor)[0].tag}.main"
        self.coils = tuple(self._coils())
        guards = [d for d in made.devices if isinstance(d, Fuse | Breaker | ResidualCurrentDevice)]
        self._poles = {d.tag: [b.name for b in d.branches(made.motor)] for d in guards}
        self._protective = {d.tag: f"{'residual' if isinstance(d, ResidualCurrentDevice) else 'amps'}:{d.tag}" for d in guards}  # fmt: skip
        self.port = self.circuit.port(self.state)
        self.fans = Fans(self.circuit)
        self.names = self._names()
        self.electrical: dict[str, ElectricalFault] = {}
        """Faults of the wiring that are in, by name."""
        self.spoilt = Spoilt()
        """What faults of the catalogue do to the wiring."""
        self.opened: set[str] = set()
        """Fuses, breakers and residual-current devices that have opened."""
        self.burnt: set[str] = set()
        """Windings that have burnt through: main, start."""
        self._rows = np.zeros((0, 3), dtype=complex)
        self._now = np.zeros(3, dtype=complex)
        self._share: NDArray[np.complex128] | None = None

    def _coils(self) -> list[Coil]:
        found, row = [], c.FEED_FIXED
        for name, magnet in self.circuit.magnets.items():
            own = c.FEED_RELAY if magnet.quantity == "amps" else row
            row += magnet.quantity == "volts"
            found.append(Coil(name, own, magnet.pull_in, magnet.drop_out, magnet.delay_s))
        return found

    def _names(self) -> list[str]:
        """What is sensed: the feed's rows from FEED_PANEL_V on, then fans and heaters."""
        made = self.wiring
        volt, amp = made.of_kind(Voltmeter)[0], made.of_kind(Ammeter)[0]
        overload, relay = made.of_kind(BimetalOverload)[0], made.of_kind(CurrentRelay)[0]
        names = [
            f"volts:{volt.at('1')}:{volt.at('2')}",
            f"amps:{amp.tag}",
            f"volts:{overload.at('1')}:{relay.at('L')}",
            f"amps:{overload.tag}",
            f"magnet:{relay.tag}",
            f"amps:{overload.tag}",
        ]
        names += [f"magnet:{coil.name}" for coil in self.coils if coil.row >= c.FEED_FIXED]
        self.feed_rows = len(names)
        return [*names, *self.fans.names(), *(f"amps:{heater.tag}" for heater in made.of_kind(Heater)), *self._protective.values()]  # fmt: skip

    # --- solving ---

    def refresh(self, now: Surroundings, motor_now: MotorState, time_s: float) -> None:
        """Positions into the circuit, and solve; again while a fan starts or stops."""
        state = self.state
        motor_state = motor_now()
        before = self.port.solve(*motor_state)
        state.supply_v, state.hertz = now.supply_voltage_v, now.supply_frequency_hz
        self._positions()
        state.speed_rad_s, state.main_k, state.start_k = motor_state
        contacts_moved(self.circuit, before, state, time_s)
        for _ in range(ROUNDS):
            self._solve()
            if not self.fans.move(state, self._sensed, self.spoilt.held):
                break

    def _solve(self) -> None:
        self.port = self.circuit.port(self.state)
        self._share = None
        self._rows = self.port.affine(self.names)
        solved = self.port.solve()
        self._now = np.array((1.0, solved.main_a, solved.start_a))

    def _positions(self) -> None:
        controls, state = self.controls, self.state
        compose(self.circuit, state, self.all_faults(), self.lifted(), self.jumper())
        controls.stuck = {name for name, one in state.faults.items() if one.kind == "stuck-closed"}
        for device in self.wiring.devices:
            if isinstance(device, SelectorSwitch) and isinstance(controls.switches.get(device.tag), Selector):  # fmt: skip
                self.circuit.turn(state, device.tag, controls.position[device.tag])
            elif isinstance(device, ControlContact | BimetalOverload):
                state.closed[device.tag] = not controls.is_open(device.tag)
            elif isinstance(device, Limiter):
                box = controls.box()
                state.closed[device.tag] = box is None or not controls.is_open(f"{box.tag}.limit")
            elif isinstance(device, Fuse | Breaker | ResidualCurrentDevice):
                for name in self._poles[device.tag]:
                    state.closed[name] = device.tag not in self.opened
        self._heater()

    def _heater(self) -> None:
        """The regulator in front of the heater: a factor on its ohms, so that it gives what it is set to at rated volts."""
        box = self.controls.box()
        watts = float(self.commands[f"{box.tag}.watts"]) if box else 0.0
        for heater in self.wiring.of_kind(Heater):
            full = self.wiring.supply.volts_v**2 / heater.resistance_ohm
            name = f"{heater.tag}.ohm"
            regulated = full / watts if watts > full / HEATER_OFF else HEATER_OFF
            self.state.factor[name] = self.state.factor.get(name, 1.0) * regulated

    def all_faults(self) -> list[ElectricalFault]:
        """Those that are in, of the catalogue too, and burnt windings."""
        machine = self.wiring.machine.tag
        burnt = [ElectricalFault(branch=f"{machine}.{which}", state="open") for which in self.burnt]
        return [*self.spoilt.faults(), *self.electrical.values(), *burnt]

    def lifted(self) -> list[str]:
        """Leads that a hand has taken off."""
        return [wire.tag for wire in self.wiring.wires if self.commands[wire.tag] == LIFTED]

    def jumper(self) -> tuple[str, str] | None:
        """The two terminals that a jumper lead joins."""
        a, b = str(self.commands["jumper.1"]), str(self.commands["jumper.2"])
        return None if NOWHERE in (a, b) or a == b else (a, b)

    def kept_volts(self, capacitor: str, time_s: float) -> float:
        """Direct volts that a capacitor still holds."""
        return abs(capacitor_volts(self.circuit, self.state, capacitor, time_s))

    def protective_amps(self, tag: str) -> float:
        """What a fuse or breaker carries, or what a residual-current device sees."""
        return abs(self._sensed(self._protective[tag]))

    def _sensed(self, name: str) -> complex:
        return complex(self._rows[self.names.index(name)] @ self._now)

    # --- what the bench asks ---

    def powered(self) -> bool:
        """Has the panel's voltmeter anything to show?"""
        return abs(self._sensed(self.names[0])) > LIVE_SHARE * self.wiring.supply.volts_v

    def fan(self, tag: str) -> FanDrive:
        """How a fan is driven."""
        return self.fans.drive(tag, self.state, self._sensed, self.port.basis @ self._now)

    def energised(self, part: str) -> bool:
        """Is its armature in?"""
        return self.state.seated.get(part, False)

    def contactor_closed(self) -> bool:
        """Is its main contact closed?"""
        return self.state.closed[self.contactor]

    def motor_on(self) -> bool:
        """Has the main winding voltage across it?"""
        across = self.port.open_v[0] - self.port.impedance[0] @ self._now[1:]
        return bool(abs(across) > LIVE_SHARE * self.wiring.supply.volts_v)

    def heater_w(self) -> float:
        """Joule heat of the heaters."""
        total = 0.0
        for heater in self.wiring.of_kind(Heater):
            amps = abs(self._sensed(f"amps:{heater.tag}"))
            total += amps**2 * heater.resistance_ohm * self.state.factor[f"{heater.tag}.ohm"]
        return total

    def sound(self) -> None:
        """Take out what faults of the catalogue have spoilt."""
        self.spoilt = Spoilt()

    def spoil(self, place: str, what: str, value: float) -> None:
        """Spoil a branch, value or terminal."""
        self.spoilt.put(place, what, value)

    def seat(self, name: str, seated: bool) -> None:
        """Move an armature and its contacts."""
        self.circuit.seat(self.state, name, seated)

    @property
    def seated(self) -> frozenset[str]:
        """Coils whose armature is in."""
        return frozenset(name for name, is_in in self.state.seated.items() if is_in)

    @property
    def motor(self) -> motor.SinglePhaseMotor:
        """The motor's values on this supply."""
        return self.wiring.motor

    def write(self) -> None:
        """The newest solution as the plant's feed."""
        feed, port = self.plant.feed, self.port
        feed[c.FEED_MAIN] = port.open_v[0], -port.impedance[0, 0], -port.impedance[0, 1]
        feed[c.FEED_START] = port.open_v[1], -port.impedance[1, 0], -port.impedance[1, 1]
        feed[c.FEED_PANEL_V :] = self._rows[: self.feed_rows]

    def solution(self, motor_now: tuple[float, float, float]) -> Solution:
        """Everything at the motor's present speed and temperatures."""
        return self.port.solve(*motor_now)

    def now(self, main_a: complex, start_a: complex) -> CircuitNow:
        """The circuit with these winding currents, for a screen."""
        if self._share is None:
            self._share = loading(self.port)
        return circuit_now(self.port, self._share, main_a, start_a)

    def frozen(self) -> dict[str, Any]:
        """The circuit's state, what is wrong with it, and what has opened."""
        return {
            "state": asdict(self.state),
            "electrical": [asdict(fault) for fault in self.electrical.values()],
            "opened": sorted(self.opened),
            "burnt": sorted(self.burnt),
        }

    def thawed(self, values: dict[str, Any]) -> None:
        """The circuit's state, solved again for what is asked of it."""
        made = [ElectricalFault(**{**one, "bridge": tuple(one["bridge"])}) for one in values["electrical"]]  # fmt: skip
        self.electrical = {one.name: one for one in made}
        self.opened, self.burnt = set(values["opened"]), set(values["burnt"])
        values = dict(values["state"])
        values["faults"] = {name: BranchFault(*fault) for name, fault in values["faults"].items()}
        values["bridges"] = [Bridge(*bridge) for bridge in values["bridges"]]
        values["charge"] = {name: Charge(*charge) for name, charge in values["charge"].items()}
        self.state = State(**values)
        self._solve()

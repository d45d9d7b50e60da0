"""What a wiring must be before anything is computed with it: terminals, paths, earths, and settings that the computed currents fit.

Paths are judged with every contact closed. Currents are those of the circuit itself: a fuse against everything running at once, the start relay
against a hot locked rotor at low voltage and against a nearly full speed at high voltage with the start circuit still in.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from math import pi

from sim.parts.motor import COLD_K, HIGH_VOLTAGE, HOT_K, LOW_VOLTAGE, RELEASE_SLIP
from sim.record import Reader, did_you_mean
from sim.rig_draft import declared
from sim.tomlfile import Key
from sim.wiring.circuit import Circuit
from sim.wiring.fan_motor import CapacitorFan, RunCapacitor
from sim.wiring.joined import conducting, reach, wires
from sim.wiring.machine import CurrentRelay, HermeticMotor
from sim.wiring.netlist import EARTH, LINE, NEUTRAL, Wiring
from sim.wiring.state import State
from sim.wiring.switchgear import Breaker, Coil, Fuse, RestartTimer

COIL_VOLTAGE = (
    0.85  # source: IEC 60947-4-1, contactors pull in at 85 % of rated voltage, from memory
)
FITTED_WITHIN = (
    0.2  # common practice: run capacitors are made to 5 to 10 %; a fifth off is another one
)
RUNNING_SLIP = 0.04  # guess: a loaded two-pole fractional-horsepower motor runs at 3450 of 3600 rpm


def check_wiring(reader: Reader, wiring: Wiring, places: Mapping[str, Key]) -> None:
    """Notes every mistake in ``reader``. What is computed is only computed when the rest is right."""
    check = _Check(reader, wiring, places)
    check.motor()
    check.fans()
    check.wires()
    check.terminals()
    if reader.mistakes:
        return
    check.paths()
    check.frames()
    if reader.mistakes:
        return
    check.currents()


class _Check:
    def __init__(self, reader: Reader, wiring: Wiring, places: Mapping[str, Key]) -> None:
        self.reader, self.wiring, self.places = reader, wiring, places

    def _wrong(self, tag: str, key: str, what: str, remedy: str) -> None:
        path = self.places[tag]
        self.reader.wrong((*path, key) if key else path, what, remedy)

    def motor(self) -> None:
        """One motor, made for this supply."""
        motors = self.wiring.of_kind(HermeticMotor)
        kinds = declared(self.reader.document, "device", "kind")
        if kinds.count(HermeticMotor.KIND) != 1:
            what = f"there are {kinds.count(HermeticMotor.KIND)} motors in the wiring."
            self.reader.wrong(("device",), what, 'Give one device of kind = "hermetic_motor".')
        for device in motors:
            if device.rated is None:
                continue
            hertz, volts = self.wiring.supply.frequency_hz, self.wiring.supply.volts_v
            if device.rated.rated_frequency_hz != hertz:
                what = f"{device.tag} is made for {device.rated.rated_frequency_hz:g} Hz, the supply has {hertz:g} Hz."
                self._wrong(
                    device.tag, "part", what, "Give [device.rated] its values on this supply."
                )
            if not LOW_VOLTAGE <= volts / device.rated.rated_voltage_v <= HIGH_VOLTAGE:
                what = f"{device.tag} is made for {device.rated.rated_voltage_v:g} V, the supply has {volts:g} V."
                self._wrong(
                    device.tag, "part", what, "Give [device.rated] its values on this supply."
                )

    def fans(self) -> None:
        """A fan with a run capacitor is made for this supply."""
        hertz, volts = self.wiring.supply.frequency_hz, self.wiring.supply.volts_v
        for fan in self.wiring.capacitor_fans:
            if fan.hertz != hertz or not LOW_VOLTAGE <= volts / fan.volts_v <= HIGH_VOLTAGE:
                what = f"{fan.tag} is made for {fan.volts_v:g} V {fan.hertz:g} Hz, the supply has {volts:g} V {hertz:g} Hz."
                self._wrong(fan.tag, "volts_v", what, "Give it its values on this supply.")
            self._fitted(fan)

    def _fitted(self, fan: CapacitorFan) -> None:
        """The capacitor that its plate asks for is the one that is fitted."""
        at = fan.at("4")
        ends = {end for wire in self.wiring.wires if at in (wire.a, wire.b) for end in (wire.a, wire.b)}  # fmt: skip
        beside = [one for one in self.wiring.of_kind(RunCapacitor) if ends & {one.at("1"), one.at("2")}]  # fmt: skip
        if not beside:
            self._wrong(fan.tag, "run_farad", f"no run capacitor is wired to {at}.", "Wire one between it and terminal 1.")  # fmt: skip
        for one in beside:
            if abs(one.farad / fan.run_farad - 1.0) > FITTED_WITHIN:
                what = f"{one.tag} has {one.farad * 1e6:g} uF; {fan.tag} is made for {fan.run_farad * 1e6:g} uF."
                self._wrong(one.tag, "farad", what, "Fit the one on the motor's plate.")

    def wires(self) -> None:
        """Each between two different terminals that exist, and no two beside each other."""
        known = set(self.wiring.terminals)
        pairs: dict[frozenset[str], str] = {}
        named = set(declared(self.reader.document, "device", "tag"))
        read = {device.tag for device in self.wiring.devices}
        for wire in self.wiring.wires:
            for key, end in (("from", wire.a), ("to", wire.b)):
                unread = end.rpartition(".")[0] in named - read
                if end not in known and not unread:
                    what = f"wire {wire.tag}: there is no terminal {end}."
                    self._wrong(wire.tag, key, what, did_you_mean(end, known))
            pair = frozenset((wire.a, wire.b))
            if len(pair) == 1:
                what = f"wire {wire.tag}: both ends are on {wire.a}."
                self._wrong(wire.tag, "to", what, "Lead it somewhere else or remove it.")
            elif pair in pairs:
                what = f"wire {wire.tag} joins the same two terminals as {pairs[pair]}."
                self._wrong(wire.tag, "", what, "Remove one of them.")
            pairs.setdefault(pair, wire.tag)

    def terminals(self) -> None:
        """No terminal hangs loose, and the two that the wiring names exist."""
        used = {end for wire in self.wiring.wires for end in (wire.a, wire.b)}
        loose = defaultdict(list)
        for device in self.wiring.devices:
            loose[device.tag] = [device.at(p) for p in device.pins() if device.at(p) not in used]
        for tag, terminals in loose.items():
            for terminal in terminals:
                what = f"terminal {terminal} has no wire."
                self._wrong(tag, "", what, "Add a [[wire]] that ends there, or remove the device.")
        for terminal in {LINE, NEUTRAL, EARTH} - used:
            what = f"terminal {terminal} has no wire."
            self.reader.wrong(("supply",), what, "Add a [[wire]] that ends there.")
        if self.wiring.table.chassis == self.wiring.table.harness:
            what = "chassis and harness are the same terminal."
            remedy = "The harness is named by a conductor that is live in use."
            self.reader.wrong(("wiring", "harness"), what, remedy)
        for key in ("chassis", "harness"):
            terminal = getattr(self.wiring.table, key)
            if terminal not in self.wiring.terminals:
                what = f"{key}: there is no terminal {terminal}."
                self.reader.wrong(
                    ("wiring", key), what, did_you_mean(terminal, self.wiring.terminals)
                )

    def paths(self) -> None:
        """With every contact closed each load lies between line and neutral, and nothing joins these two."""
        pairs = conducting(self.wiring)
        line, neutral = reach(pairs, LINE), reach(pairs, NEUTRAL)
        if NEUTRAL in line:
            what = "dead short: with every contact closed, line and neutral join through wires and contacts alone."
            self.reader.wrong(("wire",), what, "Find the wire that by-passes a load.")
            return
        for device in self.wiring.devices:
            for a, b in ((device.at(x), device.at(y)) for x, y in device.LOADS):
                if not (a in line and b in neutral) and not (a in neutral and b in line):
                    where = ", ".join(f"{x} reaches {_which(x, line, neutral)}" for x in (a, b))
                    what = f"{device.tag}: no path out and back, even with every contact closed: {where}."
                    self._wrong(device.tag, "", what, "Wire it between line and neutral.")

    def frames(self) -> None:
        """Every metal case is earthed by wires that no switch can open, save the plug."""
        table = self.wiring.table
        if EARTH not in reach(conducting(self.wiring), table.chassis):
            what = f"floating frame: the chassis {table.chassis} is not joined to {EARTH}."
            self.reader.wrong(("wiring", "chassis"), what, "Add the earth wire.")
        earthed = reach(wires(self.wiring), table.chassis)
        for device in self.wiring.devices:
            if device.FRAME and device.at(device.FRAME) not in earthed:
                what = f"floating frame: {device.at(device.FRAME)} is not joined to the chassis {table.chassis}."
                self._wrong(device.tag, "", what, "Add its earth wire.")

    def currents(self) -> None:
        """Fuse and breaker carry everything at once, coils pull in on low voltage, the start relay fits this motor."""
        circuit = Circuit(self.wiring)
        self._coils()
        state = everything_on(circuit)
        state.speed_rad_s = (1.0 - RUNNING_SLIP) * synchronous(circuit)
        running = circuit.solve(state)
        state.speed_rad_s = 0.0
        locked = circuit.solve(state)
        for device in (d for d in self.wiring.devices if isinstance(d, Fuse | Breaker)):
            amps, inrush = abs(running.amps(device.tag)), abs(locked.amps(device.tag))
            if amps > device.rated_a:
                what = f"{device.tag} is rated {device.rated_a:g} A, but {amps:.1f} A run through it with everything on."
                self._wrong(device.tag, "rated_a", what, "Take the next size that the wires allow.")
            if isinstance(device, Breaker) and inrush > device.magnetic_a:
                what = f"{device.tag} opens at once at {device.magnetic_a:g} A, but a start draws {inrush:.1f} A."
                self._wrong(device.tag, "magnetic_a", what, "Take a slower breaker.")
        for relay in self.wiring.of_kind(CurrentRelay):
            self._relay(circuit, relay.tag)

    def _coils(self) -> None:
        volts = COIL_VOLTAGE * self.wiring.supply.volts_v
        for coil in (d for d in self.wiring.devices if isinstance(d, Coil | RestartTimer)):
            if coil.pull_in_v > volts:
                what = f"{coil.tag} pulls in at {coil.pull_in_v:g} V; 85 % of the supply are {volts:g} V."
                self._wrong(coil.tag, "pull_in_v", what, "Take a coil for this supply.")

    def _relay(self, circuit: Circuit, tag: str) -> None:
        magnet, supply = circuit.magnets[tag], self.wiring.supply.volts_v
        state = everything_on(circuit)
        state.supply_v, state.main_k, state.start_k = LOW_VOLTAGE * supply, HOT_K, HOT_K
        locked = abs(circuit.solve(state).sensed(f"magnet:{tag}"))
        circuit.seat(state, tag, True)
        state.supply_v, state.main_k, state.start_k = HIGH_VOLTAGE * supply, COLD_K, COLD_K
        state.speed_rad_s = (1.0 - RELEASE_SLIP) * synchronous(circuit)
        fast = abs(circuit.solve(state).sensed(f"magnet:{tag}"))
        if magnet.pull_in >= locked:
            what = f"{tag} pulls in at {magnet.pull_in:g} A, but a hot locked rotor at 90 % of the supply draws only {locked:.2f} A: it would never start."
            self._wrong(tag, "", what, "Lower relay_pull_in_a of the motor.")
        if magnet.drop_out <= fast:
            what = f"{tag} drops out at {magnet.drop_out:g} A, but near full speed at 110 % of the supply the run winding still draws {fast:.2f} A: the start winding would stay in."
            self._wrong(tag, "", what, "Raise relay_drop_out_a of the motor.")


def everything_on(circuit: Circuit) -> State:
    """Every contact closed and every coil seated but the start relay's, fans turning: the most that runs at once. The motor stands."""
    state = circuit.rest()
    state.closed = dict.fromkeys(state.closed, True)
    for coil, magnet in circuit.magnets.items():
        circuit.seat(state, coil, magnet.quantity == "volts")
    state.fan_turning = dict.fromkeys(state.fan_turning, True)
    state.fan_rad_s = {tag: fan.rated_rad_s for tag, fan in circuit.split_fans.items()}
    return state


def synchronous(circuit: Circuit) -> float:
    """Synchronous speed on the rated supply, rad/s."""
    return 4.0 * pi * circuit.wiring.supply.frequency_hz / circuit.wiring.motor.poles


def _which(terminal: str, line: set[str], neutral: set[str]) -> str:
    return "line" if terminal in line else "neutral" if terminal in neutral else "neither"

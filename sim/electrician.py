"""Whoever works at the wiring of a bench: puts faults in and out, reads the meter, and is judged for what may hurt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.acts import Acts
from sim.electrical import ElectricalFault
from sim.errors import InputError
from sim.probing import Probing
from sim.protection import Protection
from sim.supply_wired import WiredSupply
from sim.timers import RestartTimers
from sim.wiring.machine import HermeticMotor
from sim.wiring.multimeter import Multimeter, Reading
from sim.wiring.spice import deck

if TYPE_CHECKING:
    from sim.bench import Bench


class Electrician:
    """Works on one bench."""

    def __init__(self, bench: Bench, supply: WiredSupply) -> None:
        self.bench, self.supply = bench, supply
        self.acts = Acts(bench, supply)
        self.protection = Protection(bench, supply)
        self.timers = RestartTimers(bench, supply)
        self.meter = Multimeter(bench.seed)

    # --- faults ---

    def insert(self, fault: ElectricalFault) -> None:
        """Let it set in. Raises InputError."""
        fault.put_on(self.supply.circuit, self.supply.state.copy())
        self.supply.electrical[fault.name] = fault
        self.bench.note(fault.branch or fault.value or fault.bridge[0], "fault", f"{fault.name}.")
        self.bench.apply()

    def remove(self, name: str) -> None:
        """Take it away. Raises InputError."""
        if name not in self.supply.electrical:
            raise InputError(f"the electrical fault {name!r} is not present.")
        fault = self.supply.electrical.pop(name)
        self.bench.note(fault.branch or fault.value or fault.bridge[0], "fault", f"{name} has been removed.")  # fmt: skip
        self.bench.apply()

    # --- the meter ---

    def measure(self, probing: Probing) -> Reading:
        """Read the meter now. Raises InputError."""
        for key, sentence in probing.mistakes():
            raise InputError(f"{key}: {sentence}.")
        self.reachable(probing)
        solution = self.supply.solution(self.bench.motor_state())
        if probing.leads_zeroed:
            self.meter.zero_leads()
        return self.meter.measure(probing.mode, solution, probing.between, probing.around, self.bench.time_s)  # fmt: skip

    def record(self, probing: Probing) -> Reading:
        """Read the meter and put what it shows on record: proving a tester, proving dead. Raises InputError."""
        reading = self.measure(probing)
        where = " and ".join(probing.between) or " + ".join(probing.around)
        self.bench.note("meter", "note", f"{reading.mode} at {where}: {reading.shown}.")
        return reading

    def deck(self) -> str:
        """The circuit now, for a circuit simulator."""
        state = self.supply.state.copy()
        state.speed_rad_s, state.main_k, state.start_k = self.bench.motor_state()
        return deck(self.supply.circuit, state)

    def reachable(self, probing: Probing) -> None:
        """The hermetic terminals lie under their cover. Raises InputError."""
        for machine in self.supply.wiring.of_kind(HermeticMotor):
            under = {machine.at(pin) for pin in ("C", "R", "S")}
            if under & set(probing.between) and self.bench.commands[f"{machine.tag}.cover"] != "open":  # fmt: skip
                raise InputError(f"the terminals of {machine.tag} are under their cover; measure at the other end of their leads, on the panel.")  # fmt: skip

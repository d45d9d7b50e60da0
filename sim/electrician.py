"""Whoever works at the wiring of a bench: puts faults in and out, reads the meter, and is judged for what may hurt."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.acts import Acts
from sim.electrical import ElectricalFault
from sim.errors import InputError
from sim.probing import Measured, Probing
from sim.protection import Protection
from sim.supply_wired import WiredSupply
from sim.wiring.machine import HermeticMotor
from sim.wiring.multimeter import Multimeter, Reading
from sim.wiring.solution import Solution

if TYPE_CHECKING:
    from sim.bench import Bench


class Electrician:
    """Works on one bench."""

    def __init__(self, bench: Bench, supply: WiredSupply) -> None:
        self.bench, self.supply = bench, supply
        self.acts = Acts(bench, supply)
        self.protection = Protection(bench, supply)
        self.meter = Multimeter(bench.seed)

    # --- faults ---

    def insert(self, fault: ElectricalFault) -> None:
        """Let it set in. Raises InputError."""
        fault.put_on(self.supply.circuit, self.supply.state.copy())
        self.supply.electrical[fault.name] = fault
        self.bench.note(fault.branch or fault.value or fault.bridge[0], "fault", f"{fault.name}.")

    def remove(self, name: str) -> None:
        """Take it away. Raises InputError."""
        if name not in self.supply.electrical:
            raise InputError(f"the electrical fault {name!r} is not present.")
        fault = self.supply.electrical.pop(name)
        self.bench.note(fault.branch or fault.value or fault.bridge[0], "fault", f"{name} has been removed.")  # fmt: skip

    # --- the meter ---

    def measure(self, probing: Probing) -> Measured:
        """Read the meter now. Raises InputError."""
        for key, sentence in probing.mistakes():
            raise InputError(f"{key}: {sentence}.")
        self.reachable(probing)
        solution = self.supply.solution(self.bench.motor_state())
        r = self.read(probing, solution)
        return Measured(r.mode, r.value, r.shown, r.refusal, r.would_have, r.cautions)

    def reachable(self, probing: Probing) -> None:
        """The hermetic terminals lie under their cover. Raises InputError."""
        for machine in self.supply.wiring.of_kind(HermeticMotor):
            under = {machine.at(pin) for pin in ("C", "R", "S")}
            if under & set(probing.between) and self.bench.commands[f"{machine.tag}.cover"] != "open":  # fmt: skip
                raise InputError(f"the terminals of {machine.tag} are under their cover; measure at the other end of their leads, on the panel.")  # fmt: skip

    def read(self, probing: Probing, solution: Solution) -> Reading:
        """The reading of this mode."""
        meter, now, between, around = self.meter, self.bench.time_s, probing.between, probing.around
        if probing.leads_zeroed:
            meter.zero_leads()
        if probing.mode == "amps":
            return meter.amps(solution, around)
        a, b = between
        match probing.mode:
            case "volts":
                return meter.volts(solution, a, b)
            case "volts-low-impedance":
                return meter.volts(solution, a, b, low_impedance=True)
            case "dc-volts":
                return meter.dc_volts(solution, a, b, now)
            case "ohms":
                return meter.ohms(solution, a, b, now)
            case "continuity":
                return meter.continuity(solution, a, b, now)
            case "farads":
                return meter.farads(solution, a, b, now)
            case "watts":
                return meter.watts(solution, a, b, around)
        return meter.power_factor(solution, a, b, around)

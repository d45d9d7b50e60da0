"""Faults of the wiring, by branch, bridge or value, and what they make of the circuit's state together with what hands have done to it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sim.errors import InputError
from sim.wiring.state import FAULT_KINDS, BranchFault

if TYPE_CHECKING:
    from sim.wiring import Circuit, State


@dataclass(frozen=True, kw_only=True)
class ElectricalFault:
    """One of three: a branch that is open, has ohms in series, is shorted or (a contact) stuck closed; a bridge between two terminals; a changed value."""

    branch: str = ""
    state: str = ""
    """open | series | short | stuck-closed."""
    bridge: tuple[str, ...] = ()
    value: str = ""
    """What is changed: C1.farad, E1.ohm."""
    factor: float = 1.0
    ohm: float | None = None

    @property
    def name(self) -> str:
        """What it is called in events, and by which it is removed."""
        if self.branch:
            extra = f" {self.ohm:g} ohm" if self.ohm is not None else ""
            return f"{self.branch} {self.state}{extra}"
        if self.bridge:
            return f"bridge {' '.join(self.bridge)}"
        return f"{self.value} x {self.factor:g}"

    def put_on(self, circuit: Circuit, state: State) -> None:
        """Change the circuit's state. Raises InputError for what cannot be."""
        if [bool(self.branch), bool(self.bridge), bool(self.value)].count(True) != 1:
            raise InputError("an electrical fault names a branch, a bridge or a value, and only one of them.")  # fmt: skip
        if self.branch:
            if self.state not in FAULT_KINDS:
                raise InputError(f"state of {self.branch} is {self.state!r}; it can be {', '.join(FAULT_KINDS)}.")  # fmt: skip
            circuit.apply_fault(state, self.branch, self.state, self.ohm)
        elif self.bridge:
            if len(self.bridge) != 2:
                raise InputError("a bridge lies between two terminals.")
            circuit.apply_bridge(state, *self.bridge, 0.1 if self.ohm is None else self.ohm)
        else:
            before = state.factor.get(self.value, 1.0)
            circuit.apply_factor(state, self.value, before * self.factor)


def compose(
    circuit: Circuit,
    state: State,
    faults: list[ElectricalFault],
    lifted: list[str],
    jumper: tuple[str, str] | None,
) -> None:
    """Put faults, lifted leads and the jumper lead into a state, from nothing; order does not matter."""
    state.faults, state.bridges, state.factor = {}, [], {}
    for fault in sorted(faults, key=lambda one: one.name):
        fault.put_on(circuit, state)
    for wire in lifted:
        state.faults[wire] = BranchFault("open", 0.0)
    if jumper is not None:
        circuit.apply_bridge(state, *jumper, JUMPER_OHM)


JUMPER_OHM = 0.05  # common practice: a test lead with clips

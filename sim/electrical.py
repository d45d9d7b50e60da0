"""Faults of the wiring, by branch, bridge or value, and what they make of the circuit's state together with what hands have done to it."""

from __future__ import annotations

from dataclasses import dataclass, field
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
                raise InputError(
                    'a bridge lies between two terminals; name two, as in ["L.1", "N.1"].'
                )
            circuit.apply_bridge(state, *self.bridge, 0.1 if self.ohm is None else self.ohm)
        else:
            before = state.factor.get(self.value, 1.0)
            circuit.apply_factor(state, self.value, before * self.factor)


STRENGTH = ("series", "stuck-closed", "open")
"""Of two faults of the catalogue on one branch the later of these is what one finds."""


@dataclass
class Spoilt:
    """What the faults of the catalogue together do to a wiring."""

    branches: dict[str, ElectricalFault] = field(default_factory=dict)
    values: list[ElectricalFault] = field(default_factory=list)
    held: set[str] = field(default_factory=set)
    """Fans whose shaft cannot turn."""

    def put(self, place: str, what: str, value: float) -> None:
        """``what`` is open, stuck-closed or held (there when the value is above 0), series (ohm), to-frame (siemens), ohm or farad (factor)."""
        if what == "held":
            self.held |= {place} if value > 0.0 else set()
        elif what == "to-frame":
            if value > 0.0:
                frame = f"{place.partition('.')[0]}.PE"
                self.values.append(ElectricalFault(bridge=(place, frame), ohm=1.0 / value))
        elif what in ("ohm", "farad"):
            self.values.append(ElectricalFault(value=f"{place}.{what}", factor=value))
        elif value > 0.0:
            there = self.branches.get(place)
            if there is None or STRENGTH.index(there.state) < STRENGTH.index(what):
                ohm = value if what == "series" else None
                self.branches[place] = ElectricalFault(branch=place, state=what, ohm=ohm)

    def faults(self) -> list[ElectricalFault]:
        """All of them."""
        return [*self.branches.values(), *self.values]


def compose(
    circuit: Circuit,
    state: State,
    faults: list[ElectricalFault],
    lifted: list[str],
    jumper: tuple[str, str] | None,
) -> None:
    """Put faults, lifted leads and the jumper lead into a state, from nothing; order does not matter."""
    state.faults, state.bridges, state.factor = {}, [], {}
    for fault in sorted(faults, key=lambda one: (one.state == "open", one.name)):
        fault.put_on(circuit, state)
    for wire in lifted:
        state.faults[wire] = BranchFault("open", 0.0)
    if jumper is not None:
        circuit.apply_bridge(state, *jumper, JUMPER_OHM)


JUMPER_OHM = 0.05  # common practice: a test lead with clips

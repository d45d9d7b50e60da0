"""Forty-odd states of a wiring, over switches, faults, speeds and warmth: what oracle and fault checks run over."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from math import pi
from pathlib import Path

from sim import load_rig
from sim.rig_find import shipped_folder
from sim.wiring import Circuit, State, load_wiring

NAMES = ("120v", "230v")
Change = Callable[[Circuit, State], None]


@cache
def circuit(name: str) -> Circuit:
    """The shipped wiring of that name."""
    return Circuit(load_wiring(wiring_file(name), load_rig("fennick_bench")))


def wiring_file(name: str) -> Path:
    """Its file."""
    return shipped_folder() / "fennick_bench" / f"wiring_{name}.toml"


def synchronous(c: Circuit) -> float:
    """Synchronous speed, rad/s."""
    return 4.0 * pi * c.wiring.supply.frequency_hz / c.wiring.motor.poles


def panel_on(c: Circuit) -> State:
    """Main switch on, both fans turning, nothing else."""
    state = c.rest()
    for switch, position in (("HS-1", "on"), ("HS-2", "low"), ("HS-3", "high")):
        c.turn(state, switch, position)
    state.fan_turning = dict.fromkeys(state.fan_turning, True)
    return state


def called(c: Circuit) -> State:
    """Compressor and liquid solenoid switched on, the contactor in, the motor still at rest."""
    state = panel_on(c)
    for switch in ("HS-4", "HS-6"):
        c.turn(state, switch, "on")
    for coil in ("K1", "XV-1"):
        c.seat(state, coil, True)
    return state


def running(c: Circuit, share: float = 0.97) -> State:
    """Running at a share of synchronous speed, warm."""
    state = called(c)
    state.speed_rad_s = share * synchronous(c)
    state.main_k = state.start_k = 350.0
    return state


def locked(c: Circuit) -> State:
    """Standing with the start circuit in."""
    state = called(c)
    c.seat(state, "K2", True)
    return state


def _fault(branch: str, kind: str, ohm: float | None = None) -> Change:
    return lambda c, s: c.apply_fault(s, branch, kind, ohm)  # type: ignore[arg-type]


def wire(c: Circuit, a: str, b: str) -> str:
    """Tag of the wire between two terminals."""
    return next(w.tag for w in c.wiring.wires if {w.a, w.b} == {a, b})


def _lead(a: str, b: str, kind: str, ohm: float | None = None) -> Change:
    return lambda c, s: c.apply_fault(s, wire(c, a, b), kind, ohm)  # type: ignore[arg-type]


def _bridge(a: str, b: str, ohm: float) -> Change:
    return lambda c, s: c.apply_bridge(s, a, b, ohm)


def _factor(name: str, factor: float) -> Change:
    return lambda c, s: c.apply_factor(s, name, factor)


def _open(contact: str) -> Change:
    def change(c: Circuit, s: State) -> None:
        s.closed[contact] = False
        c.seat(s, "K1", False)

    return change


def _turn(switch: str, position: str, *coils: str) -> Change:
    def change(c: Circuit, s: State) -> None:
        c.turn(s, switch, position)
        for coil in coils:
            c.seat(s, coil, True)

    return change


def _supply(share: float, hertz: float = 1.0) -> Change:
    def change(c: Circuit, s: State) -> None:
        s.supply_v *= share
        s.hertz *= hertz

    return change


def _unplug(c: Circuit, s: State) -> None:
    for pole in ("line", "neutral", "earth"):
        s.closed[f"X1.{pole}"] = False
    c.seat(s, "K1", False)


def _contact(name: str, closed: bool) -> Change:
    return lambda c, s: s.closed.update({name: closed})


def _stall(c: Circuit, s: State) -> None:
    s.fan_turning = dict.fromkeys(s.fan_turning, False)


def _hot(c: Circuit, s: State) -> None:
    s.main_k, s.start_k = 390.0, 430.0


STATES: tuple[tuple[str, Callable[[Circuit], State], tuple[Change, ...]], ...] = (
    ("at rest", lambda c: c.rest(), ()),
    ("panel on", panel_on, ()),
    ("unplugged", running, (_unplug,)),
    ("running", running, ()),
    ("running fast", lambda c: running(c, 0.99), ()),
    ("running slow", lambda c: running(c, 0.90), ()),
    ("running up, relay in", lambda c: running(c, 0.5), (_contact("K2.start", True),)),
    ("running up, relay out", lambda c: running(c, 0.7), ()),
    ("locked, relay out", called, ()),
    ("locked, relay in", locked, ()),
    ("locked, hot", locked, (_hot,)),
    ("turning backwards", lambda c: running(c, -0.2), ()),
    ("fans stalled", running, (_stall,)),
    ("fans low and low", running, (_turn("HS-3", "low"),)),
    ("heating", running, (_turn("HS-5", "heating", "XV-2"), _turn("HS-2", "high"), _turn("HS-3", "low"))),
    ("box heated", running, (_turn("HS-7", "heated"),)),
    ("box heated at a third", running, (_turn("HS-7", "heated"), _factor("E1.ohm", 3.0))),
    ("load box too hot", running, (_turn("HS-7", "heated"), _contact("F4", False))),
    ("earth leakage, tripped", panel_on, (_contact("F3.line", False), _contact("F3.neutral", False))),
    ("line pole welded, tripped", panel_on, (_contact("F3.neutral", False),)),
    ("neutral pole welded, tripped", panel_on, (_contact("F3.line", False),)),
    ("emergency stop", running, (_turn("HS-0", "pressed"),)),
    ("trip open", called, (_open("PSHH-1"),)),
    ("low pressure open", called, (_open("PSL-1"),)),
    ("thermostat open", called, (_open("TS-1"),)),
    ("chain open twice", called, (_open("PSHH-1"), _open("PSL-1"))),
    ("overload open", called, (_contact("F1", False), _hot)),
    ("contactor unseated", called, (_open("K1.main"),)),
    ("fuse blown", called, (_open("F2"),)),
    ("low supply, locked", locked, (_supply(0.79),)),
    ("high supply", running, (_supply(1.1),)),
    ("slow supply", running, (_supply(1.0, 0.95),)),
    ("neutral open at the rail", running, (_lead("HS-1.4", "N.1", "open"),)),
    ("coil neutral open", called, (_lead("K1.A2", "N.1", "open"),)),
    ("neutral of both coils open", running, (_lead("XV-2.A2", "N.1", "open"),)),
    ("rusty joint at the motor", locked, (_lead("F1.2", "M1.C", "series", 5.0),)),
    ("start winding open", called, (_fault("M1.start", "open"), _contact("K2.start", True))),
    ("main winding open", called, (_fault("M1.main", "open"),)),
    ("start capacitor open", called, (_fault("C1", "open"), _contact("K2.start", True))),
    ("start capacitor shorted", locked, (_fault("C1", "short"),)),
    ("start capacitor weak", locked, (_factor("C1.farad", 0.3),)),
    ("start relay welded", running, (_fault("K2.start", "stuck-closed"),)),
    ("contactor welded", running, (_open("PSHH-1"), _fault("K1.main", "stuck-closed"))),
    ("contactor coil rusty", called, (_fault("K1.coil", "series", 300.0),)),
    ("solenoid coil shorted", panel_on, (_turn("HS-6", "on"), _fault("XV-1", "short", 0.5))),
    ("winding grounded", running, (_bridge("M1.S", "M1.PE", 1000.0),)),
    ("earth open, winding grounded", running, (_lead("X1.6", "PE.1", "open"), _bridge("M1.R", "M1.PE", 500.0))),
    ("fan wire feeds the contactor", panel_on, (_bridge("FAN-A.1", "K1.A1", 0.01),)),
    ("dead short", panel_on, (_bridge("L.1", "N.1", 0.01),)),
    ("compressor ahead of its switch", called, (_turn("HS-4", "off"),)),
)  # fmt: skip


def states(c: Circuit) -> Iterator[tuple[str, State]]:
    """Every state of the list, made fresh for a circuit."""
    for name, start, changes in STATES:
        state = start(c)
        for change in changes:
            change(c, state)
        yield name, state

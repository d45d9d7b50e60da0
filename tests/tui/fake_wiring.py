"""The default rig's wiring for the stand-in bench: the real plan, volts from what hangs together, a meter of plain subtraction. No physics, no claim."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from sim.rig import load_rig
from sim.wiring import load_wiring
from tui.meter import Use
from tui.plant import Setting
from tui.wiring_plan import Piece, WiringPlan, plan_of

LINE_V = 119.0
POSITIONS = {"HS-0": "released", "HS-1": "on", "HS-4": "on", "HS-6": "on", "HS-5": "heating", "HS-7": "heated"}  # fmt: skip
"""Switch to the position in which its contacts are closed."""


@dataclass(frozen=True)
class FakeCircuit:
    volts: dict[str, float]
    amps: dict[str, float]
    closed: dict[str, bool]
    seated: dict[str, bool]
    turning: dict[str, bool]


@dataclass(frozen=True)
class FakeMeasured:
    value: float
    shown: str
    refusal: str = ""
    would_have: str = ""
    cautions: tuple[str, ...] = ()


@cache
def fake_plan(name: str = "120v") -> WiringPlan:
    rig = load_rig("fennick_bench")
    return plan_of(load_wiring(rig.folder / f"wiring_{name}.toml", rig))


def on_the_ladder(plan: WiringPlan) -> set[str]:
    """Everything that a hand finds at the wiring."""
    return {*plan.what, *(lead.tag for lead in plan.leads), "jumper"}


def _closed(piece: Piece, values: Mapping[str, Setting]) -> bool:
    if piece.name in ("K1.main", "K2.start"):
        return False
    if piece.tag in ("HS-2", "HS-3"):
        return values[piece.tag] == piece.position
    if piece.tag in POSITIONS:
        return values[piece.tag] == POSITIONS[piece.tag]
    return True


def circuit_of(plan: WiringPlan, values: Mapping[str, Setting], running: bool) -> FakeCircuit:
    contacts = [p for p in plan.pieces if p.sign in ("make", "break", "plug", "fuse")]
    closed = {piece.name: _closed(piece, values) for piece in contacts}
    joined = [(lead.a, lead.b) for lead in plan.leads if values.get(lead.tag) != "lifted"]
    joined += [(p.a, p.b) for p in plan.pieces if p.name in ("II-1", "JI-1.current", "K2.coil")]
    called = _reach([*joined, *((p.a, p.b) for p in contacts if closed[p.name])], plan.socket[0])
    closed["K1.main"] = "K1.A1" in called
    joined += [(p.a, p.b) for p in contacts if closed[p.name]]
    live, neutral = _reach(joined, plan.socket[0]), _reach(joined, plan.socket[1])
    loads = [piece for piece in plan.pieces if piece.name not in closed]
    for piece in loads:  # what hangs on the live side alone stands at its volts
        ends = {piece.a, piece.b}
        if ends & live and not ends & neutral:
            live = live | {end for other in ends - live for end in _reach(joined, other)}
    volts = {end: LINE_V if end in live else 0.0 for p in plan.pieces for end in (p.a, p.b)}
    volts |= {end: LINE_V if end in live else 0.0 for lead in plan.leads for end in (lead.a, lead.b)}  # fmt: skip
    for fan, switch in (("FAN-B", "HS-2"), ("FAN-A", "HS-3")):
        if values[switch] == "low" and volts[f"{fan}.2"]:
            volts[f"{fan}.1"] = volts[f"{switch}.2"] = 84.0
    seated = {tag: volts[f"{tag}.A1"] > 80.0 for tag in ("K1", "XV-1", "XV-2")}
    turning = {"FAN-B": volts["FAN-B.1"] > 50.0, "FAN-A": volts["FAN-A.1"] > 50.0}
    amps = {lead.tag: 3.0 if running and volts[lead.a] else 0.0 for lead in plan.leads}
    return FakeCircuit(volts, amps, closed, {**seated, "K2": False}, turning)


def _reach(pairs: list[tuple[str, str]], start: str) -> set[str]:
    found, waiting = {start}, [start]
    while waiting:
        here = waiting.pop()
        for a, b in pairs:
            for one, other in ((a, b), (b, a)):
                if one == here and other not in found:
                    found.add(other)
                    waiting.append(other)
    return found


def measured(use: Use, circuit: FakeCircuit) -> FakeMeasured:
    if use.mode in ("amps", "watts", "power-factor"):
        total = sum(-circuit.amps[t[1:]] if t[0] == "-" else circuit.amps[t] for t in use.around)
        return FakeMeasured(abs(total), f"{abs(total):.3f} A")
    a, b = use.between
    if any(end in ("M1.C", "M1.R", "M1.S") for end in use.between):
        raise ValueError("the terminals of M1 are under their cover; measure at the other end of their leads, on the panel.")  # fmt: skip
    across = abs(circuit.volts[a] - circuit.volts[b])
    if use.mode in ("ohms", "continuity", "farads"):
        if across > 1.0:
            return FakeMeasured(float("inf"), "LIVE", "LIVE", f"The probes stand across {across:.0f} V. A real meter's fuse or its input goes.", ("isolate",))  # fmt: skip
        return FakeMeasured(0.15, "0.2 Ω")
    return FakeMeasured(across, f"{across:.1f} V")

"""The wiring as the screen wants it: pieces between two terminals, leads, rails. Plain data, read off the model's wiring once at opening.

A piece is what a symbol is drawn for; a lead is a wire with a tag. The rails are the three bars on which most leads end.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Literal

Sign = Literal[
    "make", "break", "plug", "fuse", "coil", "motor", "winding", "capacitor", "lamp", "heater",
    "voltmeter", "ammeter", "wattmeter",
]  # fmt: skip
"""What is drawn; after IEC 60617. A make contact is open on a new rig with no hand on it, a break contact closed."""
LIVE_V = 5.0
"""To earth: from here on a conductor counts as live when a hand goes near it. guess: as the meter's own limit."""


@dataclass(frozen=True)
class Piece:
    """One symbol: what lies between two terminals of a device."""

    name: str
    tag: str
    a: str
    b: str
    sign: Sign
    position: str = ""
    """What tells it from others of its device: the position in which this contact is closed, a winding's name."""
    strike_v: float = 0.0
    """Lamps: it glows above this."""
    closes_in: tuple[str, ...] = ()
    """Contacts that a hand moves: the positions of their handle in which they are closed."""
    at_rest: Literal["", "open"] = ""
    """Contacts: open on a new rig with no hand on it and nothing energised."""


@dataclass(frozen=True)
class Lead:
    """A wire between two terminals."""

    tag: str
    a: str
    b: str


@dataclass(frozen=True)
class WiringPlan:
    """Everything that a ladder is drawn from."""

    title: str
    socket: tuple[str, str, str]
    """Line, neutral and earth of the supply."""
    rails: tuple[str, str, str]
    """The bars: live, neutral, earth."""
    pieces: tuple[Piece, ...]
    leads: tuple[Lead, ...]
    what: Mapping[str, str] = field(default_factory=dict)
    """Device to what it is in plain words."""
    cautions: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    """Device to the ids of its cautions."""

    def lead(self, tag: str) -> Lead | None:
        """The wire of that tag."""
        return next((lead for lead in self.leads if lead.tag == tag), None)

    def device_of(self, name: str) -> str:
        """The device that a terminal belongs to; '' for a wire."""
        tag = name.rpartition(".")[0]
        return tag if tag in self.what or tag == self.socket[0].rpartition(".")[0] else ""

    def cautions_of(self, names: Iterable[str]) -> tuple[str, ...]:
        """Ids of the cautions of the devices to which these terminals belong."""
        found = [ids for name in names for ids in self.cautions.get(self.device_of(name), ())]
        return tuple(dict.fromkeys(found))


def plan_of(wiring: Any) -> WiringPlan:
    """Read a plan off a ``sim.wiring`` wiring."""
    leads = tuple(Lead(wire.tag, wire.a, wire.b) for wire in wiring.wires)
    ends = Counter(end for lead in leads for end in (lead.a, lead.b))
    live, earth = wiring.table.harness, wiring.table.chassis
    socket = ("SUPPLY.L", "SUPPLY.N", "SUPPLY.PE")
    bars = [device.at("1") for device in wiring.devices if device.KIND == "bus"]
    neutral = max((bar for bar in bars if bar not in (live, earth)), key=lambda bar: ends[bar], default=socket[1])  # fmt: skip
    return WiringPlan(
        title=wiring.table.title,
        socket=socket,
        rails=(live, neutral, earth),
        pieces=tuple(piece for device in wiring.devices for piece in _pieces(device, wiring)),
        leads=leads,
        what={d.tag: d.what or d.KIND.replace("_", " ") for d in wiring.devices},
        cautions={device.tag: device.HAZARDS for device in wiring.devices},
    )


_BY_KIND: Mapping[str, Sign] = {
    "plug": "plug", "fuse": "fuse", "breaker": "make", "residual_current_device": "make", "heater": "heater", "lamp": "lamp",
    "voltmeter": "voltmeter", "ammeter": "ammeter", "wattmeter": "wattmeter", "start_capacitor": "capacitor", "run_capacitor": "capacitor",
}  # fmt: skip


def _pieces(device: Any, wiring: Any) -> list[Piece]:
    """The symbols of one device. What lies beside another between the same terminals (a bleed resistor) belongs to that symbol."""
    inside = device.inside()
    branches = [branch for branch in device.branches(wiring.motor) if branch.role != "hidden"]
    several = len({branch.closes_in for branch in branches if branch.role == "contact"}) > 1
    made: dict[tuple[str, str], Piece] = {}
    for branch in branches:
        a, b = branch.a, inside.get(branch.b, branch.b)
        piece = Piece(
            branch.name, device.tag, a, b, _sign(device.KIND, branch),
            _position(device.KIND, branch, several), getattr(device, "strike_v", 0.0), tuple(branch.closes_in),
            "" if branch.role != "contact" or branch.closed_at_rest else "open",
        )  # fmt: skip
        made.setdefault((a, b), piece)
    return list(made.values())


def _sign(kind: str, branch: Any) -> Sign:
    if kind in _BY_KIND:
        return _BY_KIND[kind]
    if branch.role == "contact":
        return "break" if branch.closed_at_rest else "make"
    if branch.role == "magnet":
        return "coil"
    if (
        branch.role == "fan"
        or branch.name.endswith(".main")
        or (branch.role == "link" and "." not in branch.name)
    ):
        return "motor"
    return "winding" if branch.role in ("link", "load") else "heater"


def _position(kind: str, branch: Any, several: bool) -> str:
    """What tells this symbol from others of its device: a switch's position, a winding's name."""
    if branch.role == "contact":
        return "/".join(branch.closes_in) if several else ""
    extra = _sign(kind, branch) == "winding" and "." in branch.name  # fmt: skip
    return str(branch.name.rpartition(".")[2]) if extra else ""

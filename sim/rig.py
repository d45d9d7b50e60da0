"""A rig: what the plant is made of. Data only, frozen; how it runs is the bench's business, how it is written down ``sim.rig_read``'s.

``load_rig`` takes a shipped name (``fennick_bench``), a name with a wiring (``fennick_bench:230v``) or a folder, and either returns a rig that is right
in every way that can be checked before running, or raises InputError with every mistake at once.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import ClassVar, Literal

from sim.errors import InputError
from sim.part import Part
from sim.record import NOT_IN_FILE, range_faults
from sim.surroundings import Surroundings
from sim.switches import Switch
from sim.units import SYMBOLS

Limits = dict[str, tuple[float, float]]
Height = Literal["mixed", "top", "bottom"]
Device = Literal["thermostatic", "capillary", "hand", "float"]
Mode = Literal["cooling", "heating"]
OUTSIDE = "outside"
"""What a relief valve discharges to: the ledger's account of everything that left the plant."""


@dataclass(frozen=True, kw_only=True)
class Node:
    """A volume of refrigerant. A vessel has a level, and ports at its top and bottom."""

    RANGES: ClassVar[Limits] = {
        "volume_m3": (1e-7, 1.0),
        "elevation_m": (-20.0, 20.0),
        "height_m": (0.0, 5.0),
        "ps_pa": (2e5, 200e5),
        "burst_pa": (2e5, 500e5),
    }

    name: str
    volume_m3: float
    kind: Literal["plain", "vessel"] = "plain"
    what: str = ""
    elevation_m: float = 0.0
    """Height of the bottom above the rig's base; only differences matter."""
    height_m: float = 0.0
    """From bottom to top, for the head of the liquid inside."""
    ps_pa: float | None = None
    """Maximum allowable pressure of this node, if it is not the rig's."""
    burst_pa: float | None = None
    """Pressure at which it bursts; 3 PS when not said."""
    coil: str = field(default="", metadata=NOT_IN_FILE)
    """Tag of the coil that this node is a cell of, or ''."""
    cell: int = field(default=-1, metadata=NOT_IN_FILE)


@dataclass(frozen=True, kw_only=True)
class Wall:
    """Metal round one node: stores heat, passes it to the refrigerant inside and the air outside."""

    RANGES: ClassVar[Limits] = {
        "heat_capacity_j_k": (0.1, 1e6),
        "area_m2": (1e-5, 20.0),
        "conductance_w_k": (0.0, 5000.0),
        "gas_film_w_m2_k": (2.0, 2000.0),
    }

    node: str
    heat_capacity_j_k: float
    area_m2: float
    """Refrigerant-side film area."""
    conductance_w_k: float
    """From the wall to the air outside."""
    gas_film_w_m2_k: float = 80.0
    """Film coefficient of gas inside at the usual flow; it stays when the flow does not. 80 is a vessel's (guess), a narrow pipe has more."""
    air: str = "room"


@dataclass(frozen=True, kw_only=True)
class Air:
    """An air stream over a coil. ``inlet`` says where it comes from."""

    RANGES: ClassVar[Limits] = {}

    tag: str
    what: str
    inlet: Literal["room", "load_box"] = "room"
    fan: str = ""
    """Tag of the fan that moves it."""


@dataclass(frozen=True, kw_only=True)
class Instrument:
    """What shows a reading: a dial, a thermometer, a meter. ``low`` to ``high`` is its scale, in ``unit``."""

    RANGES: ClassVar[Limits] = {"lag_s": (0.0, 3600.0), "class_percent": (0.0, 20.0)}

    tag: str
    kind: Literal["gauge", "thermometer", "flowmeter", "level", "glass", "meter", "hygrometer"]
    what: str
    reading: str
    unit: str
    low: float
    high: float
    resolution: float
    """Smallest step it shows; 0 for none."""
    lag_s: float
    class_percent: float
    """Largest permissible error in percent of the span (the accuracy class)."""
    node: str = ""
    """Where it is bolted, when that is a node."""
    link: str = ""
    """Tag of the line it is built into, for a flowmeter."""
    insulated: bool = True
    """Strap-on thermometers: under insulation, or bare and so drawn towards the room's temperature."""
    float_density_kg_m3: float = 0.0
    """Flowmeters: density of the float."""
    scale_density_kg_m3: float = 0.0
    """Flowmeters: density of the liquid that the scale was drawn for."""

    def check(self) -> list[tuple[str, str]]:
        """Scale, resolution and unit make sense."""
        faults = range_faults(self)
        if self.low >= self.high:
            faults.append(("low", f"low ({self.low:g}) is not below high ({self.high:g})"))
        elif not 0 <= self.resolution <= self.high - self.low:
            faults.append(
                ("resolution", f"resolution ({self.resolution:g}) is not between 0 and the span")
            )
        if self.unit and self.unit not in SYMBOLS:
            faults.append(("unit", f"unit {self.unit!r} is not known"))
        return faults


@dataclass(frozen=True, kw_only=True)
class Port:
    """Where a part joins a node: anywhere (mixed), at a vessel's top or at its bottom."""

    node: str
    height: Height = "mixed"


@dataclass(frozen=True, kw_only=True)
class PlacedPart:
    """A part and where it sits. Flow is positive from the first port to the second."""

    part: Part
    ports: tuple[Port, ...] = ()
    """In the order of the class's PORTS; empty when the part is in line with another."""
    in_line_with: str = ""
    """Tag of the part whose link this one throttles (a shut-off and its device are one link)."""
    senses: str = ""
    """Node that the part feels besides its ports: a bulb's pipe, a float's drum."""
    what: str = ""

    @property
    def tag(self) -> str:
        """The part's tag."""
        return self.part.tag

    @property
    def kind(self) -> str:
        """The part's kind."""
        return self.part.KIND

    @property
    def nodes(self) -> tuple[str, ...]:
        """Node names of the ports."""
        return tuple(port.node for port in self.ports)


@dataclass(frozen=True, kw_only=True)
class Step:
    """One line of a line-up: put ``set`` to ``to``, because of ``reason``; then wait."""

    RANGES: ClassVar[Limits] = {"wait_s": (0.0, 7200.0)}

    set: str
    to: float | str
    reason: str
    wait_s: float = 0.0


@dataclass(frozen=True, kw_only=True)
class LineUp:
    """An ordered list of valve and switch positions, with the reason for each."""

    RANGES: ClassVar[Limits] = {}

    name: str
    what: str
    device: Device | None = None
    mode: Mode | None = None
    steps: tuple[Step, ...] = field(default=(), metadata=NOT_IN_FILE)


@dataclass(frozen=True, kw_only=True)
class Spread:
    """A parameter that is varied to find the earliest first limit: ``of`` is TAG.key."""

    RANGES: ClassVar[Limits] = {}

    of: str
    low: float
    high: float
    source: str

    def check(self) -> list[tuple[str, str]]:
        """The range is not empty."""
        return (
            []
            if self.low < self.high
            else [("low", f"low ({self.low:g}) is not below high ({self.high:g})")]
        )


@dataclass(frozen=True, kw_only=True)
class Rig:
    """Everything that is fixed about a plant."""

    name: str
    title: str
    place: str
    description: str
    folder: Path
    fluid_name: str
    built_for: tuple[str, ...]
    charge_kg: float
    ps_pa: float
    surroundings: Surroundings
    nodes: tuple[Node, ...]
    parts: tuple[PlacedPart, ...]
    walls: tuple[Wall, ...] = ()
    airs: tuple[Air, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    switches: tuple[Switch, ...] = ()
    line_ups: tuple[LineUp, ...] = ()
    spreads: tuple[Spread, ...] = ()
    wiring: str = ""
    units: Literal["si", "us"] = "si"
    """In which a screen begins; a person's own settings win."""

    def part(self, tag: str) -> PlacedPart:
        """The part called ``tag``. Raises InputError when there is none."""
        for placed in self.parts:
            if placed.tag == tag:
                return placed
        raise InputError(f"rig {self.name} has no part {tag}")

    def node(self, name: str) -> Node:
        """The node called ``name``. Raises InputError when there is none."""
        for node in self.nodes:
            if node.name == name:
                return node
        raise InputError(f"rig {self.name} has no node {name}")

    def line_up(self, name: str) -> LineUp:
        """The line-up called ``name``. Raises InputError when there is none."""
        for line_up in self.line_ups:
            if line_up.name == name:
                return line_up
        there = ", ".join(one.name for one in self.line_ups)
        raise InputError(f"rig {self.name} has no line-up {name!r}; it has {there or 'none'}.")

    def line_up_for(self, device: Device, mode: Mode = "cooling") -> LineUp:
        """The line-up that runs ``device`` in ``mode``. Raises InputError when there is none."""
        for line_up in self.line_ups:
            if line_up.device == device and (line_up.mode or "cooling") == mode:
                return line_up
        there = ", ".join(f"{one.device} in {one.mode or 'cooling'}" for one in self.line_ups if one.device)  # fmt: skip
        raise InputError(f"rig {self.name} has no line-up for {device} in {mode}; it has them for {there or 'nothing'}.")  # fmt: skip

    @property
    def tags(self) -> tuple[str, ...]:
        """Every tag on the rig."""
        groups = (self.parts, self.instruments, self.switches, self.airs)
        return tuple(dict.fromkeys(thing.tag for group in groups for thing in group))

    def burst_pa(self, node: Node) -> float:
        """Absolute pressure at which ``node`` bursts: its own limit, or three times PS in gauge."""
        if node.burst_pa is not None:
            return node.burst_pa
        atmosphere = self.surroundings.atmospheric_pressure_pa
        return atmosphere + BURST_FACTOR * ((node.ps_pa or self.ps_pa) - atmosphere)


BURST_FACTOR = 3.0  # common practice: parts are type-tested to burst at no less than three times PS


def load_rig(
    name_or_path: str | Path,
    *,
    catalogue: Mapping[str, type[Part]] | None = None,
    near: Path | None = None,
) -> Rig:
    """The rig of that name or in that folder, which may be relative to the folder ``near``. Raises InputError with every mistake at once."""
    from sim.rig_read import read_rig

    return read_rig(name_or_path, catalogue=catalogue, near=near)

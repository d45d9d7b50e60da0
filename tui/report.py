"""What crosses from the plant's thread to the screen: one frozen report, and what is said of a bench once when it is opened."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from enum import Enum
from types import MappingProxyType
from typing import NamedTuple

from sim.flutter import Tap
from sim.units import Family
from sim.working.scales import Scale
from tui.beside import AheadReport, Beside
from tui.faults import Entry, FaultDoor, Faults
from tui.fluid_chart import FluidChart
from tui.metering import NO_METERS, Ask, Meters
from tui.orders import Begin, Refused
from tui.plant import Bench, Snapshot, TagInfo
from tui.roles import NO_ROLES, Roles
from tui.spaces import NO_SPACES, Spaces
from tui.wiring_plan import WiringPlan

Charts = Callable[[str], FluidChart] | None
"""Gives the chart of a refrigerant by its name."""
NO_SCALES: Mapping[str, Scale] = MappingProxyType({})


class Spring(NamedTuple):
    """Of a thermostatic valve: what it holds the needle shut with as delivered, and what a quarter turn in adds, Pa."""

    delivered_pa: float
    quarter_turn_pa: float


class RigPiece(NamedTuple):
    """Something on a rig that one can choose."""

    tag: str
    what: str
    reading: str = ""
    """What it shows, or what is shown of it."""


class Stage(Enum):
    """What the plant is doing."""

    PREPARING = "preparing"
    RUNNING = "running"
    HELD = "held"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Preparing:
    """What is being got ready; ``share`` is 0..1, or None when nobody knows."""

    text: str = "getting the plant ready"
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Report:
    """All that the screen may know, at one instant."""

    number: int = 0
    stage: Stage = Stage.PREPARING
    preparing: Preparing = Preparing()
    snapshot: Snapshot | None = None
    tags: tuple[TagInfo, ...] = ()
    fluid: FluidChart | None = None
    """Of the refrigerant that the rig is built for."""
    charts: Charts = None
    spaces: Spaces = NO_SPACES
    guarded: frozenset[str] = frozenset()
    """Tags under a cover that has to be lifted first."""
    plan: WiringPlan | None = None
    roles: Roles = NO_ROLES
    """What parts and switches are to the person at the bench."""
    assessed: bool = False
    """The bench is assessed, in this session or by what its save says."""
    springs: Mapping[str, Spring] = field(default_factory=dict)
    """Tag of a thermostatic valve -> its spring."""
    pieces: tuple[RigPiece, ...] = ()
    """Instruments, parts, vessels: what a rig without drawings lists besides what a hand moves."""
    kinds: Mapping[str, str] = field(default_factory=dict)
    """Tag of a part, switch, instrument or device of the wiring -> its kind."""
    dials: Mapping[str, str] = field(default_factory=dict)
    """Tag of an instrument -> the reading that it shows."""
    lines: Mapping[str, str] = field(default_factory=dict)
    """Tag of an instrument -> the link whose flow it measures."""
    units: Family = "si"
    scales: Mapping[str, Scale] = field(default_factory=lambda: NO_SCALES)
    """Instruments by what they show."""
    taps: tuple[Tap, ...] = ()
    """Where the gauges hang, for their flutter."""
    meters: Meters = NO_METERS
    entries: tuple[Entry, ...] = ()
    """The faults that could be put in; none in a learner's session."""
    faults: Faults = ()
    """What is in; the same."""
    ahead: AheadReport | None = None
    fork: Snapshot | None = None
    """The copy that runs beside the bench."""
    fork_begun_s: float = 0.0
    fork_faults: Faults = ()
    kept: tuple[tuple[str, float], ...] = ()
    """Plants put by: name and the time at which each stands."""
    pace: int = 1
    reached: float = 1.0
    """Simulated seconds per wall second that were really held, over about the last second."""
    lag_s: float = 0.0
    """Wall seconds that the plant is behind its pace."""
    dropped_s: float = 0.0
    """Wall seconds that it lost for good since the pace was set."""
    applied: int = 0
    """Number of the last order that was carried out or refused."""
    refused: Refused | None = None
    failure: str = ""
    detail: str = ""
    held_because: str = ""
    """Why the plant is held until somebody looks again."""
    goal: str = ""
    """What is waited for."""
    met: str = ""
    """What ended the waiting; the plant is held then."""
    first_s: float = 0.0
    """How far back one can go."""
    warnings: tuple[str, ...] = ()


Progress = Callable[[str, float | None], None]


class Opened(NamedTuple):
    """A bench, and what the screen has to know of it once."""

    bench: Bench
    fluid: FluidChart | None = None
    spaces: Spaces = NO_SPACES
    guarded: frozenset[str] = frozenset()
    """Tags under a cover that has to be lifted first."""
    plan: WiringPlan | None = None
    """The wiring, for its ladder; None on a rig without one."""
    ask: Ask | None = None
    """Reads the hand meter."""
    faults: FaultDoor | None = None
    """None in a learner's session."""
    beside: Beside | None = None
    charts: Charts = None
    kinds: Mapping[str, str] = MappingProxyType({})
    """Tag -> kind, for help and cautions."""
    dials: Mapping[str, str] = MappingProxyType({})
    """Tag of an instrument -> the reading that it shows."""
    lines: Mapping[str, str] = MappingProxyType({})
    """Tag of an instrument -> the link whose flow it measures."""
    scales: Mapping[str, Scale] = NO_SCALES
    taps: tuple[Tap, ...] = ()
    roles: Roles = NO_ROLES
    assessed: bool = False
    springs: Mapping[str, Spring] = MappingProxyType({})
    """Tag of a thermostatic valve -> its spring."""
    pieces: tuple[RigPiece, ...] = ()


Opener = Callable[[Begin, Progress], Opened]

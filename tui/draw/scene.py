"""Everything a painter may look at: the newest snapshot, what the person chose, and how far the flow marks have drifted."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cache
from operator import is_not

from sim.units import STANDARD_ATMOSPHERE_PA
from sim.working.scales import Scale
from tui.charting import Charting
from tui.derived import DERIVED, WET, wet
from tui.draw.glyphs import FULL, Glyphs
from tui.event_units import in_own_units, told_in
from tui.fluid_chart import FluidChart
from tui.plant import Event, Place, Reading, Setting, Snapshot, TagInfo
from tui.roles import NO_ROLES, REVERSES, Roles
from tui.seen import NO_FLOW, against, seen, wants_flow, worked_out
from tui.wiring_plan import WiringPlan
from tui.words import UNIT_CHOICES, Units, in_words, setting_words

NOMINAL_FLOW_KG_S = 3e-3
"""guess: about the flow of a fractional-horsepower bench; it only sets how fast the marks run."""
NOMINAL_CELLS_S = 4.0
"""guess: a speed that the eye follows at ten frames a second."""
FASTEST_CELLS_S = 8.0


@cache
def terms(flow: str) -> tuple[tuple[float, str], ...]:
    """(sign, link) of everything that passes a stretch of pipe: ``"L-S1 -HV-32"`` is the first less the second."""
    return tuple((-1.0 if name.startswith("-") else 1.0, name.removeprefix("-")) for name in flow.split())  # fmt: skip


def summed(flow: str, of: Mapping[str, float]) -> float:
    """The sum along a stretch's points of what each of its links has."""
    return sum(sign * of.get(link, 0.0) for sign, link in terms(flow))


def _same(these: Sequence[object], those: Sequence[object]) -> bool:
    return len(these) == len(those) and not any(map(is_not, these, those))


@dataclass
class Drift:
    """How far the marks of every link, and of every stretch that several pass, have moved, in cells, along its positive direction."""

    cells: dict[str, float] = field(default_factory=dict)
    clock_s: float = 0.0

    def move(self, flows: Mapping[str, float], seconds: float) -> None:
        """Let ``seconds`` pass. A square root keeps a trickle visible and a rush readable."""
        self.clock_s += seconds
        stretches = [name for name in self.cells if len(terms(name)) > 1]
        for link, flow in [*flows.items(), *((name, summed(name, flows)) for name in stretches)]:
            if not flow and link in self.cells:
                continue
            speed = math.copysign(math.sqrt(abs(flow) / NOMINAL_FLOW_KG_S), flow) * NOMINAL_CELLS_S
            step = max(-FASTEST_CELLS_S, min(FASTEST_CELLS_S, speed)) * seconds
            self.cells[link] = self.cells.get(link, 0.0) + step

    def along(self, flow: str) -> float:
        """The same along a stretch's points; one that several links pass runs on its own from when it is first asked for."""
        if len(terms(flow)) < 2:
            return summed(flow, self.cells)
        return self.cells.setdefault(flow, summed(flow, self.cells))


@dataclass
class Scene:
    """One frame's worth of knowledge."""

    snapshot: Snapshot | None = None
    numbers: Snapshot | None = None
    """The snapshot whose numbers are printed; it changes less often than the needles move. None: the same."""
    tags: Mapping[str, TagInfo] = field(default_factory=dict)
    fluid: FluidChart | None = None
    """Of the refrigerant that the rig is built for: what gauges and cards go by."""
    charts: Callable[[str], FluidChart] | None = None
    dials: Mapping[str, str] = field(default_factory=dict)
    """Tag of an instrument -> the reading that it shows."""
    kinds: Mapping[str, str] = field(default_factory=dict)
    """Tag of a part, switch or instrument -> its kind."""
    roles: Roles = NO_ROLES
    """What parts and switches are to the person at the bench."""
    lines: Mapping[str, str] = field(default_factory=dict)
    """Tag of an instrument -> the link whose flow it measures."""
    plan: WiringPlan | None = None
    peaks: Mapping[str, float] = field(default_factory=dict)
    """Panel reading to its largest value while peaks are held."""
    scales: Mapping[str, Scale] = field(default_factory=dict)
    """Instruments by what they show."""
    trembling: Mapping[str, float] = field(default_factory=dict)
    """Gauge to half of its needle's swing, Pa; empty with reduced motion."""
    units: Units = UNIT_CHOICES[0]
    instructor: bool = False
    own_work: bool = False
    """Assessed: what follows from several readings is the learner's to work out."""
    selected: str = ""
    waiting: frozenset[str] = frozenset()
    by_side: bool = False
    """The colour of a pipe says its side, not its temperature."""
    glyphs: Glyphs = FULL
    drift: Drift = field(default_factory=Drift)
    charting: Charting = field(default_factory=Charting)
    letters: Mapping[str, str] = field(default_factory=dict)
    """Tag -> letter, while a jump is being chosen."""
    _written: dict[tuple[str, bool], str] = field(default_factory=dict, repr=False)
    """Readings in words; they stay while the numbers stay, and the person."""
    _written_for: tuple[object, ...] = ()

    @property
    def charted(self) -> FluidChart | None:
        """Of the refrigerant whose cycle this person sees: the instructor's is that of what is in the plant."""
        inside = self.snapshot.charged_with if self.snapshot is not None else ""
        if (
            not self.instructor
            or self.fluid is None
            or self.charts is None
            or inside == self.fluid.name
        ):
            return self.fluid
        return self.charts(inside)

    @property
    def atmosphere_pa(self) -> float:
        """The room's pressure, for gauges."""
        if self.snapshot is None:
            return STANDARD_ATMOSPHERE_PA
        return float(self.snapshot.readings.get("atmospheric_pressure_pa", STANDARD_ATMOSPHERE_PA))

    def reading(self, key: str, at: Snapshot | None = None) -> Reading | None:
        """What this person may see of a reading, or what follows from several of them."""
        snapshot = at if at is not None else self.snapshot
        if snapshot is None:
            return None
        if key in DERIVED:
            if self.own_work:
                return None
            return worked_out(snapshot, key, self.instructor, self.charted)
        return seen(snapshot, key, self.instructor)

    def number(self, key: str) -> float:
        """A reading as a number; nan when it has none."""
        value = self.reading(key)
        return float(value) if isinstance(value, int | float) else math.nan

    def words(self, key: str, *, short: bool = True) -> str:
        """A reading with its unit, as it stood when numbers were last printed; 'no flow' where it has none for that."""
        written_for = (self.numbers, self.units, self.instructor, self.own_work, self.charted)
        if self.numbers is None or not _same(written_for, self._written_for):
            self._written, self._written_for = {}, written_for
        if (key, short) not in self._written:
            self._written[key, short] = self._worded(key, short)
        return self._written[key, short]

    def _worded(self, key: str, short: bool) -> str:
        at = self.numbers if self.numbers is not None else self.snapshot
        if at is not None and not self.own_work and wants_flow(at, key):
            return NO_FLOW
        value = self.reading(key, self.numbers)
        words = in_words(key, value, self.units, self.atmosphere_pa, short=short)
        return f"{words} {WET}" if wet(key, value) else words

    def quantity(self, key: str, value: float, *, short: bool = True) -> str:
        """``value`` in the words of reading ``key``."""
        return in_words(key, value, self.units, self.atmosphere_pa, short=short)

    def setting(self, tag: str) -> Setting | None:
        """Where a hand has put a tag."""
        if self.snapshot is not None and tag in self.snapshot.commands:
            return self.snapshot.commands[tag]
        info = self.tags.get(tag)
        return info.value if info is not None else None

    def setting_words(self, tag: str) -> str:
        """The same in words; a part that only has a set point, or a place, says that."""
        if self.setting(tag) is None:
            owned = (f"{tag}.{name}" for name in ("set", "place"))
            tag = next((name for name in owned if self.setting(name) is not None), tag)
        return setting_words(self.tags.get(tag), tag, self.setting(tag), self.units)

    def dial(self, key: str, missing: str = "") -> str:
        """Tag of the instrument that shows a reading."""
        return next((tag for tag, shown in self.dials.items() if shown == key), missing)

    @property
    def mode(self) -> str:
        """Where the switch stands that reverses the cycle; '' where there is none."""
        return next((str(self.setting(tag) or "") for tag in self.roles.named(REVERSES)), "")

    def share(self, tag: str, missing: float = 1.0) -> float:
        """A valve's opening, 0..1."""
        value = self.setting(tag)
        return float(value) if isinstance(value, int | float) else missing

    def place(self, node: str) -> Place | None:
        """State of a node."""
        return None if self.snapshot is None else self.snapshot.places.get(node)

    @property
    def white(self) -> frozenset[str]:
        """Cells of coils on which one sees frost."""
        spots = self.snapshot.senses.spots if self.snapshot is not None else ()
        return frozenset(s.node for spot in spots if len(spot.surfaces) > 1 and not spot.shut_in for s in spot.surfaces if s.skin in ("frosted", "thawing"))  # fmt: skip

    def flow(self, name: str) -> float:
        """Flow along the points of a pipe that these links pass; ``-TAG`` turns the sign."""
        return 0.0 if self.snapshot is None else summed(name, self.snapshot.flows)

    def backflow(self, key: str) -> bool:
        """True when the instrument that shows a reading is passed the wrong way."""
        return any(against(self.snapshot, link) for tag, link in self.lines.items() if self.dials.get(tag) == key)  # fmt: skip

    def drifted(self, name: str) -> float:
        """Drift of a pipe's marks along its points."""
        return self.drift.along(name)

    def level(self, name: str) -> float | None:
        """Filling of a vessel, 0..1: what its glass shows (``name`` is a reading), or a vessel's own level."""
        value = self.reading(name)
        if isinstance(value, int | float):
            return float(value)
        return None if self.snapshot is None else self.snapshot.levels.get(name)

    def slide(self) -> float:
        """Position of the reversing valve: 0 cooling, 1 heating."""
        return 0.0 if self.snapshot is None else self.snapshot.slide

    @property
    def events(self) -> Sequence[Event]:
        """What this person may know of what happened: faults are the instructor's."""
        if self.snapshot is None:
            return ()
        events = self.snapshot.events
        return events if self.instructor else [event for event in events if event.kind != "fault"]

    def told(self, event: Event) -> str:
        """What happened, in this person's units."""
        return in_own_units(event, self.units, self.atmosphere_pa)

    def in_units(self, text: str) -> str:
        """A sentence of the plant's thread, in this person's units."""
        return told_in(text, self.units, self.atmosphere_pa)

    @property
    def superheat(self) -> str:
        """The superheat that there is a thermometer for: at the evaporator's outlet, in heating at the compressor."""
        return "suction_gauge_superheat_k" if self.heating else "gauge_superheat_k"

    @property
    def heating(self) -> bool:
        """True when the slide stands on the heating side."""
        return self.slide() > 0.5

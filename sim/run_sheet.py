"""A run sheet: a rig, a starting condition and timed actions and faults, written down so that a run can be made without a screen.

This file is what a sheet is and how it is read; ``sim.run_check`` holds it against its rig, ``sim.run_bench`` carries it out.

Over 300 lines: what a sheet may say and how each of it is read.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Protocol

from sim.electrical import ElectricalFault
from sim.errors import InputError, Mistake
from sim.events import KINDS
from sim.onset import OWN_KINDS, Onset
from sim.probing import Probing
from sim.record import NOT_IN_FILE, Reader, did_you_mean, range_faults
from sim.rig import Device, Mode
from sim.starts import From, Receiver, Start
from sim.surroundings import SurroundingsTable
from sim.tomlfile import Key, TomlFile, read_toml

if TYPE_CHECKING:
    from sim.wiring.multimeter import Reading as MeterReading

Limits = dict[str, tuple[float, float]]
Setting = float | str
Reading = float | str

LONGEST_S = 100 * 86_400.0  # guess: a hundred simulated days is beyond any exercise
MOST_ROWS = 5_000_000  # guess: a log of some gigabytes; beyond it a key was mistyped
TABLES = ("surroundings", "action", "fault", "measure")


class EventLike(Protocol):
    """Something that happened on the bench."""

    @property
    def time_s(self) -> float: ...
    @property
    def tag(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def text(self) -> str: ...


class TagLike(Protocol):
    """Something that a hand can move: a number from low to high, or one of the choices."""

    @property
    def tag(self) -> str: ...
    @property
    def kind(self) -> str: ...
    @property
    def what(self) -> str: ...
    @property
    def low(self) -> float | None: ...
    @property
    def high(self) -> float | None: ...
    @property
    def choices(self) -> Sequence[str]: ...


class ElectricianLike(Protocol):
    """Who puts faults into the wiring."""

    def insert(self, fault: ElectricalFault, /) -> object: ...
    def remove(self, name: str, /) -> object: ...


class BenchLike(Protocol):
    """What a run sheet needs of a bench."""

    @property
    def time_s(self) -> float: ...
    @property
    def events(self) -> Sequence[EventLike]: ...
    @property
    def warnings(self) -> Sequence[str]: ...
    def set(self, tag: str, value: Setting, /) -> object: ...
    def advance(self, seconds: float, /) -> object: ...
    def readings(self) -> Mapping[str, Reading]: ...
    def insert_fault(
        self, name: str, /, *, severity: float, place: str | None, onset: Onset
    ) -> object: ...
    def remove_fault(self, name: str, /, *, place: str | None = None) -> object: ...
    @property
    def wiring(self) -> ElectricianLike: ...
    def measure(self, probing: Probing, /) -> MeterReading: ...
    def ledger(self) -> Mapping[str, Any]: ...


@dataclass(frozen=True, kw_only=True)
class Action:
    """At ``at_s`` put every tag of ``set`` to its value, in the order of the file."""

    RANGES: ClassVar[Limits] = {"at_s": (0.0, LONGEST_S)}

    at_s: float
    set: Mapping[str, Setting] = field(default_factory=dict, metadata=NOT_IN_FILE)


@dataclass(frozen=True, kw_only=True)
class FaultEntry:
    """A named fault, present from ``at_s`` to ``until_s`` (to the end when not said).

    With ``on`` (``KIND`` or ``KIND:TAG`` of an event) it waits from ``at_s`` for that event; with ``period_s`` it comes and goes, there for ``duty`` of each period.
    """

    RANGES: ClassVar[Limits] = {
        "at_s": (0.0, LONGEST_S),
        "severity": (0.0, 1.0),
        "ramp_s": (0.0, LONGEST_S),
        "until_s": (0.0, LONGEST_S),
        "period_s": (0.0, LONGEST_S),
        "duty": (0.0, 1.0),
    }

    at_s: float
    name: str
    severity: float = 1.0
    ramp_s: float = 0.0
    until_s: float | None = None
    place: str | None = None
    on: str = ""
    period_s: float = 0.0
    duty: float = 0.5

    def onset(self, seed: int = 0) -> Onset:
        """How it sets in, counted from its insertion; when it comes and goes is drawn from ``seed``."""
        return Onset(self.ramp_s, None, self.on, self.period_s, self.duty, seed)

    def check(self) -> list[tuple[str, str]]:
        """Numbers in their ranges; an event of a kind that there is; ramp, period and duty that go together."""
        kinds = [kind for kind in KINDS if kind not in OWN_KINDS]
        wrong = range_faults(self) or self.onset().mistakes(self.name)
        if self.on and self.on.partition(":")[0] not in kinds:
            wrong.append(("on", f"on of {self.name} is {self.on!r}; it names a kind of event, or KIND:TAG. {did_you_mean(self.on, kinds)}"))  # fmt: skip
        return wrong


@dataclass(frozen=True, kw_only=True)
class WiringFault:
    """A fault of the wiring, present from ``at_s`` to ``until_s``: one of ``branch`` with ``state``, ``bridge``, ``value`` with ``factor``."""

    RANGES: ClassVar[Limits] = {
        "at_s": (0.0, LONGEST_S),
        "until_s": (0.0, LONGEST_S),
        "ohm": (1e-6, 1e9),
        "factor": (1e-6, 1e6),
    }

    at_s: float
    branch: str = ""
    state: str = ""
    bridge: tuple[str, ...] = ()
    value: str = ""
    factor: float = 1.0
    ohm: float | None = None
    until_s: float | None = None

    @property
    def fault(self) -> ElectricalFault:
        """What the bench takes."""
        return ElectricalFault(
            branch=self.branch,
            state=self.state,
            bridge=self.bridge,
            value=self.value,
            factor=self.factor,
            ohm=self.ohm,
        )


@dataclass(frozen=True, kw_only=True)
class MeterEntry:
    """A reading of the meter at ``at_s``, or from then on every ``every_s``."""

    RANGES: ClassVar[Limits] = {"at_s": (0.0, LONGEST_S), "every_s": (0.01, LONGEST_S)}

    at_s: float = 0.0
    name: str
    mode: str
    between: tuple[str, ...] = ()
    around: tuple[str, ...] = ()
    every_s: float | None = None

    @property
    def probing(self) -> Probing:
        """What the meter is asked."""
        return Probing(mode=self.mode, between=self.between, around=self.around)

    def check(self) -> list[tuple[str, str]]:
        """Times in their ranges; probes and clamp as the mode needs them."""
        return range_faults(self) + self.probing.mistakes()


@dataclass(frozen=True, kw_only=True)
class RunSheet:
    """A whole run sheet. ``path`` is where it stands, for the rig that it names beside itself."""

    RANGES: ClassVar[Limits] = {
        "duration_s": (0.0, LONGEST_S),
        "log_every_s": (0.01, LONGEST_S),
        "seed": (0, 2**53),
    }

    rig: str
    duration_s: float
    log_every_s: float = 1.0
    seed: int = 1
    start: From = "off"
    device: Device = "hand"
    mode: Mode = "cooling"
    receiver: Receiver = "in-line"
    title: str = ""
    description: str = ""
    path: Path = field(default=Path(), metadata=NOT_IN_FILE)
    surroundings: Mapping[str, float] = field(default_factory=dict, metadata=NOT_IN_FILE)
    actions: tuple[Action, ...] = field(default=(), metadata=NOT_IN_FILE)
    faults: tuple[FaultEntry, ...] = field(default=(), metadata=NOT_IN_FILE)
    wiring_faults: tuple[WiringFault, ...] = field(default=(), metadata=NOT_IN_FILE)
    measures: tuple[MeterEntry, ...] = field(default=(), metadata=NOT_IN_FILE)

    @property
    def every_fault(self) -> tuple[FaultEntry | WiringFault, ...]:
        """Those of the catalogue, then those of the wiring."""
        return (*self.faults, *self.wiring_faults)

    def onset_of(self, entry: FaultEntry) -> Onset:
        """How one of its faults sets in; no two of its intermittent ones come and go together."""
        return entry.onset(self.seed + self.faults.index(entry))

    def until(self, end_s: float) -> RunSheet:
        """The same sheet cut off at an instant; what happens at that instant is in it."""
        return replace(
            self,
            duration_s=end_s,
            actions=tuple(one for one in self.actions if one.at_s <= end_s),
            faults=tuple(one for one in self.faults if one.at_s <= end_s),
            wiring_faults=tuple(one for one in self.wiring_faults if one.at_s <= end_s),
            measures=(),
        )

    @property
    def beginning(self) -> Start:
        """The starting condition."""
        return Start(
            start=self.start,
            device=self.device,
            mode=self.mode,
            receiver=self.receiver,
            seed=self.seed,
            surroundings=self.surroundings,
        )


@dataclass
class SheetDraft:
    """A run sheet while it is being read: each thing with its path in the file."""

    document: TomlFile
    sheet: RunSheet | None = None
    actions: list[tuple[Key, Action]] = field(default_factory=list)
    faults: list[tuple[Key, FaultEntry]] = field(default_factory=list)
    wiring_faults: list[tuple[Key, WiringFault]] = field(default_factory=list)
    measures: list[tuple[Key, MeterEntry]] = field(default_factory=list)
    mistakes: list[Mistake] = field(default_factory=list)


ELECTRICAL_KEYS = frozenset(("branch", "bridge", "value"))


def draft_sheet(path: Path) -> SheetDraft:
    """Read a run sheet, with the mistakes that can be seen without its rig. Raises InputError if it is no TOML."""
    document = read_toml(path)
    reader = Reader(document)
    draft = SheetDraft(document, mistakes=reader.mistakes)
    header = reader.read(RunSheet, (), "run sheet", other_keys=TABLES)
    surroundings: Mapping[str, float] = {}
    if "surroundings" in document.values:
        table = reader.read(SurroundingsTable, ("surroundings",), "surroundings")
        surroundings = table.given() if table else {}
    draft.actions = _actions(reader)
    draft.faults = _faults(reader, draft)
    draft.measures = _measures(reader)
    if header is not None:
        draft.sheet = replace(
            header,
            path=path,
            surroundings=surroundings,
            actions=tuple(action for _, action in draft.actions),
            faults=tuple(fault for _, fault in draft.faults),
            wiring_faults=tuple(fault for _, fault in draft.wiring_faults),
            measures=tuple(measure for _, measure in draft.measures),
        )
        _check_times(reader, draft, header)
    return draft


def _entries(reader: Reader, name: str) -> list[tuple[Key, dict[str, Any]]]:
    value = reader.document.values.get(name, [])
    if not isinstance(value, list) or not all(isinstance(entry, dict) for entry in value):
        what = f"{name} must be an array of tables."
        reader.wrong((name,), what, f"Write [[{name}]] with two brackets.")
        return []
    return [((name, i), entry) for i, entry in enumerate(value)]


def _actions(reader: Reader) -> list[tuple[Key, Action]]:
    actions = []
    for path, entry in _entries(reader, "action"):
        action = reader.read(Action, path, "action", other_keys=("set",))
        settings = entry.get("set")
        if not isinstance(settings, dict) or not settings:
            remedy = 'Add set = { "HV-22" = 1 } or a table [action.set].'
            reader.wrong((*path, "set"), "action: it sets nothing.", remedy)
            settings = {}
        for tag, value in settings.items():
            if isinstance(value, bool) or not isinstance(value, int | float | str):
                what = f"action: {tag} cannot be set to {value!r}."
                reader.wrong((*path, "set", tag), what, "Give a number or a word in quotes.")
        if action is not None:
            actions.append((path, replace(action, set=settings)))
    return actions


def _faults(reader: Reader, draft: SheetDraft) -> list[tuple[Key, FaultEntry]]:
    faults = []
    for path, entry in _entries(reader, "fault"):
        fault: FaultEntry | WiringFault | None
        if ELECTRICAL_KEYS.intersection(entry):
            fault = reader.read(WiringFault, path, "fault")
            if fault is not None:
                draft.wiring_faults.append((path, fault))
        else:
            fault = reader.read(FaultEntry, path, "fault")
            if fault is not None:
                faults.append((path, fault))
        if fault is not None and fault.until_s is not None and fault.until_s <= fault.at_s:
            name = fault.name if isinstance(fault, FaultEntry) else fault.fault.name
            what = f"fault {name}: until_s ({fault.until_s:g}) is not after at_s ({fault.at_s:g})."
            reader.wrong((*path, "until_s"), what, "Correct one of the two.")
    return faults


def _measures(reader: Reader) -> list[tuple[Key, MeterEntry]]:
    found: list[tuple[Key, MeterEntry]] = []
    for path, _ in _entries(reader, "measure"):
        entry = reader.read(MeterEntry, path, "measure")
        if entry is None:
            continue
        if entry.name in {one.name for _, one in found}:
            reader.wrong((*path, "name"), f"measure {entry.name}: the name is taken.", "Give each measurement a name of its own.")  # fmt: skip
        found.append((path, entry))
    return found


def _check_times(reader: Reader, draft: SheetDraft, header: RunSheet) -> None:
    if header.duration_s / max(header.log_every_s, 1e-9) > MOST_ROWS:
        what = f"log_every_s of {header.log_every_s:g} s gives more than {MOST_ROWS} rows."
        reader.wrong(("log_every_s",), what, "Log less often or run for a shorter time.")
    timed: list[tuple[Key, Action | FaultEntry | WiringFault | MeterEntry]] = [*draft.actions, *draft.faults, *draft.wiring_faults, *draft.measures]  # fmt: skip
    for path, thing in timed:
        if thing.at_s > header.duration_s:
            what = f"at_s is {thing.at_s:g} s, after the end of the run at {header.duration_s:g} s."
            reader.wrong((*path, "at_s"), what, "Move it forward or lengthen duration_s.")


def load_sheet(path: Path) -> RunSheet:
    """The run sheet in ``path``, not yet held against its rig. Raises InputError with every mistake."""
    draft = draft_sheet(path)
    if draft.sheet is None or draft.mistakes:
        raise InputError(draft.mistakes)
    return draft.sheet

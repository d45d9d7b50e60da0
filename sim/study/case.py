"""A case to study: a run sheet's plant with its faults, and the same plant without them. Its clock begins when the first fault does."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property

from sim.bench import Bench
from sim.electrical import ElectricalFault
from sim.errors import InputError
from sim.faults import Fault, all_faults
from sim.knobs import KNOBS
from sim.occasions import Occasion
from sim.places import nowhere, places_on
from sim.rig import Device, Mode, Rig
from sim.run_bench import FAULT, Moment, planned, run_on
from sim.run_sheet import Action, FaultEntry, RunSheet
from sim.session import start_bench
from sim.starts import Start

LOOK_S = 3600.0  # common practice: no demonstration lasts longer than an hour
LOOK_AFTER_S = 900.0  # common practice: a quarter of an hour, after which pressures have settled
LEAST_LOOK_S = 10.0  # guess: in less than that no needle has come to rest
LAG = "lag"  # the one parameter of an instrument that is no error of its display
NEVER, TRAINED = "never", "trained staff only"
WORSE = ("ordinary", TRAINED, NEVER)


def on_a_real_rig(fault: ElectricalFault) -> str:
    """May a fault of the wiring be staged? A bridge or a short may defeat a protective device or put a frame under voltage: never (common practice)."""
    joins = bool(fault.bridge) or fault.state in ("short", "stuck-closed")
    return NEVER if joins else TRAINED


@dataclass(frozen=True)
class Case:
    """The faults of a run sheet on its plant; what hands do in it both twins get."""

    rig: Rig
    sheet: RunSheet
    occasion: Occasion | None = None
    """What the sheet's actions are, when they are there for the fault to show."""
    hindered: str = ""
    """Why the fault's occasion cannot be."""

    @cached_property
    def begun_s(self) -> float:
        """When the first fault begins, or begins to wait, on the sheet's clock."""
        return min(one.at_s for one in self.sheet.every_fault)

    @property
    def look_s(self) -> float:
        """How long it is looked at."""
        return min(self.sheet.duration_s - self.begun_s, LOOK_S)

    @property
    def acts_after(self) -> list[Action]:
        """What hands do after the first fault."""
        return [one for one in self.sheet.actions if one.at_s > self.begun_s]

    @property
    def last_act_s(self) -> float:
        """When hands have done what the occasion asks, on the case's clock; 0 without one."""
        return self.occasion.last_s if self.occasion else 0.0

    @property
    def start(self) -> Start:
        """Where the sheet begins."""
        return self.sheet.beginning

    @property
    def named(self) -> list[tuple[FaultEntry, Fault]]:
        """Its faults of the catalogue, and what is known of them."""
        return [(one, all_faults()[one.name]) for one in self.sheet.faults]

    @property
    def single(self) -> FaultEntry | None:
        """Its one fault of the catalogue, when it has no other: only then does a severity say something of the case."""
        only = len(self.sheet.faults) == 1 and not self.sheet.wiring_faults
        return self.sheet.faults[0] if only else None

    @property
    def name(self) -> str:
        """What it is called."""
        wired = [one.fault.name for one in self.sheet.wiring_faults]
        return " + ".join([one.name for one in self.sheet.faults] + wired)

    def place_of(self, one: FaultEntry) -> str:
        """Where a fault of the catalogue sits; nothing for the plant as a whole."""
        return one.place or next(iter(places_on(self.rig, all_faults()[one.name].places)), "")

    @property
    def on_a_real_rig(self) -> str:
        """What holds for the worst of its faults."""
        held: list[str] = [fault.on_a_real_rig for _, fault in self.named]
        held += [on_a_real_rig(one.fault) for one in self.sheet.wiring_faults]
        return max(held, key=WORSE.index)

    @property
    def may_be_staged(self) -> bool:
        """False when only consequences may be shown."""
        return self.on_a_real_rig != NEVER

    @property
    def spares_the_plant(self) -> bool:
        """Do its faults sit in instruments only, so that the plant runs as without them?"""
        changes = [change for _, fault in self.named for change in fault.changes]
        brings = any(fault.brings_something for _, fault in self.named)
        instruments = {one.tag for one in self.rig.instruments}
        places = {place for one, _ in self.named for place in self.place_of(one).split("/")}
        spared = all(KNOBS[change.parameter].instrument or change.parameter == LAG for change in changes)  # fmt: skip
        return spared and places <= instruments and not (brings or self.sheet.wiring_faults)

    def of_severity(self, severity: float) -> Case:
        """The single fault, stronger or weaker."""
        faults = tuple(replace(one, severity=severity) for one in self.sheet.faults)
        return replace(self, sheet=replace(self.sheet, faults=faults))

    def of_fault(self, name: str) -> Case:
        """Another single fault in its stead, at its usual place, with the same acts."""
        faults = tuple(replace(one, name=name, place=None) for one in self.sheet.faults)
        return replace(self, sheet=replace(self.sheet, faults=faults))

    def in_room(self, room_c: float) -> Case:
        """The same in a room of another temperature."""
        around = {**self.sheet.surroundings, "room_temperature_c": room_c}
        return replace(self, sheet=replace(self.sheet, surroundings=around))

    @property
    def undisturbed(self) -> Case:
        """The same without what hands do."""
        return replace(self, sheet=replace(self.sheet, actions=()), occasion=None)

    def _course(self, *, faulty: bool) -> RunSheet:
        """The sheet for one of the twins."""
        return self.sheet if faulty else replace(self.sheet, faults=(), wiring_faults=())

    def healthy(self) -> Bench:
        """A bench at the instant before the first fault. Raises PlantError when the plant does not run."""
        bench = start_bench(self.rig, self.start)
        before = [one for one in self.sheet.actions if one.at_s <= self.begun_s]
        if before or self.begun_s > 0.0:
            course = replace(self._course(faulty=False).until(self.begun_s), log_every_s=max(self.begun_s, 1.0))  # fmt: skip
            run_on(bench, course, lambda _time, _row: None)
        return bench

    def moments(self, bench: Bench, *, faulty: bool) -> list[Moment]:
        """What happens to a twin from the first fault on, at times of the case's clock. Commands up to that instant have been given."""
        every = planned(bench, self._course(faulty=faulty))
        later = [one for one in every if one.at_s > self.begun_s or (one.at_s == self.begun_s and one.order == FAULT)]  # fmt: skip
        return [one._replace(at_s=one.at_s - self.begun_s) for one in later]


def case_of_sheet(rig: Rig, sheet: RunSheet) -> Case:
    """The faults of a run sheet. Raises InputError when there is none, or no time to see them."""
    if not sheet.every_fault:
        raise InputError("the run sheet has no fault, so there is nothing to rehearse; rimebench run shows what it does.")  # fmt: skip
    case = Case(rig, sheet)
    if case.look_s < LEAST_LOOK_S:
        raise InputError(f"the run sheet ends {case.look_s:g} s after its first fault; lengthen duration_s to at least {case.begun_s + LEAST_LOOK_S:g}.")  # fmt: skip
    return case


def case_of(
    rig: Rig,
    name: str,
    *,
    severity: float = 1.0,
    device: Device | None = None,
    mode: Mode = "cooling",
    room_c: float | None = None,
    place: str | None = None,
) -> Case:
    """A fault that sets in at once on a bench that runs steady, at its usual place and on the device on which it shows if nothing else is given, with its occasion.

    Raises InputError for a wrong name, severity or place.
    """
    if name not in all_faults():
        raise InputError(
            f"there is no fault {name!r}; known are {', '.join(sorted(all_faults()))}."
        )
    if not 0.0 < severity <= 1.0:
        raise InputError(f"severity is {severity:g}; it goes from above 0 to 1 (the worst).")
    places = places_on(rig, all_faults()[name].places)
    if all_faults()[name].places and not places:
        raise InputError(nowhere(rig, name, all_faults()[name].places))
    if place is not None and place not in places:
        known = f"its places are {', '.join(places)}" if places else "it is the plant's as a whole"
        raise InputError(f"{name} cannot sit at place {place!r} of {rig.name}; {known}.")
    around = {} if room_c is None else {"room_temperature_c": room_c}
    fault = FaultEntry(at_s=0.0, name=name, severity=severity, place=place)
    occasion = all_faults()[name].shown_by
    device = device or device_for(rig, name, mode)
    hindered = occasion.hindered_on(rig, device, mode) if occasion else ""
    occasion = None if hindered else occasion
    look_s = LOOK_S if occasion is None else occasion.last_s + LOOK_AFTER_S
    sheet = RunSheet(
        rig=rig.name,
        duration_s=look_s,
        start="steady",
        device=device,
        mode=mode,
        surroundings=around,
        faults=(fault,),
        actions=actions_of(occasion),
    )
    return replace(case_of_sheet(rig, sheet), occasion=occasion, hindered=hindered)


def device_for(rig: Rig, name: str, mode: Mode) -> Device:
    """The device that a fault shows on, where the rig has a line-up for it in this mode; else the first that has one."""
    wanted = all_faults()[name].shows_on
    able = [one.device for one in rig.line_ups if one.device and (one.mode or "cooling") == mode]
    return wanted if wanted in able or not able else able[0]


def actions_of(occasion: Occasion | None) -> tuple[Action, ...]:
    """An occasion's acts as a run sheet has them."""
    acts = occasion.acts if occasion else ()
    return tuple(Action(at_s=act.at_s, set={act.set: act.to}) for act in acts)

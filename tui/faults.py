"""The faults as plain data for the instructor's board: what may be put in, and what is in now. Only a session opened as instructor's gets any of it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from sim.rig import Rig


@dataclass(frozen=True, slots=True)
class Entry:
    """A fault of the catalogue on this rig."""

    name: str
    family: str
    what: str
    severity: str
    """What 0 to 1 means physically."""
    on_a_real_rig: str
    cautions: tuple[str, ...]
    """Ids."""
    removal: str
    trace: str
    places: tuple[str, ...]
    """Where it can sit, the usual place first; none for the plant as a whole."""
    grams: float
    """Refrigerant that severity 1 takes out, g (negative: puts in)."""
    yes_or_no: bool
    """Is it wholly there at any severity above 0?"""

    def found_by(self, words: Sequence[str]) -> bool:
        """Do all words stand in its name, sentence or family?"""
        text = f"{self.name} {self.name.replace('-', ' ')} {self.what} {self.family}".lower()
        return all(word in text for word in words)


class InNow(NamedTuple):
    """A fault that is in the plant, or waits."""

    name: str
    place: str
    severity: float
    present: float
    """Severity that has set in by now."""
    waiting: bool


Faults = tuple[InNow, ...]


@dataclass(frozen=True, slots=True)
class FaultDoor:
    """What a bench can be given, and how one asks it what is in."""

    entries: tuple[Entry, ...]
    look: Callable[[Any], Faults]


def entries_from(faults: Iterable[Any], places_of: Callable[[Any], tuple[str, ...] | None], charge_kg: float) -> tuple[Entry, ...]:  # fmt: skip
    """Entries of a catalogue by family; ``places_of`` says None for a fault that this rig cannot have."""
    found: dict[str, list[Entry]] = {}
    for fault in faults:
        places = places_of(fault)
        if places is not None:
            found.setdefault(fault.family, []).append(Entry(
                fault.name, fault.family, fault.what, fault.severity, fault.on_a_real_rig, fault.cautions, fault.removed_by, fault.trace,
                places, 1000.0 * charge_kg * fault.charge, fault.yes_or_no,
            ))  # fmt: skip
    return tuple(entry for family in found.values() for entry in family)


def in_now(bench: Any) -> Faults:
    """What is in a bench, in the order in which it was put in."""
    now_s, present = bench.time_s, bench.faults.values()
    return tuple(InNow(one.name, one.place, one.severity, one.present(now_s), one.since_s > now_s) for one in present)  # fmt: skip


def door_of(rig: Rig) -> FaultDoor:
    """The faults that a rig can have."""
    from sim.faults import all_faults
    from sim.places import places_on

    def places_of(fault: Any) -> tuple[str, ...] | None:
        places = places_on(rig, fault.places)
        impossible = (fault.electrical and not rig.wiring) or (fault.places and not places)
        return None if impossible else places

    return FaultDoor(entries_from(all_faults().values(), places_of, rig.charge_kg), in_now)

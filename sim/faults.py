"""The catalogue of faults, read from ``rigs/faults.toml``: each a named change of physical parameters or of the netlist. What a person sees of one is computed.

A fault changes one or more parameters (``sim.knobs``), each in one of three ways. With s the severity, F the value at full severity:

    multiply    linear 1 + s (F - 1)      geometric F^s      resistance 1/sqrt(1 + s (1/F^2 - 1)), the pressure drop at the same flow grows in proportion
    add         s F
    set         F, as soon as it is there
    step        (for all three) the full change as soon as s is above 0

Any number may be present together: factors multiply, offsets add, a set wins (of two sets the smaller), so the order of insertion never matters.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache
from importlib.resources import files
from math import sqrt
from pathlib import Path
from typing import ClassVar, Literal

from sim.cautions import Caution, all_cautions, cautions_for
from sim.errors import InputError, Mistake
from sim.knobs import KNOBS, Combined
from sim.occasions import Occasion, read_occasions
from sim.record import NOT_IN_FILE, Reader, did_you_mean
from sim.rig import Device
from sim.switches import MAIN_SWITCH
from sim.tomlfile import Key, read_toml

OnARealRig = Literal["never", "trained staff only", "ordinary"]
How = Literal["multiply", "add", "set"]
Law = Literal["linear", "geometric", "resistance", "step"]
WIRING_CAUTIONS = ("protective", "isolate", "capacitor", "terminals")
"""What a fault of the wiring carries, by id."""
USUAL_DEVICE: Device = "thermostatic"
ISOLATED = f"{MAIN_SWITCH} off, lock off, prove dead"
"""Before hands go into the wiring (common practice)."""


@dataclass(frozen=True, kw_only=True)
class FaultChange:
    """One parameter, how it changes, and its value at full severity."""

    parameter: str
    how: How
    value: float
    law: Law = "linear"
    on: str = "{place}"
    """What the parameter belongs to; ``{place}`` stands for the fault's place."""

    def check(self) -> list[tuple[str, str]]:
        """The parameter exists, the full value lies in its range, and the law fits the way."""
        wrong = []
        knob = KNOBS.get(self.parameter)
        if knob is None:
            wrong.append(("parameter", f"there is no parameter {self.parameter!r}. {did_you_mean(self.parameter, KNOBS)}"))  # fmt: skip
        elif self.how not in knob.ways:
            wrong.append(
                ("how", f"{self.parameter} can be changed by {' or '.join(knob.ways)} only")
            )
        elif not knob.low <= self.value <= knob.high:
            wrong.append(("value", f"value is {self.value:g}; {self.parameter} goes from {knob.low:g} to {knob.high:g} {knob.unit}".rstrip()))  # fmt: skip
        if self.law in ("geometric", "resistance") and (
            self.how != "multiply" or self.value <= 0.0
        ):
            wrong.append(("law", f"law {self.law} needs how = multiply and a value above 0"))
        return wrong

    def put(self, combined: Combined, severity: float) -> None:
        """Lay this change at a severity over what others do to the same parameter."""
        if severity <= 0.0:
            return
        if self.how == "set":
            combined.set(self.value)
        elif self.how == "add":
            combined.offset += self.value * (1.0 if self.law == "step" else severity)
        else:
            combined.factor *= self.factor(severity)

    def factor(self, severity: float) -> float:
        """The factor at a severity above 0."""
        if self.law == "step":
            return self.value
        if self.law == "geometric":
            return float(self.value**severity)
        if self.law == "resistance":
            return 1.0 / sqrt(1.0 + severity * (1.0 / self.value**2 - 1.0))
        return 1.0 + severity * (self.value - 1.0)


@dataclass(frozen=True, kw_only=True)
class Fault:
    """A named mechanism."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "charge": (-1.0, 1.0),
        "gas_kg": (0.0, 0.1),
        "migrates": (0.0, 1.0),
        "water_kg": (0.0, 0.02),
    }

    name: str
    family: str
    what: str
    """One plain sentence."""
    severity: str
    """What 0..1 means physically."""
    on_a_real_rig: OnARealRig
    cautions: tuple[str, ...]
    removal: str
    trace: str
    """What it leaves behind."""
    isolate: bool = False
    """Do hands go into the wiring to take it away, so that the panel has to be dead?"""
    source: str
    places: tuple[str, ...] = ()
    """Where it can sit (see ``sim.places``), the usual place first; none for the plant as a whole."""
    charge: float = 0.0
    """Share of the nominal charge that severity 1 takes out (negative: puts in)."""
    gas_kg: float = 0.0
    """Gas that does not condense, put in at severity 1."""
    migrates: float = 0.0
    """Share of the nominal charge that severity 1 moves into the compressor's shell, as liquid from the rest of the plant."""
    water_kg: float = 0.0
    """Water that severity 1 lets into the circuit (``sim.moisture``)."""
    recharges: bool = False
    """Is the whole charge the refrigerant that its place names (``sim.recharging``)?"""
    device: Device | None = None
    """The device that it shows on; none when it shows on any."""
    occasion: str = ""
    """Name of what has to be done before it shows; none when it shows while the plant simply runs."""
    mistaken_for: tuple[str, ...] = ()
    """Faults that it is taken for, the likeliest first."""
    changes: tuple[FaultChange, ...] = field(default=(), metadata=NOT_IN_FILE)
    shown_by: Occasion | None = field(default=None, metadata=NOT_IN_FILE)
    """The occasion of that name."""

    def check(self) -> list[tuple[str, str]]:
        """Every caution exists."""
        known = all_cautions()
        return [("cautions", f"there is no caution {one!r}. {did_you_mean(one, known)}") for one in self.cautions if one not in known]  # fmt: skip

    @property
    def shows_on(self) -> Device:
        """The device to rehearse it on."""
        needed = self.shown_by.device if self.shown_by else None
        return self.device or needed or USUAL_DEVICE

    @property
    def electrical(self) -> bool:
        """Does it change the circuit, so that it needs a wiring?"""
        return any(KNOBS[change.parameter].wired for change in self.changes)

    @property
    def removed_by(self) -> str:
        """How it is taken away, with what comes before hands go into the wiring."""
        return f"{ISOLATED}; {self.removal}" if self.isolate else self.removal

    @property
    def moves_mass(self) -> bool:
        """Does it put something into the circuit bit by bit, or take it out?"""
        return bool(self.charge or self.gas_kg)

    @property
    def brings_something(self) -> bool:
        """Does it move refrigerant, gas or water, so that it cannot come and go?"""
        return bool(self.moves_mass or self.migrates or self.water_kg or self.recharges)

    @property
    def lets_air_in(self) -> bool:
        """Can it bring a gas into the circuit that does not condense?"""
        return bool(self.gas_kg) or any(change.parameter == "hole" for change in self.changes)

    @property
    def yes_or_no(self) -> bool:
        """Is it wholly there at any severity above 0?"""
        return self.recharges or (
            not self.brings_something
            and all(c.how == "set" or c.law == "step" for c in self.changes)
        )

    def combine(self, table: dict[tuple[str, str], Combined], place: str, severity: float) -> None:
        """Lay its changes at a severity over those of others, by parameter and what it belongs to."""
        for change in self.changes:
            key = change.parameter, change.on.replace("{place}", place)
            change.put(table.setdefault(key, Combined()), severity)


def read_faults(path: Path) -> dict[str, Fault]:
    """The faults of a file. Raises InputError with every mistake."""
    document = read_toml(path)
    reader = Reader(document)
    entries = document.values.get("fault")
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise InputError([Mistake(document.file, 1, "there are no faults.", "Add [[fault]].")])
    found: dict[str, Fault] = {}
    occasions = read_occasions(reader)
    for i in range(len(entries)):
        path_of: Key = ("fault", i)
        fault = reader.read(Fault, path_of, f"fault {i + 1}", other_keys=("change",))
        changes = _changes(reader, path_of, entries[i])
        if fault is None:
            continue
        if fault.name in found:
            reader.wrong((*path_of, "name"), f"{fault.name} is given twice.", "Rename one.")
        if not (changes or fault.brings_something) and not reader.mistakes:
            reader.wrong(path_of, f"{fault.name} changes nothing.", "Add a [[fault.change]].")
        found[fault.name] = replace(fault, changes=changes, shown_by=occasions.get(fault.occasion))
    _check_names(reader, occasions, found)
    if reader.mistakes:
        raise InputError(reader.mistakes)
    return found


def _check_names(reader: Reader, occasions: Mapping[str, Occasion], found: Mapping[str, Fault]) -> None:  # fmt: skip
    """What faults call by name is there: their occasion, and the faults that they are taken for."""
    for i in range(len(reader.document.values["fault"])):
        path: Key = ("fault", i)
        entry = reader.at(path)
        known = found.get(str(entry.get("name")))
        if known is None:
            continue
        if known.occasion and known.occasion not in occasions:
            reader.wrong((*path, "occasion"), f"{known.name}: there is no occasion {known.occasion!r}.", did_you_mean(known.occasion, occasions))  # fmt: skip
        for other in known.mistaken_for:
            if other not in found or other == known.name:
                reader.wrong((*path, "mistaken_for"), f"{known.name} cannot be taken for {other!r}.", did_you_mean(other, found.keys() - {known.name}))  # fmt: skip


def _changes(reader: Reader, path: Key, entry: Mapping[str, object]) -> tuple[FaultChange, ...]:
    tables = entry.get("change", [])
    if not isinstance(tables, list):
        reader.wrong((*path, "change"), "change must be an array of tables.", "Write [[fault.change]].")  # fmt: skip
        return ()
    read = [reader.read(FaultChange, (*path, "change", j), "change") for j in range(len(tables))]
    return tuple(change for change in read if change is not None)


@cache
def all_faults() -> dict[str, Fault]:
    """The shipped catalogue, in the order of the file. Raises InputError."""
    return read_faults(Path(str(files("rigs") / "faults.toml")))


def cautions_of(names: Iterable[str], *subjects: str, wired: bool = False) -> list[Caution]:
    """What anything exported carries that has these faults in it, or faults of the wiring: the general caution, and the faults' own."""
    catalogue = all_faults()
    known = [catalogue[name] for name in names if name in catalogue]
    also = [id for fault in known for id in fault.cautions]
    also += WIRING_CAUTIONS if wired else ()
    return cautions_for("export:any", *subjects, *(f"fault:{fault.name}" for fault in known), also=also)  # fmt: skip

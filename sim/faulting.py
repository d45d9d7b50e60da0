"""Putting faults into a bench and taking them out: when each is there, and what all of them together do to the parameters."""

from __future__ import annotations

from dataclasses import dataclass, field
from math import inf
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.charging import migrate, move_charge, settle_charge
from sim.errors import InputError
from sim.faults import Fault, all_faults
from sim.knobs import KNOBS, Combined
from sim.moisture import DRIER_ROOM_KG
from sim.onset import TICK_S, Onset
from sim.parts import compressor
from sim.places import nowhere, places_on
from sim.recharging import recharge, settle_fluid

if TYPE_CHECKING:
    from sim.bench import Bench

Floats = NDArray[np.float64]
Effects = dict[tuple[str, str], Combined]
"""(parameter, what it belongs to) to what all faults together do to it."""

CHARGE_TIME_S = 30.0  # contract: charge is moved over at least half a minute
SLUG_LEAK_M2 = 0.5e-7  # guess: a bent discharge reed leaks like a sixth of the worst leak; a few slugs spoil the machine
TABLES = ("link", "link_i", "bulb", "slide", "machine", "wear", "wall")
"""Tables of the plant that knobs write into."""


@dataclass
class ActiveFault:
    """A fault that is present, or waits for its time."""

    name: str
    severity: float
    since_s: float
    """When it begins; infinite while it waits for an event."""
    place: str = ""
    onset: Onset = field(default_factory=Onset)
    target_kg: float = 0.0
    """Charge to take out (negative: put in)."""
    migrating_kg: float = 0.0
    """Liquid still to be moved into the compressor's shell; it goes over at once."""
    water_kg: float = 0.0
    """Water still to be let in; it comes at once."""
    held_kg: float = 0.0
    """What the plant held before another refrigerant took its place."""
    moved_kg: float = 0.0
    """How much of it has been moved up to ``at_s``."""
    rate_kg_s: float = 0.0
    """Rate at which it moves since ``at_s``."""
    at_s: float = 0.0
    outside_kg: float = 0.0
    """Ledger account ``outside`` at ``at_s``."""

    @property
    def time_s(self) -> float:
        """How long its charge takes to move."""
        return max(self.onset.ramp_s, CHARGE_TIME_S)

    def present(self, now_s: float) -> float:
        """The severity that has set in."""
        return self.severity * self.onset.share(now_s - self.since_s)


class Sound:
    """The plant's tables as its makers meant them."""

    def __init__(self, bench: Bench) -> None:
        self.tables = {name: getattr(bench.plant, name).copy() for name in TABLES}
        self.lags = bench.watch.tau.copy()

    def restore(self, bench: Bench) -> None:
        """Make everything that knobs write as on a sound plant; handles, surroundings and contacts follow after."""
        plant = bench.plant
        solenoids = plant.link_i[:, c.LI_KIND] == c.SOLENOID
        energised = plant.link[solenoids, c.L_PART + c.SOLENOID_ENERGISED]
        for name, values in self.tables.items():
            getattr(plant, name)[...] = values
        plant.link[solenoids, c.L_PART + c.SOLENOID_ENERGISED] = energised
        slugs = bench.happenings.damage.get(bench.machine_tag, 0)
        plant.wear[compressor.WEAR_DISCHARGE_LEAK] = slugs * SLUG_LEAK_M2
        plant.node[:, c.N_VENT] = bench.happenings.vents()
        bench.appliance.sound()
        bench.moisture.drier_room_kg = DRIER_ROOM_KG
        bench.controls.set_error.clear()
        bench.supply.sound()
        bench.now = bench.surroundings
        bench.wrong.clear()
        bench.watch.tau[:] = self.lags


def key_of(fault: Fault, places: tuple[str, ...], place: str) -> str:
    """What a fault at a place is called among those present: its name, with its place unless that is the usual one."""
    return fault.name if not places or place == places[0] else f"{fault.name}@{place}"


def known(name: str) -> Fault:
    """The fault of a name. Raises InputError."""
    fault = all_faults().get(name)
    if fault is None:
        raise InputError(
            f"there is no fault {name!r}; known are {', '.join(sorted(all_faults()))}."
        )
    return fault


def place_for(bench: Bench, fault: Fault, place: str | None) -> tuple[str, str]:
    """(place, key) of a fault on this rig. Raises InputError when it cannot sit there or anywhere."""
    rig = bench.rig
    if fault.electrical and not rig.wiring:
        raise InputError(f"{fault.name} lives in the wiring, and {rig.name} has none; name one, as in fennick_bench:120v.")  # fmt: skip
    places = places_on(rig, fault.places)
    if fault.places and not places:
        raise InputError(nowhere(rig, fault.name, fault.places))
    if place is not None and place not in places:
        where = f"its places are {', '.join(places)}" if places else "it is the plant's as a whole; leave out place"  # fmt: skip
        raise InputError(f"{fault.name} cannot sit at place {place!r} of {rig.name}; {where}.")
    chosen = place or (places[0] if places else "")
    return chosen, key_of(fault, places, chosen)


def insert(bench: Bench, name: str, severity: float, onset: Onset, place: str | None) -> None:
    """Let a fault set in. Raises InputError for a wrong name, severity, place or onset."""
    fault = known(name)
    if not 0.0 <= severity <= 1.0:
        raise InputError(
            f"severity of {name} is {severity:g}; it goes from 0 (nothing) to 1 (the worst)."
        )
    onset.check(name)
    if fault.brings_something and onset.period_s:
        raise InputError(f"{name} moves charge and so cannot come and go; leave out period_s.")
    if onset.at_s is not None and onset.at_s < bench.time_s:
        raise InputError(f"at_s of {name} is {onset.at_s:g} s, and it is {bench.time_s:g} s already.")  # fmt: skip
    where, key = place_for(bench, fault, place)
    others = [one for other, one in bench.faults.items() if all_faults()[one.name].recharges and other != key]  # fmt: skip
    if fault.recharges and others:
        raise InputError(f"the plant is charged with {others[0].place} already, and a mixture is not computed; remove {others[0].name} first.")  # fmt: skip
    since = inf if onset.on else (bench.time_s if onset.at_s is None else onset.at_s)
    active = ActiveFault(name, severity, since, where, onset)
    if fault.lets_air_in and severity > 0.0:
        bench.admit_gas()
    active.target_kg = severity * (fault.charge * bench.rig.charge_kg - fault.gas_kg)
    active.migrating_kg = severity * fault.migrates * bench.rig.charge_kg
    active.water_kg = severity * fault.water_kg
    settle_charge(bench)
    if key in bench.faults:
        active.held_kg = bench.faults[key].held_kg
    bench.faults[key] = active
    step(bench, key)
    at = f" At {where}." if where else ""
    bench.note(name, "fault", f"{fault.what} Severity {severity:g}.{at}")


def remove(bench: Bench, name: str, place: str | None) -> None:
    """Take a fault away. Raises InputError when it is not there."""
    key = name if place is None else place_for(bench, known(name), place)[1]
    if key not in bench.faults:
        only = [one for one, active in bench.faults.items() if active.name == name]
        if place is not None or len(only) != 1:
            more = f"; it sits at {', '.join(bench.faults[one].place for one in only)}" if only else ""  # fmt: skip
            raise InputError(f"the fault {name!r} is not present{more}.")
        key = only[0]
    settle_charge(bench)
    active = bench.faults.pop(key)
    gone = active.name
    if all_faults()[gone].moves_mass:
        move_charge(bench)
    if all_faults()[gone].recharges:
        recharge(bench, active.held_kg or None)
    bench.note(gone, "fault", f"{gone} has been removed.")


def step(bench: Bench, key: str) -> None:
    """Its severity may have changed with the clock: begin to move its charge, and come back when it changes again.

    Refrigerant begins to move a tick later (into the shell two), when all that comes at this instant is there: so the order of insertion does not matter, not even to the last bit.
    """
    active = bench.faults.get(key)
    if active is None:
        return
    age = bench.time_s - active.since_s
    if active.migrating_kg and age >= 1.5 * TICK_S:
        migrate(bench, active.migrating_kg)
        active.migrating_kg = 0.0
        return
    if active.migrating_kg and age >= 0.0:
        bench.later(2.0 * TICK_S, "fault_step", key)
    if all_faults()[active.name].recharges and age >= 0.0:
        settle_fluid(bench, active)
    if active.water_kg and age >= 0.0:
        bench.moisture.add(bench, active.water_kg)
        active.water_kg = 0.0
    if active.target_kg and age >= 0.0:
        bench.later(0.0, "charge_step")
    coming = active.onset.next_change(age) if active.since_s < inf else None
    if coming is not None and not (active.target_kg and age >= 0.0):
        bench.later(coming - age, "fault_step", key)


def begin_with(bench: Bench, kind: str, tag: str) -> None:
    """Something has happened: faults that waited for it begin."""
    for key, active in bench.faults.items():
        if active.since_s == inf and active.onset.starts_with(kind, tag):
            active.since_s = bench.time_s
            bench.later(0.0, "fault_step", key)


def effects_of(bench: Bench) -> Effects:
    """What all present faults together do now."""
    effects: Effects = {}
    # by name, so that not even a rounding depends on the order of insertion
    for key in sorted(bench.faults):
        active = bench.faults[key]
        all_faults()[active.name].combine(effects, active.place, active.present(bench.time_s))
    return dict(sorted(effects.items()))


def write_effects(bench: Bench, effects: Effects, *, early: bool) -> None:
    """Write what the faults change: early, before handles and surroundings are written, or after them."""
    for (parameter, place), change in effects.items():
        if KNOBS[parameter].early == early:
            KNOBS[parameter].write(bench, place, change)


def spoil_instruments(bench: Bench) -> None:
    """Make the instruments of a bench that has been loaded as wrong as its faults say; everything else is in the tables that a save keeps."""
    bench.wrong.clear()
    tau = bench.watch.tau.copy()
    for (parameter, place), change in effects_of(bench).items():
        if KNOBS[parameter].instrument:
            KNOBS[parameter].write(bench, place, change)
    bench.watch.tau[:] = tau

"""A bench: a live run of a rig. Parameters, state, commands, clock, seed; the trajectory depends on rig, seed and time-stamped commands only.

Time is kept in whole microseconds, so that a thousand small waits end where one long one does. Commands change the plant's tables and
restart the integrator from the interpolated state at their instant; contacts do the same at the root where they switch.
Over 300 lines: all that one may ask of a bench stands in its one class.
"""

from __future__ import annotations

import copy
import heapq
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np

from sim import columns as c
from sim import course, integrate
from sim.admitting import admit_gas
from sim.clock import TICKS_PER_S, Due, tick_after
from sim.controls import Controls
from sim.electrician import Electrician
from sim.errors import InputError, PlantError
from sim.events import Event
from sim.faulting import ActiveFault, Sound, begin_with, effects_of, insert, remove, write_effects
from sim.filling import resting_state
from sim.fresh import NEVER, Floats, error_scales, fresh_memory
from sim.happenings import Happenings
from sim.instruments import Wrong
from sim.ledger import book_box, ledger_of, oil_held_kg, stores
from sim.mains import mains_of, supply_of
from sim.measure import readings_of
from sim.moisture import Moisture
from sim.network import build_plant
from sim.onset import Onset
from sim.path import Reach
from sim.plant import LEDGER_FIXED
from sim.probing import Probing
from sim.record import did_you_mean
from sim.rig import Rig
from sim.saving import frozen, packed, read_bench, thawed, unpacked, write_bench
from sim.senses import Senses, Spot
from sim.sensing import senses_of
from sim.snapshot import Snapshot, snapshot_of
from sim.surround import Appliance
from sim.surroundings import NAMES, SurroundingsTable, name_in_words, unit_of
from sim.switches import EMERGENCY_STOP
from sim.tags import Setting, TagInfo, checked, checked_seed, said, tags_of
from sim.touching import touched
from sim.watching import Watching
from sim.wiring.multimeter import Reading as MeterReading

RTOL = 1e-4  # measured: below it pressures move by less than 0.02 % and nothing gets cheaper


class Bench:
    """A live run of a rig.

    ``set`` moves anything a hand can move, ``advance`` lets time pass, ``readings`` and ``snapshot`` look. Raises InputError for a wrong tag
    or value, PlantError when the plant cannot be computed.
    """

    def __init__(
        self,
        rig: Rig,
        seed: int = 1,
        *,
        charge_kg: float | None = None,
        surroundings: Mapping[str, float] | None = None,
        receiver_empty: bool = False,
        rtol: float = RTOL,
        species: int = 1,
    ) -> None:
        """At rest and equalised. ``surroundings`` holds keys of a ``[surroundings]`` table that differ from the rig's."""
        self.rig, self.seed = rig, checked_seed(seed)
        self.assessed = False  # worked at in an assessed session: a save says so
        self.surroundings = mains_of(rig, rig.surroundings).changed(surroundings or {})
        charge = rig.charge_kg if charge_kg is None else charge_kg
        if not 0.0 < charge < NEVER:
            raise InputError(f"a plant cannot hold {charge:g} kg; give a charge above 0.")
        self.lay_out(species, charge, rtol, receiver_empty=receiver_empty)

    def lay_out(self, species: int, charge_kg: float, rtol: float = RTOL, *, receiver_empty: bool = False) -> None:  # fmt: skip
        """Everything anew for so many masses a node, at rest."""
        rig = self.rig
        self.reach = Reach(rig)
        self.plant, self.layout = build_plant(rig, species)
        self.controls = Controls.of(rig)
        self._infos = tags_of(rig)
        self.commands: dict[str, Setting] = {tag: info.value for tag, info in self._infos.items()}
        self.supply, self.plant = supply_of(rig, self.plant, self.controls, self.commands)
        self.appliance = Appliance(rig, self.layout, self.plant)
        self.watching = Watching(rig, self.layout, self.plant, self.supply.coils)
        self.watch = self.watching.watch()
        self.now = self.surroundings  # as faults leave them (the mains)
        self.sound = Sound(self)
        self.wrong: dict[str, Wrong] = {}  # by instrument
        self.events: list[Event] = []
        self.warnings: list[str] = []
        self.faults: dict[str, ActiveFault] = {}
        self.charged_with = rig.fluid_name
        self.machine_tag = next((p.tag for p in rig.parts if p.kind.endswith("compressor")), "")
        self.moisture = Moisture()
        self.happenings = Happenings(self)
        self._tick = 0
        self._due: list[Due] = []
        self._count = 0
        self._seq = 0
        self._scale = error_scales(self.layout)
        humidity = self.appliance.room_humidity(self.now)
        start = resting_state(rig, self.layout, self.plant, charge_kg, self.now.room_temperature_k, humidity, receiver_empty=receiver_empty)  # fmt: skip
        self._memory = fresh_memory(start, self.plant, self.layout, rtol)
        self.apply()
        self.open_books()

    # --- time ------------------------------------------------------------------------------

    @property
    def time_s(self) -> float:
        """Simulated seconds since the bench began."""
        return self._tick / TICKS_PER_S

    def advance(self, seconds: float) -> None:
        """Let simulated time pass. Raises PlantError when the plant cannot be computed."""
        if not 0.0 <= seconds < 1e9:
            raise InputError(
                f"cannot advance by {seconds!r} s; give a number of seconds from 0 up."
            )
        self._run_to(self._tick + round(seconds * TICKS_PER_S))
        self._seq += 1

    def _run_to(self, end: int) -> None:
        while True:
            goal = min(end, self._due[0].tick) if self._due else end
            if self._inside(goal):
                code = course.REACHED
            else:
                code = course.advance(
                    goal / TICKS_PER_S, self._memory, self._scale, self.plant, self.watch
                )
            if code == course.FAILED:
                raise PlantError("no-step", f"no step, however small, could be computed at {self.time_s:.3f} s.")  # fmt: skip
            if code != course.REACHED:
                # an event's instant is rounded up to the next tick, so that commands and events share one clock
                self._tick = max(self._tick, tick_after(float(self.watch.pending[0])))
                self.happenings.happened(code - 1)
                self.apply()
                continue
            self._tick = goal
            if not self._due or self._due[0].tick > goal:
                return
            while self._due and self._due[0].tick <= goal:
                due = heapq.heappop(self._due)
                getattr(self.happenings, due.method)(*due.arguments)
            self.apply()

    def _inside(self, tick: int) -> bool:
        """Does the last step already reach beyond this tick, with nothing happening before? Spares the call in steady running."""
        t = tick / TICKS_PER_S
        return bool(self._memory.clock[integrate.CLOCK_NOW] >= t and self.watch.pending[0] > t)

    def later(self, seconds: float, method: str, *arguments: Any) -> None:
        """Call a method of ``happenings`` when the plant's clock has moved on by ``seconds``."""
        self._count += 1
        tick = self._tick + max(round(seconds * TICKS_PER_S), 1)
        heapq.heappush(self._due, Due(tick, self._count, method, arguments))

    def forget(self) -> None:
        """Make this instant the beginning: time 0, no events, books opened anew. For starting conditions."""
        course.restart(self.time_s, self._memory, self.watch, self.plant)
        lost = self.lost_mass_kg
        self._memory.clock[integrate.CLOCK_NOW] = 0.0
        self._memory.clock[integrate.CLOCK_BEFORE] = 0.0
        self._memory.y[self.layout.ledger_start :] = 0.0
        self._memory.y_before[self.layout.ledger_start :] = 0.0
        for due in self._due:
            due.tick -= self._tick
        for fault in self.faults.values():
            fault.since_s -= self.time_s
            fault.at_s -= self.time_s
            fault.outside_kg -= lost
        self._tick = 0
        self.events.clear()
        self.warnings.clear()
        self.open_books()

    def open_books(self) -> None:
        """Note what is in the plant now, for the ledger's closure; displays have had time to settle."""
        self.watch.lag[:] = self.watch.now
        self.look()
        mass, energy = stores(self)
        self.initial_mass_kg = sum(mass.values())
        self.initial_energy_j = sum(energy.values())
        self.joined_energy_j = 0.0

    # --- commands --------------------------------------------------------------------------

    def tags(self) -> list[TagInfo]:
        """Everything a hand can move, with its present value."""
        return [replace(info, value=self.commands[tag]) for tag, info in self._infos.items()]

    def set(self, tag: str, value: Setting) -> None:
        """Move one thing. Raises InputError naming the tag and what is possible."""
        if tag in NAMES:
            self._set_surroundings(tag, value)
        else:
            info = self._infos.get(tag)
            if info is None:
                near = did_you_mean(tag, self._infos)
                raise InputError(f"{self.rig.name} has nothing called {tag!r} that a hand can move. {near}")  # fmt: skip
            self._set_tag(info, checked(info, value))
        self.apply()
        self._seq += 1

    def _set_surroundings(self, tag: str, value: Setting) -> None:
        if isinstance(value, str):
            raise InputError(f"{tag} takes a number, not {value!r}.")
        low, high = SurroundingsTable.RANGES[tag]
        if not low <= float(value) <= high:
            raise InputError(f"{tag} cannot be set to {float(value):g}; it goes from {low:g} to {high:g}.")  # fmt: skip
        self.surroundings = self.surroundings.changed({tag: float(value)})
        self.note(tag, "command", f"{name_in_words(tag)}: {float(value):g} {unit_of(tag)}".rstrip() + ".")  # fmt: skip

    def _set_tag(self, info: TagInfo, value: Setting) -> None:
        tag = info.tag
        if info.kind in ("reset", "press"):
            if float(value) > 0.0:
                self.happenings.pressed(tag)
            return
        if self.commands[tag] == value:
            return
        self.happenings.may(tag, value)
        self.commands[tag] = value
        self.happenings.did(tag, value)
        if info.kind == "place":
            sensor = self.watching.shown[tag.rpartition(".")[0]]
            self.watch.sensor[sensor] = self.watching.place_sensor(str(value))
        if tag in self.controls.position:
            self.controls.position[tag] = str(value)
        if tag == EMERGENCY_STOP and value == "pressed":
            self.commands.update(self.controls.drop_out(self.machine_tag))
        words = said(info, value, self.surroundings.atmospheric_pressure_pa)
        self.note(tag, "command", f"{words}.")

    def note(self, tag: str, kind: str, text: str) -> None:
        """Put a line into the event list."""
        self.events.append(Event(self.time_s, tag, kind, text))
        begin_with(self, kind, tag)

    def apply(self) -> None:
        """Write commands, contacts and surroundings into the plant and begin anew from the present state."""
        closed = bool(self.plant.glob[c.G_BOX_CLOSED])
        self.sound.restore(self)
        effects = effects_of(self)
        write_effects(self, effects, early=True)
        self.appliance.valve_openings(self.commands)
        self.appliance.surroundings(self.now)
        write_effects(self, effects, early=False)
        self.moisture.write(self)
        self.supply.refresh(self.now, self.motor_state, self.time_s)
        self.appliance.air(self.now, self.controls, self.supply)
        self.happenings.settle()
        course.restart(self.time_s, self._memory, self.watch, self.plant)
        self.happenings.begin()
        book_box(self, closed)

    def motor_state(self) -> tuple[float, float, float]:
        """Speed (rad/s), main and start winding temperature (K)."""
        first = int(self.plant.machine_i[3])
        self.look()
        speed, main, start = self.watch.y[first : first + 3]
        return float(speed), float(main), float(start)

    # --- looking ---------------------------------------------------------------------------

    def look(self) -> Floats:
        """Evaluate the plant now into ``watch.y``, ``.P``, ``.F``, ``.value``; returns the lagged sensor values."""
        lags = np.empty(len(self.watch.tau))
        course.read(self.time_s, self._memory, self.watch, self.plant, lags)
        return lags

    def peaks(self) -> dict[str, float]:
        """Largest value that each instrument's reading has had since ``clear_peaks``, SI and without its lag."""
        at, instruments = self.watching.shown, self.rig.instruments
        return {i.reading: float(self.watch.peak[at[i.tag]]) for i in instruments if i.tag in at}

    def clear_peaks(self) -> None:
        """Begin to hold peaks anew. Changes nothing that the course depends on."""
        self.watch.peak[:] = self.watch.now

    def readings(self) -> dict[str, float | str]:
        """Every reading of the contract, computed from the present state."""
        return readings_of(self)

    def senses(self) -> Senses:
        """What can be felt, seen and heard, place by place. Changes nothing."""
        return senses_of(self)

    def touch(self, place: str) -> Spot:
        """Lay a bare hand on a place; it goes on record. Raises InputError where there is nothing to feel."""
        return touched(self, place)

    def ledger(self) -> dict[str, Any]:
        """Where mass and energy are, and how well the books close."""
        return ledger_of(self)

    def snapshot(self) -> Snapshot:
        """The whole bench at this instant, immutable."""
        return snapshot_of(self)

    # --- faults ----------------------------------------------------------------------------

    def insert_fault(self, name: str, severity: float = 1.0, *, ramp_s: float = 0.0, place: str | None = None, onset: Onset | None = None) -> None:  # fmt: skip
        """Let a fault set in, with an ``onset`` other than a step or ramp if given. Raises InputError for an unknown name, place or severity."""
        insert(self, name, severity, onset or Onset(ramp_s=ramp_s), place)
        self.apply()

    def remove_fault(self, name: str, *, place: str | None = None) -> None:
        """Take a fault away; what it took from the plant (charge) stays away. Raises InputError when it is not there."""
        remove(self, name, place)
        self.apply()

    def admit_gas(self) -> None:
        """From now on there may be a gas beside the refrigerant that does not condense."""
        admit_gas(self)

    def hold_frost(self, held: bool) -> None:
        """Keep all frost at its present amount, or let it grow and melt again."""
        self.plant.glob[c.G_FROST_HELD] = float(held)
        self.apply()

    @property
    def wiring(self) -> Electrician:
        """Who works at the wiring. Raises InputError on a rig without one."""
        return self.happenings.electrical()

    def measure(self, probing: Probing) -> MeterReading:
        """Put the meter somewhere and read it. Changes nothing. Raises InputError for a place that does not exist."""
        return self.wiring.measure(probing)

    def repair(self, tag: str) -> None:
        """Mend what was damaged on a part. Raises InputError when nothing is."""
        self.happenings.repair(tag)
        self.apply()

    # --- copies ----------------------------------------------------------------------------

    def fork(self) -> Bench:
        """A copy that lives its own life from here."""
        return self._reborn(*copy.deepcopy(frozen(self)))

    def save(self, path: str | Path) -> None:
        """Write the bench to a file. Raises InputError when the file cannot be written; an older file is kept then."""
        write_bench(self, Path(path))

    def packed(self) -> bytes:
        """The whole bench at this instant, in some 60 kB."""
        return packed(self)

    def unpacked(self, blob: bytes) -> Bench:
        """A bench of the same rig as it was when ``packed`` made ``blob``."""
        return self._reborn(*unpacked(blob))

    def _reborn(self, arrays: dict[str, Floats], values: dict[str, Any]) -> Bench:
        twin = Bench(self.rig, seed=self.seed, species=values["species"])
        thawed(twin, arrays, values)
        return twin

    @staticmethod
    def load(path: str | Path) -> Bench:
        """A bench from a file that ``save`` wrote. Raises InputError when it is none."""
        return read_bench(Path(path))

    # --- for the study of a run --------------------------------------------------------------

    @property
    def statistics(self) -> dict[str, int]:
        """Steps, evaluations, Jacobians, factorisations, rejected steps, Newton failures so far."""
        names = ("steps", "evaluations", "jacobians", "factorisations", "rejected", "newton_failures")  # fmt: skip
        return dict(zip(names, (int(x) for x in self._memory.stats), strict=True))

    @property
    def sequence(self) -> int:
        """Counts every change."""
        return self._seq

    @property
    def total_mass_kg(self) -> float:
        """Refrigerant in the plant."""
        self.look()
        return float(self.watch.y[: self.layout.n_nodes].sum() + oil_held_kg(self))

    @property
    def lost_mass_kg(self) -> float:
        """Refrigerant in the ledger's account ``outside``."""
        self.look()
        return float(self.watch.y[self.layout.ledger_start + LEDGER_FIXED])

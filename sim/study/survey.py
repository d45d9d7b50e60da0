"""A survey: every fault on every device in every room against the healthy bench on the same clock, and by how much each instrument tells it.

The pieces of work stand alone: a piece is one device in one room and a few faults, a plain record goes in and plain records come out, so any ``Executor`` may carry
them out, on this machine or elsewhere. How far apart two displays stand is counted in steps of what the instrument tells from a written-down value
(``Dial.least_told``: twice its resolution, or its class).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, as_completed
from functools import lru_cache
from itertools import combinations, pairwise
from math import inf
from typing import Any, NamedTuple

from sim.bench import Bench
from sim.errors import InputError, PlantError
from sim.faults import all_faults
from sim.occasions import Occasion
from sim.places import places_on
from sim.rig import Device, Rig, load_rig
from sim.run_sheet import FaultEntry, RunSheet
from sim.session import start_bench
from sim.starts import Start
from sim.study.case import Case, actions_of
from sim.study.dials import Dial, Readings, dials_of
from sim.study.twins import Grid, Watched, look_times

LOOK_S = (
    900.0  # common practice: a quarter of an hour, after which pressures and superheat have settled
)
GRID: Grid = ((20.0, 2.0), (120.0, 10.0), (LOOK_S, 60.0))
AFTER_ACT_S = (
    1.0,
    3.0,
    10.0,
    30.0,
    60.0,
    120.0,
)  # guess: what a stop, a start or a valve shows it shows in two minutes
PIECE = 6
"""Faults in one piece of work: small enough to share out evenly, large enough that a bench is not started again for each."""
MOST_STEPS = 99.0
"""A display that stands further apart counts no more."""

Faults = tuple[tuple[str, float], ...]
"""(name, severity) of what is put in together."""


class Sound(NamedTuple):
    """A bench without a fault, at one look."""

    readings: Readings
    reached: frozenset[tuple[str, str]]
    """Tags and texts of the limits that it has reached by then."""


class Piece(NamedTuple):
    """One piece of work."""

    rig: str
    device: Device
    room_c: float
    cases: tuple[Faults, ...]


class Plan(NamedTuple):
    """What is surveyed."""

    rig: str
    faults: tuple[str, ...]
    devices: tuple[Device, ...]
    rooms_c: tuple[float, ...]
    severity: float
    pairs: bool = False

    def cases(self) -> tuple[Faults, ...]:
        """Each fault alone, then the pairs if they are asked for."""
        alone = [((name, self.severity),) for name in self.faults]
        both = [((a, self.severity), (b, self.severity)) for a, b in combinations(self.faults, 2)]
        return (*alone, *(both if self.pairs else ()))

    def keys(self) -> list[str]:
        """The names of all its results."""
        return [key_of(device, room, case) for device in self.devices for room in self.rooms_c for case in self.cases()]  # fmt: skip

    def pieces(self, done: Iterable[str] = ()) -> list[Piece]:
        """What is left to do."""
        known = set(done)
        found = []
        for device in self.devices:
            for room in self.rooms_c:
                left = [case for case in self.cases() if key_of(device, room, case) not in known]
                found += [Piece(self.rig, device, room, tuple(left[i : i + PIECE])) for i in range(0, len(left), PIECE)]  # fmt: skip
        return found


def key_of(device: str, room_c: float, case: Faults) -> str:
    """What a result is called."""
    return f"{device} {room_c:g} " + "+".join(f"{name}:{severity:g}" for name, severity in case)


def able(rig: Rig) -> tuple[str, ...]:
    """Faults that have a place on a rig."""
    return tuple(name for name, fault in all_faults().items() if (rig.wiring or not fault.electrical) and (not fault.places or places_on(rig, fault.places)))  # fmt: skip


def occasion_of(rig: Rig, device: Device, faults: Faults) -> Occasion | None:
    """What hands do for the faults to show; none where it cannot be on this device, or where two faults ask for two things."""
    asked = {all_faults()[name].shown_by for name, _ in faults if name in all_faults()} - {None}
    one = asked.pop() if len(asked) == 1 else None
    return one if one is not None and not one.hindered_on(rig, device, "cooling") else None


def looks_at(occasion: Occasion | None) -> list[float]:
    """Times to look at, s after the faults; after an act more often, since what it shows it shows soon."""
    if occasion is None:
        return list(look_times(GRID, LOOK_S))
    acts = [*sorted({act.at_s for act in occasion.acts}), inf]
    after = [at + later for at, until in pairwise(acts) for later in AFTER_ACT_S if at + later <= until]  # fmt: skip
    return sorted({*after, *look_times(GRID, acts[0])})


def _case(rig: Rig, piece: Piece, faults: Faults, occasion: Occasion | None) -> Case:
    entries = tuple(FaultEntry(at_s=0.0, name=name, severity=severity) for name, severity in faults)
    around = {"room_temperature_c": piece.room_c}
    sheet = RunSheet(
        rig=piece.rig, duration_s=looks_at(occasion)[-1], start="steady", device=piece.device, surroundings=around,
        faults=entries, actions=actions_of(occasion),
    )  # fmt: skip
    return Case(rig, sheet, occasion)


@lru_cache(maxsize=2)
def _healthy(rig_name: str, device: Device, room_c: float) -> tuple[Rig, Bench]:
    """The bench that runs steady; kept, since the next piece is often in the same room."""
    rig = load_rig(rig_name)
    start = Start(start="steady", device=device, surroundings={"room_temperature_c": room_c})
    return rig, start_bench(rig, start)


@lru_cache(maxsize=8)
def _sound(rig_name: str, device: Device, room_c: float, occasion: Occasion | None) -> dict[float, Sound]:  # fmt: skip
    """What it shows at each look and what it has reached by then, with what hands do and no fault."""
    rig, bench = _healthy(rig_name, device, room_c)
    case = _case(rig, Piece(rig_name, device, room_c, ()), (("condenser-fouled", 0.0),), occasion)
    watched = Watched(bench.fork(), case, faulty=False)
    looks = {0.0: Sound(bench.readings(), frozenset())}
    for at_s in looks_at(occasion):
        now = watched.go_to(at_s)
        watched.lookout.look(watched.bench, now)
        reached = frozenset((one.tag, one.text) for one in watched.lookout.found)
        looks[at_s] = Sound(now, reached)
    return looks


def work(piece: Piece) -> list[dict[str, Any]]:
    """Carry out one piece: a record a case. What cannot be computed says why."""
    try:
        rig, bench = _healthy(piece.rig, piece.device, piece.room_c)
    except PlantError as error:
        return [_record(piece, case, failure=str(error)) for case in piece.cases]
    return [_one(piece, case, rig, bench) for case in piece.cases]


def _one(piece: Piece, faults: Faults, rig: Rig, bench: Bench) -> dict[str, Any]:
    """Follow the faults to the end, or to what stops the plant. Told is the last look; with an occasion that of all at which most is told."""
    occasion, dials = occasion_of(rig, piece.device, faults), dials_of(rig)
    found = _told(dials, bench.readings(), bench.readings())
    looked_s, stopped = 0.0, ""
    try:
        looks = _sound(piece.rig, piece.device, piece.room_c, occasion)
        watched = Watched(bench.fork(), _case(rig, piece, faults, occasion), faulty=True)
        for at_s in looks_at(occasion):
            now = watched.go_to(at_s)
            reached = watched.lookout.look(watched.bench, now)
            ends = [one for one in reached if one.ends and (one.tag, one.text) not in looks[at_s].reached]  # fmt: skip
            if ends:
                stopped = f"{ends[0].tag} at {ends[0].time_s:.0f} s"
            # at once: what follows the stop is all there is to see
            if not ends or at_s <= GRID[0][1]:
                told = _told(dials, looks[at_s].readings, now)
                if occasion is None or told["detectable"] >= found["detectable"]:
                    found, looked_s = told, at_s
            if ends:
                break
    except (PlantError, InputError) as error:
        return _record(piece, faults, failure=str(error))
    return _record(piece, faults, looked_s=looked_s, stopped=stopped, occasion=occasion.name if occasion else "", **found)  # fmt: skip


ONE_DEVICE: dict[str, str | tuple[str, ...]] = {"capillary": "capillary-", "thermostatic": ("expansion-valve-", "bulb-", "equaliser-"), "float": "float-"}  # fmt: skip
"""Beginnings of the names of faults that sit in one device only."""


def _elsewhere(device: str, name: str) -> bool:
    """Does a fault sit in a device that is not in line?"""
    return any(other != device and name.startswith(begins) for other, begins in ONE_DEVICE.items())


def _told(dials: Sequence[Dial], healthy: Readings, faulty: Readings) -> dict[str, Any]:
    """By instrument: in steps of what it tells, with its sign; a glass by its words. And every reading, healthy and faulty."""
    steps: dict[str, float] = {}
    glasses: dict[str, str] = {}
    for dial in dials:
        if dial.glass:
            before, after = dial.word(healthy), dial.word(faulty)
            if before != after:
                steps[dial.tag], glasses[dial.tag] = 1.0, f"{before} to {after}"
            continue
        shift = dial.shift(healthy, faulty) / (dial.least_told or 1.0)
        steps[dial.tag] = round(max(-MOST_STEPS, min(MOST_STEPS, shift)), 2)
    numbers = {key: [float(healthy[key]), float(value)] for key, value in faulty.items() if isinstance(value, int | float) and isinstance(healthy.get(key), int | float)}  # fmt: skip
    most = max(map(abs, steps.values()), default=0.0)
    return {"detectable": most, "steps": steps, "glasses": glasses, "readings": numbers}


def _record(piece: Piece, case: Faults, *, looked_s: float = 0.0, stopped: str = "", occasion: str = "", failure: str = "", **seen: Any) -> dict[str, Any]:  # fmt: skip
    return {
        "key": key_of(piece.device, piece.room_c, case),
        "faults": [list(one) for one in case],
        "device": piece.device,
        "room_c": piece.room_c,
        "occasion": occasion,
        "looked_s": round(looked_s, 1),
        "stopped_by": stopped,
        "failure": failure,
        "elsewhere": all(_elsewhere(piece.device, name) for name, _ in case),
        "detectable": seen.get("detectable", 0.0),
        "steps": seen.get("steps", {}),
        "glasses": seen.get("glasses", {}),
        "readings": seen.get("readings", {}),
    }


def survey(plan: Plan, executor: Executor, done: Iterable[str] = ()) -> Iterator[list[dict[str, Any]]]:  # fmt: skip
    """Records as they come, a piece at a time, of everything that is not ``done`` yet."""
    futures = [executor.submit(work, piece) for piece in plan.pieces(done)]
    try:
        for future in as_completed(futures):
            yield future.result()
    finally:
        for future in futures:
            future.cancel()


def shares(plan: Plan, done: Iterable[str] = ()) -> int:
    """How many pieces are left."""
    return len(plan.pieces(done))


# What an instructor asks of pairs.

HIDDEN_SHARE = 0.5
"""A pair is called hidden when it shows less than this share of what the weaker of the two shows alone."""


class Confusion(NamedTuple):
    """A pair that hides itself, or that looks like a third fault."""

    device: str
    room_c: float
    pair: tuple[str, str]
    detectable: float
    alone: tuple[float, float]
    nearest: str
    """The single fault whose displays are nearest to the pair's."""
    distance: float
    """Between the two, in steps: the root of the mean square over instruments, each counted up to ten."""


def confusions(records: Sequence[Mapping[str, Any]]) -> list[Confusion]:
    """Pairs among the records, those that hide themselves best first."""
    single = {(r["device"], r["room_c"], r["faults"][0][0]): r for r in records if len(r["faults"]) == 1 and not r["failure"]}  # fmt: skip
    found = []
    for record in records:
        if len(record["faults"]) != 2 or record["failure"]:
            continue
        device, room, (a, b) = record["device"], record["room_c"], [name for name, _ in record["faults"]]  # fmt: skip
        both = [single.get((device, room, name)) for name in (a, b)]
        if None in both:
            continue
        others = [(_distance(record["steps"], other["steps"]), key[2]) for key, other in single.items() if key[:2] == (device, room)]  # fmt: skip
        distance, nearest = min(others)
        weak, strong = (float(one["detectable"]) if one is not None else 0.0 for one in both)
        found.append(
            Confusion(
                device, room, (a, b), float(record["detectable"]), (weak, strong), nearest, distance
            )
        )
    return sorted(found, key=lambda one: one.detectable / max(min(one.alone), 1e-9))


def _distance(one: Mapping[str, float], other: Mapping[str, float]) -> float:
    tags = set(one) | set(other)
    parts = [max(-10.0, min(10.0, one.get(tag, 0.0))) - max(-10.0, min(10.0, other.get(tag, 0.0))) for tag in tags]  # fmt: skip
    return float((sum(part * part for part in parts) / max(len(tags), 1)) ** 0.5)

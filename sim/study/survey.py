"""A survey: every fault on every device in every room against the healthy bench on the same clock, and by how much each instrument tells it.

The pieces of work stand alone: a piece is one device in one room and a few faults, a plain record goes in and plain records come out, so any ``Executor`` may carry
them out, on this machine or elsewhere. How far apart two displays stand is counted in steps of what the instrument tells from a written-down value
(``Dial.least_told``: twice its resolution, or its class).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Executor, as_completed
from functools import lru_cache
from itertools import combinations
from typing import Any, NamedTuple

from sim.bench import Bench
from sim.errors import InputError, PlantError
from sim.faults import FAULTS
from sim.places import places_on
from sim.rig import Rig, load_rig
from sim.session import start_bench
from sim.starts import Start
from sim.study.dials import Dial, Readings, dials_of
from sim.study.limits import Lookout
from sim.study.twins import Grid, look_times

LOOK_S = (
    900.0  # common practice: a quarter of an hour, after which pressures and superheat have settled
)
GRID: Grid = ((20.0, 2.0), (120.0, 10.0), (LOOK_S, 60.0))
PIECE = 6
"""Faults in one piece of work: small enough to share out evenly, large enough that a bench is not started again for each."""
MOST_STEPS = 99.0
"""A display that stands further apart counts no more."""

Faults = tuple[tuple[str, float], ...]
"""(name, severity) of what is put in together."""


class Piece(NamedTuple):
    """One piece of work."""

    rig: str
    device: str
    room_c: float
    cases: tuple[Faults, ...]


class Plan(NamedTuple):
    """What is surveyed."""

    rig: str
    faults: tuple[str, ...]
    devices: tuple[str, ...]
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
    return tuple(name for name, fault in FAULTS.items() if (rig.wiring or not fault.electrical) and (not fault.places or places_on(rig, fault.places)))  # fmt: skip


@lru_cache(maxsize=2)
def _healthy(rig_name: str, device: str, room_c: float) -> tuple[Bench, tuple[Dial, ...], dict[float, Readings]]:  # fmt: skip
    """The bench that runs steady, its instruments, and what it shows at each look; kept, since the next piece is often in the same room."""
    rig = load_rig(rig_name)
    start = Start(start="steady", device=device, surroundings={"room_temperature_c": room_c})  # type: ignore[arg-type]
    bench = start_bench(rig, start)
    walking, begun = bench.fork(), bench.time_s
    looks: dict[float, Readings] = {0.0: bench.readings()}
    for at_s in look_times(GRID, LOOK_S):
        walking.advance(begun + at_s - walking.time_s)
        looks[at_s] = walking.readings()
    return bench, dials_of(rig), looks


def work(piece: Piece) -> list[dict[str, Any]]:
    """Carry out one piece: a record a case. What cannot be computed says why."""
    try:
        bench, dials, looks = _healthy(piece.rig, piece.device, piece.room_c)
    except PlantError as error:
        return [_record(piece, case, failure=str(error)) for case in piece.cases]
    return [_one(piece, case, bench, dials, looks) for case in piece.cases]


def _one(piece: Piece, case: Faults, bench: Bench, dials: Sequence[Dial], looks: Mapping[float, Readings]) -> dict[str, Any]:  # fmt: skip
    faulty = bench.fork()
    begun, lookout = faulty.time_s, Lookout(faulty)
    readings, ended_s, stopped = faulty.readings(), 0.0, ""
    try:
        for name, severity in case:
            faulty.insert_fault(name, severity)
        for at_s in look_times(GRID, LOOK_S):
            faulty.advance(begun + at_s - faulty.time_s)
            now = faulty.readings()
            ends = [limit for limit in lookout.look(faulty, now) if limit.ends]
            if ends:
                stopped, ended_s = f"{ends[0].tag} at {ends[0].time_s:.0f} s", ends[0].time_s
                if at_s <= GRID[0][1]:  # at once: what follows the stop is all there is to see
                    readings = now
                break
            readings, ended_s = now, at_s
    except (PlantError, InputError) as error:
        return _record(piece, case, failure=str(error))
    seen = max((at for at in looks if at <= ended_s), default=0.0)
    return _record(piece, case, ended_s=ended_s, stopped=stopped, **_told(dials, looks[seen], readings))  # fmt: skip


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
    return {"steps": steps, "glasses": glasses, "readings": numbers}


def _record(piece: Piece, case: Faults, *, ended_s: float = 0.0, stopped: str = "", failure: str = "", **seen: Any) -> dict[str, Any]:  # fmt: skip
    steps: dict[str, float] = seen.get("steps", {})
    return {
        "key": key_of(piece.device, piece.room_c, case),
        "faults": [list(one) for one in case],
        "device": piece.device,
        "room_c": piece.room_c,
        "ended_s": round(ended_s, 1),
        "stopped_by": stopped,
        "failure": failure,
        "elsewhere": all(_elsewhere(piece.device, name) for name, _ in case),
        "detectable": max((abs(value) for value in steps.values()), default=0.0),
        "steps": steps,
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

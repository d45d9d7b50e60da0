"""What is asked before an act, by the role that a part or switch has on its rig and by how the plant stands. The texts are ``[[question]]`` of ``rigs/cautions.toml``."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import ClassVar, Literal

from sim.cautions import all_cautions
from sim.errors import InputError
from sim.record import Reader, did_you_mean
from sim.tomlfile import read_toml
from tui.plant import Setting, Snapshot
from tui.roles import DISCHARGE, ROLES, SUCTION, Roles


@dataclass(frozen=True, kw_only=True)
class Question:
    """One of the file. ``when`` is how the plant has to stand for it."""

    RANGES: ClassVar[dict[str, tuple[float, float]]] = {"apart_pa": (0.0, 5e6)}

    role: str
    to: Literal["on", "shut", "any"]
    when: Literal["always", "running", "gauges apart", "gauges together", "suction valve shut", "discharge valve shut"]  # fmt: skip
    source: str
    apart_pa: float = 0.0
    safe: bool = False
    text: str = ""
    cautions: tuple[str, ...] = ()


@cache
def all_questions() -> tuple[Question, ...]:
    """Every question of the shipped file. Raises InputError."""
    return read_questions(Path(str(files("rigs") / "cautions.toml")))


def read_questions(path: Path) -> tuple[Question, ...]:
    """The questions of a file. Raises InputError with every mistake."""
    reader = Reader(read_toml(path))
    found = []
    for i in range(len(reader.document.values.get("question", []))):
        one = reader.read(Question, ("question", i), f"question {i + 1}")
        if one is None:
            continue
        found.append(one)
        if one.role not in ROLES:
            reader.wrong(("question", i, "role"), f"no part has the role {one.role!r}.", did_you_mean(one.role, ROLES))  # fmt: skip
        for name in one.cautions:
            if name not in all_cautions():
                reader.wrong(("question", i, "cautions"), f"there is no caution {name!r}.", did_you_mean(name, all_cautions()))  # fmt: skip
    if reader.mistakes:
        raise InputError(reader.mistakes)
    return tuple(found)


def questions_before(tag: str, value: Setting, snapshot: Snapshot, roles: Roles) -> list[Question]:
    """Those that belong to setting ``tag`` to ``value`` as the plant stands."""
    has = roles.roles(tag)
    was = snapshot.commands.get(tag)
    return [one for one in all_questions() if one.role in has and _TO[one.to](value, was) and _stands(one, snapshot, roles)]  # fmt: skip


def shuts(value: Setting, was: Setting | None) -> bool:
    """True when a valve goes from open to shut."""
    return _is_shut(value) and isinstance(was, int | float) and was > 0.0


def _is_shut(value: Setting | None) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and value <= 0.0


_TO: dict[str, Callable[[Setting, Setting | None], bool]] = {
    "any": lambda value, was: True,
    "on": lambda value, was: value == "on",
    "shut": shuts,
}


SERVICE_VALVES = {"suction valve shut": SUCTION, "discharge valve shut": DISCHARGE}


def _stands(question: Question, snapshot: Snapshot, roles: Roles) -> bool:
    if question.when in ("always", "running"):
        return question.when == "always" or snapshot.running
    if question.when in SERVICE_VALVES:
        valves = roles.named(SERVICE_VALVES[question.when])
        return not snapshot.running and any(_is_shut(snapshot.commands.get(tag)) for tag in valves)
    apart = apart_pa(snapshot)
    if snapshot.running or math.isnan(apart):
        return False
    return (apart > question.apart_pa) is (question.when == "gauges apart")


def apart_pa(snapshot: Snapshot) -> float:
    """How far the two gauges stand apart; nan where one is missing."""
    low, high = (snapshot.readings.get(f"{side}_pressure_pa_shown", math.nan) for side in ("suction", "discharge"))  # fmt: skip
    return high - low if isinstance(low, float) and isinstance(high, float) else math.nan

"""Snapshots of the computed plant on disk, so that pictures of real states do not move with the last bits of its arithmetic.

    python -m tests.screen.stored

runs the plant and writes them anew; then accept the pictures with ``python -m tests.screen.golden`` and read the difference. Numbers have five significant digits.
A test in ``test_real_bench.py`` compares what is stored with the plant of today.
"""

from __future__ import annotations

import json
import math
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, fields, is_dataclass, replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from sim.events import Event
from sim.senses import Senses, Sign, Spot, Surface
from sim.snapshot import Place, Snapshot
from sim.wiring.now import CircuitNow
from tests.tui.fake_tags import FakeTag
from tui.desk import by_tag
from tui.fluid_chart import FluidChart
from tui.history import History
from tui.opening import chart_of, open_plant
from tui.orders import Begin
from tui.plant import TagInfo
from tui.trending import TREND_SETS

FOLDER = Path(__file__).parent / "stored"
LOOKS, LOOK_S = 60, 4.0
"""Four minutes of trend before the snapshot."""
KEPT = ("suction_pressure_pa", "discharge_pressure_pa", "evaporator_outlet_temperature_k", "liquid_temperature_k", "atmospheric_pressure_pa")  # fmt: skip
"""Of the past, besides what trends and instruments show."""
MOST_S = 1800.0


@dataclass(frozen=True)
class State:
    """A snapshot, the trend before it, and what can be moved."""

    snapshot: Snapshot
    history: History
    tags: Mapping[str, TagInfo]


# Making them.


def _off() -> Any:
    return open_plant(Begin(start="off"), lambda *_: None).bench


def _steady(mode: str) -> Any:
    from sim.session import open_bench

    return open_bench("fennick_bench", "steady", device="hand" if mode == "cooling" else "capillary", mode=mode)  # type: ignore[arg-type]  # fmt: skip


def _tripped() -> Any:
    """The condenser's fan is switched off on a bench that runs."""
    bench = _steady("cooling")
    bench.advance(30.0)
    bench.set("HS-3", "off")
    return bench


STATES: dict[str, Callable[[], Any]] = {
    "off": _off,
    "cooling": lambda: _steady("cooling"),
    "heating": lambda: _steady("heating"),
    "tripped": _tripped,
}


def lived(name: str) -> tuple[Any, list[Snapshot]]:
    """The bench of a state, and its past."""
    bench = STATES[name]()
    past: list[Snapshot] = []
    while len(past) < LOOKS or (name == "tripped" and not any(past[-1].tripped.values())):
        bench.advance(LOOK_S)
        past.append(bench.snapshot())
        assert bench.time_s < MOST_S, "nothing trips"
    return bench, past[-LOOKS:]


def main() -> int:
    """Write every state anew."""
    FOLDER.mkdir(exist_ok=True)
    chart = chart_of("R134a")
    _write("fluid", {one.name: getattr(chart, one.name) for one in fields(chart)})
    for name in STATES:
        bench, past = lived(name)
        keys = sorted({key for key, value in past[-1].readings.items() if isinstance(value, float) and (key.endswith("_shown") or key in {*KEPT, *(k for one in TREND_SETS for k in one.keys)})})  # fmt: skip
        tags = [
            {one.name: getattr(info, one.name) for one in fields(FakeTag)} for info in bench.tags()
        ]
        _write(name, {
            "snapshot": _plain(past[-1]),
                "tags": tags,
            "times_s": [one.time_s for one in past],
            "past": {key: [one.readings[key] for one in past] for key in keys},
        })  # fmt: skip
    return 0


def _plain(value: Any) -> Any:
    """Records as tables; ``asdict`` cannot copy a read-only mapping."""
    if isinstance(value, Mapping):
        return {key: _plain(one) for key, one in value.items()}
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    return {one.name: _plain(getattr(value, one.name)) for one in fields(value)} if is_dataclass(value) else value  # fmt: skip


def _write(name: str, data: dict[str, Any]) -> None:
    rows = ",\n".join(f"{json.dumps(key)}: {json.dumps(_short(value), ensure_ascii=False)}" for key, value in data.items())  # fmt: skip
    (FOLDER / f"{name}.json").write_text("{\n" + rows + "\n}\n", encoding="utf-8")


def _short(value: Any) -> Any:
    """Plain data with short numbers."""
    if isinstance(value, Mapping):
        return {str(key): _short(one) for key, one in value.items()}
    if isinstance(value, np.ndarray):
        return _short(value.tolist())
    if isinstance(value, frozenset):
        return sorted(value)
    if isinstance(value, list | tuple):
        return [_short(one) for one in value]
    if isinstance(value, float):
        return float(f"{value:.5g}") if math.isfinite(value) else None
    return value


# Reading them.


def _read(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((FOLDER / f"{name}.json").read_text(encoding="utf-8"))
    return found


@cache
def stored_fluid() -> FluidChart:
    """The refrigerant's chart."""
    data = _read("fluid")
    columns: dict[str, Any] = {key: np.array(value) if isinstance(value, list) else value for key, value in data.items()}  # fmt: skip
    return FluidChart(**columns)


@cache
def stored(name: str) -> State:
    """A state; nobody changes it."""
    data = _read(name)
    snapshot = _snapshot(data["snapshot"])
    history = History()
    for k, time_s in enumerate(data["times_s"]):
        readings = {key: values[k] for key, values in data["past"].items()}
        history.add(replace(snapshot, time_s=time_s, readings=readings), stored_fluid())
    tags = [FakeTag(**{**one, "choices": tuple(one["choices"])}) for one in data["tags"]]
    return State(snapshot, history, by_tag(tags))


def _snapshot(data: dict[str, Any]) -> Snapshot:
    spots = tuple(_spot(one) for one in data["senses"]["spots"])
    return Snapshot(**{
        **data,
        "readings": {key: math.nan if value is None else value for key, value in data["readings"].items()},
        "places": {name: Place(**place) for name, place in data["places"].items()},
        "events": tuple(Event(**event) for event in data["events"]),
        "circuit": CircuitNow(**data["circuit"]) if data["circuit"] else None,
        "senses": Senses(**{**data["senses"], "spots": spots}),
    })  # fmt: skip


def _spot(data: dict[str, Any]) -> Spot:
    surfaces = tuple(Surface(**one) for one in data["surfaces"])
    signs = tuple(Sign(**one) for one in data["signs"])
    return Spot(**{**data, "surfaces": surfaces, "signs": signs, "tags": frozenset(data["tags"])})


if __name__ == "__main__":
    sys.exit(main())

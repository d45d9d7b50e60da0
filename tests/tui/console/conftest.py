"""A plant that stands still, in place of the model behind the command line, so that no kernel is compiled here."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from sim.onset import Onset
from sim.rig import Rig
from sim.starts import Start
from tui.console import plant

SMALL = Path(__file__).parents[2] / "data" / "small_rig"
SHEET = (
    f'rig = "{SMALL.as_posix()}"\nduration_s = 3\n[[action]]\nat_s = 1\nset = {{ "HV-1" = 1 }}\n'
)


@dataclass(frozen=True)
class Tag:
    tag: str
    kind: str = "hand_valve"
    what: str = "a valve"
    low: float | None = 0.0
    high: float | None = 1.0
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class Event:
    time_s: float = 1.0
    tag: str = "HV-1"
    kind: str = "command"
    text: str = "opened"


@dataclass
class StillBench:
    """A bench on which nothing moves but the clock."""

    begun: Start
    time_s: float = 0.0
    events: tuple[Event, ...] = (Event(),)
    warnings: tuple[str, ...] = ("a model out of its range",)
    set_to: dict[str, float | str] = field(default_factory=dict)

    def set(self, tag: str, value: float | str) -> None:
        self.set_to[tag] = value

    def advance(self, seconds: float) -> None:
        self.time_s += seconds

    def readings(self) -> Mapping[str, float | str]:
        return {
            "suction_pressure_pa": 2.3e5,
            "sight_glass": "clear",
            "suction_temperature_k": 270.0,
        }

    def insert_fault(self, name: str, *, severity: float, place: str | None, onset: Onset) -> None:  # fmt: skip
        raise AssertionError("no sheet here has a fault")

    def remove_fault(self, name: str, *, place: str | None = None) -> None:
        raise AssertionError("no sheet here has a fault")

    def ledger(self) -> dict[str, Any]:
        return {"mass_kg": {"tank": 0.5}, "mass_closure": 0.0}


def steady_report(
    rig: Rig, device: str, mode: str, settings: Mapping[str, float | str]
) -> dict[str, Any]:
    state = {
        "point": 1,
        "place": device,
        "p_pa": 2e5,
        "t_k": 270.0,
        "h_j_kg": 4e5,
        "s_j_kg_k": 1.7e3,
        "quality": None,
    }
    return {
        "readings": {
            "cop": 2.1,
            "room_temperature_k": 273.15 + float(settings.get("room_temperature_c", 23.0)),
        },
        "states": [state],
        "balance": {"energy_w": 0.1},
        "reference": {"states": [state], "cop": 2.1},
        "difference_percent": {"cop": 0.01},
        "warnings": [],
    }


@pytest.fixture(autouse=True)
def _stand_in(monkeypatch: pytest.MonkeyPatch) -> None:
    """The model behind the command line replaced, so that no kernel is compiled here."""
    monkeypatch.setattr(plant, "start_bench", lambda rig, start: StillBench(start))
    monkeypatch.setattr(
        plant, "tags", lambda rig: [Tag("HV-1"), Tag("HS-4", choices=("off", "on"))]
    )
    monkeypatch.setattr(
        plant, "faults", lambda: {"undercharge": ("charge", "Part of the charge is gone.")}
    )
    monkeypatch.setattr(plant, "fault_places", lambda name, rig: ("receiver",))
    monkeypatch.setattr(plant, "steady", steady_report)


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "sheet.toml"
    path.write_text(SHEET, encoding="utf-8")
    return path


@pytest.fixture
def small() -> str:
    """The path of the loader's test rig."""
    return str(SMALL)

"""The run sheets of the default rig run from the command line to the readings and events that they are for, without a trip or a warning."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest

from sim.rig_find import shipped_folder
from tui.cli import main

SHEETS = sorted((shipped_folder() / "fennick_bench" / "sheets").glob("*.toml"))
UNWANTED = ("trip", "lift", "burst", "slug", "stall", "damage", "empty", "beyond-tables")
EQUALISED_BAR_G = 5.25  # R134a saturation at 23 °C


@cache
def result(name: str) -> dict[str, Any]:
    """The JSON of a run."""
    path = next(sheet for sheet in SHEETS if sheet.stem == name)
    with TemporaryDirectory() as folder:
        out = Path(folder) / "out.json"
        assert main(["run", str(path), "--quiet", f"--json={out}"]) == 0
        found: dict[str, Any] = json.loads(out.read_text(encoding="utf-8"))
    return found


def bar_g(name: str, side: str) -> float:
    return float((result(name)["final"][f"{side}_pressure_pa"] - 101325.0) / 1e5)


def events(name: str, tag: str) -> list[float]:
    """Times of a tag's events."""
    return [e["time_s"] for e in result(name)["events"] if e["tag"] == tag]


@pytest.mark.parametrize("name", [sheet.stem for sheet in SHEETS])
def test_a_sheet_runs_without_trip_or_warning(name: str) -> None:
    assert result(name)["warnings"] == []
    assert [e for e in result(name)["events"] if e["kind"] in UNWANTED] == []
    assert abs(result(name)["ledger"]["mass_closure"]) < 1e-9


def test_the_sheets_are_those_that_a_first_day_needs() -> None:
    assert [s.stem for s in SHEETS] == ["changes", "panel_measurements", "pump_down", "restart", "reversal", "shut_down", "start_up"]  # fmt: skip


@pytest.mark.parametrize("name", ["start_up", "changes", "reversal"])
def test_the_plant_ends_in_normal_running(name: str) -> None:
    final = result(name)["final"]
    assert 1.2 < bar_g(name, "suction") < 1.5
    assert 8.0 < bar_g(name, "discharge") < 9.0
    assert 5.0 < final["evaporator_superheat_k"] < 8.0
    assert 190.0 < final["compressor_power_w"] < 210.0
    assert final["sight_glass"] == "clear"
    assert 0.55 < final["receiver_level"] < 0.80
    assert final["float_level"] < 0.01


def test_to_and_from_the_float_the_compressor_stands_for_five_minutes() -> None:
    stop, start, stop_again, start_again = events("changes", "K1")
    assert start - stop >= 300.0
    assert start_again - stop_again >= 300.0


def test_called_again_too_soon_the_compressor_waits_three_minutes_and_starts() -> None:
    """And not a second longer: the pressures have drawn together by then, so that it does not stall."""
    stop, start = events("restart", "K1")
    assert 180.0 <= start - stop < 181.0
    assert float(result("restart")["final"]["compressor_speed_rpm"]) > 3000.0


def test_the_reversal_waits_five_minutes_either_way() -> None:
    stop, start, stop_again, start_again = events("reversal", "K1")
    assert start - stop >= 300.0
    assert start_again - stop_again >= 300.0


def test_a_shut_down_plant_stands_at_the_room_s_saturation_pressure() -> None:
    """Where liquid is. The low side has none, its liquid is shut in: there the compressor's oil takes up gas for hours and draws the pressure down."""
    assert 2.0 < bar_g("shut_down", "suction") < EQUALISED_BAR_G - 0.5
    assert bar_g("shut_down", "discharge") == pytest.approx(EQUALISED_BAR_G, abs=0.1)
    assert abs(result("shut_down")["final"]["power_w"]) < 1e-3


def test_the_low_pressure_control_ends_both_pulls_of_the_pump_down() -> None:
    """The second pull holds: less than half a bar of rise in five minutes (common practice)."""
    opened = [
        e["time_s"]
        for e in result("pump_down")["events"]
        if e["tag"] == "PSL-1" and "opened" in e["text"]
    ]
    assert len(opened) == 2
    assert 60.0 < opened[0] < 86.0
    assert 390.0 < opened[1] < 396.0
    assert 0.0 < bar_g("pump_down", "suction") < 0.8
    assert result("pump_down")["final"]["receiver_level"] <= 0.80

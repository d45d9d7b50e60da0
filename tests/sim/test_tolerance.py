"""A ten times tighter tolerance changes nothing that can be read off: pressures in four scenarios, the time of a trip."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from sim import Bench, load_rig
from sim.bench import RTOL
from sim.run_bench import run_on
from sim.run_sheet import load_sheet
from sim.session import line_up, make_steady, prepare_only

SPAN_PA = {"suction_pressure_pa": 11e5, "discharge_pressure_pa": 31e5}
"""Spans of the two gauges; half a per cent of them is asked for."""
SHARE = 0.005


def logged(act: Callable[[Bench], None], rtol: float, seconds: float) -> np.ndarray:
    bench = Bench(load_rig("fennick_bench"), rtol=rtol)
    line_up(bench, "thermostatic")
    act(bench)
    rows = []
    for _ in range(round(seconds)):
        bench.advance(1.0)
        readings = bench.readings()
        rows.append([float(readings[name]) / span for name, span in SPAN_PA.items()])
    return np.array(rows)


def after(seconds: float, **moves: float | str) -> Callable[[Bench], None]:
    def act(bench: Bench) -> None:
        bench.advance(seconds)
        for tag, value in moves.items():
            bench.set(tag.replace("_", "-"), value)

    return act


CASES: dict[str, tuple[Callable[[Bench], None], float]] = {
    "start-up": (lambda bench: None, 60.0),
    "changeover": (after(120.0, HV_21=1.0, HV_23=0.0), 60.0),
    "reversal": (after(120.0, HS_5="heating"), 30.0),
    "pump-down": (after(120.0, HV_12=0.0), 40.0),
}


@pytest.mark.parametrize(
    "name", ["start-up", *(pytest.param(n, marks=pytest.mark.full) for n in list(CASES)[1:])]
)
def test_ten_times_tighter_moves_no_pressure_by_half_a_per_cent_of_span(name: str) -> None:
    act, seconds = CASES[name]
    difference = np.abs(logged(act, RTOL, seconds) - logged(act, RTOL / 10.0, seconds))
    assert difference.max() < SHARE


def whole(sheet_name: str, rtol: float) -> tuple[np.ndarray, list[tuple[str, str, float]]]:
    """Pressures in shares of their spans at every log step of a shipped sheet, and (tag, kind, time) of what opened or tripped."""
    sheet = load_sheet(load_rig("fennick_bench").folder / "sheets" / f"{sheet_name}.toml")
    bench = Bench(load_rig(sheet.rig), rtol=rtol)
    if sheet.start == "steady":
        make_steady(bench, sheet.beginning, None)
    else:
        prepare_only(bench, sheet.beginning)
    begun, heard, rows = bench.time_s, len(bench.events), []
    run_on(bench, sheet, lambda _, row: rows.append([float(row[name]) / span for name, span in SPAN_PA.items()]))  # fmt: skip
    told = [(e.tag, e.kind, e.time_s - begun) for e in bench.events[heard:] if e.kind in ("trip", "contact")]  # fmt: skip
    return np.array(rows), told


@pytest.mark.full
@pytest.mark.parametrize("name", ["start_up", "changes", "reversal", "pump_down", "restart"])
def test_a_whole_sheet_is_the_same_with_a_tighter_tolerance(name: str) -> None:
    """Pressures within half a per cent of span at every step; the same contacts open and trip, each within half a second."""
    (rows, told), (finer, told_finer) = (whole(name, rtol) for rtol in (RTOL, RTOL / 10.0))
    assert np.abs(rows - finer).max() < SHARE
    assert [one[:2] for one in told] == [one[:2] for one in told_finer]
    assert [one[2] for one in told] == pytest.approx([one[2] for one in told_finer], abs=0.5)
    assert (name == "pump_down") <= any(tag == "PSL-1" for tag, _, _ in told)


@pytest.mark.full
def test_a_trip_comes_at_the_same_time_with_a_tighter_tolerance() -> None:
    """Within half a second."""
    times = []
    for rtol in (RTOL, RTOL / 10.0):
        bench = Bench(load_rig("fennick_bench"), rtol=rtol)
        line_up(bench, "thermostatic")
        bench.advance(300.0)
        bench.set("HS-3", "off")
        bench.advance(300.0)
        times.append(next(e.time_s for e in bench.events if e.tag == "PSHH-1" and e.kind == "trip"))
    assert times[0] == pytest.approx(times[1], abs=0.5)

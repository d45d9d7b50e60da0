"""A gauge's flutter follows from the state, and ends with the compressor."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, pi

import pytest
from CoolProp.CoolProp import PropsSI

from sim.flutter import GAMMA, Tap, followed, taps_of, trembling_pa
from sim.rig import load_rig

DISCHARGE = Tap("discharge_pressure_pa", "discharge", 9.0e-5, 0.15, 0.3, 0.0)
RUNNING = (2.8e-3, 57.5, 37.9, 9.26e5)
"""Flow, turns, density, pressure of the default rig, steady."""


def test_an_undamped_gauge_swings_as_the_gas_law_has_it() -> None:
    # 2.8 g/s at 57.5 turns a second are 48.7 mg a stroke, 1.285 cm3 at 37.9 kg/m3; into 90 cm3 at 9.26 bar, 15 % of a turn: 1.05 x 9.26 x 1.285 / 90 x 0.85 / 2 = 0.0590 bar
    assert trembling_pa(replace(DISCHARGE, lag_s=0.0), *RUNNING) == pytest.approx(5900.0, rel=0.01)


def test_the_exponent_lies_between_the_two_sides() -> None:
    found = []
    for pressure, temperature in ((2.3e5, 280.15), (9.3e5, 343.15)):
        rho, a = (PropsSI(name, "P", pressure, "T", temperature, "R134a") for name in ("D", "A"))
        found.append(rho * a * a / pressure)
    assert min(found) < GAMMA < max(found)


def test_a_lag_takes_a_swing_away_as_a_first_order_does() -> None:
    assert followed(DISCHARGE, 57.5) == pytest.approx(1.0 / hypot(1.0, 2.0 * pi * 57.5 * 0.3))
    assert followed(replace(DISCHARGE, lag_s=0.0), 57.5) == 1.0


@pytest.mark.parametrize("still", [(0.0, 57.5), (2.8e-3, 0.0), (-1e-3, 57.5)])
def test_nothing_trembles_when_nothing_turns_or_flows(still: tuple[float, float]) -> None:
    assert trembling_pa(DISCHARGE, *still, 37.9, 9.26e5) == 0.0


def test_the_default_rigs_gauges_hang_on_the_compressors_spaces() -> None:
    rig = load_rig("fennick_bench")
    volume = {node.name: node.volume_m3 for node in rig.nodes}
    taps = {tap.reading: tap for tap in taps_of(rig)}
    assert taps["suction_pressure_pa"].gas_m3 == volume["shell"] + volume["suction_port"]
    assert taps["discharge_pressure_pa"].gas_m3 == volume["head"] + volume["discharge"]


def test_no_needle_of_the_default_rig_moves_by_more_than_its_class() -> None:
    rig = load_rig("fennick_bench")
    for tap in taps_of(rig):
        gauge = next(one for one in rig.instruments if one.reading == tap.reading)
        limit = gauge.class_percent / 100.0 * (gauge.high - gauge.low) * 1e5
        density, pressure = (10.7, 2.26e5) if tap.bore_m2 else (37.9, 9.26e5)
        assert 0.0 < trembling_pa(tap, 2.8e-3, 57.5, density, pressure) < limit / 100.0

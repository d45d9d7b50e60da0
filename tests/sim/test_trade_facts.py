"""What everybody in the trade knows of such a plant, held against the bench. All of it is common practice unless a source is named."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from sim import Bench, load_rig
from sim.rig import Device
from sim.session import line_up, open_bench

ATMOSPHERE_PA = 101325.0
WARM_S = 5400.0


@cache
def warm(device: Device) -> Bench:
    """A bench steady on a device."""
    bench = Bench(load_rig("fennick_bench"))
    line_up(bench, device)
    bench.advance(WARM_S)
    return bench


def bar_g(bench: Bench, side: str) -> float:
    return (float(bench.readings()[f"{side}_pressure_pa"]) - ATMOSPHERE_PA) / 1e5


def difference_bar(bench: Bench) -> float:
    return bar_g(bench, "discharge") - bar_g(bench, "suction")


def first(bench: Bench, since: float, tag: str) -> float | None:
    """Seconds from ``since`` to the first event of ``tag``; None when there was none."""
    return next((e.time_s - since for e in bench.events if e.tag == tag and e.time_s > since), None)


def test_a_cold_machine_takes_more_power_than_a_warm_one() -> None:
    """Its oil is thick: watts and amps fall over the first hour although both pressures, and with them the work on the gas, still creep up."""
    cold = Bench(load_rig("fennick_bench"))
    line_up(cold, "thermostatic")
    cold.advance(300.0)
    early: dict[str, Any] = cold.readings()
    late: dict[str, Any] = warm("thermostatic").readings()
    assert early["shell_temperature_k"] < late["shell_temperature_k"] - 15.0
    for reading in ("suction_pressure_pa", "discharge_pressure_pa"):
        assert early[reading] < late[reading]
    assert 1.02 < early["compressor_power_w"] / late["compressor_power_w"] < 1.15
    assert early["current_a"] > late["current_a"]


@pytest.mark.parametrize("factor", [0.8, 1.2])
@pytest.mark.parametrize(
    "reading", ["liquid_flow_kg_s", "suction_pressure_pa", "discharge_pressure_pa"]
)
def test_after_a_turn_of_the_needle_a_few_minutes_wait_is_enough(
    factor: float, reading: str
) -> None:
    """Taking ten minutes as final, a reading is within 5 % of its change for good from a time between half a minute and six minutes on.

    Measured: 160 to 325 s for 5 %, 200 to 455 s for 2 %; the shell goes on warming for three quarters of an hour.
    """
    bench = warm("hand").fork()
    start = float(bench.readings()[reading])
    bench.set("HCV-22", 0.4 * factor)
    log = []
    for _ in range(120):
        bench.advance(5.0)
        log.append(float(bench.readings()[reading]))
    final, change = log[-1], log[-1] - start
    outside = [k for k, value in enumerate(log) if abs(value - final) > 0.05 * abs(change)]
    settled_s = 5.0 * (outside[-1] + 2)
    assert 30.0 <= settled_s <= 360.0


def hotter_coil(bench: Bench) -> str:
    """Which coil's gas line is the hot one."""
    places = bench.snapshot().places
    return "a" if places["a1"].temperature_k > places["b_outlet"].temperature_k else "b"


def test_below_its_least_difference_the_reversing_valve_stays_where_it_is() -> None:
    """Order of 15 psi; here 1.0 bar. The pilot clicks, the slide does not move.

    With the difference of a plant just stopped it leaves its seat; without a running compressor it need not arrive.
    """
    bench = warm("capillary").fork()
    bench.set("HS-4", "off")
    early = bench.fork()
    early.set("HS-5", "heating")
    early.advance(5.0)
    assert early.snapshot().positions["XV-2"] > 0.5
    while difference_bar(bench) > 0.9:
        bench.advance(5.0)
    assert difference_bar(bench) > 0.7
    bench.set("HS-5", "heating")
    bench.advance(120.0)
    assert bench.snapshot().positions["XV-2"] == pytest.approx(0.0, abs=0.01)


def test_after_a_reversal_hot_and_cold_lines_have_changed_places_and_change_back() -> None:
    bench = warm("capillary").fork()
    assert hotter_coil(bench) == "a"
    line_up(bench, "capillary", "heating")
    bench.advance(300.0)
    assert hotter_coil(bench) == "b"
    readings: dict[str, Any] = bench.readings()
    assert readings["condenser_air_out_k"] > readings["condenser_air_in_k"] + 2.0
    bench.set("HS-4", "off")
    bench.advance(300.0)
    line_up(bench, "capillary", "cooling")
    bench.advance(300.0)
    assert hotter_coil(bench) == "a"
    again: dict[str, Any] = bench.readings()
    assert again["evaporator_air_out_k"] < again["evaporator_air_in_k"] - 5.0


@pytest.mark.parametrize("device", ["thermostatic", "capillary", "hand"])
def test_a_pump_down_ends_at_the_low_pressure_control(device: Device) -> None:
    """Within a minute or so, since little liquid lies beyond the receiver; oil would make it one to three minutes."""
    bench = warm(device).fork()
    since = bench.time_s
    bench.set("HV-12", 0)
    while first(bench, since, "PSL-1") is None and bench.time_s < since + 300.0:
        bench.advance(0.1)
    ended = first(bench, since, "PSL-1")
    assert ended is not None
    assert 10.0 < ended < 180.0
    assert bar_g(bench, "suction") == pytest.approx(0.3, abs=0.1)
    bench.set("HS-4", "off")
    bench.advance(300.0)
    assert bench.snapshot().levels["receiver"] <= 0.80


@cache
def seconds_to_equalise(device: Device, fans: bool, to_bar: float) -> float:
    """From the stop until the difference is less than ``to_bar``."""
    bench = warm(device).fork()
    since = bench.time_s
    bench.set("HS-4", "off")
    if not fans:
        bench.set("HS-2", "off")
        bench.set("HS-3", "off")
    while difference_bar(bench) > to_bar and bench.time_s < since + 7200.0:
        bench.advance(5.0)
    return bench.time_s - since


def test_pressures_meet_within_minutes_after_a_stop_on_the_capillary() -> None:
    """Two to five minutes, fans on. Measured: 100, 190, 325 s to 1, 0.3, 0.05 bar; with the fans off 240, 350, 425 s."""
    assert 60.0 < seconds_to_equalise("capillary", True, 1.0) < 240.0
    assert 120.0 < seconds_to_equalise("capillary", True, 0.3) < 300.0


def test_standing_fans_make_pressures_meet_later() -> None:
    assert seconds_to_equalise("capillary", False, 1.0) > 1.5 * seconds_to_equalise(
        "capillary", True, 1.0
    )


def test_a_thermostatic_valve_holds_pressures_apart_for_longer() -> None:
    """It shuts as its bulb is colder than the pressure above the needle asks; only the bleed passes. Measured: 480, 945, 1345 s."""
    valve = seconds_to_equalise("thermostatic", True, 0.3)
    assert 2.0 * seconds_to_equalise("capillary", True, 0.3) < valve < 3600.0


def test_both_sides_stand_at_the_room_s_saturation_pressure_in_the_end() -> None:
    """R134a at 23 °C: 6.27 bar absolute (ASHRAE Handbook Fundamentals, R-134a saturation table, interpolated, from memory)."""
    bench = warm("capillary").fork()
    bench.set("HS-4", "off")
    bench.advance(2.0 * 3600.0)
    assert bar_g(bench, "suction") == pytest.approx(6.27 - 1.013, abs=0.05)
    assert bar_g(bench, "discharge") == pytest.approx(6.27 - 1.013, abs=0.05)


@pytest.mark.parametrize("device", ["thermostatic", "capillary", "hand", "float"])
def test_a_dead_condenser_fan_trips_the_plant_in_a_minute_or_a_few(device: Device) -> None:
    """One to three minutes from normal running to 16 bar g. Measured: 149 s on the thermostatic valve, 109 s on the hand valve."""
    bench = warm(device).fork()
    since = bench.time_s
    bench.set("HS-3", "off")
    while first(bench, since, "PSHH-1") is None and bench.time_s < since + 600.0:
        bench.advance(1.0)
    tripped = first(bench, since, "PSHH-1")
    assert tripped is not None
    assert 45.0 < tripped < 200.0
    bench.set("HS-3", "high")
    bench.advance(60.0)
    assert bar_g(bench, "discharge") < 12.0
    assert bench.readings()["compressor_speed_rpm"] == 0.0
    bench.advance(240.0)
    bench.set("PSHH-1.reset", 1)
    bench.advance(120.0)
    assert float(bench.readings()["compressor_speed_rpm"]) > 3000.0


def test_the_log_says_once_when_the_slide_has_gone_over_and_once_when_it_is_back() -> None:
    bench = open_bench("fennick_bench", "steady", device="capillary")
    assert [event.text for event in bench.events if event.tag == "XV-2"] == []
    said = []
    for mode, way in (("heating", "over to heating"), ("cooling", "back to cooling"), ("heating", "over to heating")):  # fmt: skip
        before = len(bench.events)
        bench.set("HS-5", mode)
        bench.advance(5.0)
        said = [event.text for event in bench.events[before:] if event.tag == "XV-2"]
        assert len(said) == 1
        assert way in said[0]
    again = bench.unpacked(bench.packed())
    again.advance(5.0)
    assert [event for event in again.events[len(bench.events) :] if event.tag == "XV-2"] == []

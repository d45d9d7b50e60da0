"""What a bench does for whoever holds it: time, tags, readings, protectors, repair, copies."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import FrozenInstanceError
from typing import Any

import pytest

from sim import Bench
from sim.errors import InputError
from sim.readings import READINGS
from sim.rig import Rig
from sim.surroundings import SurroundingsTable

# --- time ------------------------------------------------------------------------------------


def test_a_new_bench_stands_at_time_zero_equalised_and_quiet(rig: Rig) -> None:
    bench = Bench(rig)
    assert bench.time_s == 0.0
    assert bench.events == []
    assert bench.warnings == []
    pressures = [place.pressure_pa for place in bench.snapshot().places.values()]
    assert max(pressures) - min(pressures) < 100.0
    assert bench.readings()["compressor_speed_rpm"] == 0.0


def test_a_thousand_small_waits_end_where_one_long_wait_does(rig: Rig) -> None:
    bench = Bench(rig)
    for _ in range(1000):
        bench.advance(0.1)
    assert bench.time_s == 100.0


@pytest.mark.parametrize("seconds", [-1.0, math.nan, math.inf, 1e12])
def test_time_only_goes_forward_and_by_a_number(rig: Rig, seconds: float) -> None:
    with pytest.raises(InputError, match="cannot advance"):
        Bench(rig).advance(seconds)


@pytest.mark.parametrize("charge", [0.0, -0.1, math.nan])
def test_a_plant_with_no_charge_at_all_is_refused(rig: Rig, charge: float) -> None:
    with pytest.raises(InputError, match="cannot hold"):
        Bench(rig, charge_kg=charge)


# --- tags ------------------------------------------------------------------------------------


def test_every_tag_takes_both_ends_of_its_range_or_each_of_its_choices(rig: Rig) -> None:
    bench = Bench(rig)
    for info in bench.tags():
        if info.kind == "lock":
            bench.set("HS-1", "off")  # nothing else can be locked
        for value in info.choices or (info.low, info.high):
            assert value is not None
            bench.set(info.tag, value)
            if info.kind not in ("reset", "press"):
                assert next(t.value for t in bench.tags() if t.tag == info.tag) == value


def test_every_tag_refuses_what_lies_outside_and_stays_where_it_was(rig: Rig) -> None:
    bench = Bench(rig)
    for info in bench.tags():
        wrong: tuple[Any, ...]
        if info.choices:
            wrong = ("sideways", "", 3.0)
        else:
            assert info.high is not None
            wrong = (info.high + 1.0, math.nan, math.inf, "open")
        for value in wrong:
            with pytest.raises(InputError, match=info.tag):
                bench.set(info.tag, value)
    assert {t.tag: t.value for t in bench.tags()} == {t.tag: t.value for t in Bench(rig).tags()}


def test_a_tag_that_is_not_there_is_named(rig: Rig) -> None:
    with pytest.raises(InputError, match="HV-99"):
        Bench(rig).set("HV-99", 1.0)


@pytest.mark.parametrize("name", sorted(SurroundingsTable.RANGES))
def test_the_surroundings_stay_inside_their_range(rig: Rig, name: str) -> None:
    low, high = SurroundingsTable.RANGES[name]
    bench = Bench(rig)
    bench.set(name, low)
    bench.set(name, high)
    for wrong in (low - 1.0, high * 10.0, math.nan):
        with pytest.raises(InputError, match=name):
            bench.set(name, wrong)
    with pytest.raises(InputError, match=name):
        bench.set(name, "warm")


def test_a_moved_handle_is_an_event_and_an_unmoved_one_is_not(rig: Rig) -> None:
    bench = Bench(rig)
    bench.set("HV-11", 1.0)
    bench.set("HV-11", 1.0)
    assert [(e.tag, e.kind) for e in bench.events] == [("HV-11", "command")]


# --- readings --------------------------------------------------------------------------------


def test_every_reading_of_the_table_is_there_and_finite(running: Bench) -> None:
    readings = running.readings()
    assert set(READINGS) <= set(readings)
    for name, value in readings.items():
        assert isinstance(value, str) or math.isfinite(value), name


def test_a_running_bench_reads_like_a_running_plant(running: Bench) -> None:
    r = {k: v for k, v in running.readings().items() if not isinstance(v, str)}
    assert r["discharge_pressure_pa"] > 2.0 * r["suction_pressure_pa"]
    assert r["evaporator_air_out_k"] < r["evaporator_air_in_k"]
    assert r["condenser_air_out_k"] > r["condenser_air_in_k"]
    assert r["discharge_temperature_k"] > r["condensing_temperature_k"] > r["room_temperature_k"]


def test_looking_is_free_of_consequence(another: Callable[[], Bench]) -> None:
    watched, left = another(), another()
    for _ in range(50):
        watched.advance(0.2)
        watched.readings()
        watched.snapshot()
        watched.ledger()
    left.advance(10.0)
    assert watched.readings() == left.readings()


def test_a_snapshot_does_not_change_when_the_bench_does(running: Bench) -> None:
    snapshot = running.snapshot()
    before = (dict(snapshot.readings), dict(snapshot.places), dict(snapshot.flows), snapshot.events)
    running.set("HV-12", 0.0)
    running.advance(20.0)
    assert before == (dict(snapshot.readings), dict(snapshot.places), dict(snapshot.flows), snapshot.events)  # fmt: skip
    with pytest.raises(FrozenInstanceError):
        snapshot.time_s = 0.0  # type: ignore[misc]
    with pytest.raises(TypeError):
        snapshot.readings["suction_pressure_pa"] = 0.0  # type: ignore[index]


# --- panel and protectors ---------------------------------------------------------------------


def test_the_emergency_stop_takes_the_supply_from_everything(running: Bench) -> None:
    running.set("HS-0", "pressed")
    running.advance(5.0)
    r = running.readings()
    assert (
        float(r["voltage_v"]) < 0.01
    )  # what strays couple into a dead rail with a voltmeter on it
    assert abs(float(r["power_w"])) < 1e-3
    assert r["compressor_speed_rpm"] == 0.0


def test_the_high_pressure_trip_waits_for_a_hand(running: Bench) -> None:
    running.set("HS-3", "off")
    running.set("PSHH-1.set", 901325.0)
    running.advance(60.0)
    assert running.snapshot().tripped["PSHH-1"]
    running.set("HS-3", "high")
    running.advance(300.0)
    assert not running.snapshot().running
    running.set("PSHH-1.set", 1701325.0)
    running.set("PSHH-1.reset", 1.0)
    running.advance(30.0)
    assert running.snapshot().running


def test_the_load_box_cuts_its_own_heater_before_anything_is_harmed(rig: Rig) -> None:
    """A heater shut in with a stopped plant; without a limiter it would pass 180 °C."""
    bench = Bench(rig)
    for tag, value in (("HS-1", "on"), ("HS-2", "low"), ("HS-7", "heated"), ("HS-7.watts", 500.0)):
        bench.set(tag, value)
    bench.advance(3600.0)
    assert bench.warnings == []
    assert any("limiter" in e.text for e in bench.events)
    assert float(bench.readings()["evaporator_air_in_k"]) < 329.0


def test_a_motor_that_cannot_start_hums_and_is_cut_out_by_its_overload(running: Bench) -> None:
    """Common practice: a locked rotor is cut out in 3 to 20 s, and the overload closes again by itself."""
    running.set("HS-4", "off")
    running.advance(0.5)
    running.set("supply_voltage_v", 85.0)
    running.set("HS-4", "on")
    began = running.time_s
    running.advance(240.0)
    trips = [e.time_s - began for e in running.events if e.tag == "F1" and e.kind == "trip"]
    assert any(e.kind == "stall" for e in running.events)
    assert 3.0 < trips[0] < 30.0
    assert len(trips) >= 2
    assert any(e.tag == "F1" and e.kind == "contact" for e in running.events)


# --- damage ----------------------------------------------------------------------------------


def test_only_what_is_damaged_can_be_repaired(running: Bench) -> None:
    with pytest.raises(InputError, match="M1"):
        running.repair("M1")


# --- copies ------------------------------------------------------------------------------


def test_a_fork_goes_its_own_way(running: Bench) -> None:
    twin = running.fork()
    twin.set("HS-4", "off")
    twin.advance(60.0)
    assert running.time_s < twin.time_s
    assert running.commands["HS-4"] == "on"
    assert running.snapshot().running
    assert len(twin.events) > len(running.events)

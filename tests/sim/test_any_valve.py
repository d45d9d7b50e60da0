"""Any valve, any time, any order: physics, or an event with a name. Never a failure, never a number that is none."""

from __future__ import annotations

import math

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from sim import Bench
from sim import columns as c
from sim.rig import Rig
from sim.session import line_up

HAND = ("hand_valve", "hand_expansion_valve")


def sound(bench: Bench) -> None:
    """Books closed, every number one, no section beyond its own limit."""
    ledger = bench.ledger()
    assert abs(ledger["mass_closure"]) < 1e-9
    assert abs(ledger["energy_closure"]) < 1e-6
    assert np.isfinite(bench.watch.y).all()
    assert all(isinstance(v, str) or math.isfinite(v) for v in bench.readings().values())
    assert (bench.watch.P[:, c.P_P] <= bench.plant.node[:, c.N_BURST] * (1.0 + 1e-6)).all()


def pressure(bench: Bench, node: str) -> float:
    """Pressure of a node, Pa."""
    return bench.snapshot().places[node].pressure_pa


def kinds(bench: Bench) -> list[tuple[str, str]]:
    """(tag, kind) of every event."""
    return [(e.tag, e.kind) for e in bench.events]


def shut_in(bench: Bench) -> None:
    """Trap the liquid between receiver outlet, solenoid and bypass."""
    for tag, value in (("HS-4", "off"), ("HS-6", "off"), ("HV-12", 0.0)):
        bench.set(tag, value)
    bench.advance(2.0)


# --- shut-in liquid ----------------------------------------------------------------------------


def test_shut_in_liquid_that_warms_climbs_as_steeply_as_its_equation_of_state_says(running: Bench) -> None:  # fmt: skip
    """A rigid section: p follows the saturated liquid's isochore, of order 0.5 MPa/K (CoolProp at the same density and temperature)."""
    shut_in(running)
    running.set("room_temperature_c", 45.0)
    while running.snapshot().places["liquid_line"].pressure_pa < 2.5e6:
        running.advance(10.0)
        assert running.time_s < 3000.0
    place = running.snapshot().places["liquid_line"]
    exact = PropsSI("P", "D", place.density, "T", place.temperature_k, "R134a")
    warmer = PropsSI("P", "D", place.density, "T", place.temperature_k + 1.0, "R134a")
    assert place.pressure_pa == pytest.approx(exact, rel=0.01)
    assert 3e5 < warmer - exact < 8e5
    sound(running)


def test_a_section_bursts_at_its_limit_and_the_room_gets_the_charge(running: Bench) -> None:
    limit = running.rig.burst_pa(running.rig.node("liquid_line"))
    shut_in(running)
    held = running.total_mass_kg
    running.set("room_temperature_c", 50.0)
    highest = 0.0
    while ("liquid_line", "burst") not in kinds(running):
        running.advance(1.0)
        highest = max(highest, pressure(running, "liquid_line"))
        assert running.time_s < 3000.0
    assert 0.8 * limit < highest <= limit * (1.0 + 1e-6)
    sound(running)
    running.advance(600.0)
    sound(running)
    atmosphere = running.surroundings.atmospheric_pressure_pa
    assert pressure(running, "liquid_line") == pytest.approx(atmosphere, rel=0.02)
    assert running.ledger()["mass_kg"]["outside"] == pytest.approx(held - running.total_mass_kg, abs=1e-9)  # fmt: skip
    assert running.ledger()["mass_kg"]["outside"] > 0.03
    assert kinds(running).count(("liquid_line", "burst")) == 1


def test_a_burst_section_can_be_repaired_and_holds_again(running: Bench) -> None:
    shut_in(running)
    running.set("room_temperature_c", 50.0)
    running.advance(1200.0)
    assert ("liquid_line", "burst") in kinds(running)
    running.set("room_temperature_c", 23.0)
    running.repair("liquid_line")
    lost = running.lost_mass_kg
    running.set("HV-12", 1.0)
    running.advance(300.0)
    assert running.lost_mass_kg == pytest.approx(lost, abs=1e-12)
    assert pressure(running, "liquid_line") > 3e5
    sound(running)


def test_the_receiver_shut_at_both_ends_is_saved_by_its_relief_valve(rig: Rig) -> None:
    """Filled to the brim, shut in and warmed: the valve lifts at its set pressure, within its 10 % overpressure (ISO 4126-1)."""
    bench = Bench(rig, charge_kg=1.2)
    bench.set("room_temperature_c", 50.0)
    most = 0.0
    for _ in range(16):
        bench.advance(30.0)
        most = max(most, pressure(bench, "receiver"))
        sound(bench)
    assert ("PSV-1", "lift") in kinds(bench)
    assert 2.0e6 < most - bench.surroundings.atmospheric_pressure_pa < 2.2e6
    assert bench.lost_mass_kg > 0.0
    assert not any(kind == "burst" and tag == "receiver" for tag, kind in kinds(bench))


def test_the_receiver_shut_at_both_ends_with_gas_room_stays_at_saturation(running: Bench) -> None:
    for tag in ("HV-11", "HV-12", "HV-13"):
        running.set(tag, 0.0)
    running.advance(1800.0)
    place = running.snapshot().places["receiver"]
    exact = PropsSI("P", "T", place.temperature_k, "Q", 0, "R134a")
    assert place.pressure_pa == pytest.approx(exact, rel=1e-3)
    sound(running)


# --- the compressor against shut valves ----------------------------------------------------------


def test_the_discharge_valve_shut_while_running_ends_in_the_trip_or_the_internal_relief(running: Bench) -> None:  # fmt: skip
    running.set("HV-42", 0.0)
    highest = 0.0
    for _ in range(240):
        running.advance(0.25)
        highest = max(highest, pressure(running, "head"))
        sound(running)
    assert {("PSHH-1", "trip"), ("M1-relief", "lift")} & set(kinds(running))
    relief_pa = 18e5  # the rig's internal relief, head over shell
    assert highest < relief_pa * 1.3 + pressure(running, "shell")


def test_the_suction_valve_shut_while_running_ends_at_the_low_pressure_control(running: Bench) -> None:  # fmt: skip
    running.set("HV-41", 0.0)
    running.advance(300.0)
    assert ("PSL-1", "contact") in kinds(running)
    sound(running)


def test_a_pump_down_ends_at_the_low_pressure_control(running: Bench) -> None:
    running.set("HV-12", 0.0)
    running.advance(900.0)
    assert ("PSL-1", "contact") in kinds(running)
    sound(running)


def test_a_start_against_pressure_turns_or_hums_but_has_a_name(running: Bench) -> None:
    running.set("HS-4", "off")
    running.advance(1.0)
    running.set("HS-4", "on")
    running.advance(5.0)
    assert running.snapshot().running or any(kind == "stall" for _, kind in kinds(running))
    running.advance(300.0)
    sound(running)


# --- all at once ----------------------------------------------------------------------------------


@pytest.mark.parametrize("handle", [0.0, 1.0])
def test_all_valves_shut_or_open_while_running(running: Bench, handle: float) -> None:
    for info in running.tags():
        if info.kind in HAND:
            running.set(info.tag, handle)
    for _ in range(20):
        running.advance(30.0)
        sound(running)


def test_all_four_devices_open_flood_the_evaporator(running: Bench) -> None:
    for tag in ("HV-21", "HV-22", "HV-23", "HV-24"):
        running.set(tag, 1.0)
    running.set("HCV-22", 1.0)
    running.advance(300.0)
    assert float(running.readings()["evaporator_superheat_k"]) == 0.0
    sound(running)


def test_everything_opened_and_shut_within_one_second(running: Bench) -> None:
    for k in range(40):
        for tag in ("HV-11", "HV-12", "HV-23", "HV-42", "HV-41"):
            running.set(tag, float(k % 2))
        running.advance(0.025)
    sound(running)
    running.advance(60.0)
    sound(running)


# --- reversal ---------------------------------------------------------------------------------------


def test_a_reversal_while_running_swaps_the_hot_and_the_cold_coil_and_back(running: Bench) -> None:
    def hot_a() -> bool:
        places = running.snapshot().places
        return places["a1"].pressure_pa > places["b8"].pressure_pa

    assert hot_a()
    for mode, hot in (("heating", False), ("cooling", True), ("heating", False)):
        running.set("HS-5", mode)
        running.advance(
            3.0
        )  # later the high-pressure trip ends it: the thermostatic valve does not work backwards
        assert hot_a() is hot
        sound(running)


def test_below_its_minimum_difference_the_reversing_valve_does_not_shift(rig: Rig) -> None:
    """Common practice: order of 15 psi."""
    bench = Bench(rig)
    bench.set("HS-1", "on")
    bench.set("HS-5", "heating")
    bench.advance(60.0)
    assert bench.snapshot().positions["XV-2"] < 0.05


def test_the_mode_thrown_every_two_seconds(running: Bench) -> None:
    for k in range(30):
        running.set("HS-5", "heating" if k % 2 == 0 else "cooling")
        running.advance(2.0)
        sound(running)


# --- too little and too much ---------------------------------------------------------------------


@pytest.mark.parametrize("charge", [1e-6, 1e-3, 0.05])
def test_an_all_but_empty_plant_stops_itself(rig: Rig, charge: float) -> None:
    bench = Bench(rig, charge_kg=charge)
    line_up(bench, "thermostatic")
    bench.advance(600.0)
    assert ("PSL-1", "contact") in kinds(bench)
    sound(bench)


def test_a_plant_that_is_let_out_while_running_ends_empty_but_for_what_its_oil_held(running: Bench) -> None:  # fmt: skip
    """The oil gives up the rest later: pressure creeps up again, as after any pump-down (common practice)."""
    running.insert_fault("undercharge", 1.0)
    for _ in range(10):
        running.advance(30.0)
        sound(running)
        if running.faults["undercharge"].rate_kg_s == 0.0:
            break
    books = running.ledger()["mass_kg"]
    assert running.total_mass_kg - books["oil"] < 1e-3
    assert books["oil"] < 0.02
    before = float(running.readings()["suction_pressure_pa"])
    running.advance(1800.0)
    assert 10.0 * before < float(running.readings()["suction_pressure_pa"]) < 101325.0
    assert ("PSL-1", "contact") in kinds(running)


def test_twice_the_charge_trips_or_runs_but_stays_within_limits(rig: Rig) -> None:
    bench = Bench(rig, charge_kg=2.0 * rig.charge_kg)
    line_up(bench, "thermostatic")
    for _ in range(20):
        bench.advance(30.0)
        sound(bench)
    assert bench.snapshot().running or ("PSHH-1", "trip") in kinds(bench)


def test_more_than_the_plant_can_hold_is_refused_by_name(rig: Rig) -> None:
    from sim.errors import PlantError

    with pytest.raises(PlantError, match="does not fit"):
        Bench(rig, charge_kg=10.0)


def test_an_internal_relief_that_holds_against_a_dead_end_says_so_once(running: Bench) -> None:
    """It opens as far as the machine pumps and stays there: no chatter, no flood of news, and steps as long as anywhere."""
    running.insert_fault("high-pressure-cutout-stuck-closed")
    before = running.statistics["steps"]
    running.set("HV-42", 0.0)
    running.advance(60.0)
    assert kinds(running).count(("M1-relief", "lift")) == 1
    assert float(running.readings()["compressor_speed_rpm"]) > 3000.0
    assert running.statistics["steps"] - before < 30 * 60


def test_a_state_outside_the_tables_is_told_once_and_the_run_goes_on(running: Bench) -> None:
    """No run that was tried leaves them, so their end is moved to where the plant is: 5 K below its hottest gas."""
    hottest = max(float(place.temperature_k) for place in running.snapshot().places.values())
    running.watch.limits[0] = hottest - 5.0
    running.advance(60.0)
    running.set("HS-3", "low")
    running.advance(60.0)
    told = [event for event in running.events if event.kind == "beyond-tables"]
    assert len(told) == 1
    assert len([words for words in running.warnings if "tables" in words]) == 1
    assert running.time_s > 120.0

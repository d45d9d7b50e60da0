"""The whole charge is another refrigerant: the plant stands and runs on that fluid's card, while what was cut for the right one stays, and gauges go on as if it were the right one."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from sim import Bench
from sim.errors import InputError
from sim.faults import all_faults
from sim.onset import Onset
from sim.rig import Rig
from sim.session import start_bench
from sim.starts import Start
from sim.steady import cycle_states, differences, reference_of

NAME = "wrong-refrigerant"
OTHERS = all_faults()[NAME].places
ROOM_K = 296.15
STANDS = 6e-4
"""Relative: the tables' promise is 0.05 % of p."""


def settle(bench: Bench, seconds: float = 5.0) -> dict[str, float]:
    bench.advance(seconds)
    return {key: float(value) for key, value in bench.readings().items() if not isinstance(value, str)}  # fmt: skip


@pytest.mark.parametrize("fluid", OTHERS)
def test_a_standing_plant_stands_on_the_other_fluids_saturation_pressure(rig: Rig, fluid: str) -> None:  # fmt: skip
    """Outside: CoolProp's saturation pressure at the room's temperature, mean of bubble and dew. Looked at at once: the oil takes up gas and moves it by a fraction of a percent."""
    bench = Bench(rig)
    bench.insert_fault(NAME, place=fluid)
    found = settle(bench, 0.0)
    expected = 0.5 * (PropsSI("P", "T", ROOM_K, "Q", 0, fluid) + PropsSI("P", "T", ROOM_K, "Q", 1, fluid))  # fmt: skip
    for side in ("suction", "discharge"):
        assert found[f"{side}_pressure_pa"] == pytest.approx(expected, rel=STANDS)


@pytest.mark.parametrize("fluid", ["R600a", "R22", "R410A"])
def test_it_fills_the_same_volume_so_its_mass_goes_with_its_density(rig: Rig, fluid: str) -> None:
    """Outside: CoolProp's saturated densities at 23 degC; the oil keeps its mass."""
    bench = Bench(rig)
    oil = bench.ledger()["mass_kg"]["oil"]
    level = float(bench.readings()["receiver_level"])
    before = bench.total_mass_kg - oil
    volume = sum(node.volume_m3 for node in rig.nodes)
    (liquid, vapour), (liquid_now, vapour_now) = (
        [PropsSI("D", "T", ROOM_K, "Q", q, name) for q in (0, 1)] for name in ("R134a", fluid)
    )
    wet_m3 = (before - vapour * volume) / (liquid - vapour)
    bench.insert_fault(NAME, place=fluid)
    expected = wet_m3 * liquid_now + (volume - wet_m3) * vapour_now
    assert bench.total_mass_kg - oil == pytest.approx(expected, rel=2e-3)
    assert float(bench.readings()["receiver_level"]) == pytest.approx(level, abs=0.005)


@pytest.mark.parametrize("fluid", ["R22", "R600a", "R32"])
def test_books_close_over_the_exchange_and_back_and_the_plate_charge_returns(another: Callable[[], Bench], fluid: str) -> None:  # fmt: skip
    bench = another()
    charge = bench.total_mass_kg
    bench.insert_fault(NAME, place=fluid)
    bench.advance(300.0)
    bench.remove_fault(NAME, place=fluid)
    assert bench.total_mass_kg == pytest.approx(charge, rel=1e-9)
    assert bench.charged_with == "R134a"
    bench.advance(300.0)
    ledger = bench.ledger()
    assert abs(ledger["mass_closure"]) < 1e-9
    assert abs(ledger["energy_closure"]) < 1e-6


def test_the_exchange_there_and_straight_back_leaves_temperatures_as_they_were(running: Bench) -> None:  # fmt: skip
    before = running.snapshot().places
    running.insert_fault(NAME, place="R290")
    running.remove_fault(NAME, place="R290")
    after = running.snapshot().places
    for name, place in before.items():
        assert after[name].temperature_k == pytest.approx(place.temperature_k, abs=0.05), name
        assert after[name].pressure_pa == pytest.approx(place.pressure_pa, rel=2e-3), name


def test_the_bulb_keeps_its_own_charge(another: Callable[[], Bench]) -> None:
    """A bulb of R134a at 10 degC pushes with some 4 bar, isobutane in the coil with some 2: the needle opens wide and the coil floods; with R22 at 7 bar it starves."""
    flooded, starved = another(), another()
    flooded.insert_fault(NAME, place="R600a")
    starved.insert_fault(NAME, place="R22")
    assert settle(flooded, 900.0)["evaporator_superheat_k"] < 1.0
    assert settle(starved, 900.0)["evaporator_superheat_k"] > 12.0


def test_gauge_and_thermometer_tell_a_superheat_that_is_not_there(settled: Bench) -> None:
    """Whoever reads the card of the right fluid is off by the difference of the two cards: CoolProp for both, from what the gauge and the thermometer at the coil's outlet show."""
    settled.insert_fault(NAME, place="R22")
    found = settle(settled, 900.0)
    low = found["suction_pressure_pa_shown"]
    told, true = (found["evaporator_outlet_temperature_k_shown"] - PropsSI("T", "P", low, "Q", 1, fluid) for fluid in ("R134a", "R22"))  # fmt: skip
    assert true == pytest.approx(
        found["evaporator_superheat_k"], abs=2.0
    )  # class of both, and the line's drop
    assert true - told == pytest.approx(15.0, abs=1.5)


def test_a_steady_cycle_is_told_beside_coolprop_of_what_is_in_the_plant(rig: Rig) -> None:
    bench = start_bench(rig, Start(start="steady", device="hand"))
    bench.insert_fault(NAME, place="R22")
    bench.advance(3600.0)
    states, readings = cycle_states(bench), bench.readings()
    reference = reference_of(bench, states, readings)
    assert reference["input"]["fluid"] == "R22"
    found = differences(states, readings, reference)
    assert {name for name, percent in found.items() if abs(percent) > 0.5} == set()


def test_copies_and_saves_keep_the_fluid(running: Bench, tmp_path: Path) -> None:
    running.insert_fault(NAME, place="R1234yf")
    running.insert_fault("non-condensable", 0.3)
    running.advance(40.0)
    running.save(tmp_path / "bench.npz")
    others = [running.fork(), Bench.load(tmp_path / "bench.npz")]
    for bench in (running, *others):
        bench.advance(60.0)
    assert all(one.packed() == running.packed() for one in others)
    assert [one.charged_with for one in others] == ["R1234yf"] * 2
    for bench in (running, *others):
        bench.remove_fault(NAME, place="R1234yf")
        bench.advance(30.0)
    assert all(one.packed() == running.packed() for one in others)


def test_a_second_wrong_charge_is_refused_for_a_mixture_is_not_computed(running: Bench) -> None:
    running.insert_fault(NAME, place="R22")
    with pytest.raises(InputError, match="charged with R22 already"):
        running.insert_fault(NAME, place="R12")
    running.insert_fault(NAME, 0.5, place="R22")  # the same again changes nothing
    assert running.charged_with == "R22"


def test_it_can_wait_for_an_event(running: Bench) -> None:
    running.insert_fault(NAME, place="R12", onset=Onset(on="command:HS-4"))
    running.advance(5.0)
    assert running.charged_with == "R134a"
    running.set("HS-4", "off")
    running.advance(5.0)
    assert running.charged_with == "R12"


def test_the_plate_fluid_is_no_wrong_one_and_it_cannot_come_and_go(running: Bench) -> None:
    with pytest.raises(InputError, match="R22, R12"):
        running.insert_fault(NAME, place="R134a")
    with pytest.raises(InputError, match="come and go"):
        running.insert_fault(NAME, onset=Onset(period_s=60.0))


def test_a_high_pressure_fluid_ends_at_the_trip_and_lifts_the_relief(running: Bench) -> None:
    running.insert_fault(NAME, place="R32")
    running.advance(20.0)
    happened = {(event.tag, event.kind) for event in running.events}
    assert {("PSHH-1", "trip"), ("PSV-1", "lift")} <= happened


@pytest.mark.parametrize("again", [0.5, 1.0])
def test_put_in_twice_or_bit_by_bit_it_still_comes_out_with_the_plate_charge(running: Bench, again: float) -> None:  # fmt: skip
    charge = running.total_mass_kg
    running.insert_fault(NAME, place="R290")
    running.insert_fault(NAME, again, place="R290")
    running.remove_fault(NAME, place="R290")
    assert running.total_mass_kg == pytest.approx(charge, rel=1e-9)
    running.insert_fault(NAME, ramp_s=60.0)
    running.advance(90.0)
    assert running.charged_with == "R22"
    running.insert_fault(NAME, 0.0)
    assert running.charged_with == "R134a"
    assert running.total_mass_kg == pytest.approx(charge, rel=1e-9)

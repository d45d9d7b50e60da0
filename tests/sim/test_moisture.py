"""Water in the circuit: its solubility against published points, the drier, and a device that blocks, thaws and blocks again."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from sim import Bench, load_rig, moisture
from sim.parts.capillary import Capillary
from sim.rig import Device
from sim.session import line_up

GRAM = 1e-3


@pytest.mark.parametrize(("celsius", "ppm", "within"), [(25.0, 1300.0, 0.1), (-17.78, 250.0, 1e-3), (37.78, 1800.0, 1e-3), (0.0, 510.0, 0.05)])  # fmt: skip
def test_liquid_r134a_dissolves_what_the_tables_say(celsius: float, ppm: float, within: float) -> None:  # fmt: skip
    """25 degC: R134a about as R22, 1300 mg/kg (a maker's pocket manual on refrigerants). The others: ASHRAE Refrigeration, table of solubilities, at 0, 100 and between 30 and 40 degF."""
    assert 1e6 * moisture.solubility(celsius + 273.15) == pytest.approx(ppm, rel=within)


def test_the_colder_the_less_is_dissolved() -> None:
    values = [moisture.solubility(t) for t in np.linspace(220.0, 350.0, 200)]
    assert values == sorted(values)


@cache
def running(device: Device) -> Bench:
    bench = Bench(load_rig("fennick_bench"))
    line_up(bench, device)
    bench.advance(900.0)
    return bench


def water(bench: Bench) -> dict[str, float]:
    books = bench.ledger()
    return dict(books["water_kg"])


def ice(bench: Bench) -> float:
    return sum(kg for place, kg in water(bench).items() if place.startswith("ice"))


@cache
def wet(device: Device) -> tuple[Bench, list[tuple[float, float, float, float]]]:
    """An hour with 4 g of water: every 10 s time, suction in bar, speed, ice."""
    bench = running(device).fork()
    bench.insert_fault("moisture", 1.0)
    trace = []
    for _ in range(360):
        bench.advance(10.0)
        r = bench.readings()
        trace.append((bench.time_s, float(r["suction_pressure_pa"]) / 1e5, float(r["compressor_speed_rpm"]), ice(bench)))  # fmt: skip
    return bench, trace


@pytest.mark.parametrize("device", ["thermostatic", "capillary"])
def test_a_wet_plant_blocks_within_minutes_stops_thaws_and_comes_back(device: Device) -> None:
    """Service practice: it runs well at first, then suction falls until the control stops it; after standing it runs well again."""
    bench, trace = wet(device)
    sound = float(running(device).readings()["suction_pressure_pa"]) / 1e5
    assert trace[5][1] > 0.9 * sound, "it runs well for the first minute"
    stops = [e.time_s for e in bench.events if e.tag == "PSL-1" and e.text.startswith("PSL-1 has opened")]  # fmt: skip
    assert len(stops) >= 2
    assert 120.0 < stops[0] - 900.0 < 1500.0
    before = [p for t, p, _, _ in trace if t < stops[0]]
    assert min(before) < 0.75 * sound
    between = [row for row in trace if stops[0] < row[0] < stops[-1]]
    assert min(row[3] for row in between) < 0.1 * max(row[3] for row in between), "it thaws"
    assert any(row[2] > 3000.0 and row[1] > 0.85 * sound for row in between), "and runs well again"
    books = bench.ledger()
    assert abs(books["mass_closure"]) < 1e-9
    assert abs(books["energy_closure"]) < 1e-9


def test_water_is_neither_made_nor_lost() -> None:
    assert sum(water(wet("thermostatic")[0]).values()) == pytest.approx(4.0 * GRAM, abs=1e-12)


def test_a_sound_drier_takes_a_little_water_before_it_does_harm() -> None:
    """0.8 g: within the drier's room. After an hour the evaporator's liquid dissolves all that is left, so nothing can freeze."""
    bench = running("thermostatic").fork()
    bench.insert_fault("moisture", 0.2)
    bench.advance(3600.0)
    assert not [e for e in bench.events if e.tag == "PSL-1"]
    assert water(bench)["drier"] > 0.5 * 0.8 * GRAM
    evaporating = float(bench.readings()["evaporating_temperature_k"])
    assert water(bench)["circulating"] / 0.7 < 0.7 * moisture.solubility(evaporating)
    assert ice(bench) == 0.0


def test_a_spent_drier_takes_none_and_a_new_one_does() -> None:
    bench = running("thermostatic").fork()
    bench.insert_fault("drier-spent", 1.0)
    bench.advance(60.0)
    assert water(bench)["drier"] == 0.0
    bench.remove_fault("drier-spent")
    bench.advance(60.0)
    assert water(bench)["drier"] > 0.0
    assert sum(water(bench).values()) == pytest.approx(3.0 * GRAM)


def test_above_freezing_nothing_blocks() -> None:
    """Evaporating at some 8 degC, in a hot room with a warm load."""
    bench = Bench(load_rig("fennick_bench"), surroundings={"evaporator_air_in_c": 45.0, "room_temperature_c": 30.0})  # fmt: skip
    line_up(bench, "thermostatic")
    bench.set("HS-2", "high")
    bench.advance(900.0)
    assert float(bench.readings()["evaporating_temperature_k"]) > 275.0
    bench.insert_fault("moisture", 1.0)
    bench.advance(600.0)
    assert ice(bench) == 0.0


def test_removing_the_fault_leaves_the_water() -> None:
    bench = running("thermostatic").fork()
    bench.insert_fault("moisture", 0.5)
    bench.remove_fault("moisture")
    assert sum(water(bench).values()) == pytest.approx(2.0 * GRAM)


def test_a_fork_and_a_save_go_on_with_the_same_water(tmp_path: Path) -> None:
    bench = running("thermostatic").fork()
    bench.insert_fault("moisture", 1.0)
    bench.advance(200.0)
    bench.save(tmp_path / "b.bench")
    others = [bench.fork(), Bench.load(tmp_path / "b.bench")]
    for one in (bench, *others):
        one.advance(301.0)
    assert ice(bench) > 0.0
    assert all(one.ledger() == bench.ledger() for one in others)
    assert all(one.readings() == bench.readings() for one in others)


def test_a_plug_is_ice_over_a_length_of_the_bore() -> None:
    """Tube of 1.1 mm: 0.95 mm2 over 20 mm at 917 kg/m3 are 17 mg."""
    bench = running("thermostatic")
    k = bench.layout.links["FO-21"]
    assert isinstance(bench.layout.plans[k].part, Capillary)
    assert moisture.plug_kg(bench, k) == pytest.approx(17.4e-6, rel=0.01)

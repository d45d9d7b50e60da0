"""A gas in the circuit that does not condense: Dalton's sum, what a gauge makes of it, where it goes, and that the books close for each of the two."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from sim import Bench
from sim.columns import N_GAS, N_VENT, P_COLUMNS, P_GAS_P, P_P, P_RHOV, P_T
from sim.fluid import Fluid
from sim.fluid_kernel import dew_pressure, energy, saturation
from sim.gas import CV_GAS, R_GAS, carried, gas_enthalpy, lightened
from sim.kernel import leave
from sim.nodes import node_properties
from sim.rig import Device
from sim.session import open_bench
from tests.sim.test_jacobian import BENDING_STEP, BENDING_TOLERANCE, check

BAR, ICE_K = 1e5, 273.15
R134A = Fluid.load("R134a")
VOLUME = 2e-3
DEVICES: tuple[Device, ...] = ("thermostatic", "capillary", "hand", "float")
NEUTRAL = {"suction_pressure_pa": 0.06e5, "discharge_pressure_pa": 0.25e5, "evaporator_superheat_k": 1.5, "condenser_subcooling_k": 1.0, "discharge_temperature_k": 1.5, "current_a": 0.015, "power_w": 3.0}  # fmt: skip
"""The neutral bands of the sign table (common practice)."""


def vessel(density: float, kelvin: float, gas: float) -> np.ndarray:
    """A node of R134a with gas in it, all at one temperature."""
    row = np.zeros(P_COLUMNS)
    mass = density * VOLUME
    stored = mass * energy(R134A.tables, density, kelvin) + gas * CV_GAS * (kelvin - ICE_K)
    node_properties(row, R134A.tables, 1.0 / 3.0, VOLUME, mass, stored, kelvin + 3.0, gas)
    return row


def gas_of(bench: Bench) -> np.ndarray:
    """kg by node."""
    bench.look()
    n = bench.layout.n_nodes
    return np.array(bench.watch.y[n : 2 * n])


@pytest.mark.parametrize("kelvin", [260.0, 296.15, 330.0])
@pytest.mark.parametrize("gas", [1e-5, 1e-3, 1e-2])
def test_in_a_vessel_of_vapour_the_pressures_add(kelvin: float, gas: float) -> None:
    # Dalton's law; the gas by p = m R T / V, the vapour as if it were alone
    density = 0.5 * dew_pressure(R134A.tables, kelvin) / (R134A.gas_constant * kelvin)
    alone, both = vessel(density, kelvin, 0.0), vessel(density, kelvin, gas)
    assert both[P_T] == pytest.approx(kelvin, abs=1e-4)
    assert both[P_P] - alone[P_P] == pytest.approx(gas * R_GAS * kelvin / VOLUME, rel=1e-5)


@pytest.mark.parametrize(("excess_bar", "reads_c"), [(0.2, 24.0), (0.4, 25.1), (0.8, 27.0)])
def test_a_standing_gauge_reads_a_temperature_that_is_not_there(excess_bar: float, reads_c: float) -> None:  # fmt: skip
    # R134a standing at 23 degC with so much gas above it: the card beside the gauge then reads 24.0, 25.1, 27.0 degC
    # (own arithmetic with CoolProp's saturation line: 6.27 bar abs at 23 degC)
    kelvin = 23.0 + ICE_K
    gas = excess_bar * BAR * 0.5 * VOLUME / (R_GAS * kelvin)
    sat = np.zeros(14)
    saturation(R134A.tables, dew_pressure(R134A.tables, kelvin), sat)
    half_full = 0.5 * (R134A.saturation(6.2e5).rho_liquid_kg_m3 + R134A.saturation(6.2e5).rho_vapour_kg_m3)  # fmt: skip
    row = vessel(half_full, kelvin, gas)
    assert R134A.dew_temperature(row[P_P]) - ICE_K == pytest.approx(reads_c, abs=0.15)


def test_gas_leaves_with_vapour_and_hardly_with_liquid() -> None:
    row = vessel(600.0, 300.0, 1e-3)
    vapour, liquid = carried(row, R134A.saturation(row[P_P] - row[P_GAS_P]).h_vapour_j_kg), carried(row, R134A.saturation(row[P_P] - row[P_GAS_P]).h_liquid_j_kg)  # fmt: skip
    space = VOLUME * (1.0 - (600.0 - row[P_RHOV]) / (R134A.saturation(7.0e5).rho_liquid_kg_m3 - row[P_RHOV]))  # fmt: skip
    assert vapour == pytest.approx(1e-3 / (space * row[P_RHOV]), rel=0.03)
    assert 0.0 < liquid < 1e-3 * vapour


def test_a_compressor_moves_the_same_amount_of_substance_whatever_it_is() -> None:
    row = np.zeros(P_COLUMNS)
    row[P_P] = row[P_GAS_P] = BAR
    # molar masses 28.966 and 102.03 g/mol (ISO 2533; ASHRAE 34)
    assert lightened(row, R134A.gas_constant) == pytest.approx(28.966 / 102.03, rel=1e-3)
    row[P_GAS_P] = 0.0
    assert lightened(row, R134A.gas_constant) == 1.0


@pytest.fixture(scope="module")
def runs() -> dict[str, tuple[dict[str, float | str], Bench]]:
    """On each device: readings before, and the bench an hour after 0.8 g of air went in."""
    found: dict[str, tuple[dict[str, float | str], Bench]] = {}
    for device in DEVICES:
        bench = open_bench("fennick_bench", "steady", device=device)
        before = bench.readings()
        bench.insert_fault("non-condensable", 0.2)
        bench.advance(3600.0)
        found[device] = before, bench
    return found


def moved(runs: dict[str, tuple[dict[str, float | str], Bench]], device: str) -> dict[str, float]:
    """By how many neutral bands each reading has moved."""
    before, bench = runs[device]
    after = bench.readings()
    return {key: (float(after[key]) - float(before[key])) / band for key, band in NEUTRAL.items()}


@pytest.mark.parametrize("device", DEVICES)
def test_head_and_watts_rise_and_liquid_seems_subcooled(runs: dict[str, tuple[dict[str, float | str], Bench]], device: str) -> None:  # fmt: skip
    # sign table of the design text, row R17; the apparent subcooling is a technician's reading of gauge and thermometer
    bands = moved(runs, device)
    assert bands["discharge_pressure_pa"] > 1.0
    assert bands["power_w"] > 0.85
    assert bands["condenser_subcooling_k"] > 1.0


def test_only_a_fixed_device_floods(runs: dict[str, tuple[dict[str, float | str], Bench]]) -> None:
    assert abs(moved(runs, "thermostatic")["evaporator_superheat_k"]) < 1.0
    for device in ("capillary", "hand"):
        bands = moved(runs, device)
        assert bands["evaporator_superheat_k"] < -1.0
        assert bands["suction_pressure_pa"] > 1.0
        assert bands["discharge_temperature_k"] < -1.0


@pytest.mark.parametrize("device", DEVICES)
def test_the_gas_collects_above_the_receivers_liquid(runs: dict[str, tuple[dict[str, float | str], Bench]], device: str) -> None:  # fmt: skip
    bench = runs[device][1]
    gas = gas_of(bench)
    assert gas.sum() == pytest.approx(0.8e-3, rel=1e-6)
    assert gas[bench.layout.nodes["receiver"]] > 0.8 * gas.sum()


def test_after_a_stop_the_pressure_stands_above_saturation(runs: dict[str, tuple[dict[str, float | str], Bench]]) -> None:  # fmt: skip
    """The test for air: compressor off, fans on until all is at the room's temperature."""
    bench = runs["thermostatic"][1].fork()
    bench.set("HS-4", "off")
    bench.advance(3 * 3600.0)
    readings = bench.readings()
    pressure = float(readings["discharge_pressure_pa"])
    room = float(readings["room_temperature_k"])
    excess = pressure - dew_pressure(R134A.tables, room)
    assert 0.1 * BAR < excess < 3.0 * BAR
    assert R134A.dew_temperature(pressure) > room + 0.5


@pytest.mark.parametrize("device", DEVICES)
def test_the_books_close_for_both(runs: dict[str, tuple[dict[str, float | str], Bench]], device: str) -> None:  # fmt: skip
    bench = runs[device][1]
    ledger = bench.ledger()
    assert abs(ledger["mass_closure"]) < 1e-9
    assert abs(ledger["energy_closure"]) < 1e-6
    assert bench.total_mass_kg == pytest.approx(bench.rig.charge_kg, rel=1e-9)


def test_nothing_changes_when_room_is_made_for_a_gas_that_is_not_there() -> None:
    one = open_bench("fennick_bench", "steady", device="capillary")
    two = one.fork()
    two.admit_gas()
    for bench in (one, two):
        bench.advance(600.0)
    a, b = one.readings(), two.readings()
    for key, value in a.items():
        if isinstance(value, float) and not key.endswith("_shown"):
            assert float(b[key]) == pytest.approx(value, rel=2e-3, abs=1e-2), key
    assert np.abs(gas_of(two)).max() < 1e-15


def test_a_bench_with_gas_saves_forks_and_goes_on_bit_for_bit(runs: dict[str, tuple[dict[str, float | str], Bench]], tmp_path: Path) -> None:  # fmt: skip
    bench = runs["hand"][1].fork()
    bench.save(tmp_path / "air.rime")
    again, twin = Bench.load(tmp_path / "air.rime"), bench.fork()
    for one in (bench, again, twin):
        one.set("HCV-22", 0.3)
        one.advance(60.0)
        one.look()
    assert np.array_equal(bench.watch.y, again.watch.y)
    assert np.array_equal(bench.watch.y, twin.watch.y)


def test_strapped_thermometers_hang_where_they_hung() -> None:
    bench = open_bench("fennick_bench", "steady", device="hand")
    place = next(info for info in bench.tags() if info.kind == "place")
    bench.set(place.tag, place.choices[-1])
    bench.advance(200.0)
    before = float(bench.readings()["strap_on_temperature_k"])
    bench.admit_gas()
    assert float(bench.readings()["strap_on_temperature_k"]) == pytest.approx(before, abs=0.05)


@pytest.mark.parametrize("device", DEVICES)
def test_each_entry_of_the_jacobian_is_a_slope_with_gas_too(runs: dict[str, tuple[dict[str, float | str], Bench]], device: str) -> None:  # fmt: skip
    check(runs[device][1], BENDING_TOLERANCE, BENDING_STEP)


def test_a_hole_below_the_rooms_pressure_draws_air_in() -> None:
    bench = open_bench("fennick_bench", "steady", device="hand")
    bench.admit_gas()
    bench.look()
    plant, k = bench.plant, bench.layout.nodes["suction_port"]
    plant.node[k, N_VENT] = 1e-8
    row = bench.watch.P[k].copy()
    row[P_P] = 0.5 * BAR
    mass, watts, gas = leave(plant, k, row, 1e-3, 0.0)
    # an orifice of 0.01 mm2 between 1.013 and 0.5 bar: A sqrt(2 rho dp), bent over towards choking: 3.5 mg/s without that
    free = 1e-8 * np.sqrt(2.0 * 1.19 * 0.513e5)
    assert mass == gas
    assert -free < gas < -0.4 * free
    assert watts == pytest.approx(gas * gas_enthalpy(bench.surroundings.room_temperature_k))


def test_a_leak_in_a_vacuum_fills_the_plant_with_air_by_the_books() -> None:
    """Pumped down with the low-pressure control bridged by a low set point, a leaking suction line breathes in."""
    bench = open_bench("fennick_bench", "steady", device="hand")
    bench.set("PSL-1.set", next(i.low or 0.0 for i in bench.tags() if i.tag == "PSL-1.set"))
    bench.insert_fault("refrigerant-leak", 1.0, place="suction_port")
    bench.set("HV-12", 0.0)
    bench.set("HV-13", 0.0)
    bench.advance(900.0)
    assert gas_of(bench).sum() > 1e-5
    ledger = bench.ledger()
    assert abs(ledger["mass_closure"]) < 1e-9
    assert abs(ledger["energy_closure"]) < 1e-6


def test_gas_goes_in_over_half_a_minute_and_stays() -> None:
    bench = open_bench("fennick_bench", "steady", device="hand")
    bench.insert_fault("non-condensable", 0.1)
    bench.advance(15.0)
    assert 0.3e-4 < gas_of(bench).sum() < 3.0e-4
    bench.advance(20.0)
    assert gas_of(bench).sum() == pytest.approx(4e-4, rel=1e-3)
    assert bench.plant.node[:, N_GAS].sum() == 0.0
    bench.remove_fault("non-condensable")
    bench.advance(60.0)
    assert gas_of(bench).sum() == pytest.approx(4e-4, rel=1e-3)
    assert float(bench.readings()["charge_kg"]) == pytest.approx(bench.rig.charge_kg, rel=1e-9)


def test_the_same_course_with_air_at_any_cut_of_time() -> None:
    ends = []
    for step in (5.0, 0.7):
        bench = open_bench("fennick_bench", "steady", device="capillary")
        bench.insert_fault("non-condensable", 0.3)
        while bench.time_s < 70.0 - 1e-9:
            bench.advance(min(step, 70.0 - bench.time_s))
        bench.look()
        ends.append(bench.watch.y.copy())
    assert np.array_equal(ends[0], ends[1])

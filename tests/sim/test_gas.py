"""Air in the circuit: Dalton and the ideal gas by hand, books of both masses, where the air goes, what a gauge then says, and how it gets in and out."""

from __future__ import annotations

from collections.abc import Callable
from math import sqrt
from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI
from numpy.typing import NDArray

from sim import Bench
from sim import columns as c
from sim.errors import InputError
from sim.fluid import Fluid
from sim.fluid_kernel import dew_pressure, energy
from sim.gas import CV_GAS, DISSOLVED, R_GAS, gas_enthalpy
from sim.kernel import leave
from sim.nodes import node_properties
from sim.rig import Device, Rig
from sim.saving import MEMORY, PLANT
from sim.session import line_up

R134A = Fluid.load("R134a").tables
ROOM_K = 296.15  # 23 °C
AIR_R = 287.042  # J/(kg K), dry air: ASHRAE Fundamentals 2017 ch. 1 eq. (1)
AIR_CV = 718.0  # J/(kg K), dry air at 300 K: Moran & Shapiro table A-20 (0.718 kJ/(kg K))
DEVICES: tuple[Device, ...] = ("thermostatic", "capillary", "hand", "float")
NINE_TENTHS_OF_A_GRAM = 0.6  # of the fault's 1.5 g


def node(volume: float, mass: float, gas: float, kelvin: float, guess: float = 300.0) -> NDArray[np.float64]:  # fmt: skip
    """A node at a temperature, found again from its energy."""
    row = np.zeros(c.P_COLUMNS)
    stored = mass * energy(R134A, mass / volume, kelvin) + gas * CV_GAS * (kelvin - 273.15)
    node_properties(row, R134A, 1.0 / 3.0, volume, mass, stored, guess, gas)
    return row


def room_for_air(volume: float, void: float) -> float:
    """Vapour space, and liquid as good as a tenth of it (Henry), m3."""
    return volume * (void + DISSOLVED * (1.0 - void))


def gas_of(bench: Bench) -> dict[str, float]:
    """kg by node and outside."""
    found: dict[str, float] = bench.ledger()["gas_kg"]
    return found


@pytest.fixture(scope="module")
def _aired(rig: Rig) -> Bench:
    bench = Bench(rig)
    line_up(bench, "thermostatic")
    bench.advance(600.0)
    bench.insert_fault("non-condensable", NINE_TENTHS_OF_A_GRAM)
    bench.advance(600.0)
    return bench


@pytest.fixture
def aired(_aired: Bench) -> Bench:
    """Running for ten minutes with 0.9 g of air in it."""
    return _aired.fork()


# --- one vessel -------------------------------------------------------------------------------


def test_the_gas_is_dry_air() -> None:
    assert pytest.approx(AIR_R, rel=1e-4) == R_GAS
    assert pytest.approx(AIR_CV, rel=2e-3) == CV_GAS


@pytest.mark.parametrize("kelvin", [253.15, 296.15, 353.15])
def test_air_alone_in_a_vessel_is_an_ideal_gas(kelvin: float) -> None:
    """1.2 g in a litre at 23 °C: 0.0012 x 287.042 x 296.15 / 0.001 = 102.0 kPa."""
    row = node(1e-3, 1e-9, 1.2e-3, kelvin)
    assert row[c.P_T] == pytest.approx(kelvin, abs=1e-4)
    assert row[c.P_P] == pytest.approx(1.2e-3 * AIR_R * kelvin / 1e-3, rel=2e-4)


@pytest.mark.parametrize(("excess_pa", "apparent_c"), [(0.2e5, 24.0), (0.4e5, 25.1), (0.8e5, 27.0)])
def test_pressures_add_and_a_gauge_reads_an_apparent_temperature(excess_pa: float, apparent_c: float) -> None:  # fmt: skip
    """Dalton over liquid R134a at 23 °C; what a pressure-temperature card says of the sum, by CoolProp."""
    volume, mass = 1e-3, 0.3  # a quarter liquid
    void = node(volume, mass, 0.0, ROOM_K)[c.P_VOID]
    row = node(volume, mass, excess_pa * room_for_air(volume, void) / (AIR_R * ROOM_K), ROOM_K)
    alone = PropsSI("P", "T", ROOM_K, "Q", 1, "R134a")
    assert row[c.P_T] == pytest.approx(ROOM_K, abs=1e-3)
    assert row[c.P_P] == pytest.approx(alone + excess_pa, rel=1e-3)
    assert row[c.P_TS] == pytest.approx(ROOM_K, abs=0.02)  # condenses by its own pressure
    card = PropsSI("T", "P", row[c.P_P], "Q", 1, "R134a") - 273.15
    assert card == pytest.approx(apparent_c, abs=0.1)


def test_energy_at_one_temperature_is_the_sum_of_both() -> None:
    """Warming a vessel of both by 10 K takes what refrigerant and air take alone: the temperature is found from the energy, from any guess."""
    volume, mass, gas = 1e-3, 0.02, 2e-3
    for guess in (230.0, 300.0, 380.0):
        assert node(volume, mass, gas, 330.0, guess)[c.P_T] == pytest.approx(330.0, abs=1e-4)
    warmer = energy(R134A, mass / volume, 340.0) - energy(R134A, mass / volume, 330.0)
    stored = mass * energy(R134A, mass / volume, 330.0) + gas * CV_GAS * (330.0 - 273.15)
    row = np.zeros(c.P_COLUMNS)
    node_properties(row, R134A, 0.0, volume, mass, stored + mass * warmer + gas * AIR_CV * 10.0, 300.0, gas)  # fmt: skip
    assert row[c.P_T] == pytest.approx(340.0, abs=2e-3)


def test_pressure_stays_finite_and_goes_on_where_the_vapour_ends() -> None:
    """Filling a vessel to the brim: the air left over is what the liquid dissolves (a tenth of its volume's worth), without a jump on the way."""
    volume, gas = 1e-3, 1e-6
    masses = np.linspace(1.15, 1.25, 401)
    pressure = np.array([node(volume, m, gas, ROOM_K)[c.P_GAS_P] for m in masses])
    assert pressure[-1] == pytest.approx(gas * AIR_R * ROOM_K / (0.1 * volume), rel=1e-3)
    assert np.abs(np.diff(pressure)).max() < 0.005 * pressure.max()


# --- a plant ----------------------------------------------------------------------------------


def test_without_air_a_plant_has_one_mass_a_node(running: Bench) -> None:
    running.insert_fault("condenser-fouled", 0.5)
    running.insert_fault("non-condensable", 0.0)
    assert running.layout.n_species == 1
    assert gas_of(running) == {}


def test_making_room_for_air_changes_nothing(running: Bench, another: Callable[[], Bench]) -> None:
    twin = another()
    twin.set("HV-42", twin.commands["HV-42"])  # the same restart
    running.set("HV-42", running.commands["HV-42"])
    running.admit_gas()
    n, old, new = twin.layout.n_nodes, twin.layout, running.layout
    assert new.n_species == 2
    y, was = running._memory.y, twin._memory.y
    assert y[:n].tobytes() == was[:n].tobytes()
    assert not y[n : 2 * n].any()
    assert y[new.energy_start : new.ledger_start].tobytes() == was[old.energy_start : old.ledger_start].tobytes()  # fmt: skip
    assert running.commands == twin.commands
    assert running.events == twin.events
    for bench in (running, twin):
        bench.advance(60.0)
    here, there = running.readings(), twin.readings()
    for key, value in there.items():
        assert here[key] == (value if isinstance(value, str) else pytest.approx(value, rel=1e-3, abs=1e-3)), key  # fmt: skip


@pytest.mark.parametrize("device", DEVICES)
def test_both_masses_and_the_energy_close(rig: Rig, device: Device) -> None:
    """Four hours: running, stopped, started again."""
    bench = Bench(rig)
    line_up(bench, device)
    bench.advance(600.0)
    bench.insert_fault("non-condensable", NINE_TENTHS_OF_A_GRAM)
    for state, seconds in (("on", 5000.0), ("off", 4000.0), ("on", 5000.0)):
        bench.set("HS-4", state)
        bench.advance(seconds)
    gas = gas_of(bench)
    assert gas["outside"] == pytest.approx(-0.9e-3, rel=1e-3)
    assert abs(sum(gas.values())) < 1e-9 * 0.9e-3
    ledger = bench.ledger()
    refrigerant = sum(ledger["mass_kg"].values()) - sum(gas.values())
    assert refrigerant == pytest.approx(rig.charge_kg, rel=1e-9)
    assert abs(ledger["energy_closure"]) < 1e-6
    assert min(gas[name] for name in bench.layout.nodes) > -1e-9


def test_air_collects_where_the_liquid_collects(aired: Bench) -> None:
    """Receiver and condenser hold it but for what liquid carries off dissolved; none to speak of is in the evaporator (trade press; common practice)."""
    gas = gas_of(aired)
    high = gas["receiver"] + sum(gas[f"a{k}"] for k in range(1, 9))
    assert high > 0.95 * sum(kg for name, kg in gas.items() if name != "outside")
    assert sum(gas[f"b{k}"] for k in range(1, 9)) < 0.001 * high


def test_a_running_plant_has_apparent_subcooling(running: Bench, aired: Bench) -> None:
    running.advance(600.0)
    before, after = running.readings(), aired.readings()
    assert float(after["discharge_pressure_pa"]) > float(before["discharge_pressure_pa"]) + 0.4e5
    assert float(after["condenser_subcooling_k"]) > float(before["condenser_subcooling_k"]) + 3.0


def test_a_standing_plant_stands_above_saturation(aired: Bench) -> None:
    """The check of the trade: stop, fans on, wait, compare with the card. The excess is the air's pressure in the vapour at the receiver, by hand."""
    aired.set("HS-4", "off")
    for tag, value in (("HS-2", "high"), ("HS-3", "high")):
        aired.set(tag, value)
    aired.advance(3.0 * 3600.0)
    room = aired.surroundings.room_temperature_k
    saturated = PropsSI("P", "T", room, "Q", 1, "R134a")
    aired.look()
    k = aired.layout.nodes["receiver"]
    row = aired.watch.P[k]
    assert row[c.P_T] == pytest.approx(room, abs=0.5)
    excess = row[c.P_P] - PropsSI("P", "T", row[c.P_T], "Q", 1, "R134a")
    room_m3 = room_for_air(float(aired.plant.node[k, c.N_VOLUME]), row[c.P_VOID])
    by_hand = gas_of(aired)["receiver"] * AIR_R * row[c.P_T] / room_m3
    assert excess == pytest.approx(by_hand, rel=0.02)
    assert float(aired.readings()["discharge_pressure_pa"]) > saturated + 0.2e5


def test_taking_the_fault_away_takes_no_air_out(aired: Bench) -> None:
    held = -gas_of(aired)["outside"]
    aired.remove_fault("non-condensable")
    aired.advance(300.0)
    assert -gas_of(aired)["outside"] == pytest.approx(held, rel=1e-9)


def test_recovering_the_charge_takes_the_air_along(aired: Bench) -> None:
    aired.remove_fault("non-condensable")
    aired.set("HS-4", "off")
    aired.insert_fault("undercharge", 1.0)
    aired.advance(600.0)
    left = sum(kg for name, kg in gas_of(aired).items() if name != "outside")
    assert left < 0.05 * 0.9e-3
    assert abs(sum(gas_of(aired).values())) < 1e-12


def test_air_is_put_in_over_half_a_minute(running: Bench) -> None:
    running.insert_fault("non-condensable", 1.0)
    running.advance(15.0)
    assert 0.4e-3 < -gas_of(running)["outside"] < 1.1e-3
    running.advance(30.0)
    assert -gas_of(running)["outside"] == pytest.approx(1.5e-3, rel=2e-3)


def test_it_cannot_come_and_go(running: Bench) -> None:
    from sim.onset import Onset

    with pytest.raises(InputError, match="come and go"):
        running.insert_fault("non-condensable", 0.5, onset=Onset(period_s=60.0))


# --- through a hole ---------------------------------------------------------------------------


def test_through_a_hole_the_room_s_air_comes_in_below_its_pressure(running: Bench) -> None:
    """Half an atmosphere inside: A sqrt(2 rho dp), no more than a choked nozzle passes; its enthalpy is the room's."""
    running.admit_gas()
    plant = running.plant
    i = running.layout.nodes["suction_port"]
    atmosphere, area = plant.glob[c.G_ATMOSPHERE], 1e-8
    plant.node[i, c.N_VENT] = area
    row = np.zeros(c.P_COLUMNS)
    volume = plant.node[i, c.N_VOLUME]
    density = 0.5 * atmosphere / (81.49 * ROOM_K)  # R134a as an ideal gas, near enough
    node_properties(row, R134A, 0.0, volume, density * volume, density * volume * energy(R134A, density, ROOM_K), ROOM_K, 0.0)  # fmt: skip
    m, e, g = leave(plant, i, row, density * volume, 0.0)
    rho = atmosphere / (AIR_R * plant.glob[c.G_ROOM_T])
    assert m == g < 0.0
    assert -m < 0.6847 * area * sqrt(rho * atmosphere) * 1.4  # ideal nozzle, kappa 1.4; an opening is stated with its coefficient  # fmt: skip
    assert -m > 0.5 * area * sqrt(2.0 * rho * (atmosphere - row[c.P_P]))
    assert e == pytest.approx(m * gas_enthalpy(plant.glob[c.G_ROOM_T]))


def test_a_leak_on_a_low_side_in_vacuum_draws_air_in_and_the_books_say_so(running: Bench) -> None:
    running.insert_fault("low-pressure-control-stuck-closed", 1.0)
    running.set("HV-12", 0.0)
    running.advance(240.0)
    running.look()
    assert float(running.readings()["suction_pressure_pa"]) < running.plant.glob[c.G_ATMOSPHERE]
    before = running.readings()["charge_kg"]
    running.insert_fault("refrigerant-leak", 1.0, place="suction_port")
    running.advance(600.0)
    gas = gas_of(running)
    assert gas["outside"] < -1e-5
    assert abs(sum(gas.values())) < 1e-12
    assert running.readings()["charge_kg"] == pytest.approx(before, rel=1e-6)
    ledger = running.ledger()
    assert abs(ledger["mass_closure"]) < 1e-9
    assert abs(ledger["energy_closure"]) < 1e-6
    # and out again: above the room's pressure the same hole lets the mixture out
    running.set("HV-12", 1.0)
    running.set("HS-4", "off")
    running.advance(120.0)
    assert float(running.readings()["charge_kg"]) < float(before)


# --- copies -----------------------------------------------------------------------------------


def test_saved_forked_and_run_again_it_is_the_same_run(aired: Bench, tmp_path: Path) -> None:
    twin = aired.fork()
    aired.save(tmp_path / "air.bench")
    loaded = Bench.load(tmp_path / "air.bench")
    for bench in (aired, twin, loaded):
        bench.advance(30.0)
        bench.set("HS-4", "off")
        bench.advance(90.0)
    for other in (twin, loaded):
        for name in MEMORY:
            assert getattr(other._memory, name).tobytes() == getattr(aired._memory, name).tobytes()
        for name in PLANT:
            assert getattr(other.plant, name).tobytes() == getattr(aired.plant, name).tobytes()


def test_condensing_is_by_the_refrigerant_s_own_pressure(aired: Bench) -> None:
    """In a cell with liquid and air the refrigerant is at the saturation temperature of its own pressure, below that of the whole."""
    aired.look()
    row = aired.watch.P[aired.layout.nodes["receiver"]]
    assert row[c.P_GAS_P] > 0.3e5
    assert dew_pressure(R134A, row[c.P_T]) == pytest.approx(row[c.P_P] - row[c.P_GAS_P], rel=1e-3)

"""The books: mass closes to 1e-9 of the charge, energy to 1e-6 of throughput, over long runs and through every kind of loss and gain."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from sim import Bench
from sim import columns as c
from sim.errors import PlantError
from sim.machine import phasor
from sim.rig import Device, Rig
from sim.session import line_up
from sim.tags import Setting

DAY_S = 86_400.0


def closed(bench: Bench) -> None:
    """Both closures."""
    ledger = bench.ledger()
    assert abs(ledger["mass_closure"]) < 1e-9
    assert abs(ledger["energy_closure"]) < 1e-6


def test_the_parts_of_the_books_add_up_to_the_charge(running: Bench) -> None:
    mass = running.ledger()["mass_kg"]
    assert set(mass) == {node.name for node in running.rig.nodes} | {"outside", "oil"}
    assert sum(mass.values()) == pytest.approx(running.rig.charge_kg, rel=1e-9)
    assert running.readings()["charge_kg"] == pytest.approx(running.rig.charge_kg, rel=1e-9)


def test_the_account_of_electricity_is_what_the_wattmeter_would_sum(running: Bench) -> None:
    """The compressor's watts, read every second, less what relay and overload take outside the shell, against the books over a minute of steady running."""
    running.advance(1800.0)
    before = running.ledger()["electric_j"]
    watts = 0.0
    motor = running.supply.motor
    assert motor is not None
    in_line_ohm = motor.relay_resistance_ohm + motor.overload_resistance_ohm
    for _ in range(60):
        running.advance(1.0)
        watts += float(running.readings()["compressor_power_w"])
        amps = abs(phasor(running.plant, c.FEED_OVERLOAD, *running.watch.current))
        watts -= float(amps) ** 2 * in_line_ohm
    assert running.ledger()["electric_j"] - before == pytest.approx(watts, rel=1e-3)


@pytest.mark.parametrize("device", ["thermostatic", "capillary", "hand", "float"])
def test_an_hour_on_each_device(rig: Rig, device: Device) -> None:
    bench = Bench(rig)
    line_up(bench, device)
    bench.advance(3600.0)
    closed(bench)


def test_a_day_of_running(rig: Rig) -> None:
    bench = Bench(rig)
    line_up(bench, "float")
    bench.advance(DAY_S)
    assert bench.snapshot().running
    closed(bench)


@pytest.mark.full
def test_a_day_on_the_thermostat_with_the_load_box_heated(rig: Rig) -> None:
    """Some two hundred starts and stops."""
    bench = Bench(rig)
    line_up(bench, "thermostatic")
    bench.set("HS-7", "heated")
    bench.set("HS-7.watts", 150.0)
    bench.advance(DAY_S)
    assert sum(e.tag == "TS-1" for e in bench.events) > 100
    closed(bench)


def test_cycling_on_the_thermostat_and_on_the_low_pressure_control(
    another: Callable[[], Bench],
) -> None:
    lots: tuple[dict[str, Setting], ...] = ({"HS-7": "heated", "HS-7.watts": 150.0}, {"HV-12": 0.0})
    for commands in lots:
        bench = another()
        for tag, value in commands.items():
            bench.set(tag, value)
        bench.advance(1500.0)
        assert sum(e.tag == "K1" for e in bench.events) >= 4
        closed(bench)


def test_the_load_box_brings_its_heat_in_and_takes_it_out(running: Bench) -> None:
    for position in ("closed", "open", "heated", "open", "closed", "heated"):
        running.set("HS-7", position)
        closed(running)
        running.advance(60.0)
        closed(running)


def test_a_relief_valve_that_vents(rig: Rig) -> None:
    bench = Bench(rig, charge_kg=1.2)
    bench.set("room_temperature_c", 50.0)
    bench.advance(480.0)
    assert any(e.kind == "lift" for e in bench.events)
    assert bench.lost_mass_kg > 1e-3
    assert bench.ledger()["outside_energy_j"] != 0.0
    closed(bench)


def test_a_burst_section(running: Bench) -> None:
    for tag, value in (("HS-6", "off"), ("HV-12", 0.0), ("room_temperature_c", 50.0)):
        running.set(tag, value)
    running.advance(1800.0)
    assert any(e.kind == "burst" for e in running.events)
    closed(running)


@pytest.mark.parametrize(("name", "severity"), [("undercharge", 0.4), ("undercharge", 1.0), ("overcharge", 1.0)])  # fmt: skip
def test_charge_let_out_and_put_in(running: Bench, name: str, severity: float) -> None:
    running.insert_fault(name, severity)
    running.advance(300.0)
    closed(running)
    running.remove_fault(name)
    running.advance(60.0)
    closed(running)


def test_beginning_anew_opens_the_books_anew(running: Bench) -> None:
    running.insert_fault("undercharge", 0.3)
    running.advance(10.0)
    running.forget()
    assert running.time_s == 0.0
    assert running.ledger()["mass_kg"]["outside"] == 0.0
    assert running.ledger()["mass_closure"] == 0.0
    running.advance(120.0)
    closed(running)
    assert running.total_mass_kg == pytest.approx(0.7 * running.rig.charge_kg, abs=1e-5)


def test_a_charge_that_fits_nowhere_is_refused(rig: Rig) -> None:
    with pytest.raises(PlantError):
        Bench(rig, charge_kg=5.0)

"""Refrigerant in the compressor's oil: the law against published points, and what a cold stop, a migrated charge and a lack of oil do to a bench."""

from __future__ import annotations

from collections.abc import Callable
from math import exp, log
from pathlib import Path

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from sim import Bench, load_rig, oil
from sim.parts.compressor import C_OIL
from sim.session import line_up

ESTER, R134A = 0.69704, 0.10203  # kg/mol


def mass_ratio(x_mol: float) -> float:
    return x_mol / (1.0 - x_mol) * R134A / ESTER


@pytest.mark.parametrize(("celsius", "x_mol"), [(30.0, 0.1622), (49.92, 0.5864), (70.0, 0.3)])
def test_the_activity_is_the_published_one_in_its_own_form(celsius: float, x_mol: float) -> None:
    """Wahlstrom and Vamling, J. Chem. Eng. Data 45 (2000) 97: ln gamma = ln(1 - (1 - 1/r) phi2) + (1 - 1/r) phi2 + chi phi2^2, pressure gamma x p_sat."""
    kelvin, r = celsius + 273.15, 10.41
    phi2 = r * (1.0 - x_mol) / (x_mol + r * (1.0 - x_mol))
    chi = 938.0 / kelvin * (1.0 - 176.0 / kelvin)
    gamma = exp(log(1.0 - (1.0 - 1.0 / r) * phi2) + (1.0 - 1.0 / r) * phi2 + chi * phi2**2)
    assert oil.activity(mass_ratio(x_mol), kelvin) == pytest.approx(gamma * x_mol, rel=1e-3)


def test_oil_in_a_warm_shell_holds_a_few_per_cent_and_a_cold_one_ten_times_that() -> None:
    """Known of R134a and esters: some per cent by mass in a running low-side shell, tens of per cent in a cold one (common practice)."""
    row = np.zeros(30)
    row[C_OIL] = 1.0
    warm = 2.3e5 / PropsSI("P", "T", 325.15, "Q", 1, "R134a")
    held = next(x for x in np.linspace(0.0, 0.2, 2001) if oil.activity(x, 325.15) > warm)
    assert 0.02 < held < 0.10
    assert 0.3 < oil.room_for(row, 296.15, 0.0) < 0.7


def test_the_warmer_the_oil_the_less_it_holds_at_one_pressure() -> None:
    pressures = [oil.activity(0.1, t) * PropsSI("P", "T", t, "Q", 1, "R134a") for t in (283.15, 303.15, 323.15, 343.15)]  # fmt: skip
    assert pressures == sorted(pressures)


def test_refrigerant_thins_oil_as_charts_of_oils_show() -> None:
    """Ester VG 32 with 10 % by mass of R134a at 40 degC: about 60 % of its viscosity (ASHRAE Refrigeration, chapter on lubricants, from memory)."""
    assert oil.thinned(313.15, 0.1 / 0.9) == pytest.approx(0.6, abs=0.1)


@pytest.fixture(scope="module")
def warm() -> Bench:
    """An hour on the hand valve."""
    bench = Bench(load_rig("fennick_bench"))
    line_up(bench, "hand")
    bench.advance(3600.0)
    return bench


def held(bench: Bench) -> float:
    return float(bench.ledger()["mass_kg"]["oil"])


def closed(bench: Bench) -> None:
    books = bench.ledger()
    assert abs(books["mass_closure"]) < 1e-9
    assert abs(books["energy_closure"]) < 1e-9


def test_a_new_bench_has_its_charge_oil_included() -> None:
    bench = Bench(load_rig("fennick_bench"))
    assert held(bench) > 0.0
    assert bench.total_mass_kg == pytest.approx(0.7, abs=1e-12)
    assert bench.readings()["charge_kg"] == pytest.approx(0.7, abs=1e-12)


def test_a_running_shell_comes_to_the_equilibrium_of_its_pressure_and_temperature(warm: Bench) -> None:  # fmt: skip
    r = warm.readings()
    wall = float(r["shell_temperature_k"])
    share = warm.snapshot().places["shell"].pressure_pa / PropsSI("P", "T", wall, "Q", 1, "R134a")
    assert oil.activity(held(warm) / 0.25, wall) == pytest.approx(share, rel=0.03)
    # and it holds what the rig's friction is stated for
    assert held(warm) / 0.25 == pytest.approx(0.03, abs=0.003)


def test_overnight_the_oil_fills_and_at_the_start_it_boils_out(warm: Bench) -> None:
    short, long = warm.fork(), warm.fork()
    for bench, wait_s in ((short, 600.0), (long, 12 * 3600.0)):
        bench.set("HS-4", "off")
        bench.advance(wait_s)
        closed(bench)
    full = held(long)
    assert full > 0.08
    assert held(short) < 0.04
    fell = []
    for bench in (short, long):
        bench.set("HS-4", "on")
        bench.advance(10.0)
        first = float(bench.readings()["suction_pressure_pa"])
        bench.advance(50.0)
        fell.append(first - float(bench.readings()["suction_pressure_pa"]))
    assert held(long) < full - 0.02
    # gas from the oil feeds the suction: it falls more slowly, the gas drawn in is wetter and the motor takes more
    a, b = short.readings(), long.readings()
    assert fell[1] < 0.8 * fell[0]
    assert float(b["suction_pressure_pa"]) > float(a["suction_pressure_pa"])
    assert float(b["current_a"]) > float(a["current_a"])
    long.advance(1800.0)
    closed(long)
    assert held(long) < 0.02


def test_a_migrated_charge_comes_out_of_the_plant_and_closes_the_books(warm: Bench) -> None:
    bench = warm.fork()
    bench.set("HS-4", "off")
    bench.advance(1200.0)
    before = bench.ledger()["mass_kg"]
    bench.insert_fault("liquid-migrated", 1.0)
    bench.advance(3e-6)
    after = bench.ledger()["mass_kg"]
    closed(bench)
    moved = after["oil"] + after["shell"] - before["oil"] - before["shell"]
    assert moved == pytest.approx(0.4 * 0.7, abs=1e-6)
    elsewhere = [sum(books.values()) - books["oil"] - books["shell"] for books in (before, after)]
    assert elsewhere[0] - elsewhere[1] == pytest.approx(moved, abs=1e-9)
    assert after["outside"] == before["outside"]
    bench.advance(60.0)
    assert not {"slug", "damage"} & {
        event.kind for event in bench.events
    }  # liquid that pressure drives through a standing machine breaks nothing
    bench.set("HS-4", "on")
    bench.advance(120.0)
    closed(bench)


def test_a_migrated_start_draws_wet_gas_and_more_current_with_a_cooler_discharge(running: Bench) -> None:  # fmt: skip
    """First two minutes (common practice): superheat gone, discharge pipe cool, current up. The thermostatic valve shuts at the stop, so that the sound start is a dry one."""
    sound = running.fork()
    sound.set("HS-4", "off")
    sound.advance(3600.0)
    bad = sound.fork()
    bad.insert_fault("liquid-migrated", 0.7)
    for bench in (sound, bad):
        bench.set("HS-4", "on")
        bench.advance(30.0)
    shells = [float(x.snapshot().places["shell"].quality) for x in (sound, bad)]
    assert shells[1] < 1.0 <= shells[0]
    assert float(bad.readings()["current_a"]) > float(sound.readings()["current_a"])
    a, b = sound.readings(), bad.readings()
    assert float(b["discharge_temperature_k"]) < float(a["discharge_temperature_k"]) - 3.0
    for bench in (sound, bad):
        bench.advance(90.0)
    a, b = sound.readings(), bad.readings()
    assert float(b["discharge_temperature_k"]) < float(a["discharge_temperature_k"]) - 1.0


def test_an_oil_logged_evaporator_costs_capacity_and_suction(warm: Bench) -> None:
    sound, bad = warm.fork(), warm.fork()
    bad.insert_fault("oil-logged-evaporator", 1.0)
    for bench in (sound, bad):
        bench.advance(1800.0)
    a, b = sound.readings(), bad.readings()
    for name in ("suction_pressure_pa", "refrigerating_capacity_w", "evaporator_superheat_k"):
        assert float(b[name]) < 0.99 * float(a[name]), name
    assert held(bad) < 0.5 * held(sound)
    closed(bad)


def test_a_weak_relief_valve_lifts_at_its_own_mark_and_shuts(another: Callable[[], Bench]) -> None:
    bench = another()
    bench.insert_fault("relief-valve-lifts-low", 1.0)
    bench.advance(30.0)
    assert any(e.kind == "lift" and e.tag == "PSV-1" for e in bench.events)
    assert bench.lost_mass_kg > 0.0
    closed(bench)


def test_a_save_keeps_what_the_oil_holds_and_goes_on_alike(warm: Bench, tmp_path: Path) -> None:
    bench = warm.fork()
    bench.set("HS-4", "off")
    bench.advance(600.0)
    bench.insert_fault("oil-logged-evaporator", 0.5)
    bench.insert_fault("liquid-migrated", 0.5)
    bench.save(tmp_path / "b.bench")
    others = [bench.fork(), Bench.load(tmp_path / "b.bench")]
    for one in (bench, *others):
        one.set("HS-4", "on")
        one.advance(30.0)
    assert all(one.readings() == bench.readings() for one in others)
    assert all(one.ledger() == bench.ledger() for one in others)

"""Frost: its laws against published figures and closed forms, and what it does to a running bench."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from math import exp

import numpy as np
import pytest
from scipy.optimize import brentq

from sim import Bench, air, frost, load_rig
from sim import columns as c
from sim import psychrometrics as moist
from sim.fluid import Fluid
from sim.fluid_kernel import dew_pressure
from sim.ledger import frost_by_coil
from sim.rig import Device, Mode
from sim.session import START_WAIT_S, line_up
from sim.steady import steady_report

ATMOSPHERE = 101325.0
AREA, GAP, DROP = 0.125, 0.0025, 0.15
# a passage full of frost: both sides of every gap, AREA x GAP / 2
FULL_KG = 650.0 * exp(0.277 * -5.0) * AREA * GAP / 2.0
QUARTER_HOUR_S = 900.0


def coil_row(flow: float = 0.0052, ua: float = 2.86) -> np.ndarray:
    """A cell of the shipped evaporator with its fan on low."""
    row = np.zeros(c.C_COLUMNS)
    row[[c.C_AIR_FLOW, c.C_UA_AIR, c.C_NATURAL]] = flow, ua, 0.125
    row[[c.C_FIN_AREA, c.C_FIN_GAP, c.C_AIR_DROP]] = AREA, GAP, DROP
    return row


# --- the laws -----------------------------------------------------------------------------------


def test_conductivity_is_that_of_the_paper_in_its_own_units() -> None:
    # Yonko and Sepsy (1967), as later papers quote it: k = 0.014 + 0.00668 rho + 0.0001759 rho^2 in Btu/(h ft F), rho in lb/ft3
    rho = frost.FROST_DENSITY_KG_M3 * 0.0624280
    paper = 1.730735 * (0.014 + 0.00668 * rho + 0.0001759 * rho**2)
    assert paper == pytest.approx(frost.FROST_CONDUCTIVITY_W_MK, rel=2e-3)


def test_density_and_conductivity_are_those_measured_on_coils() -> None:
    # Lee, Kim and Lee, Int. J. Heat Mass Transfer 40 (1997) 4359 (pages from memory): k = 0.132 + 3.13e-4 rho + 1.6e-7 rho^2, another fit to other frost
    rho = frost.FROST_DENSITY_KG_M3
    assert 100.0 < rho < 300.0  # common practice: frost on finned coils
    other = 0.132 + 3.13e-4 * rho + 1.6e-7 * rho**2
    assert other == pytest.approx(frost.FROST_CONDUCTIVITY_W_MK, rel=0.15)


@pytest.mark.parametrize("filled", [0.0, 0.2, 0.5, 0.9])
def test_the_passage_narrows_by_what_lies_on_both_its_sides(filled: float) -> None:
    assert frost.free_share(filled * FULL_KG, AREA, GAP) == pytest.approx(1.0 - filled)


@pytest.mark.parametrize("free", [1.0, 0.7, 0.4, 0.1])
def test_the_flow_is_where_the_fan_meets_its_resistance(free: float) -> None:
    """Fan p0 (1 - (V/V0)^2) against the coil k V^2/s^3 and all else r V^2, found by bisection in made-up units."""
    shut_off, free_flow = 30.0, 0.06
    clean = 0.0345
    coil = DROP * shut_off / clean**2
    rest = (shut_off * (1.0 - (clean / free_flow) ** 2)) / clean**2 - coil

    def surplus(flow: float) -> float:
        fan = shut_off * (1.0 - (flow / free_flow) ** 2)
        return float(fan - (coil * free**-3.0 + rest) * flow**2)

    meets = float(brentq(surplus, 0.0, free_flow, xtol=1e-14))
    assert frost.flow_share(free, DROP) == pytest.approx(meets / clean, rel=1e-9)


def test_a_little_frost_hardly_costs_air_and_much_chokes_the_coil() -> None:
    """Known of finned coils: the flow holds until about half the gap has gone and collapses then (common practice)."""
    shares = [frost.flow_share(frost.free_share(f * FULL_KG, AREA, GAP), DROP) for f in (0.1, 0.5, 0.9)]  # fmt: skip
    assert shares[0] > 0.95
    assert 0.5 < shares[1] < 0.8
    assert shares[2] < 0.1


def test_a_film_of_air_gains_by_the_speed_in_a_narrowed_gap() -> None:
    row = coil_row()
    flow, ua = frost.frosted_air(row, 0.4 * FULL_KG)
    assert ua / row[c.C_UA_AIR] == pytest.approx((flow / row[c.C_AIR_FLOW] / 0.6) ** 0.672)


@pytest.mark.parametrize("wall_k", [250.0, 262.0, 270.0])
@pytest.mark.parametrize("filled", [0.1, 0.4, 0.8])
def test_the_layer_passes_on_what_its_surface_takes_from_the_air(wall_k: float, filled: float) -> None:  # fmt: skip
    """The surface is reckoned along a chord; solved out, the heat differs by less than a twentieth."""
    row = coil_row()
    mass = filled * FULL_KG
    w = moist.humidity_ratio_from_relative(296.15, 0.4, ATMOSPHERE)
    resistance = frost.resistance_k_w(mass, AREA)
    flow, ua = frost.frosted_air(row, mass)

    def taken(surface_k: float) -> float:
        return float(air.cell_air(296.15, w, ATMOSPHERE, flow, ua, 0.125, surface_k)[0])

    surface = float(brentq(lambda t: taken(t) - (t - wall_k) / resistance, wall_k, 296.15))
    heat = frost.frosted_cell_air(row, 296.15, w, ATMOSPHERE, wall_k, mass)[0]
    assert heat == pytest.approx(taken(surface), rel=0.05)
    assert heat < taken(wall_k)


def test_a_clean_cell_is_a_cell_with_vanishing_frost() -> None:
    w = moist.humidity_ratio_from_relative(296.15, 0.4, ATMOSPHERE)
    clean, hardly = (frost.frosted_cell_air(coil_row(), 296.15, w, ATMOSPHERE, 265.0, kg) for kg in (0.0, 1e-12))  # fmt: skip
    assert hardly == pytest.approx(clean, rel=1e-8)


def test_fins_freeze_from_the_tube_outwards() -> None:
    """The mean fin is warmer than the tube by a fifth of the difference to the air (efficiency 0.8), its edge by twice that."""
    # 20 K of mean difference: the edge at wall + 8 K, and the kelvin of unevenness beside it
    assert air.frozen_share(20.0, 273.15 + 0.5) == 0.0
    assert air.frozen_share(20.0, 273.15 - 4.5) == pytest.approx(0.5)
    assert air.frozen_share(20.0, 273.15 - 9.5) == pytest.approx(1.0)


def test_frost_melts_above_freezing_only_and_takes_its_heat_of_fusion() -> None:
    assert frost.melting_kg_s(0.01, AREA, 273.15) == 0.0
    # 0.2 mm of water between metal at 1 C and ice at 0 C (less the rounded onset): 0.56/2e-4 x 0.125 x 0.95 W over 333.4 kJ/kg
    assert frost.melting_kg_s(1.0, AREA, 274.15) == pytest.approx(350.0 * 0.95 / 333.4e3, rel=1e-3)
    assert frost.melting_kg_s(0.0, AREA, 280.0) == 0.0


@pytest.mark.parametrize(
    "what", ["free", "flow", "melt over temperature", "melt over mass", "frozen"]
)
def test_no_law_has_a_jump_in_slope(what: str) -> None:
    laws: dict[str, tuple[Callable[[float], float], float, float]] = {
        "free": (lambda x: frost.free_share(x * FULL_KG, AREA, GAP), -0.01, 1.2),
        "flow": (lambda x: frost.frosted_air(coil_row(), x * FULL_KG + 1e-9)[0], 0.0, 1.2),
        "melt over temperature": (lambda x: frost.melting_kg_s(0.01, AREA, 273.15 + x), -0.3, 0.3),
        "melt over mass": (lambda x: frost.melting_kg_s(x, AREA, 274.0), -0.001, 0.02),
        "frozen": (lambda x: air.frozen_share(20.0, 273.15 + x), -12.0, 2.0),
    }
    law, low, high = laws[what]
    x = np.linspace(low, high, 4001)
    slope = np.diff([law(float(v)) for v in x]) / (x[1] - x[0])
    assert np.abs(np.diff(slope)).max() <= 0.05 * np.ptp(slope)


# --- on the bench -------------------------------------------------------------------------------


def running(device: Device, mode: Mode = "cooling", **surroundings: float) -> Bench:
    bench = Bench(load_rig("fennick_bench"), surroundings=surroundings)
    line_up(bench, device)
    if mode == "heating":
        bench.advance(START_WAIT_S)
        line_up(bench, device, "heating")
    return bench


def reading(bench: Bench, name: str) -> float:
    return float(bench.readings()[name])


def air_drop(bench: Bench) -> float:
    return reading(bench, "evaporator_air_in_k") - reading(bench, "evaporator_air_out_k")


@cache
def frosting() -> Bench:
    """The heat pump in a cold damp room for a quarter of an hour: a coil that must frost. Shared: fork it."""
    bench = running("capillary", "heating", room_temperature_c=10.0, relative_humidity=0.8)
    bench.advance(QUARTER_HOUR_S)
    return bench


def test_a_new_bench_is_clean() -> None:
    bench = Bench(load_rig("fennick_bench"))
    bench.look()
    assert frost_by_coil(bench) == {"COIL-A": 0.0, "COIL-B": 0.0}


@pytest.mark.parametrize("room", [(23.0, 0.4), (27.0, 0.6)])
def test_a_coil_whose_metal_stays_above_freezing_stays_clean(room: tuple[float, float]) -> None:
    """Evaporating well below 0 C is not enough: the refrigerant's film keeps this coil's metal above it, and water runs off."""
    bench = running("thermostatic", room_temperature_c=room[0], relative_humidity=room[1])
    bench.advance(QUARTER_HOUR_S)
    first = bench.layout.wall_start + bench.layout.walls["b1"]
    assert bench.watch.y[first : first + 8].min() > 273.15
    assert reading(bench, "evaporator_frost_kg") < 1e-4
    assert reading(bench, "evaporator_condensate_kg_s") > 0.0


def test_dry_air_leaves_no_frost() -> None:
    bench = running("capillary", "heating", room_temperature_c=10.0, relative_humidity=0.0)
    bench.advance(QUARTER_HOUR_S)
    assert reading(bench, "evaporating_temperature_k") < 268.0
    assert reading(bench, "evaporator_frost_kg") == 0.0


def test_frost_is_water_that_the_air_has_lost() -> None:
    """What freezes is at most what the air gives up, summed every ten seconds."""
    bench = frosting().fork()
    before, lost = reading(bench, "evaporator_frost_kg"), 0.0
    for _ in range(60):
        lost += 10.0 * reading(bench, "evaporator_condensate_kg_s")
        bench.advance(10.0)
    grown = reading(bench, "evaporator_frost_kg") - before
    assert 0.5 * lost < grown < lost


def test_frost_lowers_suction_and_air_and_widens_the_air_drop() -> None:
    """Row of a frosted coil in any fault table: low suction, less air, larger air drop, less capacity (common practice)."""
    bench = frosting().fork()
    names = ("suction_pressure_pa", "evaporator_air_flow_kg_s", "refrigerating_capacity_w")
    before, drop = [reading(bench, n) for n in names], air_drop(bench)
    bench.advance(5400.0)
    assert all(reading(bench, n) < 0.9 * b for n, b in zip(names, before, strict=True))
    assert air_drop(bench) > 1.3 * drop


def test_stopped_with_the_fan_on_the_frost_melts_and_the_air_comes_back() -> None:
    bench = frosting().fork()

    def share_of_clean() -> float:
        row = bench.plant.coil[bench.layout.coils["COIL-A"]]
        return reading(bench, "evaporator_air_flow_kg_s") / float(8 * row[c.C_AIR_FLOW])

    assert reading(bench, "evaporator_frost_kg") > 0.01
    assert share_of_clean() < 0.99
    bench.set("HS-4", "off")
    bench.advance(QUARTER_HOUR_S)
    assert reading(bench, "evaporator_frost_kg") < 1e-6
    assert share_of_clean() == pytest.approx(1.0, rel=1e-4)


def test_melting_holds_the_metal_at_the_ice_point() -> None:
    bench = frosting().fork()
    bench.set("HS-4", "off")
    bench.advance(60.0)
    bench.look()
    lay = bench.layout
    for k in range(1, 9):
        on_it = bench.watch.y[lay.slow[f"COIL-A.{k}.frost"]]
        if on_it > 2.0 * frost.PATCHY_KG_M2 * bench.plant.coil[0, c.C_FIN_AREA]:
            metal = bench.watch.y[lay.wall_start + lay.walls[f"a{k}"]]
            assert metal - 273.15 == pytest.approx(0.0, abs=0.5)


def test_the_books_close_while_frost_grows_and_melts() -> None:
    """Ice is stored below water by its heat of fusion; both ways the books close as without it."""
    bench = frosting().fork()
    stored = bench.ledger()["energy_j"]["COIL-A frost"]
    assert stored == pytest.approx(-333.4e3 * reading(bench, "evaporator_frost_kg"), rel=1e-6)
    assert abs(bench.ledger()["energy_closure"]) < 1e-9
    bench.set("HS-4", "off")
    for _ in range(5):
        bench.advance(120.0)
        assert abs(bench.ledger()["energy_closure"]) < 1e-9
        assert abs(bench.ledger()["mass_closure"]) < 1e-9


def test_frost_can_be_held_and_let_go() -> None:
    bench = frosting().fork()
    held = reading(bench, "evaporator_frost_kg")
    bench.hold_frost(True)
    bench.advance(600.0)
    assert reading(bench, "evaporator_frost_kg") == pytest.approx(held, abs=1e-9)
    assert abs(bench.ledger()["energy_closure"]) < 1e-9
    bench.hold_frost(False)
    bench.advance(600.0)
    assert reading(bench, "evaporator_frost_kg") > held + 1e-3


def test_air_that_is_colder_than_the_room_s_dew_point_is_saturated_and_no_fog() -> None:
    bench = running("capillary", room_temperature_c=23.0, relative_humidity=0.8, evaporator_air_in_c=12.0)  # fmt: skip
    saturated = moist.saturated_humidity_ratio(285.15, ATMOSPHERE)
    assert reading(bench, "evaporator_air_in_humidity_ratio") == pytest.approx(saturated, rel=1e-6)


def test_steady_keeps_the_coil_clean_and_says_what_it_holds_back() -> None:
    cold = {"room_temperature_c": 10.0, "relative_humidity": 0.8}
    report = steady_report(load_rig("fennick_bench"), device="capillary", mode="heating", settings=cold)  # fmt: skip
    assert report["readings"]["evaporator_frost_kg"] == 0.0
    assert report["held"]["COIL-A"]["growth_kg_s"] > 0.0
    assert any("the frost on COIL-A is held at 0 g" in text for text in report["warnings"])


def test_steady_says_nothing_of_a_coil_that_would_stay_clean() -> None:
    report = steady_report(load_rig("fennick_bench"), device="thermostatic", mode="cooling", settings={})  # fmt: skip
    assert not any("frost" in text for text in report["warnings"])


def test_after_a_stop_both_sides_stand_at_the_ice_point_s_pressure_until_the_frost_is_gone() -> (
    None
):
    """The law of the measured stop (``tests/published/test_measured_plants.py``: a frosted R290 coil, fan running): from the second minute on both gauges
    read saturation at the melting coil; when the last frost has gone they rise together."""
    bench = frosting().fork()
    bench.advance(3600.0)
    bench.set("HS-4", "off")
    ice_pa = dew_pressure(Fluid.load("R134a").tables, 273.15)  # 2.93 bar
    bench.advance(120.0)
    minutes = 0
    while reading(bench, "evaporator_frost_kg") > 0.02:
        for side in ("suction", "discharge"):
            assert abs(reading(bench, f"{side}_pressure_pa") - ice_pa) < 0.15e5  # as there
        bench.advance(60.0)
        minutes += 1
    assert minutes >= 3
    bench.advance(600.0)
    assert reading(bench, "evaporator_frost_kg") < 1e-6
    assert reading(bench, "suction_pressure_pa") > ice_pa + 0.5e5
    assert abs(reading(bench, "suction_pressure_pa") - reading(bench, "discharge_pressure_pa")) < 0.15e5  # fmt: skip

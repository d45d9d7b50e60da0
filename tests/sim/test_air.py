"""The air side of a coil cell and the load box: closed balances, known limits, no jump at the dew point or at freezing."""

from __future__ import annotations

from math import exp

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sim import air
from sim import psychrometrics as moist

ATMOSPHERE = 101325.0


@settings(max_examples=200, deadline=None)
@given(
    air_k=st.floats(250.0, 320.0),
    relative=st.floats(0.05, 0.95),
    flow=st.floats(1e-4, 0.05),
    ua=st.floats(0.01, 20.0),
    wall_k=st.floats(225.0, 350.0),
)
def test_what_the_air_loses_the_wall_and_the_water_gain(
    air_k: float, relative: float, flow: float, ua: float, wall_k: float
) -> None:
    w = moist.humidity_ratio_from_relative(air_k, relative, ATMOSPHERE)
    heat, water, out_k, w_out, frozen = air.cell_air(air_k, w, ATMOSPHERE, flow, ua, 0.0, wall_k)
    lost = flow * (moist.enthalpy_j_kg(air_k, w) - moist.enthalpy_j_kg(out_k, w_out))
    assert heat + water * moist.deposit_enthalpy_j_kg(wall_k, frozen) == pytest.approx(
        lost, rel=1e-9, abs=1e-9
    )
    assert water == pytest.approx(flow * (w - w_out), abs=1e-15)
    assert water >= 0.0
    assert w_out >= 0.0
    assert -1e-12 <= frozen <= 1.0 + 1e-12


def test_a_dry_cell_follows_the_effectiveness_of_a_wall_at_one_temperature() -> None:
    # m cp = 0.006 * 1006 = 6.036 W/K; UA 2.3 -> NTU 0.381, e = 0.3169; 10 K -> 19.13 W
    heat, water, out_k, *_ = air.cell_air(296.15, 0.0, ATMOSPHERE, 0.006, 2.3, 0.0, 286.15)
    assert heat == pytest.approx(19.13, rel=1e-3)
    assert water == 0.0
    assert out_k == pytest.approx(296.15 - 10 * (1 - exp(-0.38105)), abs=1e-3)
    assert air.air_conductance(0.006 * 1006.0, 2.3) == pytest.approx(heat / 10.0, rel=1e-9)


def test_a_warm_wall_adds_no_water() -> None:
    heat, water, out_k, w_out, _ = air.cell_air(296.15, 0.01, ATMOSPHERE, 0.006, 2.3, 0.0, 320.0)
    assert (water, w_out) == (0.0, 0.01)
    assert heat < 0.0
    assert out_k > 296.15


def test_a_large_cold_cell_dries_the_air_to_saturation_at_the_wall() -> None:
    _, _, out_k, w_out, _ = air.cell_air(296.15, 0.010, ATMOSPHERE, 0.006, 200.0, 0.0, 276.15)
    assert out_k == pytest.approx(276.15, abs=1e-3)
    assert w_out == pytest.approx(moist.saturated_humidity_ratio(276.15, ATMOSPHERE), rel=1e-3)


@pytest.mark.parametrize("around_k", [281.83, 273.15, 296.15])
def test_heat_has_no_jump_in_slope_at_dew_point_freezing_or_air_temperature(
    around_k: float,
) -> None:
    w = moist.humidity_ratio_from_relative(296.15, 0.4, ATMOSPHERE)
    step = 1e-3
    wall = np.arange(around_k - 1.0, around_k + 1.0, step)
    cells = np.array([air.cell_air(296.15, w, ATMOSPHERE, 0.006, 2.3, 0.05, t) for t in wall])
    for column in range(5):
        slope = np.diff(cells[:, column]) / step
        assert np.abs(np.diff(slope)).max() <= 0.02 * np.abs(slope).max() + 1e-9


def test_latent_heat_is_sublimation_on_a_frozen_wall() -> None:
    w = 0.006
    dry = air.cell_air(290.0, 0.0, ATMOSPHERE, 0.006, 2.3, 0.0, 263.15)[0]
    heat, frost, *_ = air.cell_air(290.0, w, ATMOSPHERE, 0.006, 2.3, 0.0, 263.15)
    # vapour at 16.85 C: 2501 + 1.86*16.85 = 2532.3; ice at -10 C: -333.4 - 21 = -354.4; together 2886.7 kJ/kg; the moist air's cp adds under 2 %
    assert heat - dry == pytest.approx(frost * 2886.7e3, rel=0.03)


def test_sensible_share_of_the_bench_coil_is_lifelike() -> None:
    # 23 C, 40 %: wall at -3 C, whole coil 0.045 m3/s and 18.2 W/K. Coils of this kind run at 0.7 to 0.9 sensible (common practice)
    w = moist.humidity_ratio_from_relative(296.15, 0.4, ATMOSPHERE)
    flow = 0.045 / moist.specific_volume_m3_kg(296.15, w, ATMOSPHERE)
    heat, _, out_k, w_out, _ = air.cell_air(296.15, w, ATMOSPHERE, flow, 18.2, 0.0, 270.15)
    sensible = flow * (1006.0 + 1860.0 * w_out) * (296.15 - out_k)
    assert 0.7 < sensible / heat < 0.9


def test_still_air_leaves_only_the_natural_conductance() -> None:
    heat, *_ = air.cell_air(296.15, 0.0, ATMOSPHERE, 0.0, 2.3, 1.5, 276.15)
    assert heat == pytest.approx(30.0, rel=1e-3)


def test_air_film_follows_the_published_exponent() -> None:
    # 0.25^0.672 = exp(-0.672 * 1.3863) = 0.3939
    assert air.air_film_conductance(0.0125, 0.05, 45.0, 0.0) == pytest.approx(
        45.0 * 0.3939, rel=1e-3
    )
    assert air.air_film_conductance(0.05, 0.05, 45.0, 0.4) == pytest.approx(27.0)


def test_the_rounded_positive_part_is_exact_away_from_zero() -> None:
    assert air.positive_part(-0.2, 0.1) == 0.0
    assert air.positive_part(0.2, 0.1) == 0.2
    assert air.positive_part(0.0, 0.1) == pytest.approx(0.025)
    assert air.positive_part(0.1 - 1e-9, 0.1) == pytest.approx(0.1, abs=1e-8)


def box(closed: float, **changed: float) -> tuple[float, float]:
    given = {"closed": closed, "box_k": 283.15, "box_w": 0.004, "room_k": 296.15, "room_w": 0.007, "sensible_taken_w": 0.0,
             "water_taken_kg_s": 0.0, "heater_w": 0.0, "wall_w_k": 2.0, "leakage_kg_s": 1e-4, "heat_capacity_j_k": 5000.0, "air_kg": 0.12}  # fmt: skip
    given.update(changed)
    return air.load_box_rates(**given)


def test_a_shut_box_in_balance_stands_still() -> None:
    # walls 2 * 13 = 26 W, leakage 1e-4 * (1006 + 1860*0.004) * 13 = 1.318 W, heater 100 W: the coil must take 127.318 W and 3e-7 kg/s
    rates = box(1.0, heater_w=100.0, sensible_taken_w=127.318, water_taken_kg_s=3e-7)
    assert rates == pytest.approx((0.0, 0.0), abs=1e-6)


def test_a_shut_box_left_alone_drifts_to_the_room() -> None:
    warming, moistening = box(1.0)
    assert warming > 0.0
    assert moistening > 0.0
    assert box(1.0, box_k=296.15, box_w=0.007) == pytest.approx((0.0, 0.0), abs=1e-12)


def test_an_open_box_follows_the_room_whatever_the_coil_does() -> None:
    assert box(0.0, heater_w=500.0, sensible_taken_w=300.0) == pytest.approx(
        (13.0 / 5.0, 0.003 / 5.0)
    )

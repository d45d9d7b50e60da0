"""Guards on our own arithmetic of compressors: the expected values are the formulas themselves, worked by hand."""

from __future__ import annotations

import numpy as np
import pytest

from sim.fluid import Fluid
from sim.fluid_inverse import density_at_pT_vapour
from sim.fluid_kernel import dew_pressure, energy
from sim.parts import compressor_map
from sim.parts.compressor import clearance_efficiency
from sim.parts.compressor_map import MappedCompressor

R134A = Fluid.load("R134a").tables

# A published R134a coefficient set (degF, lb/h and W, map superheat 20 degF).
FLOW = (
    217.3163128,
    5.094492028,
    -0.593170311,
    4.38e-2,
    -2.14e-2,
    1.04e-2,
    7.90e-5,
    -5.73e-5,
    1.79e-4,
    -8.08e-5,
)
POWER = (
    -561.3615705,
    -15.62601841,
    46.92506685,
    -0.217949552,
    0.435062616,
    -0.442400826,
    2.25e-4,
    2.37e-3,
    -3.32e-3,
    2.50e-3,
)
PART = MappedCompressor(
    tag="map",
    flow_coefficients=FLOW,
    power_coefficients=POWER,
    degrees="fahrenheit",
    rating_superheat_k=20.0 / 1.8,
    loss_share=0.15,
    suction_dew_low_k=250.0,
    suction_dew_high_k=290.0,
    discharge_dew_low_k=295.0,
    discharge_dew_high_k=340.0,
)


def test_the_ten_terms_give_the_flow_worked_by_hand() -> None:
    # 279 K and 315 K are 42.53 and 107.33 degF: 454.41 lb/h = 0.05726 kg/s
    assert compressor_map.ten_terms(np.array(FLOW), 42.53, 107.33) == pytest.approx(
        454.41, rel=5e-4
    )
    assert compressor_map.rating(compressor_map.row(PART), 279.0, 315.0)[0] == pytest.approx(
        0.05726, rel=5e-4
    )


def test_the_ten_terms_give_the_power_worked_by_hand() -> None:
    assert compressor_map.rating(compressor_map.row(PART), 279.0, 315.0)[1] == pytest.approx(
        2247.8, rel=5e-4
    )


def test_five_per_cent_denser_gas_gives_three_and_three_quarters_more_flow() -> None:
    # 1 + 0.75 (1.05 - 1), Rice & Dabiri 1981
    assert compressor_map.flow_correction(1.05) == pytest.approx(1.0375, rel=1e-6)


def test_clearance_efficiency_worked_by_hand() -> None:
    # 1 + 0.04 - 0.04 * 4.6^(1/1.1) = 0.8798
    assert clearance_efficiency(0.04, 4.6, 1.1) == pytest.approx(0.8798, abs=5e-4)


def test_clearance_stops_delivery_at_a_ratio_of_thirty_six() -> None:
    # (1 + 1/0.04)^1.1 = 36.0
    assert clearance_efficiency(0.04, 36.0, 1.1) == pytest.approx(0.0, abs=0.02 * 1.04)


def test_discharge_enthalpy_follows_from_the_power_that_is_not_lost() -> None:
    # h2 = h1 + W (1 - f)/m, as 410 + 200 * 0.85/1.5 = 523.33 kJ/kg; here on the map's own flow and power
    row = compressor_map.row(PART)
    p1, p2 = dew_pressure(R134A, 279.0), dew_pressure(R134A, 315.0)
    t1 = 279.0 + 20.0 / 1.8
    rho = density_at_pT_vapour(R134A, p1, t1)
    h1 = energy(R134A, rho, t1) + p1 / rho
    flow, h_in, gas, power, lost = compressor_map.mapped(
        row, R134A, p1, t1, rho, h1, 279.0, p2, 315.0, 60.0, 1.0
    )
    assert h_in + gas / flow == pytest.approx(h1 + power * (1.0 - 0.15) / flow, abs=0.01)
    assert gas + lost == pytest.approx(power, rel=1e-12)


def test_the_household_rating_point_has_a_pressure_ratio_of_twelve_point_eight() -> None:
    # ASHRAE 23 household practice (from memory): -23.3 and 54.4 degC
    ratio = dew_pressure(R134A, 273.15 + 54.4) / dew_pressure(R134A, 273.15 - 23.3)
    assert ratio == pytest.approx(12.8, rel=0.005)

"""A stirred bath: water's heat capacity, loss to the room, and freezing at 0 degC."""

from __future__ import annotations

import pytest
from CoolProp.CoolProp import PropsSI

from sim.parts.water_bath import FUSION_J_KG, ICE_POINT_K, WATER_J_KGK, WaterBath

BATH = WaterBath(
    tag="BATH-1", coil="COIL-1", water_kg=3.0, vessel_heat_capacity_j_k=750.0, coil_conductance_w_k=100.0, loss_w_k=0.5
)  # fmt: skip


@pytest.mark.parametrize("celsius", [1.0, 15.0, 30.0, 60.0])
def test_water_stores_what_the_standard_formulation_says(celsius: float) -> None:
    """CoolProp's water is IAPWS-95."""
    assert pytest.approx(PropsSI("C", "T", celsius + 273.15, "P", 101325.0, "Water"), rel=0.01) == WATER_J_KGK  # fmt: skip


def test_the_heat_of_fusion_is_the_handbook_s() -> None:
    """333.55 kJ/kg, CRC Handbook of Chemistry and Physics, enthalpy of fusion of water 6.01 kJ/mol over 18.015 g/mol."""
    assert pytest.approx(6010.0 / 0.018015, rel=2e-3) == FUSION_J_KG


def test_a_bath_remembers_its_temperature() -> None:
    for kelvin in (274.0, 300.0, 320.0):
        assert BATH.temperature_k(BATH.enthalpy_j(kelvin)) == pytest.approx(kelvin)


def test_it_takes_so_long_to_warm_as_its_heat_capacity_says() -> None:
    """3 kg of water with 750 J/K: 13308 J/K, so 133 W warm it by 0.6 K in a minute."""
    store = BATH.enthalpy_j(294.15)
    for _ in range(60):
        store += BATH.rate_w(store, 133.08, room_k=294.15)
    assert BATH.temperature_k(store) - 294.15 == pytest.approx(0.6, rel=2e-3)


def test_a_bath_left_alone_drifts_to_the_room() -> None:
    assert BATH.rate_w(BATH.enthalpy_j(310.0), 0.0, room_k=294.0) == pytest.approx(-8.0)
    assert BATH.rate_w(BATH.enthalpy_j(294.0), 0.0, room_k=294.0) == pytest.approx(0.0)
    assert BATH.rate_w(BATH.enthalpy_j(275.0), 0.0, room_k=294.0) > 0.0


def test_water_that_is_cooled_on_freezes_and_stays_at_the_ice_point() -> None:
    store = BATH.enthalpy_j(ICE_POINT_K) - 0.1 * 3.0 * FUSION_J_KG
    assert BATH.temperature_k(store) == ICE_POINT_K
    assert BATH.ice_share(store) == pytest.approx(0.1)
    assert BATH.ice_share(BATH.enthalpy_j(280.0)) == 0.0


def test_wrong_numbers_are_named() -> None:
    wrong = WaterBath(tag="B", coil="C", water_kg=0.0, vessel_heat_capacity_j_k=0.0, coil_conductance_w_k=10.0)  # fmt: skip
    assert [key for key, _ in wrong.check()] == ["water_kg"]

"""Area I where the reference is the same equation of state or the same product: guards, not evidence."""

from __future__ import annotations

import pytest

from sim import safety
from sim.errors import FluidRangeError
from sim.fluid import Fluid
from sim.fluid_kernel import dew_pressure

# I1-PS55-*: saturation pressure in bar at the 55 C design temperature of EN 378-2
PS_55 = [("R134a", 14.9), ("R290", 19.07), ("R410A", 34.4), ("R32", 35.2)]


@pytest.mark.parametrize(("name", "bar"), PS_55)
def test_pressure_at_the_design_temperature(name: str, bar: float) -> None:
    assert dew_pressure(
        Fluid.load(name).tables, safety.DESIGN_TEMPERATURE_K
    ) / 1e5 == pytest.approx(bar, rel=0.005)


def test_a_vessel_filled_to_nine_tenths_is_full_at_49_c() -> None:
    # I6-hydro90: R134a, 90 % at 20 C: 49.3 C within 1 K
    assert safety.liquid_full_k(Fluid.load("R134a"), 0.9, 293.15) - 273.15 == pytest.approx(
        49.3, abs=0.2
    )


def test_a_nearly_empty_vessel_never_fills() -> None:
    with pytest.raises(FluidRangeError, match="R134a"):
        safety.liquid_full_k(Fluid.load("R134a"), 0.3, 293.15)


def test_fuller_means_full_sooner() -> None:
    fluid = Fluid.load("R134a")
    kelvin = [safety.liquid_full_k(fluid, share, 293.15) for share in (0.8, 0.85, 0.9, 0.95, 1.0)]
    assert kelvin == sorted(kelvin, reverse=True)
    assert kelvin[-1] == pytest.approx(293.15, abs=0.2)


def test_charge_caps_of_propane() -> None:
    # I8-m1 152 g, I8-500g 494 g, I8-UL 304 g
    assert safety.charge_cap_kg("R290", safety.CHARGE_M1_M3) * 1e3 == pytest.approx(152.0, abs=3.0)
    assert safety.charge_cap_kg("R290", safety.CHARGE_APPLIANCE_M3) * 1e3 == pytest.approx(
        494.0, abs=10.0
    )
    assert safety.charge_cap_kg("R290", safety.CHARGE_CLOSED_CABINET_M3) * 1e3 == pytest.approx(
        304.0, abs=10.0
    )


@pytest.mark.parametrize(
    ("name", "group"),
    [
        ("R134a", "A1"),
        ("R22", "A1"),
        ("R410A", "A1"),
        ("R32", "A2L"),
        ("R1234yf", "A2L"),
        ("R290", "A3"),
        ("R600a", "A3"),
    ],
)
def test_safety_class_of_the_shipped_fluids(name: str, group: str) -> None:
    # I7-class: ISO 817 / ASHRAE 34, from memory
    assert Fluid.load(name).safety_class == group

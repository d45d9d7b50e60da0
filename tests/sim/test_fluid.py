"""The public face of a refrigerant: facts, limits that are named when crossed, and no heavy imports on the way to the first screen."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from CoolProp.CoolProp import PropsSI

from sim.errors import FluidRangeError, InputError
from sim.fluid import FOLDER, Fluid

# ISO 817:2014 / ANSI/ASHRAE 34 (from memory)
SAFETY_CLASS = {
    "R134a": "A1",
    "R290": "A3",
    "R410A": "A1",
    "R32": "A2L",
    "R600a": "A3",
    "R1234yf": "A2L",
    "R22": "A1",
    "R12": "A1",
}


def test_all_eight_refrigerants_ship_with_their_safety_class() -> None:
    assert {name: Fluid.load(name).safety_class for name in Fluid.known()} == SAFETY_CLASS


def test_an_unknown_refrigerant_is_refused_by_name() -> None:
    with pytest.raises(InputError, match=r"no fluid 'R999'; known are R12, .*R134a"):
        Fluid.load("R999")


@pytest.mark.parametrize("name", SAFETY_CLASS)
def test_enthalpy_and_entropy_are_on_the_iir_reference_state(name: str) -> None:
    """Saturated liquid at 0 degC: 200 kJ/kg and 1 kJ/(kg K)."""
    fluid = Fluid.load(name)
    point = fluid.liquid(fluid.bubble_pressure(273.15), 273.15)
    assert point.h_j_kg == pytest.approx(200e3, abs=0.1)
    assert point.s_j_kg_k == pytest.approx(1e3, abs=1e-3)


@pytest.mark.parametrize("name", SAFETY_CLASS)
def test_constants_are_coolprops(name: str) -> None:
    fluid = Fluid.load(name)
    ours = [fluid.critical_temperature_k, fluid.critical_pressure_pa, fluid.molar_mass]
    theirs = [PropsSI(key, name) for key in ("Tcrit", "pcrit", "molemass")]
    assert ours == pytest.approx(theirs, rel=1e-12)
    assert fluid.gas_constant == pytest.approx(8.314462618 / fluid.molar_mass, rel=1e-4)


@pytest.mark.parametrize("name", SAFETY_CLASS)
def test_the_file_says_where_its_numbers_come_from(name: str) -> None:
    fluid = Fluid.load(name)
    assert "equation of state: " in fluid.source
    assert "viscosity: " in fluid.source
    raw = (FOLDER / f"{name}.npz").read_bytes()
    for machine in (str(Path.home()), str(Path(__file__).parents[2]), sys.prefix):
        assert machine.encode() not in raw


def test_estimated_transport_is_marked() -> None:
    """CoolProp has no conductivity for cold R32 vapour; what stands in for it says so."""
    assert "estimate" in Fluid.load("R32").transport_note
    assert Fluid.load("R134a").transport_note == "no gaps filled"


OUTSIDE = [
    (lambda f: f.dew_pressure(100.0), "saturated vapour at 100 K"),
    (lambda f: f.bubble_pressure(373.0), "saturated liquid at 373 K"),
    (lambda f: f.saturation(1.0), "saturation at 1 Pa"),
    (lambda f: f.saturation(4.0e6), "saturation at 4e"),
    (lambda f: f.saturation(float("nan")), "saturation at nan"),
    (lambda f: f.vapour(1e6, 280.0), "vapour at 1e"),
    (lambda f: f.vapour(1e5, 500.0), "vapour at 100000 Pa and 500 K"),
    (lambda f: f.vapour(-1.0, 300.0), "vapour at -1 Pa"),
    (lambda f: f.liquid(1e5, 300.0), "liquid at 100000 Pa and 300 K"),
    (lambda f: f.liquid(30e6, 300.0), "liquid at 3e"),
    (lambda f: f.at_ph(1e5, 1e6), "vapour at 100000 Pa"),
    (lambda f: f.at_ph(1e5, -1e6), "liquid at 100000 Pa"),
    (lambda f: f.at_ph(-1e5, 3e5), "-100000 Pa"),
    (lambda f: f.at_ph(4.5e6, 4.0e5), "4.5e"),
    (lambda f: f.at_density_energy(500.0, 4.5e5), "500 kg/m3"),
    (lambda f: f.at_density_energy(-1.0, 3e5), "-1 kg/m3"),
    (lambda f: f.at_density_energy(1e-3, 9e5), "0.001 kg/m3"),
    (lambda f: f.at_density_energy(1600.0, 2e5), "1600 kg/m3"),
]


@pytest.mark.parametrize(("call", "what"), OUTSIDE, ids=[what for _, what in OUTSIDE])
def test_a_call_outside_the_tables_names_fluid_state_and_limits(call: object, what: str) -> None:
    assert callable(call)
    with pytest.raises(FluidRangeError) as caught:
        call(Fluid.load("R134a"))
    text = str(caught.value)
    assert text.startswith("R134a: ")
    assert what in text
    assert "190.0 to 370.2 K for liquid" in text
    assert "to 455.0 K for vapour" in text


@pytest.mark.parametrize("name", SAFETY_CLASS)
def test_points_by_any_pair_of_inputs_are_the_same_point(name: str) -> None:
    fluid = Fluid.load(name)
    T = 280.0
    p = fluid.dew_pressure(T)
    gas = fluid.vapour(0.8 * p, T + 20.0)
    wet = fluid.at_ph(p, fluid.saturation(p).h_liquid_j_kg + 80e3)
    liquid = fluid.liquid(p + 1e5, T - 5.0)
    cold_compressed = fluid.liquid(fluid.critical_pressure_pa * 1.2, T)
    for point in (gas, wet, liquid, cold_compressed):
        again = fluid.at_ph(point.p_pa, point.h_j_kg)
        assert again.phase == point.phase
        third = fluid.at_density_energy(
            point.rho_kg_m3, point.h_j_kg - point.p_pa / point.rho_kg_m3
        )
        assert third.phase == point.phase
        for other, close in ((again, 1e-6), (third, 2e-3)):  # two-phase blend: chords, not curves
            ours = [other.p_pa, other.t_k, other.rho_kg_m3, other.h_j_kg, other.s_j_kg_k]
            theirs = [point.p_pa, point.t_k, point.rho_kg_m3, point.h_j_kg, point.s_j_kg_k]
            assert ours == pytest.approx(theirs, rel=close)


def test_saturated_ends_are_reachable_from_both_sides() -> None:
    fluid = Fluid.load("R290")
    line = fluid.saturation(5e5)
    assert fluid.at_ph(5e5, line.h_vapour_j_kg + 1.0).phase == "vapour"
    assert fluid.at_ph(5e5, line.h_vapour_j_kg - 1.0).phase == "two-phase"
    assert fluid.at_ph(5e5, line.h_liquid_j_kg - 1.0).phase == "liquid"


WITHOUT = """
import sys
sys.modules["CoolProp"] = sys.modules["scipy"] = None  # importing either fails from here on
from sim.fluid import Fluid
from sim import fluid_kernel
fluid = Fluid.load("R134a")
print(fluid.vapour(1e5, 300.0).rho_kg_m3, fluid_kernel.state(fluid.tables, 100.0, 3e5, 300.0)[0])
"""


def test_the_hot_path_works_where_coolprop_and_scipy_cannot_be_imported() -> None:
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT],
        capture_output=True,
        text=True,
        cwd=Path(__file__).parents[2],
        check=True,
    )
    density, pressure = (float(word) for word in done.stdout.split())
    assert density == pytest.approx(PropsSI("D", "P", 1e5, "T", 300.0, "R134a"), rel=1e-5)
    assert 2e5 < pressure < 3e6

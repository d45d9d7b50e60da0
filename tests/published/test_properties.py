"""Refrigerant properties against handbook and textbook numbers (properties.toml), through the fluid tables the plant runs on."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from sim.fluid import Fluid, Saturation

ENTRIES: list[dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("properties.toml").read_text(encoding="utf-8")
)["property"]

# one SI unit in the entry's unit
PER_SI = {
    "MPa": 1e-6,
    "kPa": 1e-3,
    "kJ/kg": 1e-3,
    "kJ/kgK": 1e-3,
    "m3/kg": 1.0,
    "kg/m3": 1.0,
    "uPa.s": 1e6,
    "mW/mK": 1e3,
    "K": 1.0,
}
ZERO_C = 273.15


def line(fluid: Fluid, inputs: dict[str, float]) -> Saturation:
    """The saturation line at the entry's pressure, else at its temperature."""
    if "p_kPa" in inputs:
        return fluid.saturation(inputs["p_kPa"] * 1e3)
    kelvin = inputs["T_C"] + ZERO_C
    return fluid.saturation(0.5 * (fluid.dew_pressure(kelvin) + fluid.bubble_pressure(kelvin)))


def superheat(fluid: Fluid, inputs: dict[str, float], quantity: str) -> float:
    """Superheated minus saturated vapour at one pressure."""
    p = inputs["p_kPa"] * 1e3
    hot = fluid.vapour(p, inputs["T_C"] + ZERO_C)
    dew = fluid.vapour(p, fluid.dew_temperature(p))
    return float(getattr(hot, quantity) - getattr(dew, quantity))


def dew_entropy(fluid: Fluid, inputs: dict[str, float]) -> float:
    kelvin = inputs["T_C"] + ZERO_C
    return fluid.vapour(fluid.dew_pressure(kelvin), kelvin).s_j_kg_k


def latent_heat(fluid: Fluid, inputs: dict[str, float]) -> float:
    here = line(fluid, inputs)
    return here.h_vapour_j_kg - here.h_liquid_j_kg


def superheated_volume(fluid: Fluid, inputs: dict[str, float]) -> float:
    return 1.0 / fluid.vapour(inputs["p_kPa"] * 1e3, inputs["T_C"] + ZERO_C).rho_kg_m3


COMPUTE: dict[str, Callable[[Fluid, dict[str, float]], float]] = {
    "dew_pressure": lambda f, i: f.dew_pressure(i["T_C"] + ZERO_C),
    "bubble_pressure": lambda f, i: f.bubble_pressure(i["T_C"] + ZERO_C),
    "liquid_enthalpy": lambda f, i: line(f, i).h_liquid_j_kg,
    "liquid_enthalpy_at_p": lambda f, i: line(f, i).h_liquid_j_kg,
    "vapour_enthalpy": lambda f, i: line(f, i).h_vapour_j_kg,
    "latent_heat": latent_heat,
    "latent_heat_at_p": latent_heat,
    "vapour_volume": lambda f, i: 1.0 / line(f, i).rho_vapour_kg_m3,
    "liquid_density": lambda f, i: line(f, i).rho_liquid_kg_m3,
    "vapour_entropy": dew_entropy,
    "liquid_cp": lambda f, i: line(f, i).cp_liquid_j_kg_k,
    "liquid_viscosity": lambda f, i: line(f, i).mu_liquid_pa_s,
    "liquid_conductivity": lambda f, i: line(f, i).k_liquid_w_m_k,
    "boiling_point": lambda f, i: f.bubble_temperature(i["p_kPa"] * 1e3),
    "critical_temperature": lambda f, i: f.critical_temperature_k,
    "glide": lambda f, i: line(f, i).t_dew_k - line(f, i).t_bubble_k,
    "superheat_enthalpy": lambda f, i: superheat(f, i, "h_j_kg"),
    "superheat_entropy": lambda f, i: superheat(f, i, "s_j_kg_k"),
    "superheated_volume": superheated_volume,
}


@pytest.mark.parametrize("entry", ENTRIES, ids=lambda entry: entry["id"])
def test_the_tables_give_the_published_number(entry: dict[str, Any]) -> None:
    found = COMPUTE[entry["compute"]](Fluid.load(entry["fluid"]), entry["inputs"])
    unit = entry["unit"]
    found = found - ZERO_C if unit == "C" else found * PER_SI[unit]
    expected, tolerance = entry["expected"], entry["tolerance"]
    allowed = tolerance if entry["tolerance_kind"] == "abs" else tolerance * abs(expected)
    assert abs(found - expected) <= allowed, (
        f"{entry['quantity']}: {found:.6g} {unit}, {entry['source']} has {expected:g}"
    )

"""Worked cycles from textbooks and handbooks (cycles.toml), twice: through the reference cycle (CoolProp alone) and through the plant's own tables."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from CoolProp.CoolProp import PropsSI

from sim import fluid_kernel as fk
from sim.fluid import Fluid
from sim.reference_cycle import (
    Cycle,
    CycleInput,
    condensing_pressure,
    evaporating_pressure,
    reference_cycle,
)

CASES: list[dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("cycles.toml").read_text(encoding="utf-8")
)["cycle"]
EXPECTED = [(case, row) for case in CASES for row in case["expect"]]
ZERO_C = 273.15


def pressures(case: dict[str, Any]) -> tuple[float, float]:
    fluid = case["fluid"]
    low, high = case.get("evaporating_kpa"), case.get("condensing_kpa")
    return (
        low * 1e3 if low else evaporating_pressure(fluid, case["evaporating_c"] + ZERO_C),
        high * 1e3 if high else condensing_pressure(fluid, case["condensing_c"] + ZERO_C),
    )


def by_reference(case: dict[str, Any]) -> dict[str, float]:
    """The case through sim.reference_cycle."""
    fluid = case["fluid"]
    low, high = pressures(case)
    superheat = subcooling = 0.0
    if "suction_c" in case:
        superheat = case["suction_c"] + ZERO_C - PropsSI("T", "P", low, "Q", 1, fluid)
    if "liquid_c" in case:
        subcooling = PropsSI("T", "P", high, "Q", 0, fluid) - case["liquid_c"] - ZERO_C

    def cycle(efficiency: float, flow: float) -> Cycle:
        return reference_cycle(
            CycleInput(
                fluid=fluid,
                evaporating_pa=low,
                condensing_pa=high,
                superheat_k=superheat,
                subcooling_k=subcooling,
                isentropic_efficiency=efficiency,
                mass_flow_kg_s=flow,
            )
        )

    efficiency = case.get("efficiency", 1.0)
    if "discharge_c" in case:
        ideal = cycle(1.0, 1.0)
        h_2 = PropsSI("H", "P", high, "T", case["discharge_c"] + ZERO_C, fluid)
        h_1 = PropsSI("H", "P", low, "Q", 1, fluid)
        efficiency = ideal.power_w / (h_2 - h_1)
    flow = case.get("mass_flow_kg_s", 1.0)
    if "capacity_kw" in case:
        flow = case["capacity_kw"] * 1e3 / cycle(efficiency, 1.0).capacity_w
    found = cycle(efficiency, flow)
    return {
        "cop": found.cop,
        "heating_cop": found.heating_cop,
        "mass_flow_kg_s": flow,
        "capacity_kw": found.capacity_w / 1e3,
        "heat_rejected_kw": found.heat_rejected_w / 1e3,
        "power_kw": found.power_w / 1e3,
        "work_kj_kg": found.power_w / flow / 1e3,
        "suction_volume_m3_s": found.suction_volume_m3_s,
        "discharge_c": found.discharge_temperature_k - ZERO_C,
        "quality_4": found.states[3].quality,
        "isentropic_efficiency": efficiency,
    }


def suction(fluid: Fluid, low: float, celsius: float | None) -> tuple[float, float, float]:
    """T, rho, h at the compressor's suction: saturated vapour unless a temperature is given."""
    kelvin = fluid.dew_temperature(low) if celsius is None else celsius + ZERO_C
    point = fluid.vapour(low, kelvin)
    return point.t_k, point.rho_kg_m3, point.h_j_kg


def by_tables(case: dict[str, Any]) -> dict[str, float]:
    """The case through the compiled functions that the plant uses."""
    fluid = Fluid.load(case["fluid"])
    tables = fluid.tables
    low, high = pressures(case)
    T_1, rho_1, h_1 = suction(fluid, low, case.get("suction_c"))
    h_ideal = fk.vapour_at_ps(tables, high, fk.vapour_entropy(tables, rho_1, T_1), T_1)[2]
    work = (h_ideal - h_1) / case.get("efficiency", 1.0)
    if "discharge_c" in case:
        work = fluid.vapour(high, case["discharge_c"] + ZERO_C).h_j_kg - h_1
    liquid_k = case["liquid_c"] + ZERO_C if "liquid_c" in case else fluid.bubble_temperature(high)
    h_3 = fluid.liquid(high, liquid_k).h_j_kg
    line = np.empty(fk.N_SAT)
    fk.saturation(tables, low, line)
    flow = case.get("mass_flow_kg_s", 1.0)
    if "capacity_kw" in case:
        flow = case["capacity_kw"] * 1e3 / (h_1 - h_3)
    return {
        "cop": (h_1 - h_3) / work,
        "heating_cop": (h_1 + work - h_3) / work,
        "mass_flow_kg_s": flow,
        "capacity_kw": flow * (h_1 - h_3) / 1e3,
        "heat_rejected_kw": flow * (h_1 + work - h_3) / 1e3,
        "power_kw": flow * work / 1e3,
        "work_kj_kg": work / 1e3,
        "suction_volume_m3_s": flow / rho_1,
        "discharge_c": fk.vapour_at_ph(tables, high, h_1 + work, T_1)[0] - ZERO_C,
        "quality_4": (h_3 - line[fk.SAT_HL]) / (line[fk.SAT_HV] - line[fk.SAT_HL]),
        "isentropic_efficiency": (h_ideal - h_1) / work,
    }


def name(pair: tuple[dict[str, Any], dict[str, Any]]) -> str:
    return f"{pair[0]['id']}-{pair[1]['quantity']}"


@pytest.mark.parametrize("pair", EXPECTED, ids=name)
@pytest.mark.parametrize("compute", [by_reference, by_tables])
def test_a_worked_cycle_comes_out(
    compute: Any, pair: tuple[dict[str, Any], dict[str, Any]]
) -> None:
    case, row = pair
    found = compute(case)[row["quantity"]]
    allowed = row["tolerance"] * (abs(row["value"]) if row["kind"] == "rel" else 1.0)
    assert abs(found - row["value"]) <= allowed, (
        f"{row['quantity']} {found:.5g}, {case['source']} has {row['value']}"
    )


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["id"])
def test_tables_and_reference_agree_on_every_worked_cycle(case: dict[str, Any]) -> None:
    """Same equations of state underneath: what is compared here is the tables' accuracy and the bookkeeping."""
    ours, theirs = by_tables(case), by_reference(case)
    assert ours == pytest.approx(theirs, rel=1e-4)

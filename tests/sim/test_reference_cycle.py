"""The yardstick cycle keeps the two laws and does what its inputs say. Its numbers are in tests/published/test_cycles.py."""

from __future__ import annotations

from dataclasses import replace

import pytest
from CoolProp.CoolProp import PropsSI

from sim.reference_cycle import (
    CycleInput,
    condensing_pressure,
    evaporating_pressure,
    reference_cycle,
)

FLUIDS = ("R134a", "R290", "R410A", "R32", "R600a", "R1234yf", "R22", "R12")


def given(fluid: str) -> CycleInput:
    return CycleInput(
        fluid=fluid,
        evaporating_pa=evaporating_pressure(fluid, 263.15),
        condensing_pa=condensing_pressure(fluid, 308.15),
        superheat_k=8.0,
        subcooling_k=4.0,
        isentropic_efficiency=0.6,
        heat_loss_fraction=0.15,
        mass_flow_kg_s=0.003,
    )


@pytest.mark.parametrize("fluid", FLUIDS)
def test_heat_in_and_work_leave_as_heat(fluid: str) -> None:
    """B13: q_cond = q_evap + w - shell loss."""
    cycle = reference_cycle(given(fluid))
    loss = 0.15 * cycle.power_w
    assert cycle.heat_rejected_w == pytest.approx(cycle.capacity_w + cycle.power_w - loss, rel=1e-9)


@pytest.mark.parametrize("fluid", FLUIDS)
def test_no_cycle_beats_carnot(fluid: str) -> None:
    """B14, between its own saturation temperatures; even without losses."""
    perfect = replace(
        given(fluid),
        isentropic_efficiency=1.0,
        superheat_k=0.0,
        subcooling_k=0.0,
        heat_loss_fraction=0.0,
    )
    assert 0.75 * 263.15 / 45.0 < reference_cycle(perfect).cop < 263.15 / 45.0


@pytest.mark.parametrize("fluid", FLUIDS)
def test_superheat_and_subcooling_are_where_the_input_puts_them(fluid: str) -> None:
    asked = given(fluid)
    one, two, three, four, five = reference_cycle(asked).states
    assert one.t_k == pytest.approx(263.15 + 8.0, abs=1e-3)
    bubble = PropsSI("T", "P", asked.condensing_pa, "Q", 0, fluid)
    assert three.t_k == pytest.approx(bubble - 4.0, abs=1e-6)
    assert four.h_j_kg == three.h_j_kg
    assert five == replace(one, point="5", place="evaporator outlet")
    assert three.quality < 0.0 < four.quality < 1.0 < one.quality < two.quality


def test_compression_makes_entropy_unless_it_is_perfect() -> None:
    asked = replace(given("R134a"), heat_loss_fraction=0.0)
    one, two, *_ = reference_cycle(asked).states
    assert two.s_j_kg_k > one.s_j_kg_k + 10.0
    one, two, *_ = reference_cycle(replace(asked, isentropic_efficiency=1.0)).states
    assert two.s_j_kg_k == pytest.approx(one.s_j_kg_k, abs=1e-6)


def test_drops_cost_cop_and_a_warm_suction_line_costs_capacity_nothing() -> None:
    plain = reference_cycle(given("R134a"))
    dropped = reference_cycle(replace(given("R134a"), suction_drop_pa=1e4, discharge_drop_pa=1e4))
    assert dropped.cop < plain.cop
    warm = reference_cycle(replace(given("R134a"), superheat_k=20.0, evaporator_superheat_k=8.0))
    assert warm.capacity_w == pytest.approx(plain.capacity_w)
    assert warm.cop < plain.cop


def test_the_dictionary_has_the_shape_of_the_steady_report() -> None:
    cycle = reference_cycle(given("R290")).as_dict()
    assert {"states", "cop", "capacity_w", "mass_flow_kg_s", "discharge_temperature_k"} <= set(
        cycle
    )
    keys = {"point", "place", "p_pa", "t_k", "h_j_kg", "s_j_kg_k", "quality"}
    assert all(set(state) == keys for state in cycle["states"])

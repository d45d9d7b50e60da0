"""One coil cell: the exact centre, the energy balance, the limits of what may leave it."""

from __future__ import annotations

from math import log, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from sim.cell import (
    SOFT_BOUND,
    centre,
    centre_quality,
    half_change,
    outlet_enthalpy,
    outlet_volume,
    wall_heat,
)
from sim.columns import (
    P_C,
    P_COLUMNS,
    P_CPL,
    P_CPV,
    P_FA,
    P_FB,
    P_FL,
    P_FV,
    P_FW,
    P_H,
    P_HEAT,
    P_HFG,
    P_HLS,
    P_RHOSAT,
    P_RHOV,
    P_T,
    P_TA,
    P_TS,
    P_UA,
    P_VOID,
    P_X,
    P_Z,
)
from sim.fluid import Fluid
from sim.fluid_kernel import density_at_pT_liquid, energy
from sim.nodes import node_properties

Row = NDArray[np.float64]
VOLUME_M3 = 2.5e-5
EPS = 1e-9  # kg/s: the softening of Q/m at rest, taken away where the balance is to be exact
FLUID = Fluid.load("R134a").tables


def cell(density: float, kelvin: float) -> Row:
    """Node row of a coil cell of R134a at a density and temperature."""
    row = np.zeros(P_COLUMNS)
    mass = density * VOLUME_M3
    stored = mass * energy(FLUID, density, kelvin)
    node_properties(row, FLUID, 1.0 / 3.0, VOLUME_M3, mass, stored, kelvin, 0.0)
    row[P_UA], row[P_TA] = 5.0, kelvin + 20.0
    row[P_FL], row[P_FV], row[P_FA], row[P_FB], row[P_FW] = 400.0, 120.0, 900.0, 2500.0, 1.0
    return row


# --- the centre ------------------------------------------------------------------------------


@given(z=st.floats(0.02, 2.0), d=st.floats(1e-4, 1.5))
def test_the_mean_of_one_over_z_is_what_was_stored(z: float, d: float) -> None:
    """z linear from z_c - d to z_c + d has the mean of 1/z ln((z_c + d)/(z_c - d))/(2 d) (the integral of 1/z)."""
    z_c = centre(z, 0.01, d)
    if d / z < 8.0:  # beyond, z_c - d drowns in rounding
        assert log((z_c + d) / (z_c - d)) / (2.0 * d) == pytest.approx(1.0 / z, rel=1e-6)


@given(z=st.floats(1e-3, 2.0), c=st.floats(1e-4, 0.3), d=st.floats(-1.5, 1.5))
def test_the_inlet_never_lies_below_nothing(z: float, c: float, d: float) -> None:
    assert centre(max(z, c), c, d) >= abs(d)


def test_the_centre_of_a_cell_without_change_is_its_mean() -> None:
    assert centre(0.4, 0.1, 0.0) == 0.4


def test_series_and_closed_form_of_the_centre_meet() -> None:
    at = 1e-3 * 0.4
    assert centre(0.4, 0.1, at * (1 - 1e-9)) == pytest.approx(
        centre(0.4, 0.1, at * (1 + 1e-9)), abs=1e-12
    )


def test_a_cell_of_liquid_far_below_its_line_is_not_reconstructed() -> None:
    assert centre(-0.1, 0.1, 0.05) == -0.1


# --- the change across a cell ----------------------------------------------------------------


def test_half_the_change_of_enthalpy_is_half_of_heat_over_flow() -> None:
    d = half_change(30.0, 3e-3, 2e5, EPS)
    assert d * 2e5 == pytest.approx(0.5 * 30.0 / 3e-3, rel=1e-3)


@given(heat=st.floats(-1e4, 1e4), flow=st.floats(-0.1, 0.1))
def test_the_change_turns_with_the_flow_and_with_the_heat_and_stays_bounded(
    heat: float, flow: float
) -> None:
    d = half_change(heat, flow, 2e5, 5e-4)
    assert half_change(heat, -flow, 2e5, 5e-4) == -d
    assert half_change(-heat, flow, 2e5, 5e-4) == -d
    assert abs(d) <= 1.0 / sqrt(SOFT_BOUND)


@pytest.mark.parametrize("void", [0.3, 0.6, 0.9])
@pytest.mark.parametrize("heat", [-20.0, 5.0, 20.0])
def test_what_leaves_less_what_enters_is_the_heat(void: float, heat: float) -> None:
    """With the quality linear along the cell the inlet lies as far below the centre as the outlet above: m (h_out - h_in) = Q."""
    base = cell(100.0, 290.0)
    liquid, vapour = base[P_RHOSAT], base[P_RHOV]
    row = cell(void * vapour + (1.0 - void) * liquid, 290.0)
    row[P_HEAT] = heat
    flow = 5e-3
    out = outlet_enthalpy(row, flow, 310.0 if heat > 0.0 else 270.0, EPS)
    d = half_change(heat, flow, row[P_HFG], EPS)
    enters = row[P_HLS] + (centre_quality(row, d) - d) * row[P_HFG]
    assert flow * (out - enters) == pytest.approx(heat, rel=2e-3)  # the soft bound takes 1.5 d^2/2


def test_at_rest_a_cell_offers_its_own_state() -> None:
    row = cell(60.0, 290.0)
    row[P_HEAT] = 50.0
    x = (row[P_Z] - row[P_C]) / (1.0 - row[P_C])
    assert outlet_enthalpy(row, 0.0, 300.0, 5e-4) == pytest.approx(row[P_HLS] + x * row[P_HFG])


# --- limits ----------------------------------------------------------------------------------


@pytest.mark.parametrize("heat", [50.0, 500.0, 5000.0])
def test_vapour_leaves_no_hotter_than_wall_or_air(heat: float) -> None:
    row = cell(15.0, 290.0)  # superheated
    assert row[P_X] > 1.0
    row[P_HEAT], row[P_TA] = heat, 310.0
    out = outlet_enthalpy(row, 1e-3, 300.0, EPS)
    assert row[P_H] < out < row[P_H] + row[P_CPV] * (310.0 - row[P_T])


@pytest.mark.parametrize("heat", [-50.0, -500.0, -5000.0])
def test_liquid_leaves_no_colder_than_wall_or_air(heat: float) -> None:
    row = cell(density_at_pT_liquid(FLUID, 10e5, 290.0), 290.0)
    assert row[P_VOID] == 0.0
    assert row[P_TS] - row[P_T] > 20.0
    row[P_HEAT], row[P_TA] = heat, 285.0
    out = outlet_enthalpy(row, 1e-3, 280.0, EPS)
    assert row[P_H] > out > row[P_H] - row[P_CPL] * (row[P_T] - 280.0)


def test_the_outflow_of_an_evaporating_cell_is_lighter_than_its_centre() -> None:
    row = cell(200.0, 290.0)
    row[P_HEAT] = 0.0
    still = outlet_volume(row, 3e-3, 5e-4)
    row[P_HEAT] = 40.0
    assert outlet_volume(row, 3e-3, 5e-4) > still
    row[P_HEAT] = -40.0
    assert outlet_volume(row, 3e-3, 5e-4) < still


@pytest.mark.parametrize("kelvin", [250.0, 275.0, 300.0, 330.0])
@pytest.mark.parametrize("line", ["liquid", "vapour"])
def test_nothing_jumps_where_the_last_bubble_or_the_last_drop_goes(
    kelvin: float, line: str
) -> None:
    """What a cell stores, gives and takes on either side of a phase line, a ten-millionth of the density apart."""
    base = cell(100.0, kelvin)
    at = base[P_RHOSAT] if line == "liquid" else base[P_RHOV]
    sides = [cell(at * (1.0 + shift), kelvin) for shift in (-1e-7, 1e-7)]
    assert (sides[0][P_VOID] < 1.0) != (sides[1][P_VOID] < 1.0) or sides[1][P_VOID] == 0.0
    for row in sides:
        row[P_HEAT] = 10.0
    one, other = sides
    assert one[P_Z] == pytest.approx(other[P_Z], abs=1e-4)
    assert outlet_enthalpy(one, 3e-3, kelvin, 5e-4) == pytest.approx(
        outlet_enthalpy(other, 3e-3, kelvin, 5e-4), abs=20.0
    )  # J/kg, 1e-4 of the latent heat
    assert wall_heat(one, 0.02, kelvin + 5.0, 3e-3, 5e-4) == pytest.approx(
        wall_heat(other, 0.02, kelvin + 5.0, 3e-3, 5e-4), rel=5e-3
    )


# --- the wall --------------------------------------------------------------------------------


@pytest.mark.parametrize(("density", "column"), [(10.0, P_FV), (1290.0, P_FL)])
def test_in_a_single_phase_the_wall_gives_film_times_area_times_difference(
    density: float, column: int
) -> None:
    row = cell(density, 300.0 if column == P_FV else 275.0)
    area, wall = 0.02, 310.0
    expected = row[column] * area * (wall - row[P_T])
    row[P_UA] = 0.0  # nothing from the air: no profile along the cell
    assert wall_heat(row, area, wall, 3e-3, 5e-4) == pytest.approx(expected, rel=1e-6)


def test_a_wall_at_the_temperature_of_air_and_refrigerant_gives_nothing() -> None:
    row = cell(100.0, 290.0)
    row[P_TA] = row[P_TS]
    assert wall_heat(row, 0.02, row[P_TS], 3e-3, 5e-4) == pytest.approx(0.0, abs=1e-9)

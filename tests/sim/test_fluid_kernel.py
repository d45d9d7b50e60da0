"""What the compiled property functions promise whatever the numbers: continuity, monotony, inverses, and sense where there is no fluid left."""

from __future__ import annotations

from math import isfinite

import numpy as np
import pytest
from numpy.typing import NDArray

from sim import fluid_columns as fc
from sim import fluid_kernel as fk
from sim.fluid import Fluid

Array = NDArray[np.float64]
NAMES = Fluid.known()
T_NAMES = [(name, share) for name in NAMES for share in (0.0, 0.3, 0.7, 0.99)]


def temperature_at(fluid: Fluid, share: float) -> float:
    """That far from the lowest temperature to the top of the two-phase region."""
    return fluid.t_low_k + share * (fluid.t_match_k - fluid.t_low_k)


def line_densities(fluid: Fluid, T: float) -> tuple[float, float]:
    """rho_L, rho_V at T, from a state that is two-phase at any temperature."""
    rho = fluid.critical_density
    u = fk.energy(fluid.tables, rho, T)
    found = fk.state(fluid.tables, rho, u, T)
    return found[9], found[5]


def at(fluid: Fluid, rho: float, T: float, exact: bool = True) -> tuple[float, ...]:
    tables = fluid.exact_tables if exact else fluid.tables
    return fk.state(tables, rho, fk.energy(tables, rho, T), T + 3.0)


@pytest.mark.parametrize("exact", [True, False])
@pytest.mark.parametrize(("name", "share"), T_NAMES)
def test_nothing_jumps_at_either_saturation_line(name: str, share: float, exact: bool) -> None:
    fluid = Fluid.load(name)
    T = temperature_at(fluid, share)
    for rho in line_densities(fluid, T):
        below = at(fluid, rho * (1.0 - 1e-11), T, exact)
        above = at(fluid, rho * (1.0 + 1e-11), T, exact)
        p, T_found, q, void, *_, h, _rho = np.array(above) - np.array(below)
        stiffness = 1e6 * (at(fluid, rho * (1.0 + 1e-6), T)[0] - at(fluid, rho, T)[0])
        assert abs(p) < 1e-9 * below[0] + 3e-11 * stiffness
        assert abs(T_found) < 1e-7
        assert abs(h) < 0.01
        assert abs(q) < (1e-6 if exact else 1e-4)  # rounding lifts the liquid's enthalpy by p/rho
        assert abs(void) < 1e-6


@pytest.mark.parametrize(("name", "share"), T_NAMES)
def test_quality_and_void_are_0_in_liquid_and_1_in_vapour_at_saturation(
    name: str, share: float
) -> None:
    fluid = Fluid.load(name)
    T = temperature_at(fluid, share)
    rho_L, rho_V = line_densities(fluid, T)
    for rho, expected in ((rho_L * (1 + 1e-12), 0.0), (rho_V * (1 - 1e-12), 1.0)):
        _, _, q, void, *_ = at(fluid, rho, T)
        assert q == pytest.approx(expected, abs=1e-6)
        assert void == expected


def test_a_single_phase_puts_its_own_density_and_enthalpy_in_its_slots() -> None:
    fluid = Fluid.load("R134a")
    gas = at(fluid, 5.0, 300.0)
    assert gas[5] == 5.0
    assert gas[7] == gas[8]
    assert gas[2] > 1.0
    liquid = at(fluid, 1300.0, 280.0)
    assert liquid[4] == 1300.0
    assert liquid[6] == liquid[8]
    assert liquid[9] < 1300.0


@pytest.mark.parametrize("name", NAMES)
def test_the_rounded_liquid_line_only_shifts_density_by_15_millionths(name: str) -> None:
    """A run's tables round the corner of p(rho) at the liquid line; 0.9 % below it they are the exact ones again."""
    fluid = Fluid.load(name)
    for share in (0.0, 0.3, 0.7, 0.99):
        T = temperature_at(fluid, share)
        rho_L, _ = line_densities(fluid, T)
        for place in (-0.02, -0.0091, -1e-4, 0.0, 1e-5, 1e-3):
            rho = rho_L * (1.0 + place)
            rounded, exact = at(fluid, rho, T, False)[0], at(fluid, rho, T)[0]
            denser = at(fluid, max(rho, rho_L) * (1.0 + 1.51e-5), T)[0]
            assert exact <= rounded <= max(denser, exact)
            if place < -0.009:
                assert rounded == exact


def sweep(fluid: Fluid, rng: np.random.Generator, count: int) -> tuple[Array, Array]:
    """Temperatures 100..600 K, densities from nothing to a quarter more than cold liquid's."""
    densest = 1.25 * float(fluid.tables.core[0, fc.RHO_L, 0])
    return (
        rng.uniform(100.0, 600.0, count),
        np.exp(rng.uniform(np.log(1e-6), np.log(densest), count)),
    )


@pytest.mark.parametrize("name", NAMES)
def test_any_density_and_temperature_gives_a_finite_state_and_comes_back(
    name: str, seed: int
) -> None:
    """100 to 600 K, from 1e-6 kg/m3 to a quarter denser than liquid at 130 K: far beyond the tables on every side."""
    fluid = Fluid.load(name)
    for T, rho in zip(*sweep(fluid, np.random.default_rng(seed), 2000), strict=True):
        u = fk.energy(fluid.tables, rho, T)
        found = fk.state(fluid.tables, rho, u, 300.0)
        assert np.all(np.isfinite(found))
        assert found[0] > 0.0
        assert found[1] == pytest.approx(T, abs=1e-4)


@pytest.mark.parametrize("name", NAMES)
def test_energy_rises_with_temperature_and_pressure_with_density_everywhere(name: str) -> None:
    fluid = Fluid.load(name)
    tables = fluid.tables
    densities = np.geomspace(1e-5, 1.25 * tables.core[0, fc.RHO_L, 0], 120)
    temperatures = np.arange(100.0, 620.0, 2.5)
    for rho in densities:
        u = [fk.energy(tables, rho, T) for T in temperatures]
        assert np.all(np.diff(u) > 0.0)
    for T in temperatures:
        p = [fk.state(tables, rho, fk.energy(tables, rho, T), T)[0] for rho in densities]
        assert np.all(np.diff(p) > -1e-6 * np.array(p[:-1]))


@pytest.mark.parametrize("rho", [0.0, -1.0, 1e-300, 1e-12])
@pytest.mark.parametrize("u", [-1e9, 0.0, 3e5, 1e9])
def test_an_emptied_node_still_has_a_state(rho: float, u: float) -> None:
    found = fk.state(Fluid.load("R134a").tables, rho, u, 300.0)
    assert all(isfinite(value) for value in found)
    assert 0.0 < found[0] < 1.0
    assert 50.0 < found[1] < 1000.0


@pytest.mark.parametrize("guess", [60.0, 180.0, 300.0, 500.0, 900.0])
def test_the_temperature_found_does_not_depend_on_the_guess(guess: float) -> None:
    tables = Fluid.load("R290").tables
    for rho, T in ((0.01, 250.0), (10.0, 340.0), (100.0, 290.0), (480.0, 300.0), (220.0, 380.0)):
        u = fk.energy(tables, rho, T)
        assert fk.temperature(tables, rho, u, guess) == pytest.approx(T, abs=1e-5)


@pytest.mark.parametrize("name", NAMES)
def test_vapour_comes_back_from_enthalpy_entropy_and_temperature(name: str, seed: int) -> None:
    fluid = Fluid.load(name)
    tables, rng = fluid.tables, np.random.default_rng(seed)
    for _ in range(200):
        T_sat = temperature_at(fluid, rng.uniform(0.02, 0.97))
        p = rng.uniform(0.3, 0.999) * fk.dew_pressure(tables, T_sat)
        T = rng.uniform(T_sat, min(T_sat + 100.0, 480.0))
        rho = fk.density_at_pT_vapour(tables, p, T)
        u = fk.energy(tables, rho, T)
        assert fk.state(tables, rho, u, 300.0)[0] == pytest.approx(p, rel=1e-9)
        h, s = u + p / rho, fk.vapour_entropy(tables, rho, T)
        expected = pytest.approx((T, rho, h), rel=1e-7)
        assert fk.vapour_at_ph(tables, p, h, 300.0) == expected
        assert fk.vapour_at_ps(tables, p, s, 300.0) == expected


@pytest.mark.parametrize("name", NAMES)
def test_liquid_comes_back_from_enthalpy_and_temperature(name: str, seed: int) -> None:
    fluid = Fluid.load(name)
    tables, rng = fluid.exact_tables, np.random.default_rng(seed)
    for _ in range(200):
        T = temperature_at(fluid, rng.uniform(0.02, 0.95))
        p = fk.bubble_pressure(tables, T) + rng.uniform(0.0, 10e6)
        rho = fk.density_at_pT_liquid(tables, p, T)
        u = fk.energy(tables, rho, T)
        assert fk.state(tables, rho, u, 300.0)[0] == pytest.approx(p, rel=1e-6)
        found = fk.liquid_at_ph(tables, p, u + p / rho, 300.0)
        assert found == pytest.approx((T, rho, u + p / rho), rel=1e-6)


def test_wet_or_impossible_targets_still_give_finite_vapour() -> None:
    """A compressor that sucks liquid must not stop the plant: the metastable continuation is bounded."""
    tables = Fluid.load("R134a").tables
    for p in (1e2, 1e5, 1e6, 3.5e6, 8e6):
        for h in (1.5e5, 3e5, 3.9e5, 7e5):
            T, rho, _ = fk.vapour_at_ph(tables, p, h, 300.0)
            assert isfinite(T)
            assert isfinite(rho)
            assert min(T, rho) > 0.0
        for s in (900.0, 1500.0, 1700.0, 2500.0):
            assert all(isfinite(value) for value in fk.vapour_at_ps(tables, p, s, 300.0))


def saturation_row(fluid: Fluid, p: float) -> Array:
    out = np.empty(fk.N_SAT)
    fk.saturation(fluid.tables, p, out)
    return out


@pytest.mark.parametrize("name", NAMES)
def test_the_saturation_table_meets_the_state_function(name: str) -> None:
    """Both see the same line, so a cell's generalised quality is 0 and 1 exactly where ``state`` changes phase."""
    fluid = Fluid.load(name)
    for share in (0.05, 0.3, 0.6, 0.9, 0.99):
        T = temperature_at(fluid, share)
        p = 0.5 * (fk.dew_pressure(fluid.tables, T) + fk.bubble_pressure(fluid.tables, T))
        row = saturation_row(fluid, p)
        middle = at(fluid, 0.5 * (row[fk.SAT_RHOL] + row[fk.SAT_RHOV]), T)
        latent = row[fk.SAT_HV] - row[fk.SAT_HL]
        assert row[fk.SAT_HL] == pytest.approx(middle[6], abs=5e-5 * latent)
        assert row[fk.SAT_HV] == pytest.approx(middle[7], abs=5e-5 * latent)


@pytest.mark.parametrize("name", NAMES)
def test_saturation_goes_on_without_jump_or_corner_beyond_its_ends(name: str) -> None:
    fluid = Fluid.load(name)
    top = fk.dew_pressure(fluid.tables, fluid.t_match_k)
    bottom = fk.dew_pressure(fluid.tables, fluid.t_low_k)
    for end in (top, bottom):
        before, here, after = (saturation_row(fluid, end * x) for x in (1 - 1e-4, 1.0, 1 + 1e-4))
        size = np.abs(here) + 1e-12
        assert np.all(np.abs(after - before) < 0.01 * size)
        slope_break = np.abs((after - here) - (here - before))
        assert np.all(slope_break < 0.05 * np.abs(here - before) + 1e-7 * size)
    for p in (1e-9, 1.0, 2.0 * top, 100.0 * top):
        row = saturation_row(fluid, p)
        assert np.all(np.isfinite(row))
        assert np.all(np.delete(row, fk.SAT_HL) > 0.0)
        assert row[fk.SAT_HV] > row[fk.SAT_HL]
        assert row[fk.SAT_RHOL] > row[fk.SAT_RHOV]


@pytest.mark.parametrize("name", NAMES)
def test_pressure_crosses_the_top_of_the_two_phase_region_without_a_jump(name: str) -> None:
    fluid = Fluid.load(name)
    T = fluid.t_match_k
    rho_L, rho_V = line_densities(fluid, T - 1e-6)
    for x in np.linspace(0.0, 1.2, 25):
        rho = rho_V + x * (rho_L - rho_V)
        below, above = at(fluid, rho, T - 1e-6), at(fluid, rho, T + 1e-6)
        assert above[0] == pytest.approx(below[0], rel=3e-3)


@pytest.mark.parametrize("name", NAMES)
def test_pressure_has_no_corner_in_density_inside_a_phase(name: str) -> None:
    """Second differences along isotherms stay small away from the two lines, also through the bridge above T_MATCH."""
    fluid = Fluid.load(name)
    for T in (fluid.t_match_k - 30.0, fluid.t_match_k + 15.0):
        rho_L, rho_V = line_densities(fluid, min(T, fluid.t_match_k))
        for low, high in ((0.1 * rho_V, 0.99 * rho_V), (1.01 * rho_V, 0.99 * rho_L)):
            p = np.array([at(fluid, rho, T)[0] for rho in np.linspace(low, high, 200)])
            assert np.abs(np.diff(p, 2)).max() < 5e-3 * p.max()

"""The tables against CoolProp at random states: uniform in T and ln rho, a tenth of them within 0.1 % of saturation.

A state enters as (rho, T); CoolProp turns it into an internal energy, and from (rho, u) our ``state`` has to find p, T and h again.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import CoolProp
import numpy as np
import pytest
from CoolProp.CoolProp import AbstractState
from numpy.typing import NDArray

from sim import fluid_kernel as fk
from sim.fluid import Fluid

Array = NDArray[np.float64]
LOWEST_DENSITY = 1e-3  # kg/m3: about 25 Pa of R134a, below any vacuum a plant sees
NEAR = 1e-3  # "within 0.1 % of saturation"
P_LIMIT, T_LIMIT, H_LIMIT = 5e-4, 5e-4, 1e-3
P_LIMIT_BLEND_LIQUID = 3e-3
BLENDS = ("R410A",)


@dataclass
class Line:
    """CoolProp's saturation line at one temperature: density, p, u of both ends, and the heat of evaporation."""

    liquid: tuple[float, float, float]
    vapour: tuple[float, float, float]
    latent: float


class Source:
    """CoolProp, with enthalpies on the tables' reference state."""

    def __init__(self, fluid: Fluid) -> None:
        self.fluid = fluid
        self.state = AbstractState("HEOS", fluid.name)
        self.state.update(CoolProp.QT_INPUTS, 0.0, 273.15)
        self.shift = 200e3 - self.state.hmass()

    def end(self, quality: float, T: float) -> tuple[float, float, float]:
        self.state.unspecify_phase()
        self.state.update(CoolProp.QT_INPUTS, quality, T)
        return self.state.rhomass(), self.state.p(), self.state.umass() + self.shift

    def line(self, T: float) -> Line:
        liquid, vapour = self.end(0.0, T), self.end(1.0, T)
        h_L, h_V = (u + p / rho for rho, p, u in (liquid, vapour))
        return Line(liquid, vapour, h_V - h_L)

    def single(self, phase: int, rho: float, T: float) -> tuple[float, float]:
        """p, u with the phase imposed."""
        self.state.specify_phase(CoolProp.iphase_gas if phase else CoolProp.iphase_liquid)
        self.state.update(CoolProp.DmassT_INPUTS, rho, T)
        return self.state.p(), self.state.umass() + self.shift

    def densest(self, T: float, p: float) -> float:
        self.state.specify_phase(CoolProp.iphase_liquid)
        self.state.update(CoolProp.PT_INPUTS, p, T)
        return float(self.state.rhomass())


Draw = tuple[float, float, float, float, float]  # rho, T, p, u, latent heat


def draw_density(rng: np.random.Generator, low: float, high: float, index: int, near: str) -> float:
    """ln-uniform; every tenth within NEAR of the saturated end(s)."""
    ends = {"low": (low,), "high": (high,), "both": (low, high)}[near]
    if index % 10 == 0:
        end = ends[(index // 10) % len(ends)]
        return float(end * (1.0 + NEAR * rng.random() * (1.0 if end == low else -1.0)))
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def vapour(source: Source, rng: np.random.Generator, index: int) -> Draw:
    T = rng.uniform(source.fluid.t_low_k, source.fluid.t_high_k)
    line = source.line(min(T, source.fluid.t_match_k))
    rho = draw_density(rng, LOWEST_DENSITY, line.vapour[0], index, "high")
    return rho, T, *source.single(1, rho, T), line.latent


def liquid(source: Source, rng: np.random.Generator, index: int) -> Draw:
    T = rng.uniform(source.fluid.t_low_k, source.fluid.t_match_k)
    line = source.line(T)
    highest = source.densest(T, line.liquid[1] + source.fluid.liquid_span_pa)
    rho = draw_density(rng, line.liquid[0], highest, index, "low")
    return rho, T, *source.single(0, rho, T), line.latent


def two_phase(source: Source, rng: np.random.Generator, index: int) -> Draw:
    """Lever rule between CoolProp's bubble and dew: exact for a pure fluid, the definition for a blend."""
    T = rng.uniform(source.fluid.t_low_k, source.fluid.t_match_k)
    line = source.line(T)
    (rho_L, p_L, u_L), (rho_V, p_V, u_V) = line.liquid, line.vapour
    rho = draw_density(rng, rho_V, rho_L, index, "both")
    q = (1.0 / rho - 1.0 / rho_L) / (1.0 / rho_V - 1.0 / rho_L)
    return rho, T, p_L + q * (p_V - p_L), u_L + q * (u_V - u_L), line.latent


PHASES: dict[str, Callable[[Source, np.random.Generator, int], Draw]] = {
    "vapour": vapour,
    "liquid": liquid,
    "two-phase": two_phase,
}


def deviations(name: str, phase: str, seed: int, count: int) -> Array:
    """Relative p and T errors and h error in latent heats at ``count`` random states."""
    fluid = Fluid.load(name)
    source, tables = Source(fluid), fluid.exact_tables
    rng = np.random.default_rng([seed, list(PHASES).index(phase), Fluid.known().index(name)])
    rows = np.empty((count, 3))
    for index in range(count):
        rho, T, p, u, latent = PHASES[phase](source, rng, index)
        found = fk.state(tables, rho, u, 300.0)
        h_miss = (found[8] - u - p / rho) / latent
        rows[index] = found[0] / p - 1.0, found[1] / T - 1.0, h_miss
    return np.abs(rows)


def hold_to_limits(name: str, phase: str, seed: int, count: int) -> None:
    rows = deviations(name, phase, seed, count)
    worst, most = rows.max(axis=0), np.quantile(rows, 0.999, axis=0)
    print(
        f"{name} {phase}, {count} states, seed {seed}, max / 99.9 %:"
        f" p {worst[0]:.1e} / {most[0]:.1e}, T {worst[1]:.1e} / {most[1]:.1e},"
        f" h {worst[2]:.1e} / {most[2]:.1e} of the latent heat"
    )
    p_limit = P_LIMIT_BLEND_LIQUID if name in BLENDS and phase == "liquid" else P_LIMIT
    assert np.all(worst < [p_limit, T_LIMIT, H_LIMIT])


@pytest.mark.parametrize("phase", PHASES)
@pytest.mark.parametrize("name", Fluid.known())
def test_states_agree_with_coolprop(name: str, phase: str, seed: int) -> None:
    hold_to_limits(name, phase, seed, 2000)


@pytest.mark.full
@pytest.mark.parametrize("phase", PHASES)
@pytest.mark.parametrize("name", Fluid.known())
def test_twenty_thousand_states_agree_with_coolprop(name: str, phase: str, seed: int) -> None:
    hold_to_limits(name, phase, seed, 20000)


@pytest.mark.parametrize("name", Fluid.known())
def test_entropy_agrees_with_coolprop(name: str, seed: int) -> None:
    """To 0.01 J/(kg K): 3 J/kg of isentropic work at 300 K."""
    fluid = Fluid.load(name)
    source = Source(fluid)
    source.end(0.0, 273.15)
    shift = 1000.0 - source.state.smass()
    rng = np.random.default_rng([seed, 7])
    for index in range(300):
        for phase, law in (("vapour", fk.vapour_entropy), ("liquid", fk.liquid_entropy)):
            rho, T, *_ = PHASES[phase](source, rng, index)
            source.single(int(phase == "vapour"), rho, T)
            assert law(fluid.tables, rho, T) == pytest.approx(
                source.state.smass() + shift, abs=0.01
            )


def saturated(source: Source, quality: int, T: float) -> list[float]:
    """cp, viscosity, conductivity of one end of the line."""
    source.end(quality, T)
    state = source.state
    try:
        conductivity = state.conductivity()
    except ValueError:  # CoolProp has no solution there; the table marks it as an estimate
        conductivity = float("nan")
    return [state.cpmass(), state.viscosity(), conductivity]


@pytest.mark.parametrize("name", Fluid.known())
def test_saturation_and_transport_agree_with_coolprop(name: str) -> None:
    """The heat capacities, steep below the critical point, deviate most: 0.1 % at the last knot."""
    fluid = Fluid.load(name)
    source = Source(fluid)
    for T in np.linspace(fluid.t_low_k, fluid.t_match_k, 41):
        line = source.line(T)
        found = fluid.saturation(0.5 * (line.liquid[1] + line.vapour[1]))
        (rho_L, p_L, u_L), (rho_V, p_V, u_V) = line.liquid, line.vapour
        assert found.t_k == pytest.approx(T, rel=1e-7)
        assert [found.rho_liquid_kg_m3, found.rho_vapour_kg_m3] == pytest.approx(
            [rho_L, rho_V], rel=5e-5
        )
        ours = [found.h_liquid_j_kg, found.h_vapour_j_kg]
        assert ours == pytest.approx([u_L + p_L / rho_L, u_V + p_V / rho_V], abs=1e-4 * line.latent)
        liquid_row, vapour_row = saturated(source, 0, T), saturated(source, 1, T)
        sigma = source.state.surface_tension()
        ours = [found.cp_liquid_j_kg_k, found.mu_liquid_pa_s, found.k_liquid_w_m_k]
        assert ours == pytest.approx(liquid_row, rel=2e-3)
        assert [found.cp_vapour_j_kg_k, found.mu_vapour_pa_s] == pytest.approx(
            vapour_row[:2], rel=2e-3
        )
        if not np.isnan(vapour_row[2]):
            assert found.k_vapour_w_m_k == pytest.approx(vapour_row[2], rel=1e-3)
        assert found.sigma_n_m == pytest.approx(sigma, rel=1e-3)


def test_the_glide_of_a_blend_is_between_bubble_and_dew() -> None:
    """R410A at 1 MPa: CoolProp's own bubble and dew temperatures."""
    fluid = Fluid.load("R410A")
    state = AbstractState("HEOS", "R410A")
    temperatures = []
    for quality in (0.0, 1.0):
        state.update(CoolProp.PQ_INPUTS, 1e6, quality)
        temperatures.append(state.T())
    assert [fluid.bubble_temperature(1e6), fluid.dew_temperature(1e6)] == pytest.approx(
        temperatures, abs=1e-4
    )

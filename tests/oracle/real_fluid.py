"""A refrigerant straight from CoolProp's reference equations (HEOS), transport included, and the plant's laws computed with it.

Source: Bell, Wronski, Quoilin and Lemort, Ind. Eng. Chem. Res. 53 (2014) 2498. Shares nothing with the tables of ``sim.fluid``.
Pure fluids only: bubble and dew pressure are one.
"""

from __future__ import annotations

from functools import cache, lru_cache
from types import FunctionType, ModuleType, SimpleNamespace
from typing import Any, NamedTuple

import CoolProp
import numpy as np
from CoolProp.CoolProp import AbstractState

from sim import fluid_columns as fc
from sim import tube_flow
from sim.parts import compressor
from sim.void import ZIVI_EXPONENT, void_fraction


class Saturation(NamedTuple):
    """Both phases at one pressure, SI."""

    T: float
    h_l: float
    h_v: float
    rho_l: float
    rho_v: float
    cp_l: float
    cp_v: float
    mu_l: float
    mu_v: float
    k_l: float
    k_v: float
    sigma: float

    @property
    def latent(self) -> float:
        return self.h_v - self.h_l

    def void(self, quality: float) -> float:
        """Share of a tube filled by vapour at a flow quality (Zivi 1964)."""
        if not 0.0 < quality < 1.0:
            return 0.0 if quality <= 0.0 else 1.0
        return float(void_fraction(quality, self.rho_l, self.rho_v, ZIVI_EXPONENT))

    def held(self, quality: float) -> float:
        """Mass in a unit of tube volume through which a mixture of that flow quality runs, kg/m3."""
        void = self.void(quality)
        return void * self.rho_v + (1.0 - void) * self.rho_l

    def moving(self, quality: float) -> float:
        """Density of the mixture that passes, both phases at one speed, kg/m3."""
        return 1.0 / (quality / self.rho_v + (1.0 - quality) / self.rho_l)


class Stream(NamedTuple):
    """A stream at a pressure and enthalpy, and the volume that it runs through."""

    p: float
    h: float
    T: float
    x: float
    """Generalised quality of what passes, (h - h_l)/(h_v - h_l)."""
    rho: float
    """Density of what passes, kg/m3."""
    held: float
    """Mass in a unit of volume, kg/m3: more than rho, since vapour runs ahead."""
    rests: float
    """Quality of what is held."""


class RealFluid:
    """One fluid of CoolProp."""

    def __init__(self, name: str) -> None:
        self.state = AbstractState("HEOS", name)
        self.liquid = AbstractState("HEOS", name)
        self.liquid.specify_phase(CoolProp.iphase_liquid)
        self.vapour = AbstractState("HEOS", name)
        self.vapour.specify_phase(CoolProp.iphase_gas)
        self.p_critical = float(self.state.p_critical())
        self.T_critical = float(self.state.T_critical())
        self.gas_constant = float(self.state.gas_constant() / self.state.molar_mass())
        self.saturation = lru_cache(maxsize=4096)(self._saturation)

    def _saturation(self, p: float) -> Saturation:
        s = self.state
        s.update(CoolProp.PQ_INPUTS, p, 0.0)
        T, h_l, rho_l, sigma = s.T(), s.hmass(), s.rhomass(), s.surface_tension()
        s.update(CoolProp.PQ_INPUTS, p, 1.0)
        h_v, rho_v = s.hmass(), s.rhomass()
        a, b = self.liquid, self.vapour
        a.update(CoolProp.DmassT_INPUTS, rho_l, T)
        b.update(CoolProp.DmassT_INPUTS, rho_v, T)
        return Saturation(
            T, h_l, h_v, rho_l, rho_v, a.cpmass(), b.cpmass(),
            a.viscosity(), b.viscosity(), a.conductivity(), b.conductivity(), sigma,
        )  # fmt: skip

    def pressure_at(self, T: float) -> float:
        """Saturation pressure, Pa."""
        self.state.update(CoolProp.QT_INPUTS, 0.0, T)
        return float(self.state.p())

    def stream(self, p: float, h: float) -> Stream:
        """The stream of enthalpy h at p."""
        s = self.saturation(p)
        x = (h - s.h_l) / s.latent
        if 0.0 <= x <= 1.0:
            return Stream(p, h, s.T, x, s.moving(x), s.held(x), s.void(x) * s.rho_v / s.held(x))
        a = self.liquid if x < 0.0 else self.vapour
        a.update(CoolProp.HmassP_INPUTS, h, p)
        return Stream(p, h, a.T(), x, a.rhomass(), a.rhomass(), x)

    def vapour_at(self, p: float, T: float) -> Stream:
        """Superheated vapour."""
        self.vapour.update(CoolProp.PT_INPUTS, p, T)
        return self.stream(p, float(self.vapour.hmass()))

    # --- what the compressor's laws ask of a fluid (names and order as they call it) -----------------------------

    def energy(self, _: Any, rho: float, T: float) -> float:
        self.vapour.update(CoolProp.DmassT_INPUTS, rho, T)
        return float(self.vapour.umass())

    def vapour_entropy(self, _: Any, rho: float, T: float) -> float:
        self.vapour.update(CoolProp.DmassT_INPUTS, rho, T)
        return float(self.vapour.smass())

    def density_at_pT_vapour(self, _: Any, p: float, T: float) -> float:
        self.vapour.update(CoolProp.PT_INPUTS, p, T)
        return float(self.vapour.rhomass())

    def vapour_at_ps(self, _: Any, p: float, s: float, __: float) -> tuple[float, float, float]:
        return self._gas(CoolProp.PSmass_INPUTS, p, s)

    def vapour_at_ph(self, _: Any, p: float, h: float, __: float) -> tuple[float, float, float]:
        return self._gas(CoolProp.HmassP_INPUTS, h, p)

    def _gas(self, pair: Any, first: float, second: float) -> tuple[float, float, float]:
        self.vapour.update(pair, first, second)
        return float(self.vapour.T()), float(self.vapour.rhomass()), float(self.vapour.hmass())

    def fill_saturation(self, _: Any, p: float, out: Any) -> None:
        """Saturation in the columns that ``sim.tube_flow`` reads."""
        s = self.saturation(p)
        out[fc.SAT_T] = out[fc.SAT_T_DEW] = out[fc.SAT_T_BUBBLE] = s.T
        out[fc.SAT_HL], out[fc.SAT_HV] = s.h_l, s.h_v
        out[fc.SAT_RHOL], out[fc.SAT_RHOV] = s.rho_l, s.rho_v
        out[fc.SAT_CPL], out[fc.SAT_CPV] = s.cp_l, s.cp_v
        out[fc.SAT_MUL], out[fc.SAT_MUV] = s.mu_l, s.mu_v
        out[fc.SAT_KL], out[fc.SAT_KV], out[fc.SAT_SIGMA] = s.k_l, s.k_v, s.sigma

    @property
    def meta(self) -> Any:
        """The constants that the laws look up in a fluid's tables."""
        meta = np.zeros(fc.N_META)
        meta[fc.GAS_CONSTANT], meta[fc.T_CRITICAL] = self.gas_constant, self.T_critical
        return meta


@cache
def real_fluid(name: str) -> RealFluid:
    """The fluid, made once."""
    return RealFluid(name)


def laws_with(module: ModuleType, **replaced: Any) -> SimpleNamespace:
    """A module's compiled laws as plain Python, with the names in ``replaced`` (its property calls) bound to something else."""
    space = dict(vars(module))
    for name, value in vars(module).items():
        if hasattr(value, "py_func") and value.py_func.__module__ == module.__name__:
            space[name] = FunctionType(value.py_func.__code__, space, name)
    space.update(replaced)
    return SimpleNamespace(**space)


def compressor_laws(fluid: RealFluid) -> SimpleNamespace:
    """``sim.parts.compressor`` on CoolProp's vapour."""
    return laws_with(
        compressor,
        energy=fluid.energy,
        vapour_entropy=fluid.vapour_entropy,
        density_at_pT_vapour=fluid.density_at_pT_vapour,
        vapour_at_ps=fluid.vapour_at_ps,
    )


def capillary_grid(fluid: RealFluid, low_pa: float, high_pa: float, rows: int) -> Any:
    """The property rows that ``sim.tube_flow`` marches over, from CoolProp; uniform in ln p."""
    calls = SimpleNamespace(**vars(fc))
    calls.saturation, calls.vapour_at_ph = fluid.fill_saturation, fluid.vapour_at_ph
    grid = np.zeros((rows, tube_flow.N_PROPERTIES))
    step = float(np.log(high_pa / low_pa)) / (rows - 1)
    holder = SimpleNamespace(meta=fluid.meta)
    laws_with(tube_flow, fk=calls).property_grid(
        holder, float(np.log(low_pa)), step, np.empty(fc.N_SAT), grid
    )
    return grid

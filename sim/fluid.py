"""A refrigerant: its tables for the compiled functions, its facts, and public property calls that refuse what the tables do not cover.

Everything is SI: Pa, K, kg/m3, J/kg, J/(kg K), Pa s, W/(m K), N/m. Enthalpy and entropy are on the IIR reference state.
Inside a run the compiled functions of ``sim.fluid_kernel`` go on smoothly beyond the limits; the calls here raise ``FluidRangeError`` instead.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from sim import fluid_kernel as fk
from sim.errors import FluidRangeError, InputError
from sim.fluid_kernel import FluidTables

__all__ = ["Fluid", "FluidRangeError", "Point", "Saturation"]

FOLDER = Path(__file__).parent / "fluids"


@dataclass(frozen=True)
class Point:
    """One state. ``quality`` is NaN outside the two-phase region."""

    phase: str
    p_pa: float
    t_k: float
    rho_kg_m3: float
    h_j_kg: float
    s_j_kg_k: float
    quality: float


@dataclass(frozen=True)
class Saturation:
    """The saturation line at one pressure: the mean of bubble and dew pressure at ``t_k``; the two lines' own temperatures at that pressure stand apart."""

    p_pa: float
    t_k: float
    h_liquid_j_kg: float
    h_vapour_j_kg: float
    rho_liquid_kg_m3: float
    rho_vapour_kg_m3: float
    cp_liquid_j_kg_k: float
    cp_vapour_j_kg_k: float
    mu_liquid_pa_s: float
    mu_vapour_pa_s: float
    k_liquid_w_m_k: float
    k_vapour_w_m_k: float
    sigma_n_m: float
    t_dew_k: float
    t_bubble_k: float


@dataclass(frozen=True, eq=False)
class Fluid:
    """One refrigerant. ``tables`` goes into compiled functions; ``source`` cites the correlations behind it."""

    name: str
    safety_class: str
    source: str
    transport_note: str
    tables: FluidTables
    molar_mass: float
    critical_temperature_k: float
    critical_pressure_pa: float
    critical_density: float
    t_low_k: float
    t_high_k: float
    liquid_span_pa: float

    @staticmethod
    def known() -> list[str]:
        """Names that ``load`` accepts."""
        return sorted(path.stem for path in FOLDER.glob("*.npz"))

    @staticmethod
    @cache
    def load(name: str) -> Fluid:
        """The shipped fluid of this name."""
        if name not in Fluid.known():
            raise InputError(f"there is no fluid '{name}'; known are {', '.join(Fluid.known())}")
        with np.load(FOLDER / f"{name}.npz") as data:
            tables = FluidTables(data["meta"], data["core"], data["sat_meta"], data["sat"])
            facts = data["facts"].tolist()
            texts = [str(text) for text in data["texts"]]
        return Fluid(texts[0], texts[1], texts[2], texts[3], tables, *facts)

    @property
    def gas_constant(self) -> float:
        return float(self.tables.meta[fk.GAS_CONSTANT])

    @property
    def t_match_k(self) -> float:
        """Upper end of liquid and of the two-phase region in the tables, a little below critical."""
        return float(self.tables.meta[fk.T_MATCH])

    @property
    def exact_tables(self) -> FluidTables:
        """The tables without the numerical rounding of the liquid line that a run uses."""
        meta = self.tables.meta.copy()
        meta[fk.SOFTENING] = 0.0
        return self.tables._replace(meta=meta)

    def dew_pressure(self, t_k: float) -> float:
        self._need(f"saturated vapour at {t_k:g} K", self.t_low_k <= t_k <= self.t_match_k)
        return fk.dew_pressure(self.tables, t_k)

    def bubble_pressure(self, t_k: float) -> float:
        self._need(f"saturated liquid at {t_k:g} K", self.t_low_k <= t_k <= self.t_match_k)
        return fk.bubble_pressure(self.tables, t_k)

    def dew_temperature(self, p_pa: float) -> float:
        return self.saturation(p_pa).t_dew_k

    def bubble_temperature(self, p_pa: float) -> float:
        return self.saturation(p_pa).t_bubble_k

    def saturation(self, p_pa: float) -> Saturation:
        """The saturation line at a pressure."""
        low, high = self._pressure_limits()
        self._need(f"saturation at {p_pa:g} Pa", low <= p_pa <= high)
        out = np.empty(fk.N_SAT)
        fk.saturation(self.tables, p_pa, out)
        return Saturation(p_pa, *out.tolist())

    def vapour(self, p_pa: float, t_k: float) -> Point:
        """Superheated vapour at pressure and temperature."""
        what = f"vapour at {p_pa:g} Pa and {t_k:g} K"
        self._need(what, p_pa > 0.0 and self.t_low_k <= t_k <= self.t_high_k)
        self._need(what, p_pa <= fk.dew_pressure(self.tables, t_k) * (1.0 + 1e-9))
        rho = fk.density_at_pT_vapour(self.tables, p_pa, t_k)
        return self._vapour_point(p_pa, t_k, rho)

    def liquid(self, p_pa: float, t_k: float) -> Point:
        """Subcooled liquid at pressure and temperature."""
        what = f"liquid at {p_pa:g} Pa and {t_k:g} K"
        self._need(what, self.t_low_k <= t_k <= self.t_match_k)
        rise = p_pa - fk.bubble_pressure(self.tables, t_k)
        self._need(what, -1e-9 * p_pa <= rise <= self.liquid_span_pa)
        rho = fk.density_at_pT_liquid(self.tables, p_pa, t_k)
        return self._liquid_point(p_pa, t_k, rho)

    def at_ph(self, p_pa: float, h_j_kg: float) -> Point:
        """Any phase at pressure and enthalpy (two-phase: straight lines in quality)."""
        low, high = self._pressure_limits()
        if not low <= p_pa <= high:
            return self._at_ph_off_the_line(p_pa, h_j_kg)
        line = self.saturation(p_pa)
        x = (h_j_kg - line.h_liquid_j_kg) / (line.h_vapour_j_kg - line.h_liquid_j_kg)
        if x < 0.0:
            T, _, _ = fk.liquid_at_ph(self.tables, p_pa, h_j_kg, line.t_k)
            return self.liquid(p_pa, min(T, line.t_bubble_k))
        if x > 1.0:
            T, _, _ = fk.vapour_at_ph(self.tables, p_pa, h_j_kg, line.t_k)
            return self.vapour(p_pa, max(T, line.t_dew_k))
        T = line.t_bubble_k + x * (line.t_dew_k - line.t_bubble_k)
        return self._mixed_point(p_pa, T, h_j_kg, x, line.rho_liquid_kg_m3, line.rho_vapour_kg_m3)

    def _at_ph_off_the_line(self, p_pa: float, h_j_kg: float) -> Point:
        """Thin vapour below the lowest saturation pressure; liquid or hot vapour above the highest."""
        self._need(f"{p_pa:g} Pa and {h_j_kg:g} J/kg", p_pa > 0.0)
        hottest = self.t_match_k
        if p_pa > fk.bubble_pressure(self.tables, hottest):
            rho = fk.density_at_pT_liquid(self.tables, p_pa, hottest)
            if h_j_kg < fk.energy(self.tables, rho, hottest) + p_pa / rho:
                return self.liquid(p_pa, fk.liquid_at_ph(self.tables, p_pa, h_j_kg, hottest)[0])
        return self.vapour(p_pa, fk.vapour_at_ph(self.tables, p_pa, h_j_kg, hottest)[0])

    def at_density_energy(self, rho_kg_m3: float, u_j_kg: float) -> Point:
        """Any phase at density and internal energy."""
        what = f"{rho_kg_m3:g} kg/m3 and {u_j_kg:g} J/kg"
        self._need(what, rho_kg_m3 > 0.0)
        p, T, q, void, rho_L, rho_V, _, _, h, rho_sat = fk.state(
            self.exact_tables, rho_kg_m3, u_j_kg, 300.0
        )
        self._need(what, self.t_low_k <= T <= self.t_high_k)
        if void == 1.0:
            return self._vapour_point(p, T, rho_kg_m3)
        self._need(what, self.t_match_k >= T)
        if rho_kg_m3 >= rho_sat:
            self._need(what, p - fk.bubble_pressure(self.tables, T) <= self.liquid_span_pa)
            return self._liquid_point(p, T, rho_kg_m3)
        return self._mixed_point(p, T, h, q, rho_L, rho_V)

    def _vapour_point(self, p: float, T: float, rho: float) -> Point:
        h = fk.energy(self.tables, min(rho, self._line_density(T)), T) + p / rho
        return Point("vapour", p, T, rho, h, fk.vapour_entropy(self.tables, rho, T), float("nan"))

    def _liquid_point(self, p: float, T: float, rho: float) -> Point:
        h = fk.energy(self.tables, rho, T) + p / rho
        return Point("liquid", p, T, rho, h, fk.liquid_entropy(self.tables, rho, T), float("nan"))

    def _mixed_point(
        self, p: float, T: float, h: float, x: float, rho_L: float, rho_V: float
    ) -> Point:
        s_L = fk.liquid_entropy(self.tables, rho_L, T)
        s_V = fk.vapour_entropy(self.tables, rho_V, T)
        rho = 1.0 / ((1.0 - x) / rho_L + x / rho_V)
        return Point("two-phase", p, T, rho, h, s_L + x * (s_V - s_L), x)

    def _line_density(self, T: float) -> float:
        """Density of saturated vapour, a hair below it so that rounding cannot call it two-phase."""
        p = fk.dew_pressure(self.tables, T)
        return fk.density_at_pT_vapour(self.tables, p, T) * (1.0 - 1e-12)

    def _pressure_limits(self) -> tuple[float, float]:
        ends = [
            0.5 * (fk.dew_pressure(self.tables, T) + fk.bubble_pressure(self.tables, T))
            for T in (self.t_low_k, self.t_match_k)
        ]
        return ends[0] * (1.0 - 1e-9), ends[1] * (1.0 + 1e-9)

    def _need(self, what: str, is_inside: bool) -> None:
        if not is_inside:
            low, high = self._pressure_limits()
            raise FluidRangeError(
                f"{self.name}: {what} is outside the tables, which cover {self.t_low_k:.1f} to {self.t_match_k:.1f} K for liquid (up to"
                f" {self.liquid_span_pa / 1e6:g} MPa above bubble) and two-phase ({low / 1e3:.4g} to {high / 1e3:.4g} kPa), and"
                f" {self.t_low_k:.1f} to {self.t_high_k:.1f} K for vapour up to its dew line"
            )

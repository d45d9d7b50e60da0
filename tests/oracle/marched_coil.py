"""A coil marched along its length with CoolProp properties: midpoint rule, 200 segments, the wall's temperature found at every place.

Refrigerant:  dh/ds = q/m,  dp/ds = -m slope sqrt(rho_nominal/rho),  dM/ds = V held(x);  s from 0 (where it enters) to 1, q the heat of a whole coil
whose every place is like this one. Wall:  q = film A (T_wall - T) = air side at T_wall. Film, air and friction laws are those of the rig; how they
are put together is not: no cells, no profile inside a cell, no state that is stored.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import sqrt

from scipy.optimize import brentq

from sim import air, film
from sim.friction import coil_slope
from sim.parts.coil import Coil
from sim.smooth import blend
from tests.oracle.real_fluid import RealFluid, Stream

SEGMENTS = 200
WALL_XTOL_K = 1e-7


@dataclass(frozen=True)
class AirSide:
    """What flows over a coil."""

    T_in: float
    w_in: float
    pressure: float
    flow: float
    """Dry air through the whole coil, kg/s."""
    ua: float
    """Film conductance of the whole coil, W/K."""


@dataclass(frozen=True)
class Marched:
    """What comes of a march."""

    out: Stream
    charge_kg: float
    heat_w: float
    """Into the refrigerant."""
    condensate_kg_s: float
    air_out_k: float
    air_out_w: float
    """Humidity ratio of the leaving air."""


class MarchedCoil:
    """One coil of a rig with the air that flows over it."""

    def __init__(
        self, fluid: RealFluid, coil: Coil, over: AirSide, segments: int = SEGMENTS
    ) -> None:
        self.fluid, self.coil, self.over, self.segments = fluid, coil, over, segments
        sat = fluid.saturation(fluid.pressure_at(coil.nominal_saturation_k))
        self.slope = coil_slope(
            coil.nominal_flow_kg_s, coil.bore_m, coil.length_m, coil.bends,
            coil.quality_in, coil.quality_out, sat.rho_l, sat.rho_v, sat.mu_l, sat.mu_v,
        )  # fmt: skip
        self.rho_nominal = sat.moving(0.5 * (coil.quality_in + coil.quality_out))
        self.march = lru_cache(maxsize=256)(self._march)

    def air_at(self, wall_t: float) -> tuple[float, float, float, float]:
        """Heat (W) and water (kg/s) given to a coil whose wall is at one temperature everywhere; T and w of the leaving air."""
        o = self.over
        heat, water, t, w, _ = air.cell_air(
            o.T_in, o.w_in, o.pressure, o.flow, o.ua, self.coil.still_conductance_w_k, wall_t
        )
        return float(heat), float(water), float(t), float(w)

    def film_at(self, here: Stream, flow: float, wall_t: float, heat: float) -> float:
        """Film coefficient where the stream is ``here``, W/(m2 K)."""
        s = self.fluid.saturation(here.p)
        boiling = blend(wall_t - s.T, -0.5, 0.5)
        flux = heat / self.coil.film_area_m2
        prepared = film.prepare(
            flow / self.coil.section_m2, flux, self.coil.bore_m, here.p / self.fluid.p_critical,
            s.rho_l, s.rho_v, s.mu_l, s.mu_v, s.k_l, s.k_v, s.cp_l, s.cp_v, s.latent, boiling,
        )  # fmt: skip
        return float(film.at(here.x, *prepared))

    def wall_at(self, here: Stream, flow: float) -> float:
        """Wall temperature at which both sides pass the same heat."""

        def surplus(wall_t: float) -> float:
            heat = self.air_at(wall_t)[0]
            return heat - self.film_at(here, flow, wall_t, heat) * self.coil.film_area_m2 * (
                wall_t - here.T
            )

        low, high = sorted((here.T, self.over.T_in))
        if high - low < 1e-6:
            return low
        return float(brentq(surplus, low - 1e-6, high + 1e-6, xtol=WALL_XTOL_K))

    def rates(self, here: Stream, flow: float) -> tuple[float, float, float]:
        """dh/ds (J/kg), dp/ds (Pa) and the wall temperature (K)."""
        wall_t = self.wall_at(here, flow)
        drop = flow * self.slope * sqrt(self.rho_nominal / here.rho)
        return self.air_at(wall_t)[0] / flow, -drop, wall_t

    def _march(self, p: float, h: float, flow: float) -> Marched:
        """From the inlet (Pa, J/kg) to the outlet at a flow above zero (kg/s)."""
        ds = 1.0 / self.segments
        charge = heat = water = t_out = w_out = 0.0
        for _ in range(self.segments):
            dh, dp, _ = self.rates(self.fluid.stream(p, h), flow)
            middle = self.fluid.stream(p + 0.5 * ds * dp, h + 0.5 * ds * dh)
            dh, dp, wall_t = self.rates(middle, flow)
            q, m_water, t, w = self.air_at(wall_t)
            p, h = p + ds * dp, h + ds * dh
            charge += ds * self.coil.volume_m3 * middle.held
            heat, water = heat + ds * q, water + ds * m_water
            t_out, w_out = t_out + ds * t, w_out + ds * w
        return Marched(self.fluid.stream(p, h), charge, heat, water, t_out, w_out)

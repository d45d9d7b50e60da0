"""Build the fluid tables from CoolProp: ``python -m sim.fluid_build [NAME ...]`` rewrites ``sim/fluids/*.npz``.

Source of every number: the reference equations of state, transport and surface-tension correlations in CoolProp (Bell, Wronski, Quoilin and Lemort 2014,
Ind. Eng. Chem. Res. 53, 2498-2508). At each temperature knot the vapour and liquid isotherms are fitted by least squares at Chebyshev points, then every
coefficient becomes a cubic spline in temperature. The representation is described in ``sim.fluid_kernel``.

This module and ``sim.reference_cycle`` are the only ones in ``sim`` that import CoolProp.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from pathlib import Path

import CoolProp
import numpy as np
from CoolProp.CoolProp import AbstractState
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from sim import fluid_columns as fk

Array = NDArray[np.float64]
FOLDER = Path(__file__).parent / "fluids"

H_REFERENCE, S_REFERENCE, T_REFERENCE = 200e3, 1e3, 273.15
"""IIR reference state: saturated liquid at 0 degC (ISO 17584:2005, clause 4)."""
KNOT_K = 1.0
"""K; wanted knot spacing."""
MATCH_BELOW_CRITICAL_K = 4.0
LIQUID_SPAN_PA = 15e6
"""Liquid is fitted from saturation up to this much above it (a shut-in liquid line reaches 10 MPa)."""
T_EXTENDED = 130.0
"""K; below the lowest valid temperature the tables continue physically to here, then in straight lines."""
T_TOP = 480.0
"""K; vapour is tabulated to here even where the equation's own limit is lower."""
SOFTENING = 3e-5
"""Of rho_L; see ``sim.fluid_kernel``: numerical, a density shift of 1.5e-5 at the liquid line."""
SAT_ROWS = 256
SAT_TAIL = 0.05
"""In ln p; beyond T_MATCH saturation properties bend over to constants within about this range."""


@dataclass(frozen=True)
class Recipe:
    """What a fluid's table starts from. ``safety_class`` is that of ISO 817:2014 / ANSI/ASHRAE 34."""

    name: str
    safety_class: str
    t_low_k: float
    blend: bool = False
    transport_note: str = "viscosity, conductivity and surface tension: CoolProp's correlations"


RECIPES = {
    recipe.name: recipe
    for recipe in (
        Recipe("R134a", "A1", 190.0),
        Recipe("R290", "A3", 180.0),
        Recipe("R410A", "A1", 201.0, blend=True),
        Recipe("R32", "A2L", 180.0),
        Recipe("R600a", "A3", 190.0),
        Recipe("R1234yf", "A2L", 190.0),
        Recipe("R22", "A1", 185.0),
        Recipe("R12", "A1", 190.0),
    )
}


def _chebyshev(n: int) -> Array:
    return 0.5 * (1.0 - np.cos(np.pi * (np.arange(1, n + 1) - 0.5) / n))


class _Equation:
    """CoolProp's equation of one fluid, asked phase by phase, shifted to the IIR reference state."""

    def __init__(self, name: str) -> None:
        self.state = AbstractState("HEOS", name)
        self.R = self.state.gas_constant() / self.state.molar_mass()
        self.state.update(CoolProp.QT_INPUTS, 0.0, T_REFERENCE)
        self.h_shift = H_REFERENCE - self.state.hmass()
        self.s_shift = S_REFERENCE - self.state.smass()

    def saturated(self, quality: float, T: float) -> AbstractState:
        self.state.unspecify_phase()
        self.state.update(CoolProp.QT_INPUTS, quality, T)
        return self.state

    def point(self, phase: CoolProp.phases, rho: float, T: float) -> tuple[float, float, float]:
        """p, u, s at density and temperature with the phase imposed."""
        self.state.specify_phase(phase)
        self.state.update(CoolProp.DmassT_INPUTS, rho, T)
        return self.state.p(), self.state.umass() + self.h_shift, self.state.smass() + self.s_shift

    def stiffness(self) -> float:
        """dp/drho of the last point."""
        return float(self.state.first_partial_deriv(CoolProp.iP, CoolProp.iDmass, CoolProp.iT))


def _fit_vapour(eq: _Equation, T: float, rho_V: float, p_dew: float) -> tuple[Array, float, float]:
    """Coefficients (Z, u, s) of the vapour isotherm, and u_V, s_V."""
    n = fk.N_VAPOUR
    y = np.append(_chebyshev(18), 1.0)
    points = np.array([eq.point(CoolProp.iphase_gas, yi * rho_V, T) for yi in y])
    Z = points[:, 0] / (y * rho_V * eq.R * T)
    Z_V = p_dew / (rho_V * eq.R * T)
    Z += (Z_V - Z[-1]) * y**4  # a pseudo-pure fluid's dew line is off its own equation
    u, s = points[:, 1], points[:, 2] + eq.R * np.log(y)
    basis = np.array([y**k - 1.0 for k in range(1, n + 1)]).T
    ideal = 30.0  # weight of Z(0) = 1
    z_coef = np.linalg.lstsq(
        np.vstack([basis, -ideal * np.ones(n)]), np.append(Z - Z_V, ideal * (1.0 - Z_V))
    )[0]
    u_coef = np.linalg.lstsq(basis, u - u[-1])[0]
    s_coef = np.linalg.lstsq(basis, s - s[-1])[0]
    return np.concatenate([z_coef, u_coef, s_coef]), u[-1], s[-1]


def _liquid_span(eq: _Equation, T: float, rho_L: float, p_sat: float) -> float:
    """Density increase that raises the pressure by LIQUID_SPAN_PA."""
    rho = rho_L
    for _ in range(200):
        p, _, _ = eq.point(CoolProp.iphase_liquid, rho, T)
        miss = LIQUID_SPAN_PA - (p - p_sat)
        if abs(miss) < 1e-6 * LIQUID_SPAN_PA:
            break
        rho += min(max(miss / max(eq.stiffness(), 1e3), -0.01 * rho_L), 0.01 * rho_L)
    return rho - rho_L


def _fit_liquid(eq: _Equation, T: float, rho_L: float) -> tuple[Array, float, float, float]:
    """Coefficients (p, u, s) of the liquid isotherm, and p, u_L, s_L on the line."""
    n = fk.N_LIQUID
    p_L, u_L, s_L = eq.point(CoolProp.iphase_liquid, rho_L, T)
    span = _liquid_span(eq, T, rho_L, p_L)
    x = _chebyshev(16)
    points = np.array([eq.point(CoolProp.iphase_liquid, rho_L + xi * span, T) for xi in x])
    rise = points - [p_L, u_L, s_L]
    basis = np.array([x**k for k in range(1, n + 1)]).T
    weight = 1.0 / (rise[:, 0] + 2e5)
    a = np.linalg.lstsq(basis * weight[:, None], rise[:, 0] * weight)[0]
    b = np.linalg.lstsq(basis, rise[:, 1])[0]
    f = np.linalg.lstsq(basis, rise[:, 2])[0]
    scale = span ** np.arange(1, n + 1)
    return np.concatenate([a / scale, b / scale, f / scale]), p_L, u_L, s_L


def _knot(eq: _Equation, T: float, frozen: tuple[float, float] | None) -> Array:
    """All core quantities at one temperature; above T_MATCH the line densities are given."""
    if frozen is None:
        line = eq.saturated(0.0, T)
        rho_L, p_bubble = line.rhomass(), line.p()
        line = eq.saturated(1.0, T)
        rho_V, p_dew = line.rhomass(), line.p()
    else:
        rho_L, rho_V = frozen
        p_dew = eq.point(CoolProp.iphase_gas, rho_V, T)[0]
        p_bubble = eq.point(CoolProp.iphase_liquid, rho_L, T)[0]
    n, m = fk.N_VAPOUR, fk.N_LIQUID
    vapour, u_V, s_V = _fit_vapour(eq, T, rho_V, p_dew)
    liquid, _, u_L, s_L = _fit_liquid(eq, T, rho_L)
    row = np.empty(fk.N_CORE)
    row[[fk.LN_P_DEW, fk.LN_P_BUBBLE, fk.LN_RHO_V]] = np.log([p_dew, p_bubble, rho_V])
    row[[fk.RHO_L, fk.U_L, fk.U_V, fk.S_L, fk.S_V]] = rho_L, u_L, u_V, s_L, s_V
    row[fk.Z_COEF : fk.Z_COEF + 2 * n] = vapour[: 2 * n]
    row[fk.SV_COEF : fk.SV_COEF + n] = vapour[2 * n :]
    row[fk.P_COEF : fk.P_COEF + 2 * m] = liquid[: 2 * m]
    row[fk.SL_COEF : fk.SL_COEF + m] = liquid[2 * m :]
    return row


def _rows(T: Array, values: Array) -> Array:
    """Cubic rows [interval, quantity, 4] in t = 0..1 of splines through the knots."""
    spline = CubicSpline(T, values, axis=0)
    step = T[1] - T[0]
    return np.stack([spline.c[3 - j] * step**j for j in range(4)], axis=-1)


def _hermite_rows(values: Array, slopes: Array) -> Array:
    """Cubic rows through knot values with knot slopes (per interval)."""
    v0, v1, d0, d1 = values[:-1], values[1:], slopes[:-1], slopes[1:]
    return np.stack([v0, d0, 3 * (v1 - v0) - 2 * d0 - d1, 2 * (v0 - v1) + d0 + d1], axis=-1)


def _continued_down(T: Array, first: Array, slope: Array) -> Array:
    """Rows for the knots T[0..-1] below the table: logarithms straight in 1/T, the rest in T; value and slope meet at T[-1]."""
    top = T[-1]
    values = first + slope * (T[:, None] - top)
    slopes = np.tile(slope, (len(T), 1))
    for q in (fk.LN_P_DEW, fk.LN_P_BUBBLE, fk.LN_RHO_V):
        values[:, q] = first[q] + slope[q] * top**2 * (1.0 / top - 1.0 / T)
        slopes[:, q] = slope[q] * top**2 / T**2
    return _hermite_rows(values, slopes * (T[1] - T[0]))


def _straight(row: Array, t: float, origin: float) -> Array:
    """Row that continues ``row`` in a straight line from its place t; its own place 0 is at t = origin."""
    slope = row[:, 1] + t * (2 * row[:, 2] + 3 * t * row[:, 3])
    value = row[:, 0] + t * (row[:, 1] + t * (row[:, 2] + t * row[:, 3]))
    straight = np.zeros_like(row)
    straight[:, 0], straight[:, 1] = value + slope * (origin - t), slope
    return straight


def _core(eq: _Equation, recipe: Recipe) -> tuple[Array, Array]:
    """meta and core of one fluid."""
    T_c = eq.state.T_critical()
    T_match = T_c - MATCH_BELOW_CRITICAL_K
    n_below = round((T_match - recipe.t_low_k) / KNOT_K)
    step = (T_match - recipe.t_low_k) / n_below
    below = recipe.t_low_k + step * np.arange(n_below + 1)
    above = T_match + step * np.arange(int(np.ceil((T_TOP - T_match) / step)) + 1)
    low = np.array([_knot(eq, T, None) for T in below])
    frozen = (low[-1, fk.RHO_L], float(np.exp(low[-1, fk.LN_RHO_V])))
    high = np.array([_knot(eq, T, frozen) for T in above])
    high[0, [fk.LN_P_DEW, fk.LN_P_BUBBLE]] = low[-1, [fk.LN_P_DEW, fk.LN_P_BUBBLE]]
    main = _rows(below, low)
    n_down = int(np.ceil((recipe.t_low_k - T_EXTENDED) / step))
    down = _continued_down(
        recipe.t_low_k + step * np.arange(-n_down, 1), main[0, :, 0], main[0, :, 1] / step
    )
    rows = np.concatenate([down, main, _rows(above, high)])
    rows = np.concatenate(
        [_straight(rows[0], 0.0, -1.0)[None], rows, _straight(rows[-1], 1.0, 1.0)[None]]
    )
    meta = np.zeros(fk.N_META)
    meta[fk.T_FIRST] = recipe.t_low_k - n_down * step
    meta[fk.PER_KELVIN], meta[fk.N_ROWS], meta[fk.GAS_CONSTANT] = 1.0 / step, len(rows), eq.R
    meta[fk.T_MATCH], meta[fk.T_CRITICAL], meta[fk.SOFTENING] = T_match, T_c, SOFTENING
    return meta, np.ascontiguousarray(rows)


def _line(meta: Array, core: Array, T: Array) -> Array:
    """Core quantities (LN_P_DEW .. U_V) along the saturation line."""
    s = (T - meta[fk.T_FIRST]) * meta[fk.PER_KELVIN] + 1.0
    i = np.clip(s.astype(int), 0, int(meta[fk.N_ROWS]) - 1)
    t = (s - i)[:, None]
    c = core[i, : fk.Z_COEF]
    return c[..., 0] + t * (c[..., 1] + t * (c[..., 2] + t * c[..., 3]))


def _temperature_where(meta: Array, core: Array, columns: list[int], ln_p: Array) -> Array:
    """T on the saturation line at which the mean of the named pressures is p: bisection, vectorised."""
    low = np.full_like(ln_p, meta[fk.T_FIRST])
    high = np.full_like(ln_p, meta[fk.T_MATCH] + 20.0)
    for _ in range(60):
        T = 0.5 * (low + high)
        is_above = np.exp(_line(meta, core, T)[:, columns]).mean(axis=1) > np.exp(ln_p)
        high, low = np.where(is_above, T, high), np.where(is_above, low, T)
    return 0.5 * (low + high)


def _transport(eq: _Equation, T: float) -> list[float]:
    """cp, viscosity, conductivity of liquid and vapour, then surface tension."""
    liquid = eq.saturated(0.0, T)
    low = [liquid.cpmass(), liquid.viscosity(), liquid.conductivity(), liquid.surface_tension()]
    vapour = eq.saturated(1.0, T)
    high = [vapour.cpmass(), vapour.viscosity(), vapour.conductivity()]
    return [low[0], high[0], low[1], high[1], low[2], high[2], low[3]]


def _settle(x: Array, value: Array, slope: Array, length: float) -> tuple[Array, Array]:
    """Values and slopes at distance x from a table's end: start with its slope, level off within ``length``."""
    fade = np.exp(-np.abs(x) / length)[:, None]
    return value + slope * np.sign(x)[:, None] * length * (1.0 - fade), slope * fade


def _saturation(eq: _Equation, recipe: Recipe, meta: Array, core: Array) -> tuple[Array, Array]:
    """sat_meta and sat: valid part, straight-on continuation below, levelling tail above."""
    both = [fk.LN_P_DEW, fk.LN_P_BUBBLE]
    T_ends = np.array([meta[fk.T_FIRST], recipe.t_low_k, meta[fk.T_MATCH]])
    first, low, top = np.log(np.exp(_line(meta, core, T_ends)[:, both]).mean(axis=1))
    step = (top - low) / SAT_ROWS
    n_down = int((low - first) / step)
    n_tail = int(np.ceil(8 * SAT_TAIL / step))
    ln_p = low + step * np.arange(-n_down, SAT_ROWS + 1)
    T = _temperature_where(meta, core, both, ln_p)
    T[-1] = meta[fk.T_MATCH]
    line = _line(meta, core, T)
    rho_L, ln_rho_V = line[:, fk.RHO_L], line[:, fk.LN_RHO_V]
    values = np.empty((len(T), fk.N_SAT))
    values[:, fk.SAT_T], values[:, fk.SAT_RHOL], values[:, fk.SAT_RHOV] = T, rho_L, ln_rho_V
    values[:, fk.SAT_HL] = line[:, fk.U_L] + np.exp(line[:, fk.LN_P_BUBBLE]) / rho_L
    values[:, fk.SAT_HV] = line[:, fk.U_V] + np.exp(line[:, fk.LN_P_DEW] - ln_rho_V)
    values[:, fk.SAT_T_DEW] = _temperature_where(meta, core, [fk.LN_P_DEW], ln_p)
    values[:, fk.SAT_T_BUBBLE] = _temperature_where(meta, core, [fk.LN_P_BUBBLE], ln_p)
    carried = [fk.SAT_CPL, fk.SAT_CPV, fk.SAT_MUL, fk.SAT_MUV, fk.SAT_KL, fk.SAT_KV, fk.SAT_SIGMA]
    values[n_down:, carried] = [_transport(eq, Ti) for Ti in T[n_down:]]
    main = _rows(ln_p[n_down:], values[n_down:])
    slopes = main[0, carried, 1] / step
    below, below_slopes = _settle(ln_p[: n_down + 1] - low, main[0, carried, 0], slopes, 0.5)
    down = _rows(ln_p[: n_down + 1], np.nan_to_num(values[: n_down + 1]))
    down[:, carried] = _hermite_rows(below, below_slopes * step)
    end = _straight(main[-1], 1.0, 1.0)
    tail = _settle(step * np.arange(n_tail + 1), end[:, 0], end[:, 1] / step, SAT_TAIL)
    rows = np.concatenate([down, main, _hermite_rows(tail[0], tail[1] * step)])
    return np.array([ln_p[0], 1.0 / step, len(rows)]), np.ascontiguousarray(rows)


def build(name: str) -> dict[str, NDArray[np.float64] | NDArray[np.str_]]:
    """All arrays of one fluid's npz file."""
    recipe = RECIPES[name]
    eq = _Equation(name)
    meta, core = _core(eq, recipe)
    sat_meta, sat = _saturation(eq, recipe, meta, core)
    facts = np.array(
        [
            eq.state.molar_mass(),
            eq.state.T_critical(),
            eq.state.p_critical(),
            eq.state.rhomass_critical(),
            recipe.t_low_k,
            min(eq.state.Tmax(), T_TOP),
            LIQUID_SPAN_PA,
        ]
    )
    texts = np.array(
        [name, recipe.safety_class, recipe.transport_note, f"CoolProp {CoolProp.__version__}"]
    )
    return {
        "meta": meta,
        "core": core,
        "sat_meta": sat_meta,
        "sat": sat,
        "facts": facts,
        "texts": texts,
    }


def main(names: list[str]) -> None:
    FOLDER.mkdir(exist_ok=True)
    for name in names or list(RECIPES):
        arrays = build(name)
        np.savez(FOLDER / f"{name}.npz", **arrays)  # type: ignore[arg-type]
        print(f"{name}: {sum(a.nbytes for a in arrays.values()) / 1024:.0f} KiB")


if __name__ == "__main__":
    main(sys.argv[1:])

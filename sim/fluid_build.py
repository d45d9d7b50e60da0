"""Build the fluid tables from CoolProp: ``python -m sim.fluid_build [NAME ...]`` rewrites ``sim/fluids/*.npz``.

Source of every number: the reference equations of state, transport and surface-tension correlations in CoolProp (Bell, Wronski, Quoilin and Lemort 2014,
Ind. Eng. Chem. Res. 53, 2498-2508). At each temperature knot the vapour and liquid isotherms are fitted by least squares at Chebyshev points, then every
coefficient becomes a cubic spline in temperature. The representation is described in ``sim.fluid_kernel``.

Declared limits (written into each file): liquid and two-phase from the lowest temperature to 4 K below critical, liquid up to 15 MPa above bubble; vapour up to
its dew line, from the lowest temperature to the equation's own upper limit or 480 K.

    fluid    lowest K   liquid, two-phase to K   saturation kPa   vapour to K
    R12      190.0      381.1                    4.9 to 3851      480
    R1234yf  190.0      363.8                    4.3 to 3124      410
    R134a    190.0      370.2                    2.8 to 3744      455
    R22      185.0      365.3                    5.6 to 4626      480
    R290     180.0      365.9                    5.1 to 3955      480
    R32      180.0      347.3                    6.9 to 5316      435
    R410A    201.0      340.5                    31 to 4500       480
    R600a    190.0      403.8                    1.8 to 3395      480

To add a fluid: a line in RECIPES, run the command, commit the file; the tests pick it up.

This module and ``sim.reference_cycle`` are the only ones in ``sim`` that import CoolProp.
"""

from __future__ import annotations

import json
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import CoolProp
import numpy as np
from CoolProp.CoolProp import AbstractState, get_fluid_param_string
from numpy.typing import NDArray

from sim import fluid_columns as fc
from sim.fluid_rows import continued_down, spline_rows, straight_row
from sim.fluid_saturation import saturation_rows

if TYPE_CHECKING:
    from CoolProp.CoolProp import phases

Array = NDArray[np.float64]
FOLDER = Path(__file__).parent / "fluids"

H_REFERENCE, S_REFERENCE, T_REFERENCE = 200e3, 1e3, 273.15
"""IIR reference state (common practice in SI tables): saturated liquid at 0 degC."""
KNOT_K = 1.25
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


@dataclass(frozen=True)
class Recipe:
    """What a fluid's table starts from. ``safety_class`` is that of ISO 817:2014 / ANSI/ASHRAE 34."""

    name: str
    safety_class: str
    t_low_k: float


RECIPES = {
    recipe.name: recipe
    for recipe in (
        Recipe("R134a", "A1", 190.0),
        Recipe("R290", "A3", 180.0),
        Recipe("R410A", "A1", 201.0),
        Recipe("R32", "A2L", 180.0),
        Recipe("R600a", "A3", 190.0),
        Recipe("R1234yf", "A2L", 190.0),
        Recipe("R22", "A1", 185.0),
        Recipe("R12", "A1", 190.0),
    )
}


def _chebyshev(n: int) -> Array:
    return 0.5 * (1.0 - np.cos(np.pi * (np.arange(1, n + 1) - 0.5) / n))


class Equation:
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

    def vapour_transport(self, T: float) -> tuple[float, float, float, float]:
        """cp, cv, viscosity and conductivity of saturated vapour; NaN where CoolProp's conductivity has no solution."""
        line = self.saturated(1.0, T)
        try:
            conductivity = line.conductivity()
        except ValueError:  # "Conformal state solver failed"
            conductivity = np.nan
        return line.cpmass(), line.cvmass(), line.viscosity(), conductivity

    def liquid_transport(self, T: float) -> tuple[float, float, float, float]:
        """cp, viscosity, conductivity of saturated liquid, and surface tension."""
        line = self.saturated(0.0, T)
        return (
            line.cpmass(),
            line.viscosity(),
            line.conductivity(),
            line.surface_tension(),
        )

    def point(self, phase: phases, rho: float, T: float) -> tuple[float, float, float]:
        """p, u, s at density and temperature with the phase imposed."""
        self.state.specify_phase(phase)
        self.state.update(CoolProp.DmassT_INPUTS, rho, T)
        return (
            self.state.p(),
            self.state.umass() + self.h_shift,
            self.state.smass() + self.s_shift,
        )

    def stiffness(self) -> float:
        """dp/drho of the last point."""
        return float(self.state.first_partial_deriv(CoolProp.iP, CoolProp.iDmass, CoolProp.iT))


def _fit_vapour(eq: Equation, T: float, rho_V: float, p_dew: float) -> tuple[Array, float, float]:
    """Coefficients (Z, u, s) of the vapour isotherm, and u_V, s_V."""
    n = fc.N_VAPOUR
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


def _liquid_span(eq: Equation, T: float, rho_L: float, p_sat: float) -> float:
    """Density increase that raises the pressure by LIQUID_SPAN_PA."""
    rho = rho_L
    for _ in range(200):
        p, _, _ = eq.point(CoolProp.iphase_liquid, rho, T)
        miss = LIQUID_SPAN_PA - (p - p_sat)
        if abs(miss) < 1e-6 * LIQUID_SPAN_PA:
            break
        rho += min(max(miss / max(eq.stiffness(), 1e3), -0.01 * rho_L), 0.01 * rho_L)
    return rho - rho_L


def _fit_liquid(eq: Equation, T: float, rho_L: float) -> tuple[Array, float, float, float]:
    """Coefficients (p, u, s) of the liquid isotherm, and u_L, s_L on the line and the span."""
    n = fc.N_LIQUID
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
    return np.concatenate([a / scale, b / scale, f / scale]), u_L, s_L, span


def _knot(eq: Equation, T: float, frozen: tuple[float, float] | None) -> Array:
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
    n, m = fc.N_VAPOUR, fc.N_LIQUID
    vapour, u_V, s_V = _fit_vapour(eq, T, rho_V, p_dew)
    liquid, u_L, s_L, span = _fit_liquid(eq, T, rho_L)
    row = np.empty(fc.N_CORE)
    row[[fc.LN_P_DEW, fc.LN_P_BUBBLE, fc.LN_RHO_V]] = np.log([p_dew, p_bubble, rho_V])
    row[[fc.RHO_L, fc.SPAN, fc.U_L, fc.U_V, fc.S_L, fc.S_V]] = rho_L, span, u_L, u_V, s_L, s_V
    row[fc.Z_COEF : fc.Z_COEF + 2 * n] = vapour[: 2 * n]
    row[fc.SV_COEF : fc.SV_COEF + n] = vapour[2 * n :]
    row[fc.P_COEF : fc.P_COEF + 2 * m] = liquid[: 2 * m]
    row[fc.SL_COEF : fc.SL_COEF + m] = liquid[2 * m :]
    return row


def _grid(origin: float, step: float, first: int, last: int) -> Array:
    return np.asarray(origin + step * np.arange(first, last + 1), dtype=np.float64)


def _core(eq: Equation, recipe: Recipe) -> tuple[Array, Array]:
    """meta and core of one fluid: a knot lies on T_MATCH, where slopes may break."""
    T_critical = float(eq.state.T_critical())
    T_match = T_critical - MATCH_BELOW_CRITICAL_K
    n_below = round((T_match - recipe.t_low_k) / KNOT_K)
    step = (T_match - recipe.t_low_k) / n_below
    n_above = int(np.ceil((T_TOP - T_match) / step))
    n_down = int(np.ceil((recipe.t_low_k - T_EXTENDED) / step))
    below, above = _grid(recipe.t_low_k, step, 0, n_below), _grid(T_match, step, 0, n_above)
    low = np.array([_knot(eq, T, None) for T in below])
    frozen = (low[-1, fc.RHO_L], float(np.exp(low[-1, fc.LN_RHO_V])))
    high = np.array([low[-1]] + [_knot(eq, T, frozen) for T in above[1:]])
    main = spline_rows(below, low)
    cold = _grid(recipe.t_low_k, step, -n_down, 0)
    down = continued_down(cold, main[0, :, 0], main[0, :, 1] / step, eq.R)
    rows = np.concatenate([down, main, spline_rows(above, high)])
    first, last = straight_row(rows[0], 0.0, -1.0), straight_row(rows[-1], 1.0, 1.0)
    rows = np.concatenate([first[None], rows, last[None]])
    meta = np.zeros(fc.N_META)
    meta[fc.T_FIRST], meta[fc.PER_KELVIN] = cold[0], 1.0 / step
    meta[fc.N_ROWS], meta[fc.GAS_CONSTANT] = len(rows), eq.R
    meta[fc.T_MATCH], meta[fc.T_CRITICAL], meta[fc.SOFTENING] = T_match, T_critical, SOFTENING
    return meta, np.ascontiguousarray(rows)


def _sources(name: str) -> str:
    """CoolProp's citation keys of the correlations behind the tables."""
    record = json.loads(get_fluid_param_string(name, "JSON"))[0]
    transport = record["TRANSPORT"]
    parts = {"equation of state": record["EOS"][0]["BibTeX_EOS"]}
    for quantity in ("viscosity", "conductivity"):
        model = transport[quantity]
        model = model[0] if isinstance(model, list) else model
        parts[quantity] = model["BibTeX"] + (" (estimate)" if "type" in model else "")
    parts["surface tension"] = record["ANCILLARIES"]["surface_tension"]["BibTeX"]
    return f"CoolProp {CoolProp.__version__}; " + "; ".join(f"{k}: {v}" for k, v in parts.items())


def build(name: str) -> dict[str, Array | NDArray[np.str_]]:
    """All arrays of one fluid's npz file."""
    recipe = RECIPES[name]
    eq = Equation(name)
    meta, core = _core(eq, recipe)
    sat_meta, sat, note = saturation_rows(eq, recipe.t_low_k, meta, core)
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
    texts = np.array([name, recipe.safety_class, _sources(name), note])
    arrays = {"meta": meta, "core": core, "sat_meta": sat_meta, "sat": sat}
    return {**arrays, "facts": facts, "texts": texts}


def main(names: list[str]) -> None:
    """Write the named fluids' files, or all of them."""
    FOLDER.mkdir(exist_ok=True)
    for name in names or list(RECIPES):
        arrays = build(name)
        with (FOLDER / f"{name}.npz").open("wb") as file:
            np.savez(file, allow_pickle=False, **arrays)
        print(
            f"{name}: {sum(a.nbytes for a in arrays.values()) / 1024:.0f} KiB; {arrays['texts'][2]}"
        )


if __name__ == "__main__":
    main(sys.argv[1:])

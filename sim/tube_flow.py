"""Critical flow through a long narrow tube: the homogeneous equilibrium model, marched in pressure.

Adiabatic tube of bore d, mass flux G, homogeneous mixture in equilibrium (Fanno flow):

    energy     h + G^2 v^2/2 = h0
    momentum   -dp = G^2 dv + f G^2 v/(2 d) dz     so that    L = sum (-dp - G^2 dv) 2 d/(f G^2 v)
    entrance   p1 - p_e = (1 + K) G^2 v1/2, K = 0.5 sharp-edged

Sources: Bansal and Rupasinghe 1998, Applied Thermal Engineering 18, 207-219 (the same balance, from memory); ASHRAE Handbook Refrigeration, ch. 11, capillary tubes.
f (Darcy) is Churchill's equation for all Reynolds numbers (Chem. Eng. 84 (1977) 91), for a coiled tube times [Re (d/D)^2]^(1/20), at least 1
(Ito 1959, J. Basic Eng. 81, 123, from memory). In two phases Re = G d/mu with McAdams' mean, 1/mu = x/muV + (1-x)/muL (Trans. ASME 64 (1942) 193): it has the right limits,
needs no regime, and is what the published homogeneous capillary models use.

Subcooled liquid boils late. The metastable liquid ends at p_v below the saturation pressure p_s of the entering liquid by (Chen, Li, Lin and Chen 1990,
ASHRAE Trans. 96(1), 550-554, from memory; R12, bores 0.66 to 1.17 mm)

    (p_s - p_v) sqrt(k T)/sigma^1.5 = 0.679 vV/(vV - vL) Re^0.914 (dTsub/Tc)^-0.208 (d/D')^-3.18,    D' = 1e4 sqrt(k T/sigma)

faded out below 1 K of subcooling, since an entering bubble is a nucleus, and held below 0.3 p_s. The mixture then reaches equilibrium over as much pressure again
(linearly; the published models let it relax over a short length).

L grows as p falls until the outlet chokes (dL/dp = 0); the largest L that a flux allows is ``longest``. The flux that has ``longest`` = tube length is the
choked flux. Saturation properties stand on a grid uniform in ln p; liquid takes v and mu of saturated liquid of the same enthalpy,
superheated gas v as a parabola in x at each pressure and mu rising linearly (mu ~ T).
Range: L/d from 300, 0.3 to 3 mm bore, up to 4 K below the critical temperature.
"""

from __future__ import annotations

from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from sim import fluid_kernel as fk
from sim.arrays import Matrix, Vector
from sim.compiled import compiled
from sim.doors import door
from sim.friction import churchill
from sim.smooth import smoothstep

Array = NDArray[np.float64]

# columns of the property grid, a row a pressure
P, HL, HLV, VL, VLV, MUL, MUV, GAS_A, GAS_B, GAS_MU, DELAY, T_BUBBLE = range(12)
"""Pa, J/kg, J/kg, m3/kg, m3/kg, Pa s, Pa s, coefficients of the gas; p_s - p_v at Re = 1, dTsub = 1 K and 1 m bore; K."""
N_PROPERTIES = 12
# a tube
BORE, LENGTH, ROUGHNESS, CURVATURE, ENTRANCE = range(5)
"""m, m, m, bore over coil diameter (0 straight), loss coefficient K."""

GAS_MU_EXPONENT = (
    1.0  # CoolProp, 1 bar, 270 to 370 K: R134a 0.98, R290 0.98, R600a 0.97, R410A 1.04
)
BOLTZMANN = 1.380649e-23  # J/K, SI Brochure 2019
DELAY_FADE_K = 1.0  # guess: subcooling below which boiling is no longer delayed in full
DELAY_MOST = 0.3  # guess: largest delay, share of p_s; keeps the correlation bounded at fluxes beyond its range
RELAXED = 1.0  # guess: multiple of the delay over which the mixture then reaches equilibrium
LAMINAR, TURBULENT = 2000.0, 4000.0  # only for the coil factor, which is a turbulent one


@door
def property_grid(fl: fk.FluidTables, ln_first: float, step: float, sat: Vector, out: Matrix) -> None:  # fmt: skip
    """Fill the property rows at ln p = ln_first + i step; ``sat`` is room for a saturation line."""
    for i in range(out.shape[0]):
        p = exp(ln_first + i * step)
        fk.saturation(fl, p, sat)
        latent = sat[fk.SAT_HV] - sat[fk.SAT_HL]
        v_v = 1.0 / sat[fk.SAT_RHOV]
        near = fk.vapour_at_ph(fl, p, sat[fk.SAT_HV] + 0.3 * latent, sat[fk.SAT_T_DEW] + 30.0)
        far = fk.vapour_at_ph(fl, p, sat[fk.SAT_HV] + 0.6 * latent, near[0] + 30.0)
        r1, r2 = 1.0 / (near[1] * v_v) - 1.0, 1.0 / (far[1] * v_v) - 1.0
        b = (r2 / 0.6 - r1 / 0.3) / 0.3
        out[i, P] = p
        out[i, HL] = sat[fk.SAT_HL]
        out[i, HLV] = latent
        out[i, VL] = 1.0 / sat[fk.SAT_RHOL]
        out[i, VLV] = v_v - out[i, VL]
        out[i, MUL] = sat[fk.SAT_MUL]
        out[i, MUV] = sat[fk.SAT_MUV]
        out[i, GAS_A] = r1 / 0.3 - 0.3 * b
        out[i, GAS_B] = b
        out[i, GAS_MU] = GAS_MU_EXPONENT * latent / (sat[fk.SAT_CPV] * sat[fk.SAT_T_DEW])
        kT = BOLTZMANN * sat[fk.SAT_T_BUBBLE]
        sigma = max(sat[fk.SAT_SIGMA], 1e-5)
        out[i, DELAY] = (
            0.679 * sigma**1.5 / sqrt(kT) * v_v / out[i, VLV] * (1e4 * sqrt(kT / sigma)) ** 3.18
        ) * fl.meta[fk.T_CRITICAL] ** 0.208
        out[i, T_BUBBLE] = sat[fk.SAT_T_BUBBLE]


@compiled
def friction_factor(re: float, relative_roughness: float, curvature: float) -> float:
    """Darcy friction factor, all regimes (Churchill 1977), with the factor of a coiled tube (Ito 1959)."""
    f = churchill(re, relative_roughness)
    dean = re * curvature * curvature
    if dean > 1.0:
        f *= 1.0 + (dean**0.05 - 1.0) * min(max((re - LAMINAR) / (TURBULENT - LAMINAR), 0.0), 1.0)
    return f


@compiled
def liquid_at(grid: Array, h: float) -> tuple[int, float]:
    """Row and place in it at which saturated liquid has enthalpy h (held inside the grid)."""
    lo, hi = 0, grid.shape[0] - 1
    if h <= grid[0, HL]:
        return 0, 0.0
    if h >= grid[hi, HL]:
        return hi - 1, 1.0
    while hi - lo > 1:
        mid = (lo + hi) // 2
        if grid[mid, HL] <= h:
            lo = mid
        else:
            hi = mid
    return lo, (h - grid[lo, HL]) / (grid[hi, HL] - grid[lo, HL])


@compiled
def _between(grid: Array, i: int, w: float, column: int) -> float:
    between: float = grid[i, column] + w * (grid[i + 1, column] - grid[i, column])
    return between


@compiled
def boiling_delay(
    grid: Array, i: int, w: float, T_inlet_bubble: float, p_flash: float, re: float, bore: float
) -> float:
    """p_s - p_v (Pa) of liquid that saturates at grid place i + w and enters where saturation is at T_inlet_bubble."""
    subcooling = T_inlet_bubble - _between(grid, i, w, T_BUBBLE)
    if subcooling <= 0.0:
        return 0.0
    delay = _between(grid, i, w, DELAY) * re**0.914 * max(subcooling, 0.1) ** -0.208 / bore**3.18
    delay *= smoothstep(subcooling / DELAY_FADE_K)
    most = DELAY_MOST * p_flash
    held: float = delay / (1.0 + (delay / most) ** 4) ** 0.25
    return held


@compiled
def _point(
    grid: Array, i: int, w: float, h0: float, G: float, v_liq: float, mu_liq: float
) -> tuple[float, float]:
    """(v, mu) of the stream at grid place i + w, kinetic energy taken from h0."""
    j = min(i + 1, grid.shape[0] - 1)
    u = 1.0 - w
    latent = u * grid[i, HLV] + w * grid[j, HLV]
    x = (h0 - u * grid[i, HL] - w * grid[j, HL]) / latent
    if x <= 0.0:
        return v_liq, mu_liq
    v_l = u * grid[i, VL] + w * grid[j, VL]
    v_lv = u * grid[i, VLV] + w * grid[j, VLV]
    mu_v = u * grid[i, MUV] + w * grid[j, MUV]
    if x <= 1.0:
        a = v_l + x * v_lv
        b = 0.5 * G * G * v_lv / latent
        v = 2.0 * a / (1.0 + sqrt(1.0 + 4.0 * a * b))
        x = max((v - v_l) / v_lv, 0.0)
        mu_l = u * grid[i, MUL] + w * grid[j, MUL]
        return v, mu_l * mu_v / (x * mu_l + (1.0 - x) * mu_v)
    s = x - 1.0
    v_v = v_l + v_lv
    slope, bend = grid[i, GAS_A], grid[i, GAS_B]
    a = v_v * (1.0 + s * (slope + bend * s))
    b = 0.5 * G * G * v_v * (slope + 2.0 * bend * s) / latent
    v = 2.0 * a / (1.0 + sqrt(1.0 + 4.0 * a * b))
    return v, mu_v * (1.0 + grid[i, GAS_MU] * s)


@compiled
def _next_pressure(p: float, grid_p: float, p_boil: float, p_mixed: float, p_stop: float) -> float:
    """The highest of the stations that lie below p."""
    p_new = max(grid_p, p_stop)
    if p_new < p_mixed < p:
        p_new = p_mixed
    if p_new < p_boil < p:
        p_new = p_boil
    return p_new


@compiled
def _liquid_line(
    grid: Array, place: float, h0: float, G: float, bore: float
) -> tuple[float, float, float, float]:
    """(v, mu) of entering liquid of enthalpy h0, the pressure at which it begins to boil and that at which it has reached equilibrium."""
    m, w = liquid_at(grid, h0)
    p_flash = grid[0, P] * (grid[1, P] / grid[0, P]) ** (m + w)
    v_liq, mu_liq = _between(grid, m, w, VL), _between(grid, m, w, MUL)
    i = min(int(place), grid.shape[0] - 2)
    T_inlet = _between(grid, i, place - i, T_BUBBLE)
    delay = boiling_delay(grid, m, w, T_inlet, p_flash, G * bore / mu_liq, bore)
    return v_liq, mu_liq, p_flash - delay, p_flash - (1.0 + RELAXED) * delay


@compiled
def _stream(
    grid: Array,
    s: float,
    p: float,
    h0: float,
    G: float,
    line: tuple[float, float, float, float],
) -> tuple[float, float]:
    """(v, mu) at pressure p (grid place s): liquid until it boils, then on its way to equilibrium, then a mixture in equilibrium."""
    v_liq, mu_liq, p_boil, p_mixed = line
    if p >= p_boil:
        return v_liq, mu_liq
    v, mu = _point(grid, int(s), s - int(s), h0, G, v_liq, mu_liq)
    if p > p_mixed:
        y = (p_boil - p) / (p_boil - p_mixed)
        v, mu = v_liq + y * (v - v_liq), mu_liq + y * (mu - mu_liq)
    return v, mu


@compiled
def march(
    grid: Array, place: float, h0: float, G: float, tube: Array, p_stop: float
) -> tuple[float, float]:
    """Length (m) that flux G needs from inlet pressure at grid ``place`` down to p_stop, and the pressure there.

    The march ends earlier where the stream chokes; with p_stop = 0 it always does. It returns the longest tube that G can pass, and the pressure at its end.
    """
    d, rough, bend = tube[BORE], tube[ROUGHNESS] / tube[BORE], tube[CURVATURE]
    step, ln_0 = log(grid[1, P] / grid[0, P]), log(grid[0, P])
    line = _liquid_line(grid, place, h0, G, d)
    p = grid[0, P] * exp(step * place)
    p -= (1.0 + tube[ENTRANCE]) * 0.5 * G * G * _stream(grid, place, p, h0, 0.0, line)[0]
    if p <= max(p_stop, grid[0, P]):
        return 0.0, p
    s = (log(p) - ln_0) / step
    i = int(s)
    v, mu = _stream(grid, s, p, h0, G, line)
    fv = friction_factor(G * d / mu, rough, bend) * v
    length, p_a, l_a, p_b, l_b = 0.0, p, 0.0, p, 0.0
    while i >= 0:
        p_new = _next_pressure(p, grid[i, P], line[2], line[3], p_stop)
        v_new, mu = _stream(grid, (log(p_new) - ln_0) / step, p_new, h0, G, line)
        fv_new = friction_factor(G * d / mu, rough, bend) * v_new
        gain = (p - p_new - G * G * (v_new - v)) * 4.0 * d / (G * G * (fv + fv_new))
        if gain < 0.0:
            if p == line[2] or p_new == line[3]:
                return length, p
            return _summit(p_a, l_a, p_b, l_b, p_new, length + gain)
        length += gain
        p_a, l_a, p_b, l_b = p_b, l_b, p_new, length
        p, v, fv = p_new, v_new, fv_new
        if p <= p_stop:
            break
        i -= int(p <= grid[i, P])
    return length, p


@compiled
def _summit(
    p_a: float, l_a: float, p_b: float, l_b: float, p_c: float, l_c: float
) -> tuple[float, float]:
    """Vertex (length, pressure) of the parabola through three points of which the middle one is highest."""
    if p_a <= p_b:
        return l_b, p_b
    s1 = (l_b - l_a) / (p_b - p_a)
    s2 = (l_c - l_b) / (p_c - p_b)
    bend = (s2 - s1) / (p_c - p_a)
    if bend >= 0.0:
        return l_b, p_b
    top = 0.5 * (p_a + p_b - s1 / bend)
    top = min(max(top, p_c), p_a)
    return l_a + (top - p_a) * (s1 + bend * (top - p_b)), top


@compiled
def solve_flux(
    grid: Array, place: float, h0: float, tube: Array, p_stop: float, guess: float, tolerance: float
) -> tuple[float, float]:
    """(flux, pressure at the outlet) at which the tube's length is used up; p_stop = 0: choked. Secant in logarithms inside a bracket."""
    target = log(tube[LENGTH])
    low, high = -50.0, 50.0
    g = log(guess)
    g_old, f_old, slope = g, 0.0, -2.0
    p = 0.0
    for k in range(40):
        length, p = march(grid, place, h0, exp(g), tube, p_stop)
        f = log(max(length, 1e-12)) - target
        if abs(f) < tolerance:
            break
        if f > 0.0:
            low = g
        else:
            high = g
        if k > 0 and abs(g - g_old) > 1e-12:
            slope = min(max((f - f_old) / (g - g_old), -20.0), -0.5)
        if length <= 1e-9:
            slope = -20.0
        g_old, f_old = g, f
        g -= f / slope
        if not low < g < high:
            g = 0.5 * (low + high)
    return exp(g), p

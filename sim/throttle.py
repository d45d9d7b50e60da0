"""Flow through a short restriction: liquid that may flash, a two-phase mixture, or gas, with choking. The one law behind needles, ports and valves.

With A the effective flow area (discharge coefficient included), rho and p of what enters, D = p_up - p_down:

    flow = A sqrt(2 rho) S (1 - kappa S_p/(3 L)),   S_p = min(D, L) with its corner rounded,   S = S_p / (S_p^2 + d0^2)^(1/4)

L is the pressure difference beyond which the flow no longer rises. It comes from the choked flux G* = g sqrt(p rho) of the published relation
that holds for what enters, as L = g^2 p / (2 (1 - kappa/3)^2):

* liquid (x <= 0), kappa = 0: L = FL^2 (p - FF p_sat), FF = 0.96 - 0.28 sqrt(p_sat/p_c)                 IEC 60534-2-1:2011, eq. (3) and (4)
* mixture (0 < x < 1), kappa = 1: g = eta_c/sqrt(omega), the omega method with boiling delay:         ISO 4126-10:2010, 6.4; Diener and Schmidt 2004
      omega = void + N cp T p rho (v_LV/h_LV)^2,   N = (x + cp T p v_LV/h_LV^2 ln(1/eta_c))^0.6   (0.6: orifices and control valves)
      times 1 + void (g_gas/g_nozzle - 1): the discharge coefficient of gas and liquid weighted by void       ISO 4126-10:2010, 6.3.4, from memory
      g(omega) by Leung's fit (AIChE J. 32 (1986) 1743)                                               from memory, tested against the exact root
* gas (x >= 1), kappa = 1: L = F_gamma xT p, so that 1 - D/(3 L) is the expansion factor Y             IEC 60534-2-1:2011, eq. (8) and (9)

Joints: liquid to mixture over 0 <= x <= 0.05 and mixture to gas over 0.9 <= x <= 1, each by a smoothstep of g^2 (and of kappa at the first). At the first the
two relations differ for R134a by 6 % at 9.5 bar, 13 % at 20 bar and a third at 3 bar, while rho alone halves the flux over the joint.
Both lie well above the homogeneous equilibrium flux: a short restriction leaves no time to boil. The onset of choking is rounded over +-CORNER of L (1 % low at the corner, exact outside).
Below d0 the law is linear in D, so that flow reverses with a finite slope. In D the law is odd; the caller blends what enters from either side.
Holds for length/bore below about 10 (a capillary is another law), reduced pressure below about 0.9.
"""

from __future__ import annotations

from math import log, pi, sqrt

from sim.compiled import compiled
from sim.smooth import blend

FL = 0.90  # liquid pressure recovery factor, globe valve, contoured plug, flow-to-open (IEC 60534-2-1:2011 table D.2)
XT = 0.72  # pressure differential ratio factor of the same valve (IEC 60534-2-1:2011 table D.2)
GAMMA_REFERENCE = 1.40  # F_gamma = gamma/1.40 (IEC 60534-2-1:2011, 7.3)
GAMMA = 1.10  # isentropic exponent of vapour near 10 degC and 1.4 bar (CoolProp): R600a 1.07, R134a 1.09, R290 1.12, R410A 1.16
DELAY_EXPONENT = 0.6  # boiling delay in orifices and control valves (ISO 4126-10:2010 table 2; Diener and Schmidt 2004)
CORNER = 0.07  # guess: half-width of the rounding of the choking onset, share of L; IEC example 1 lies just below it
LIQUID_JOINT = (
    0.05  # guess: quality over which the liquid relation hands over to the mixture relation
)
GAS_JOINT = 0.90  # guess: quality from which the mixture relation hands over to the gas relation
SUBCOOL_CORNER = 0.005  # guess: share of p over which the effect of subcooling fades in (about 0.2 K), so that the slope at x = 0 is one
SHARP_HOLE = 0.5961  # discharge coefficient, diameter ratio to 0 and Re to infinity: first term of Reader-Harris/Gallagher (ISO 5167-2:2003, eq. 4)
AREA_PER_KV = (
    0.1 / 3600.0 / sqrt(2.0)
)  # m2 per m3/h: A sqrt(2 rho D) equals Kv (IEC 60534-1: water, 1 bar)
GAS_FLUX2 = (
    2.0 * (GAMMA / GAMMA_REFERENCE) * XT * (2.0 / 3.0) ** 2
)  # g^2 of gas: Y = 2/3 at D = F_gamma xT p
GAS_COEFFICIENT = 0.141  # sqrt(GAS_FLUX2) over the nozzle flux at omega = 1/GAMMA (0.6216), less one: how much more a gas fills the area


def area_from_kv(kv_m3_h: float) -> float:
    """Effective area (m2) of a valve of flow coefficient Kv (m3/h of water at 1 bar)."""
    return kv_m3_h * AREA_PER_KV


def area_from_bore(bore_m: float) -> float:
    """Effective area (m2) of a sharp-edged hole in a thin wall, small against what lies before it."""
    return SHARP_HOLE * 0.25 * pi * bore_m * bore_m


@compiled
def omega_flux(omega: float) -> float:
    """Choked flux over sqrt(p rho) of a mixture of compressibility omega (Leung 1986; within 2 % of the exact root from 0.5 to 50)."""
    w = log(omega)
    return (0.6055 + 0.1356 * w - 0.0131 * w * w) / sqrt(omega)


@compiled
def liquid_limit(p: float, p_sat: float, p_critical: float) -> float:
    """FL^2 (p - FF p_sat) over p, its slope made continuous where subcooling vanishes."""
    s = max(1.0 - p_sat / p, 0.0)
    share = 1.0 - s * s / (s + SUBCOOL_CORNER)
    ff = 0.96 - 0.28 * sqrt(min(share * p / p_critical, 1.0))
    return FL * FL * (1.0 - ff * share)


@compiled
def mixture_flux(
    p: float, x: float, rho: float, T: float, h_lv: float, rho_l: float, rho_v: float, cp_l: float
) -> float:
    """Choked flux over sqrt(p rho) of a mixture entering at quality x, omega method with boiling delay."""
    v_lv = 1.0 / rho_v - 1.0 / rho_l
    void = 1.0 - (1.0 - x) * rho / rho_l
    flash = cp_l * T * p * v_lv / (h_lv * h_lv)
    flash_omega = flash * v_lv * rho
    equilibrium = void + flash_omega
    delay_log = -log(min(omega_flux(equilibrium) * sqrt(equilibrium), 0.99))
    delay = min(x + flash * delay_log, 1.0) ** DELAY_EXPONENT
    return omega_flux(void + delay * flash_omega) * (1.0 + void * GAS_COEFFICIENT)


@compiled
def choking(
    p: float,
    x: float,
    rho: float,
    p_sat: float,
    p_critical: float,
    T: float,
    h_lv: float,
    rho_l: float,
    rho_v: float,
    cp_l: float,
) -> tuple[float, float]:
    """(g^2, kappa) of what enters a restriction; see the module text.

    p, x, rho: of the stream at the port; p_sat: bubble pressure at the liquid's temperature (p itself when two-phase);
    T, h_lv, rho_l, rho_v, cp_l: saturation at p.
    """
    if x >= 1.0:
        return GAS_FLUX2, 1.0
    liquid = 2.0 * liquid_limit(p, p_sat, p_critical)
    if x <= 0.0:
        return liquid, 0.0
    g = mixture_flux(p, x, rho, T, h_lv, rho_l, rho_v, cp_l)
    wet = blend(x, 0.0, LIQUID_JOINT)
    dry = blend(x, GAS_JOINT, 1.0)
    return (1.0 - wet) * liquid + wet * ((1.0 - dry) * g * g + dry * GAS_FLUX2), wet


@compiled
def throttle_flow(
    p_up: float, rho_up: float, g2: float, kappa: float, dp: float, area: float, d0: float
) -> float:
    """Mass flow (kg/s), odd in dp. p_up, rho_up, g2, kappa belong to the side the flow comes from (blended near dp = 0)."""
    shape = 1.0 - kappa / 3.0
    limit = 0.5 * g2 * p_up / (shape * shape)
    size = abs(dp)
    u = (size - limit) / (CORNER * limit)
    if u >= 1.0:
        size = limit
    elif u > -1.0:
        size = limit * (1.0 + CORNER * (u - 0.25 * (u + 1.0) * (u + 1.0)))
    root = size / sqrt(sqrt(size * size + d0 * d0))
    flow = area * sqrt(2.0 * rho_up) * root * (1.0 - kappa * size / (3.0 * limit))
    return flow if dp >= 0.0 else -flow

"""The air side: what a stream of room air gives to one cell of a cold or warm coil, and the box that recirculates it.

Coil cell (cross flow, each cell has its share of the stream; UA and flow are the cell's): against a wall at one temperature
    T_out = T_wall + (T_air - T_wall) exp(-N),                      N = UA / (m cp)
  The fins are warmer than the tube by the share that fin efficiency leaves: T_surface = T_wall + (1 - e_f)(T - T_wall). With the Chilton-Colburn
  analogy, mass transfer number k N, k = 1 / (e_f Le^(2/3)), and w_sat taken straight between wall and first fin, the humidity along the pass is
    w_out = w_sat(T_wall) + [w_air - w_sat(T_wall)] exp(-k N) + a k/(k-1) [exp(-N) - exp(-k N)],   a = w_sat(T_surface, in) - w_sat(T_wall)
  with no more than w_air: where the surface passes the dew point a parabola rounds the corner. Then, exactly,
    heat = m (cp_a + w_out cp_v)(T_air - T_out) + deposit [h_vapour(T_air) - h_deposit(T_wall)]
  with the heat of condensation, for the share that freezes that of sublimation, in the last bracket. The fins' temperatures are taken evenly spread from
  T_wall to T_wall + 2 (1 - e_f)(T - T_wall), T the mean of the air over the pass; what settles on the part below 0 C freezes (``sim.frost``).
Air film: UA = UA_nominal (m / m_nominal)^0.672 (1 - fouling); the exponent is 1 - 0.328 from j = 0.14 Re^-0.328 ... of Gray and Webb, "Heat
transfer and friction correlations for plate finned-tube heat exchangers having plain fins", Proc. 8th Int. Heat Transfer Conf. (1986) 2745.
Natural convection on a horizontal tube: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975) 1049, plus grey radiation.
UA contains the fin efficiency; that wet fins are a little warmer again is left out.
Range: air -40 to 80 C; walls -60 to 130 C; flow from natural draught to three times nominal.
"""

from __future__ import annotations

from math import exp, log

from sim.compiled import compiled
from sim.doors import door
from sim.psychrometrics import (
    CP_DRY_AIR_J_KGK,
    CP_VAPOUR_J_KGK,
    HEAT_OF_VAPORISATION_J_KG,
    ICE_POINT_K,
    deposit_enthalpy_j_kg,
    saturated_humidity_ratio,
)

AIR_FILM_EXPONENT = 0.672  # Gray and Webb (1986): j ~ Re^-0.328, so h ~ speed^0.672
# Le^(2/3) with Le = 0.865 of water vapour in air at 20 C: ASHRAE Fundamentals ch. 6
LEWIS_FACTOR = 0.91
# Schmidt (1949) fin efficiency tanh(mrf)/mrf for 0.1 mm aluminium, 8 mm tube, 25 mm pitch, 50 W/m2K: mrf = 0.90
SURFACE_EFFICIENCY = 0.8
TRANSFER_RATIO = 1.0 / (SURFACE_EFFICIENCY * LEWIS_FACTOR)  # k of the module docstring
# guess: kg/kg over which wetting sets in, about 0.3 K of wall temperature; a real coil wets patch by patch
DEW_HALF_WIDTH = 1e-4
LEAST_FLOW_KG_S = 1e-7  # guess: only guards a division; natural draught is orders of magnitude more
# guess: places of one cell's metal differ by a kelvin even in still air
LEAST_SPREAD_K = 1.0
FREEZING_HALF_WIDTH_K = 0.25  # guess: rounds the ends of that spread; small against it
# guess: an open box of some 0.1 m3 before a fan of 0.05 m3/s is swept within seconds
AIRING_S = 5.0
STEFAN_BOLTZMANN_W_M2K4 = 5.670374e-8  # CODATA 2018


@door
def air_film_conductance(
    flow_kg_s: float, nominal_flow_kg_s: float, nominal_w_k: float, fouling: float
) -> float:
    """Conductance air to metal in W/K at the given flow; ``fouling`` is the share lost, 0 clean to 1."""
    ratio = max(flow_kg_s, LEAST_FLOW_KG_S) / nominal_flow_kg_s
    return nominal_w_k * exp(AIR_FILM_EXPONENT * log(ratio)) * (1.0 - fouling)


@compiled
def air_conductance(heat_capacity_rate_w_k: float, ua_w_k: float) -> float:
    """Heat per kelvin between entering air and a dry wall, m cp (1 - exp(-UA / m cp)); the first argument is m cp."""
    rate = max(heat_capacity_rate_w_k, LEAST_FLOW_KG_S * CP_DRY_AIR_J_KGK)
    return rate * (1.0 - exp(-ua_w_k / rate))


@compiled
def positive_part(x: float, half_width: float) -> float:
    """max(x, 0), exact outside +-half_width, a parabola (x + a)^2 / 4a within."""
    if x >= half_width:
        return x
    if x <= -half_width:
        return 0.0
    return (x + half_width) * (x + half_width) / (4.0 * half_width)


@compiled
def water_drop(
    air_in_k: float, w_in: float, pressure_pa: float, ntu: float, cooled: float, wall_k: float
) -> float:
    """By how much the humidity ratio falls over a pass; ``cooled`` is exp(-ntu)."""
    w_wall = saturated_humidity_ratio(wall_k, pressure_pa)
    excess = w_in - w_wall
    if excess <= -DEW_HALF_WIDTH:
        return 0.0
    dried = exp(-TRANSFER_RATIO * ntu)
    fin_k = wall_k + (1.0 - SURFACE_EFFICIENCY) * (air_in_k - wall_k)
    rise = max(saturated_humidity_ratio(fin_k, pressure_pa) - w_wall, 0.0)
    factor = TRANSFER_RATIO / (TRANSFER_RATIO - 1.0)
    fall = excess * (1.0 - dried) - rise * factor * (cooled - dried)
    return min(positive_part(fall, DEW_HALF_WIDTH * (1.0 - dried)), w_in)


@compiled
def frozen_share(mean_drop_k: float, wall_k: float) -> float:
    """Share of the surface below 0 C, 0 to 1; ``mean_drop_k`` is the mean of the air over the pass less the wall's temperature."""
    spread = 2.0 * (1.0 - SURFACE_EFFICIENCY) * max(mean_drop_k, 0.0) + LEAST_SPREAD_K
    cold = ICE_POINT_K - wall_k
    beyond = positive_part(cold - spread, FREEZING_HALF_WIDTH_K)
    return (positive_part(cold, FREEZING_HALF_WIDTH_K) - beyond) / spread


@compiled
def cell_air(
    air_in_k: float,
    w_in: float,
    pressure_pa: float,
    flow_kg_s: float,
    ua_w_k: float,
    natural_w_k: float,
    wall_k: float,
) -> tuple[float, float, float, float, float]:
    """Heat to the wall in W, deposit in kg/s, temperature and humidity ratio of the leaving air, share of the deposit that freezes.

    ``flow_kg_s`` is dry air. ``natural_w_k`` is a conductance to still air at the entering temperature beside the stream (casing, radiation).
    Balance: m (h_in - h_out) + natural = heat + deposit * h_deposit(wall, frozen), exact with the enthalpies of ``sim.psychrometrics``.
    """
    flow = max(flow_kg_s, LEAST_FLOW_KG_S)
    ntu = ua_w_k / (flow * (CP_DRY_AIR_J_KGK + w_in * CP_VAPOUR_J_KGK))
    drop = air_in_k - wall_k
    cooled = exp(-ntu)
    w_out = w_in - water_drop(air_in_k, w_in, pressure_pa, ntu, cooled, wall_k)
    deposit = flow * (w_in - w_out)
    sensible = flow * (CP_DRY_AIR_J_KGK + w_out * CP_VAPOUR_J_KGK) * (1.0 - cooled) * drop
    latent = 0.0
    frozen = 0.0
    if deposit > 0.0:
        frozen = frozen_share(drop * (1.0 - cooled) / ntu, wall_k)
        vapour = HEAT_OF_VAPORISATION_J_KG + CP_VAPOUR_J_KGK * (air_in_k - ICE_POINT_K)
        latent = deposit * (vapour - deposit_enthalpy_j_kg(wall_k, frozen))
    heat = sensible + latent + natural_w_k * drop
    return heat, deposit, wall_k + drop * cooled, w_out, frozen


@compiled
def churchill_chu_cylinder(rayleigh: float, prandtl: float) -> float:
    """Nusselt number of a horizontal cylinder in still fluid (Churchill and Chu 1975), Rayleigh number up to 1e12."""
    base = (1.0 + (0.559 / prandtl) ** (9.0 / 16.0)) ** (-8.0 / 27.0)
    root = 0.60 + 0.387 * max(rayleigh, 0.0) ** (1.0 / 6.0) * base
    return float(root * root)


@compiled
def churchill_bernstein_cylinder(reynolds: float, prandtl: float) -> float:
    """Nusselt number of a cylinder in cross flow (Churchill and Bernstein, J. Heat Transfer 99 (1977) 300), Re Pr above 0.2."""
    base = (
        0.62
        * reynolds**0.5
        * prandtl ** (1.0 / 3.0)
        / (1.0 + (0.4 / prandtl) ** (2.0 / 3.0)) ** 0.25
    )
    return float(0.3 + base * (1.0 + (reynolds / 282000.0) ** 0.625) ** 0.8)


@compiled
def still_air_film(diameter_m: float, surface_k: float, air_k: float, emissivity: float) -> float:
    """Natural convection plus radiation from a horizontal tube to a room, W/m2K; air properties at about 25 C (ASHRAE Fundamentals ch. 4)."""
    difference = abs(surface_k - air_k)
    k, nu, alpha, prandtl = 0.0265, 1.64e-5, 2.31e-5, 0.71
    rayleigh = 9.80665 * difference * diameter_m**3 / (0.5 * (surface_k + air_k) * nu * alpha)
    convection = churchill_chu_cylinder(rayleigh, prandtl) * k / diameter_m
    radiation = (
        emissivity * STEFAN_BOLTZMANN_W_M2K4 * (surface_k**2 + air_k**2) * (surface_k + air_k)
    )
    return convection + radiation


@compiled
def load_box_rates(
    closed: float,
    box_k: float,
    box_w: float,
    room_k: float,
    room_w: float,
    sensible_taken_w: float,
    water_taken_kg_s: float,
    heater_w: float,
    wall_w_k: float,
    leakage_kg_s: float,
    heat_capacity_j_k: float,
    air_kg: float,
) -> tuple[float, float]:
    """Rates of the load box's temperature (K/s) and humidity ratio (1/s); well mixed.

    Closed (1) the coil takes ``sensible_taken_w`` and ``water_taken_kg_s`` from the box; heater, walls and leakage (joints, kg/s of dry air)
    give to it. Open (0) the coil blows into the room and the box follows the room. ``heat_capacity_j_k`` counts lining, contents and air.
    """
    cp = CP_DRY_AIR_J_KGK + box_w * CP_VAPOUR_J_KGK
    heat = heater_w + (wall_w_k + leakage_kg_s * cp) * (room_k - box_k) - sensible_taken_w
    moisture = leakage_kg_s * (room_w - box_w) - water_taken_kg_s
    shut_k = heat / heat_capacity_j_k
    open_k = (room_k - box_k) / AIRING_S
    shut_w = moisture / air_kg
    open_w = (room_w - box_w) / AIRING_S
    return closed * shut_k + (1.0 - closed) * open_k, closed * shut_w + (1.0 - closed) * open_w

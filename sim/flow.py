"""What passes a link: mass from the pressure difference, energy upwind, both smooth through zero.

Ordinary links (pipes, hand valves, coil passages) follow m = K o sqrt(2 rho) dp/(dp^2 + d0^2)^(1/4): the turbulent square-root law above d0,
linear below it, so that the implicit solver meets no infinite slope at rest. K = Kv/36000 sqrt(1000/2...) is derived from Kv in
``sim.parts.hand_valve``. Devices have their own laws in ``sim/parts``. Flow out of a vessel draws what its port sees.

Energy and gas travel with the donor: m+ = (m + sqrt(m^2+e^2))/2 carries the upstream enthalpy, m- = m - m+ the downstream one. At rest e/2
goes either way: in an open line liquid runs down while vapour rises. e is 4e-5 kg/s there (flooding would allow some 6e-4 kg/s of either in an 8 mm
tube: Wallis 1969, One-dimensional Two-phase Flow, eq. 11.96 with C = 0.7, from memory) and falls with the conductance of the passage. Without
that exchange a dead end of vapour beside liquid makes the solver cycle. It moves 0.01 % of the energy at a running plant's flows.
In a passage that runs downhill gravity drains liquid against vapour besides (``sim.drainage``).

Over 300 lines: every way through a link is told from the others in one place.
"""

from __future__ import annotations

from math import sqrt

import numpy as np
from numpy.typing import NDArray

from sim import throttle
from sim.cell import outlet_enthalpy
from sim.columns import (
    CAPILLARY,
    CHECK,
    FLOAT,
    G_ATMOSPHERE,
    G_DP_BLEND,
    G_FLOW_EPS,
    G_P_CRITICAL,
    G_UPWIND,
    L_D0,
    L_FALL,
    L_HEAD,
    L_K,
    L_OPENING,
    L_PART,
    LI_EXTRA,
    LI_FROM,
    LI_KIND,
    LI_PORT_FROM,
    LI_PORT_TO,
    LI_TO,
    NI_COIL,
    P_CPL,
    P_GAS_P,
    P_H,
    P_HC,
    P_HFG,
    P_HL,
    P_HLS,
    P_HV,
    P_P,
    P_RHOL,
    P_RHOV,
    P_SLIP,
    P_T,
    P_TS,
    P_VC,
    P_VLS,
    P_VOID,
    P_VOUT,
    P_VVS,
    PIPE,
    PORT_BOTTOM,
    PORT_MIXED,
    PORT_TOP,
    RELIEF,
    SOLENOID,
    TXV,
)
from sim.compiled import compiled, inlined
from sim.drainage import GRAVITY, drained
from sim.fluid_kernel import bubble_pressure, saturated_enthalpies
from sim.gas import carried, gas_share, joined
from sim.parts import (
    capillary,
    check_valve,
    float_valve,
    hand_expansion_valve,
    relief_valve,
    reversing_valve,
    solenoid_valve,
    thermostatic_valve,
)
from sim.plant import SIZE_SPECIES, Plant
from sim.smooth import smoothstep

Row = NDArray[np.float64]

DIP_TUBE_COVER = 0.03  # guess: a dip tube begins to draw vapour when 3 % of the volume is left
TOP_PORT_COVER = 0.85  # guess: a top port begins to draw liquid above 85 %
ALMOST_ONE = 0.9999  # beyond it the downstream side has no say in what enters
DENSITY_CHOKE = (
    100.0  # kg/m3, guess: where gas-like streams begin to feel the critical pressure ratio
)

OPEN_PIPE = 1e-5  # m2, guess: conductance of a line (about 8 mm bore) wide enough for liquid to run down while vapour rises
LEAST_EXCHANGE = (
    0.05  # guess: share of that exchange left in a narrow passage; only rounds the switch there
)


@compiled
def port_stream(P: Row, port: int) -> tuple[float, float]:
    """(density, enthalpy) of what a port draws from a node: slip at mixed ports, mostly one phase at vessel ports."""
    void = P[P_VOID]
    if void <= 0.0:
        return P[P_RHOL], P[P_HL]
    if void >= 1.0:
        return P[P_RHOV], P[P_HV]
    level = 1.0 - void
    if port == PORT_BOTTOM:
        void *= 1.0 - smoothstep(level / DIP_TUBE_COVER)
    elif port == PORT_TOP:
        s = 1.0 - smoothstep((level - TOP_PORT_COVER) / (1.0 - TOP_PORT_COVER))
        void = s + void * (1.0 - s)
        if void >= 1.0:
            return P[P_RHOV], P[P_HV]
    rho_l = P[P_RHOL]
    rho_v = P[P_RHOV]
    slip = (rho_l / rho_v) ** P[P_SLIP] if port == PORT_MIXED else 1.0
    vapour = void * rho_v * slip
    liquid = (1.0 - void) * rho_l
    x = vapour / (vapour + liquid)
    return 1.0 / (x / rho_v + (1.0 - x) / rho_l), x * P[P_HV] + (1.0 - x) * P[P_HL]


@compiled
def head_pressure(Pi: Row, head: float, port: int) -> float:
    """Pressure that the weight of what stands in a falling (head > 0) or rising (head < 0) line adds, Pa.

    A leg below a vessel's bottom stands full of liquid as long as the vessel covers its mouth; other lines hold what their upstream end holds.
    """
    if head == 0.0:
        return 0.0
    level = 1.0 - Pi[P_VOID]
    if port == PORT_TOP:
        # what leaves at the top is vapour until the vessel is nearly full
        level *= smoothstep((level - TOP_PORT_COVER) / (1.0 - TOP_PORT_COVER))
    elif head > 0.0 and port == PORT_BOTTOM:
        level = smoothstep(level / DIP_TUBE_COVER)
    liquid = Pi[P_RHOL] * level
    if head > 0.0:
        return GRAVITY * head * liquid
    return GRAVITY * head * (liquid + Pi[P_RHOV] * Pi[P_VOID])


@compiled
def weight(head: float, Pi: Row, Pj: Row, port: int, in_coil: bool) -> float:
    """Pressure that what stands between a link's ends adds, the first lying ``head`` m higher, Pa; between the middles of two cells half of either."""
    if head == 0.0:
        return 0.0
    if not in_coil:
        return head_pressure(Pi, head, port)
    both = (1.0 - Pi[P_VOID]) * Pi[P_RHOL] + Pi[P_VOID] * Pi[P_RHOV]
    both += (1.0 - Pj[P_VOID]) * Pj[P_RHOL] + Pj[P_VOID] * Pj[P_RHOV]
    return GRAVITY * head * 0.5 * both


@compiled
def ordinary(k: float, d0: float, rho: float, dp: float, p_up: float) -> float:
    """Flow through an ordinary restriction; gas-like streams choke near half the upstream pressure, kg/s."""
    limit = 0.6 * p_up + 0.4 * p_up * (rho / (rho + DENSITY_CHOKE))
    drive = dp / sqrt(1.0 + (dp / limit) ** 2)
    return k * sqrt(2.0 * rho) * drive / sqrt(sqrt(drive * drive + d0 * d0))


@compiled
def end_stream(P: Row, port: int, coil: int) -> tuple[float, float]:
    """(density, enthalpy) of what a link draws from its end; for a coil cell the reconstructed outlet at its filtered flow."""
    if coil >= 0:
        return 1.0 / P[P_VOUT], P[P_HC]
    return port_stream(P, port)


@compiled
def stream_density(
    ci: int, cj: int, Pi: Row, Pj: Row, rho_i: float, rho_j: float, w: float
) -> float:
    """Density of the stream in a link: mean of the centre volumes between coil cells, otherwise that of the giving end."""
    if ci >= 0 and cj >= 0:
        q = carried(Pi, Pi[P_H]) + carried(Pj, Pj[P_H])
        return (2.0 + q) / (Pi[P_VC] + Pj[P_VC])
    return w * rho_i + (1.0 - w) * rho_j


@compiled
def choke(pl: Plant, P: Row, rho: float, h: float) -> tuple[float, float]:
    """(g^2, kappa) of the stream of density rho and enthalpy h that a node offers a short restriction."""
    x = (h - P[P_HLS]) / P[P_HFG]
    # two-phase refrigerant boils at its own pressure: a gas above it subcools it
    p_sat = P[P_P] - P[P_GAS_P] if x > 0.0 else bubble_pressure(pl.fluid, P[P_T])
    return throttle.choking(
        P[P_P],
        x,
        rho,
        p_sat,
        pl.glob[G_P_CRITICAL],
        P[P_TS],
        P[P_HFG],
        1.0 / P[P_VLS],
        1.0 / P[P_VVS],
        P[P_CPL],
    )


@compiled
def short_restriction(
    pl: Plant,
    k: int,
    Pi: Row,
    Pj: Row,
    rho_i: float,
    h_i: float,
    rho_j: float,
    h_j: float,
    area: float,
    dp: float,
    w: float,
) -> float:
    """Flow through a needle or port by the throttle law; what enters is blended while the direction is undecided."""
    d0 = pl.link[k, L_D0]
    if w > ALMOST_ONE:
        g2, kappa = choke(pl, Pi, rho_i, h_i)
        return throttle.throttle_flow(Pi[P_P], rho_i, g2, kappa, dp, area, d0)
    if w < 1.0 - ALMOST_ONE:
        g2, kappa = choke(pl, Pj, rho_j, h_j)
        return throttle.throttle_flow(Pj[P_P], rho_j, g2, kappa, dp, area, d0)
    g2, kappa = choke(pl, Pi, rho_i, h_i)
    g2_j, kappa_j = choke(pl, Pj, rho_j, h_j)
    return throttle.throttle_flow(
        w * Pi[P_P] + (1.0 - w) * Pj[P_P],
        w * rho_i + (1.0 - w) * rho_j,
        w * g2 + (1.0 - w) * g2_j,
        w * kappa + (1.0 - w) * kappa_j,
        dp,
        area,
        d0,
    )


@compiled
def device_area(pl: Plant, k: int, Pi: Row, Pa: Row, s: float) -> float:
    """Effective area that a device's own law opens now, m2 (the shut-off is in the link's opening)."""
    row = pl.link[k, L_PART:]
    kind = pl.link_i[k, LI_KIND]
    if kind == TXV:
        lifted = thermostatic_valve.lift(row, pl.bulb_fluid, s, Pa[P_P])
        return row[thermostatic_valve.AREA] * thermostatic_valve.opening(row, lifted)
    if kind == FLOAT:
        lifted = float_valve.lift(row, 1.0 - Pa[P_VOID])
        return row[float_valve.AREA] * float_valve.opening(row, lifted)
    return row[hand_expansion_valve.AREA]


@compiled
def inlet_quality(pl: Plant, P: Row, h: float) -> float:
    """Generalised quality of what a long tube draws: by the whole pressure, so that liquid under a gas is subcooled liquid."""
    if P[P_GAS_P] == 0.0:
        return (h - P[P_HLS]) / P[P_HFG]
    liquid, vapour = saturated_enthalpies(pl.fluid, P[P_P])
    return (h - liquid) / (vapour - liquid)


@compiled
def capillary_mass(pl: Plant, k: int, Pi: Row, Pj: Row, h_i: float, h_j: float, dp: float) -> float:
    """Flow through a capillary from whichever end is higher; the tables vanish at dp = 0 from both sides."""
    row = pl.link_i[k, LI_EXTRA]
    if dp >= 0.0:
        x = inlet_quality(pl, Pi, h_i)
        return capillary.capillary_flow(pl.capillaries, row, Pi[P_P], x, Pi[P_P] - dp)
    x = inlet_quality(pl, Pj, h_j)
    return -capillary.capillary_flow(pl.capillaries, row, Pj[P_P], x, Pj[P_P] + dp)


@compiled
def ordinary_opening(kind: int, extra: int, row: Row, slide: Row, dp: float, s: float) -> float:
    """Factor on an ordinary link's conductance from its own law: check, relief and solenoid valve, reversing passage."""
    part = row[L_PART:]
    if kind == CHECK:
        return check_valve.opening(part, dp)
    if kind == RELIEF:
        return relief_valve.opening(s)
    if kind == SOLENOID:
        return solenoid_valve.opening(part, s)
    a, b, c, d = reversing_valve.passages(slide, s)
    return a if extra == 0 else (b if extra == 1 else (c if extra == 2 else d))


@compiled
def device_mass(
    pl: Plant, k: int, Pi: Row, Pj: Row, Pa: Row, s: float, dp: float, w: float,
    rho_i: float, h_i: float, rho_j: float, h_j: float,
) -> float:  # fmt: skip
    """Flow through a metering device, kg/s."""
    opening = pl.link[k, L_OPENING]
    if pl.link_i[k, LI_KIND] == CAPILLARY:
        return opening * capillary_mass(pl, k, Pi, Pj, h_i, h_j, dp)
    area = opening * device_area(pl, k, Pi, Pa, s)
    return short_restriction(pl, k, Pi, Pj, rho_i, h_i, rho_j, h_j, area, dp, w)


@compiled
def vapour_offered(P: Row, port: int) -> float:
    """Share of vapour at a port through which liquid falls into a node: a top port gives vapour until the vessel is nearly full, a bottom port none while it is covered."""
    if port == PORT_MIXED:
        return P[P_VOID]
    if port == PORT_BOTTOM:
        return P[P_VOID] * (1.0 - smoothstep((1.0 - P[P_VOID]) / DIP_TUBE_COVER))
    return 1.0 - smoothstep((1.0 - P[P_VOID] - TOP_PORT_COVER) / (1.0 - TOP_PORT_COVER))


@compiled
def runs_down(pl: Plant, k: int, Pi: Row, Pj: Row, m: float) -> tuple[float, float, float]:
    """What gravity adds to the flow m that pressure drives, in a passage that runs downhill to either end (``sim.drainage``)."""
    fall = pl.link[k, L_FALL] * pl.link[k, L_OPENING]
    if fall == 0.0:
        return 0.0, 0.0, 0.0
    if fall > 0.0:
        return drained(Pi, Pj, vapour_offered(Pj, pl.link_i[k, LI_PORT_TO]), fall, m)
    mass, energy, gas = drained(Pj, Pi, vapour_offered(Pi, pl.link_i[k, LI_PORT_FROM]), -fall, -m)
    return -mass, -energy, -gas


@inlined
def link(
    pl: Plant, k: int, Pi: Row, Pj: Row, Pa: Row, wall_i: float, wall_j: float, s: float
) -> tuple[float, float, float]:
    """(kg/s, W, kg/s of it gas) through link k, positive from its first to its second end.

    Pi, Pj: rows of the two end nodes; Pa: row of the sensed node; wall_i, wall_j: their wall temperatures (K); s: the link's slow state.
    """
    row = pl.link[k]
    if row[L_OPENING] <= 0.0:
        return 0.0, 0.0, 0.0
    kind = pl.link_i[k, LI_KIND]
    j = pl.link_i[k, LI_TO]
    p_j = Pj[P_P] if j >= 0 else pl.glob[G_ATMOSPHERE]
    ci = pl.node_i[pl.link_i[k, LI_FROM], NI_COIL]
    cj = pl.node_i[j, NI_COIL] if j >= 0 else -1
    dp = (
        Pi[P_P] - p_j + weight(row[L_HEAD], Pi, Pj, pl.link_i[k, LI_PORT_FROM], ci >= 0 and cj >= 0)
    )
    opening = row[L_OPENING]
    device = kind >= CAPILLARY and kind <= FLOAT
    if not device:
        if j < 0 and dp <= 0.0:
            return 0.0, 0.0, 0.0
        if kind != PIPE:
            opening *= ordinary_opening(kind, pl.link_i[k, LI_EXTRA], row, pl.slide, dp, s)
        if row[L_K] * opening <= 0.0:
            return 0.0, 0.0, 0.0
    width = pl.glob[G_DP_BLEND]
    w = 0.5 * (1.0 + dp / sqrt(dp * dp + width * width)) if j >= 0 else 1.0
    rho_i, h_i = end_stream(Pi, pl.link_i[k, LI_PORT_FROM], ci)
    rho_j, h_j = end_stream(Pj, pl.link_i[k, LI_PORT_TO], cj) if j >= 0 else (rho_i, h_i)
    q_i = carried(Pi, h_i)
    q_j = carried(Pj, h_j) if j >= 0 else q_i
    rho_i *= 1.0 + q_i
    rho_j *= 1.0 + q_j
    if device:
        m = device_mass(pl, k, Pi, Pj, Pa, s, dp, w, rho_i, h_i, rho_j, h_j)
    else:
        rho = stream_density(ci, cj, Pi, Pj, rho_i, rho_j, w)
        p_up = w * Pi[P_P] + (1.0 - w) * p_j
        m = ordinary(row[L_K] * opening, row[L_D0], rho, dp, p_up)
    eps = pl.glob[G_FLOW_EPS]
    if ci >= 0 and m > 0.0:
        h_i = outlet_enthalpy(Pi, m, wall_i, eps)
    if cj >= 0 and m < 0.0:
        h_j = outlet_enthalpy(Pj, -m, wall_j, eps)
    e = pl.glob[G_UPWIND] * max(min(row[L_K] * opening / OPEN_PIPE, 1.0), LEAST_EXCHANGE)
    round_m = sqrt(m * m + e * e)
    forth, back = 0.5 * (m + round_m), 0.5 * (m - round_m)
    down, down_energy, down_gas = runs_down(pl, k, Pi, Pj, m)
    if pl.size[SIZE_SPECIES] == 1:
        return m + down, forth * h_i + back * h_j + down_energy, 0.0
    q_i = carried(Pi, h_i)
    q_j = carried(Pj, h_j) if j >= 0 else q_i
    t_j = Pj[P_T] if j >= 0 else Pi[P_T]
    energy = forth * joined(h_i, q_i, Pi[P_T]) + back * joined(h_j, q_j, t_j)
    gas = forth * gas_share(q_i) + back * gas_share(q_j)
    return m + down, energy + down_energy, gas + down_gas

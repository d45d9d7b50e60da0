"""Hermetic reciprocating compressor, one cylinder, low-pressure shell: flow, work and heat as means over a revolution.

The gas leaves the ``shell`` node (already warmed by motor and shell wall, which the network does), passes the suction valve, is warmed by the cylinder,
compressed, and pushed through the discharge valve into the ``head`` node. Plain text, f = w/2pi, V displacement, means over a revolution:

    y      share of liquid in the intake volume, from the liquid level in the shell: L = 1 - void, y = L (e + (1-e) blend(L))
    p_s    = p1^2/(p1 + dp_s),  dp_s = g rho v^2/2,  v = V f/(a_s A_s)               suction valve, open for the share a_s of a revolution;
           g = 1/(1 + y rho v^2/p1): liquid is drawn no faster than the shell's pressure drives it
    T_i    = T1 + E (T2 - T1),  E = UA_i/(UA_i + m_0 cp),  m_0 = V f rho             warming between suction muffler and cylinder wall
    p_d    = p2 + dp_d,  dp_d = (m_1/(a_d A_d))^2/(2 rho_d)                          discharge valve, open for a_d = 0.5 (p2/p_s)^-0.675;
                                                                                     never below p_s
    lam    = 1 + (1-y) (c - c (p_d/p_s)^(1/n))                                       clearance gas re-expands
    w      = (1-y) rho_i (h(p_d, s_i) - h_i)/eta + y (p_d - p_s)                     work per volume drawn in, J/m3
    m      = V f lam (1 - worn - r) [(1-y) rho_i + y rho_L] sqrt(g)  +  blow-through
    r      = (leaked volume)/(V f lam),  leaked mass = A_leak sqrt(2 rho2 dp*)       discharge valve: head gas comes back at h2 and takes room
    T_ind  = V lam w (1 - worn (1 - g))/2pi                                          gas returned to the shell before delivery costs the share g of its work
    T      = T_ind + T_0 [d + (1-d) nu(T_oil)/nu(T_00)] + a T_ind + standing         friction: without load, and proportional to load
    nu     ~ exp(B/(T_oil - C))                                                      oil, as warm as the shell's wall

A leaking discharge valve therefore costs flow and no power (the volume compressed is the same), worn pumping costs flow and less than its share of power:
neither makes a more efficient machine. When p1 > p2 both valves stand open and gas blows through (``blow-through``).

Books: head energy gains m h_in + gas_power, shell energy loses m h_in, the shell wall gains friction_w, and
    gas_power + friction_w = torque w   exactly, at every speed.
Heat paths beside the process: head gas to shell wall ``head_heat``; winding to gas and wall are the motor's; shell wall to shell gas and to the room are the
node's wall. A compressor at rest leaks back through its valves and past its piston: ``rest_leak``, a flow from head to shell that carries h2.

Oil: bearings and piston shear films of oil, whose torque is proportional to the viscosity (Petroff); a share d is dry or mixed friction and keeps. Viscosity
over temperature is Walther's law, in Vogel's form because that costs one exponential. T_00 is the shell temperature for which T_0 is stated. How refrigerant
dissolved in the oil thins it is ``sim.oil``'s, which adds to or takes from this torque.

Standing rotor: all resisting torque is multiplied by w/sqrt(w^2 + w_b^2), so that a motor that cannot overcome it creeps below w_b (2 rad/s) and counts as
standing, without any switch. Against pressure the first stroke has to pass the peak of the crank torque, 0.4 V (p2 - p1) (the crank radius times piston area
is V/2, and the peak stands where sin is near 0.8); the peak fades as exp(-(w/w_k)^2), w_k the speed whose energy carries the rotor over it.

Sources: clearance term W. F. Stoecker, J. W. Jones, Refrigeration and Air Conditioning, 2nd ed., ch. 11; heating, isentropic process and loss torque of constant
plus proportional part after E. Winandy, C. Saavedra O., J. Lebrun, Int. J. Thermal Sciences 41 (2002) 147-157; viscosity ASTM D341, grade ISO 3448;
Petroff's law of a journal bearing G. W. Stachowiak, A. W. Batchelor, Engineering Tribology, ch. 4 (from memory), and any book on machine elements; leak
and creep laws are our own.
Range: 1 to 20 cm3, pressure ratio up to the one where clearance stops delivery, -50 to 20 degC evaporating, any liquid share (a slug is only counted here);
oil at -10 to 120 degC. With oil colder than that the motor cannot turn the machine, where a real one, with refrigerant in its oil, sometimes still would.
Over 300 lines because equations, columns and process of one cylinder are read together.

Over 300 lines: a part reads alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import exp, pi, sqrt, tanh
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.arrays import Vector
from sim.compiled import compiled
from sim.doors import door
from sim.fluid_columns import GAS_CONSTANT, FluidTables
from sim.fluid_inverse import density_at_pT_vapour, vapour_at_ps, vapour_entropy
from sim.fluid_kernel import energy
from sim.part import Part
from sim.smooth import blend, smoothstep, softplus_sqrt

Row = NDArray[np.float64]

SUCTION_SHARE = 0.40  # guess: share of a revolution with the suction valve open (most of a stroke)
# open for arccos(1 - 2 x)/2pi of a revolution, x = ratio^-0.9 the part of the stroke that is left:
DISCHARGE_SHARE = 0.5  # own arithmetic: that share at ratio 1
DISCHARGE_POWER = 0.675  # own arithmetic: 0.5 ratio^-0.675 follows it within a fifth up to ratio 10
DENSITY_EXPONENT = 0.9  # guess: rho ~ p^0.9 along an isentrope; used for the discharge valve only
RATIO_CAP = (
    80.0  # guess: where the work law is bent over; clearance has stopped delivery long before
)
WARM_WIDTH_K = 1.0  # guess: corner of "the head warms the intake, never cools it"
MEET_SHARE = 0.03  # guess: rounds the corner at p2 = p1, in shares of p1
EMPTY_SHARE = 0.01  # guess: rounds the corners where re-expansion or leaks take the whole stroke
CHOKE_SHARE = 0.2  # isentropic nozzle, kappa 1.1: 0.63 A sqrt(rho p) = A sqrt(2 rho 0.2 p)
LEAK_SHARE = 0.8  # guess: share of a revolution with the cylinder below discharge pressure
LEAK_CORNER_PA = 2000.0  # guess: laminar below this difference
REED_OPEN_PA = 3000.0  # guess: a reed valve is fully lifted at a few kPa
LIQUID_LOW = 0.25  # guess: the intake stands above the lower quarter of the shell
LIQUID_HIGH = 0.65  # guess: and is drowned when two thirds are full
OIL_SLOPE_K = 861.94  # own arithmetic: Vogel's form through Walther's line of an ISO VG 32 oil,
OIL_ZERO_K = 170.26  # 32 mm2/s at 40 and 5.4 at 100 degC (viscosity index 100); within 3 % from -10 to 120 degC
CREEP_RAD_S = 2.0  # guess: below it (0.5 % of full speed) the rotor counts as standing
PEAK_TORQUE = 0.4  # crank geometry: V/2 times the sine of the crank angle where delivery begins

(
    C_DISPLACEMENT,
    C_CLEARANCE,
    C_EXPONENT,
    C_SUCTION_AREA,
    C_DISCHARGE_AREA,
    C_HEATING,
    C_EFFICIENCY,
    C_FRICTION_DRY,
    C_FRICTION_OIL,
    C_FRICTION_STATED,
    C_FRICTION_LOAD,
    C_SEAT_LEAK,
    C_PISTON_LEAK,
    C_WORN_WORK,
    C_ENTRAINED,
    C_CARRY_SPEED,
    C_HEAD_TO_SHELL,
    C_OIL,
    C_OIL_STIRRED,
    C_OIL_STILL,
    C_OIL_STATED,
    C_OIL_ENTHALPY,
) = range(22)
C_COLUMNS = 22

# wear, the array that faults write
WEAR_DISCHARGE_LEAK = 0  # m2, leak area of the discharge valve
WEAR_PUMPING = 1  # 0..1, share of the charge that returns to the shell before delivery
WEAR_COLUMNS = 2
MOST_WORN = 0.95  # guess: beyond it the machine delivers nothing and the law is meaningless


@dataclass(frozen=True, kw_only=True)
class ReciprocatingCompressor(Part):
    """Parameters of the mechanical half; the motor is a part of its own."""

    KIND: ClassVar[str] = "reciprocating_compressor"
    HAZARDS: ClassVar[tuple[str, ...]] = ("hot/cold", "terminals", "vacuum")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "displacement_m3": (1e-6, 20e-6),
        "clearance": (0.01, 0.08),
        "reexpansion_exponent": (1.0, 1.2),
        "suction_valve_area_m2": (3e-6, 100e-6),
        "discharge_valve_area_m2": (3e-6, 100e-6),
        "suction_heating_w_k": (0.0, 5.0),
        "compression_efficiency": (0.7, 1.0),
        "friction_torque_n_m": (0.0, 0.3),
        "friction_dry_share": (0.0, 1.0),
        "friction_stated_k": (263.15, 393.15),
        "friction_load_share": (0.0, 0.3),
        "discharge_seat_leak_m2": (0.0, 0.2e-6),
        "piston_leak_area_m2": (0.0, 0.2e-6),
        "worn_work_share": (0.05, 1.0),
        "entrained_share": (0.0, 0.2),
        "carry_over_speed_rad_s": (20.0, 200.0),
        "head_to_shell_w_k": (0.0, 5.0),
        "oil_kg": (0.0, 3.0),
        "oil_stirred_s": (10.0, 3600.0),
        "oil_still_s": (600.0, 1e6),
        "oil_dissolved_stated": (0.0, 0.4),
    }

    displacement_m3: float
    clearance: float
    """Clearance volume over displacement."""
    reexpansion_exponent: float
    suction_valve_area_m2: float
    """Effective flow area (discharge coefficient times port area)."""
    discharge_valve_area_m2: float
    suction_heating_w_k: float
    """Conductance from head gas to the gas drawn in, through muffler and cylinder wall."""
    compression_efficiency: float
    """Isentropic over real work between the valves: heat exchange with the cylinder wall."""
    friction_torque_n_m: float
    """Without load, with the shell at ``friction_stated_k``."""
    friction_dry_share: float
    """Part of ``friction_torque_n_m`` that does not follow the oil's viscosity."""
    friction_stated_k: float
    friction_load_share: float
    """Part of the indicated torque that is lost in bearings and piston."""
    discharge_seat_leak_m2: float = 0.0
    """Leak area of the discharge valve as new."""
    piston_leak_area_m2: float = 0.0
    """Leak area past piston and suction valve; limits how fast the standing machine equalises."""
    worn_work_share: float
    """Work spent on gas that a worn machine returns to the shell, over the work of delivering it."""
    entrained_share: float
    """Liquid drawn in as droplets and foam while the level is below the intake, over the liquid share of the shell."""
    carry_over_speed_rad_s: float
    """Speed whose kinetic energy carries the rotor over the peak of a compression: sqrt(1.5 W/J), W the work of a revolution, J the inertia."""
    head_to_shell_w_k: float
    """From the gas in head and discharge muffler to the shell wall."""
    oil_kg: float = 0.0
    """Oil in the shell that dissolves refrigerant (``sim.oil``, R134a only); 0: none is reckoned with."""
    oil_stirred_s: float = 120.0
    """Time in which oil takes up its own mass per unit of activity while the machine turns: foam and spray."""
    oil_still_s: float = 36000.0
    """The same while it stands."""
    oil_dissolved_stated: float = 0.0
    """Refrigerant over oil for which ``friction_torque_n_m`` is stated: what the oil of a warm, running machine holds."""


def row(part: ReciprocatingCompressor) -> Row:
    """The parameters in the order that the compiled functions read (columns C_...)."""
    values = np.zeros(C_COLUMNS)
    values[C_DISPLACEMENT] = part.displacement_m3
    values[C_CLEARANCE] = part.clearance
    values[C_EXPONENT] = part.reexpansion_exponent
    values[C_SUCTION_AREA] = part.suction_valve_area_m2
    values[C_DISCHARGE_AREA] = part.discharge_valve_area_m2
    values[C_HEATING] = part.suction_heating_w_k
    values[C_EFFICIENCY] = part.compression_efficiency
    values[C_FRICTION_DRY] = part.friction_torque_n_m * part.friction_dry_share
    values[C_FRICTION_OIL] = part.friction_torque_n_m * (1.0 - part.friction_dry_share)
    values[C_FRICTION_STATED] = part.friction_stated_k
    values[C_FRICTION_LOAD] = part.friction_load_share
    values[C_SEAT_LEAK] = part.discharge_seat_leak_m2
    values[C_PISTON_LEAK] = part.piston_leak_area_m2
    values[C_WORN_WORK] = part.worn_work_share
    values[C_ENTRAINED] = part.entrained_share
    values[C_CARRY_SPEED] = part.carry_over_speed_rad_s
    values[C_HEAD_TO_SHELL] = part.head_to_shell_w_k
    values[C_OIL] = part.oil_kg
    values[C_OIL_STIRRED] = part.oil_stirred_s
    values[C_OIL_STILL] = part.oil_still_s
    values[C_OIL_STATED] = part.oil_dissolved_stated
    return values


@compiled
def viscosity_ratio(oil_k: float, stated_k: float) -> float:
    """Viscosity of the oil over that at ``stated_k``."""
    return exp(OIL_SLOPE_K * (1.0 / (oil_k - OIL_ZERO_K) - 1.0 / (stated_k - OIL_ZERO_K)))


@compiled
def clearance_efficiency(clearance: float, ratio: float, exponent: float) -> float:
    """Share of the stroke that draws fresh gas, 1 + c - c ratio^(1/n); negative once re-expansion fills the stroke."""
    return float(1.0 + clearance - clearance * ratio ** (1.0 / exponent))


@compiled
def filling(row: Row, ratio: float, y: float) -> float:
    """Share of the stroke that draws anything: clearance law for gas, never below zero (rounded); liquid in the clearance does not re-expand."""
    gas = clearance_efficiency((1.0 - y) * row[C_CLEARANCE], ratio, row[C_EXPONENT])
    return softplus_sqrt(gas, EMPTY_SHARE)


@compiled
def intake_liquid(row: Row, void: float) -> float:
    """Volume share of liquid in what the cylinder draws, from the void of the shell."""
    level = 1.0 - void
    e = row[C_ENTRAINED]
    return float(level * (e + (1.0 - e) * blend(level, LIQUID_LOW, LIQUID_HIGH)))


@compiled
def turning(omega: float) -> float:
    """w/sqrt(w^2 + w_b^2): 0 at rest, 1 at speed, odd."""
    return omega / sqrt(omega * omega + CREEP_RAD_S * CREEP_RAD_S)


@compiled
def orifice(rho: float, p_high: float, p_low: float) -> float:
    """Mass flux (kg/(m2 s)) through a leak from p_high to p_low, choking gradually; zero for the reverse difference (rounded over LEAK_CORNER_PA)."""
    d = softplus_sqrt(p_high - p_low, LEAK_CORNER_PA)
    most = CHOKE_SHARE * p_high
    return sqrt(2.0 * rho * most * tanh(d / most))


@compiled
def warmed_intake(
    row: Row, fl: FluidTables, p: float, t1: float, t2: float, flow: float, rho: float, dry: float
) -> tuple[float, float, float]:
    """T (K), density (kg/m3) and enthalpy (J/kg) of the vapour in the cylinder as compression begins at p.

    flow and rho belong to the gas before warming; dry is the vapour share of the intake's mass (droplets boil before vapour warms).
    """
    cp = energy(fl, rho, t1 + 1.0) - energy(fl, rho, t1) + fl.meta[GAS_CONSTANT]
    share = row[C_HEATING] / (row[C_HEATING] + flow * cp + 1e-6)
    t = t1 + share * dry * softplus_sqrt(t2 - t1, WARM_WIDTH_K)
    rho_i = density_at_pT_vapour(fl, p, t)
    return t, rho_i, energy(fl, rho_i, t) + p / rho_i


@compiled
def discharge_pressure(
    row: Row, p_s: float, p2: float, flow: float, rho_gas: float, rho_liquid: float, y: float
) -> float:
    """Mean pressure (Pa) in the cylinder while it delivers."""
    p = p_s + softplus_sqrt(p2 - p_s, MEET_SHARE * p_s)
    ratio = p / p_s
    lam = filling(row, ratio, y)
    rho = (1.0 - y) * rho_gas * ratio**DENSITY_EXPONENT + y * rho_liquid
    share = DISCHARGE_SHARE * ratio**-DISCHARGE_POWER
    through = flow * lam / (share * row[C_DISCHARGE_AREA])
    return float(p + 0.5 * through * through / rho)


@compiled
def volume_work(
    row: Row,
    fl: FluidTables,
    p_s: float,
    p_d: float,
    t: float,
    rho: float,
    h: float,
    y: float,
    rho_liquid: float,
) -> float:
    """Work per volume drawn in, J/m3: isentropic for the vapour, p dV for the liquid. Bent over at RATIO_CAP."""
    ratio = p_d / p_s
    over = (ratio / RATIO_CAP) ** 8
    p_top = p_d / (1.0 + over) ** 0.125
    s = vapour_entropy(fl, rho, t)
    h2s = vapour_at_ps(fl, p_top, s, t * (p_top / p_s) ** 0.1)[2]
    return float((1.0 - y) * rho * (h2s - h) / row[C_EFFICIENCY] + y * (p_top - p_s))


@compiled
def blow_through(row: Row, rho: float, p1: float, p2: float) -> float:
    """Flow (kg/s) through both valves when the suction side stands above the discharge side; zero otherwise."""
    d = p1 - p2
    if d <= 0.0:
        return 0.0
    a = row[C_SUCTION_AREA]
    b = row[C_DISCHARGE_AREA]
    most = CHOKE_SHARE * p1
    area = a * b / sqrt(a * a + b * b) * smoothstep(d / REED_OPEN_PA)
    return float(area * sqrt(2.0 * rho * most * tanh(d / most)))


@door
def compress(
    row: Vector,
    fl: FluidTables,
    wear: Vector,
    p1: float,
    t1: float,
    void1: float,
    rho_liquid1: float,
    rho_vapour1: float,
    h_liquid1: float,
    h_vapour1: float,
    p2: float,
    t2: float,
    rho2: float,
    oil_k: float,
    omega: float,
) -> tuple[float, float, float, float, float, float]:
    """Flow (kg/s), h_in (J/kg), gas_power (W), torque (N m), friction_w (W), liquid_in (kg/s).

    Properties 1 are the shell node's as ``fluid_kernel.state`` gives them, 2 the head node's (density of the mixture); the oil is as warm as the
    shell's wall. h_in is what the flow carries out of the shell; the head gains flow h_in + gas_power. liquid_in is the liquid part of the flow: a slug breaks
    valves, the bench decides when.
    """
    turns = turning(omega)
    frequency = omega * turns / (2.0 * pi)
    volume = row[C_DISPLACEMENT]
    y = intake_liquid(row, void1)
    rho1 = (1.0 - y) * rho_vapour1 + y * rho_liquid1
    swept = volume * frequency
    speed = swept / (SUCTION_SHARE * row[C_SUCTION_AREA])
    # liquid cannot be sucked in faster than the shell's pressure drives it
    slowed = 1.0 / (1.0 + y * rho1 * speed * speed / p1)
    p_s = p1 * p1 / (p1 + 0.5 * rho1 * speed * speed * slowed)
    dry = (1.0 - y) * rho_vapour1 / rho1
    t_i, rho_i, h_i = warmed_intake(row, fl, p_s, t1, t2, swept * rho1, rho_vapour1, dry)
    drawn = ((1.0 - y) * rho_i + y * rho_liquid1) * sqrt(slowed)
    p_d = discharge_pressure(row, p_s, p2, swept * drawn, rho_i, rho_liquid1, y)
    lam = filling(row, p_d / p_s, y)
    leak = LEAK_SHARE * (wear[WEAR_DISCHARGE_LEAK] + row[C_SEAT_LEAK]) * orifice(rho2, p2, p_s)
    # leaked gas at cylinder pressure: same gas, in the ratio of absolute temperatures
    leaked = leak * t2 / (t_i * rho_i) / (swept * lam + 1e-12)
    worn = min(wear[WEAR_PUMPING], MOST_WORN)
    kept = softplus_sqrt(1.0 - worn - leaked, EMPTY_SHARE)
    through = blow_through(row, rho1, p1, p2)
    flow = swept * lam * kept * drawn + through
    wet = y * rho_liquid1 / ((1.0 - y) * rho_i + y * rho_liquid1)
    h_in = (1.0 - wet) * h_vapour1 + wet * h_liquid1
    work = volume_work(row, fl, p_s, p_d, t_i, rho_i, h_i, y, rho_liquid1)
    indicated = volume * lam * work * (1.0 - worn * (1.0 - row[C_WORN_WORK])) / (2.0 * pi)
    fade = omega / row[C_CARRY_SPEED]
    peak = softplus_sqrt(PEAK_TORQUE * volume * (p2 - p1) - indicated, 1e-3)
    oil = viscosity_ratio(oil_k, row[C_FRICTION_STATED])
    unloaded = row[C_FRICTION_DRY] + row[C_FRICTION_OIL] * oil
    friction = unloaded + row[C_FRICTION_LOAD] * indicated + peak * exp(-fade * fade)
    gas_power = turns * indicated * omega
    friction_w = turns * friction * omega
    return flow, h_in, gas_power, turns * (indicated + friction), friction_w, flow * wet


@compiled
def rest_leak(row: Row, wear: Row, p1: float, p2: float, rho2: float, omega: float) -> float:
    """Flow (kg/s) from head back to shell through the shut valves and past the piston; fades out as the machine turns (then it is inside ``compress``)."""
    seat = wear[WEAR_DISCHARGE_LEAK] + row[C_SEAT_LEAK]
    piston = row[C_PISTON_LEAK]
    area = seat * piston / sqrt(seat * seat + piston * piston + 1e-24)
    fade = omega / row[C_CARRY_SPEED]
    d = p2 - p1
    if d <= 0.0:
        return 0.0
    return float(area * exp(-fade * fade) * smoothstep(d / REED_OPEN_PA) * orifice(rho2, p2, p1))


@door
def head_heat(row: Vector, t2: float, wall: float) -> float:
    """Heat (W) from the gas in head and discharge muffler to the shell wall."""
    return float(row[C_HEAD_TO_SHELL] * (t2 - wall))

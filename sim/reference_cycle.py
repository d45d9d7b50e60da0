"""The bench's yardstick: a single-stage vapour-compression cycle computed from CoolProp alone, sharing nothing with the tables or the parts.

Points: 1 compressor suction, 2 discharge, 3 condenser outlet, 4 behind the metering device, 5 evaporator outlet.

    h2 = h1 + w (1 - loss),  w = (h2s - h1) / eta,  s2s = s1,  h4 = h3        (textbook cycle)
    q_evaporator = h5 - h4,  q_condenser = h2 - h3,  COP = q_evaporator / w

Pressure drops are none unless given; between 5 and 1 the suction line takes up h1 - h5 from the room. Reference state: IIR, as in ``sim.fluid_kernel``.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from functools import cache
from typing import Any

from CoolProp.CoolProp import PropsSI

T_REFERENCE_K, H_REFERENCE, S_REFERENCE = 273.15, 200e3, 1e3


@dataclass(frozen=True)
class State:
    """One point of the cycle. ``quality`` is 0..1 in the two-phase region, below 0 in liquid and above 1 in vapour (by enthalpy at its pressure)."""

    point: str
    place: str
    p_pa: float
    t_k: float
    h_j_kg: float
    s_j_kg_k: float
    quality: float


@dataclass(frozen=True, kw_only=True)
class CycleInput:
    """What fixes the cycle. Superheat is over dew and subcooling under bubble at the point's own pressure."""

    fluid: str
    evaporating_pa: float
    condensing_pa: float
    superheat_k: float
    subcooling_k: float
    isentropic_efficiency: float
    heat_loss_fraction: float = 0.0
    """Of the compressor's work, given off by its shell to the room."""
    evaporator_superheat_k: float | None = None
    """At the evaporator outlet; the same as at suction when not given."""
    suction_quality: float = 1.0
    """Below 1 the suction gas is wet and its superheat is not read."""
    evaporator_quality: float = 1.0
    """The same at the evaporator outlet."""
    suction_drop_pa: float = 0.0
    discharge_drop_pa: float = 0.0
    mass_flow_kg_s: float = 1.0


@dataclass(frozen=True)
class Cycle:
    """The computed cycle; heats and powers in W belong to the given mass flow."""

    states: list[State] = field(repr=False)
    cop: float
    heating_cop: float
    mass_flow_kg_s: float
    capacity_w: float
    heat_rejected_w: float
    power_w: float
    suction_volume_m3_s: float
    discharge_temperature_k: float
    isentropic_discharge_temperature_k: float

    def as_dict(self) -> dict[str, Any]:
        return asdict(self)


def evaporating_pressure(fluid: str, dew_k: float) -> float:
    """Pressure (Pa) at which the fluid's vapour condenses at ``dew_k``."""
    return float(PropsSI("P", "T", dew_k, "Q", 1, fluid))


def condensing_pressure(fluid: str, dew_k: float) -> float:
    """Condensing temperatures are dew temperatures too (EN 12900: dew point at the compressor's outlet pressure)."""
    return evaporating_pressure(fluid, dew_k)


@cache
def _shift(fluid: str) -> tuple[float, float]:
    """What brings CoolProp's h and s of the fluid to the IIR reference state."""
    h, s = (PropsSI(name, "T", T_REFERENCE_K, "Q", 0, fluid) for name in ("H", "S"))
    return H_REFERENCE - h, S_REFERENCE - s


def _state(point: str, place: str, fluid: str, p: float, key: str, value: float) -> State:
    """The state at p with one more CoolProp property (T, H, S or Q; H and S on CoolProp's own reference)."""
    h, s, T = (PropsSI(name, "P", p, key, value, fluid) for name in ("H", "S", "T"))
    h_L, h_V = (PropsSI("H", "P", p, "Q", q, fluid) for q in (0, 1))
    dh, ds = _shift(fluid)
    return State(point, place, p, T, h + dh, s + ds, (h - h_L) / (h_V - h_L))


def superheated(
    point: str, place: str, fluid: str, p: float, superheat_k: float, quality: float = 1.0
) -> State:
    """Vapour that much warmer than its dew point, or wet vapour of a quality below 1."""
    if quality < 1.0:
        line = [PropsSI("H", "P", p, "Q", q, fluid) + _shift(fluid)[0] for q in (0, 1)]
        return at_enthalpy(point, place, fluid, p, line[0] + quality * (line[1] - line[0]))
    if superheat_k <= 0.0:
        return _state(point, place, fluid, p, "Q", 1.0)
    T = PropsSI("T", "P", p, "Q", 1, fluid) + superheat_k
    return _state(point, place, fluid, p, "T", T)


def subcooled(point: str, place: str, fluid: str, p: float, subcooling_k: float) -> State:
    """Liquid that much colder than its bubble point."""
    if subcooling_k <= 0.0:
        return _state(point, place, fluid, p, "Q", 0.0)
    T = PropsSI("T", "P", p, "Q", 0, fluid) - subcooling_k
    return _state(point, place, fluid, p, "T", T)


def at_enthalpy(point: str, place: str, fluid: str, p: float, h_j_kg: float) -> State:
    """The state at pressure and enthalpy (IIR reference); straight between bubble and dew, which a pseudo-pure blend needs."""
    h = h_j_kg - _shift(fluid)[0]
    h_L, h_V = (PropsSI("H", "P", p, "Q", q, fluid) for q in (0, 1))
    if not h_L < h < h_V:
        return _state(point, place, fluid, p, "H", h)
    x = (h - h_L) / (h_V - h_L)
    T, s = (
        PropsSI(name, "P", p, "Q", 0, fluid) * (1 - x) + PropsSI(name, "P", p, "Q", 1, fluid) * x
        for name in ("T", "S")
    )
    return State(point, place, p, T, h_j_kg, s + _shift(fluid)[1], x)


def reference_cycle(given: CycleInput) -> Cycle:
    """The cycle that ``given`` fixes."""
    fluid, m = given.fluid, given.mass_flow_kg_s
    p_suction = given.evaporating_pa - given.suction_drop_pa
    p_discharge = given.condensing_pa + given.discharge_drop_pa
    outlet_superheat = given.evaporator_superheat_k
    if outlet_superheat is None:
        outlet_superheat = given.superheat_k
    one = superheated(
        "1", "compressor suction", fluid, p_suction, given.superheat_k, given.suction_quality
    )
    entropy = one.s_j_kg_k - _shift(fluid)[1]
    ideal = _state("2s", "isentropic discharge", fluid, p_discharge, "S", entropy)
    work = (ideal.h_j_kg - one.h_j_kg) / given.isentropic_efficiency
    h_2 = one.h_j_kg + work * (1.0 - given.heat_loss_fraction)
    two = at_enthalpy("2", "compressor discharge", fluid, p_discharge, h_2)
    three = subcooled("3", "condenser outlet", fluid, given.condensing_pa, given.subcooling_k)
    four = at_enthalpy("4", "behind the device", fluid, given.evaporating_pa, three.h_j_kg)
    five = superheated(
        "5",
        "evaporator outlet",
        fluid,
        given.evaporating_pa,
        outlet_superheat,
        given.evaporator_quality,
    )
    q_cold, q_hot = five.h_j_kg - four.h_j_kg, two.h_j_kg - three.h_j_kg
    density = PropsSI("D", "P", p_suction, "H", one.h_j_kg - _shift(fluid)[0], fluid)
    return Cycle(
        states=[one, two, three, four, five],
        cop=q_cold / work,
        heating_cop=q_hot / work,
        mass_flow_kg_s=m,
        capacity_w=m * q_cold,
        heat_rejected_w=m * q_hot,
        power_w=m * work,
        suction_volume_m3_s=m / density,
        discharge_temperature_k=two.t_k,
        isentropic_discharge_temperature_k=ideal.t_k,
    )

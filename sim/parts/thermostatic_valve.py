"""Thermostatic expansion valve: a bulb on the suction line opens the needle against the evaporator's pressure and a spring.

Force balance on the diaphragm (ASHRAE Handbook Refrigeration, ch. 11, thermostatic expansion valves):

    y = (p_bulb - p_equaliser - p_spring) / stroke,    lift = smoothstep(y) (no lift below 0, full above 1)
    area = full_area (bleed + (1 - bleed) lift)

p_spring/(dp_sat/dT) is the static superheat; the further difference that lifts the needle is the opening superheat; their sum is the operating superheat.
Bulb pressure: a liquid charge of the system fluid gives its bubble pressure at the bulb; ``charge_offset_pa`` lowers it (a crude cross-charge). With a limited
(MOP) charge all liquid has boiled at ``mop_bulb``; beyond it the vapour follows the gas law. Clausius-Clapeyron with Trouton's rule makes ln p of the saturation
line about ten times steeper in ln T than a gas, so there p_bulb = p_mop (p_sat/p_mop)^(1/10), joined smoothly (a twelfth-power mean).
A bulb that lost its charge (``charge`` below 1) loses pressure in proportion.
The bulb is one heat capacity on the pipe's metal:  dT/dt = (contact UA_pipe (T_pipe - T) + UA_air (T_air - T)) / C.
An internal equaliser is the same law with the pressure at the valve's outlet instead of the suction line's.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

import numpy as np
from numpy.typing import NDArray

from sim.compiled import compiled
from sim.fluid_kernel import FluidTables, bubble_pressure
from sim.part import Part
from sim.smooth import smoothstep

# columns of row()
AREA, D0, BLEED, SPRING, STROKE, MOP, OFFSET, CHARGE = range(8)
CAPACITY, UA_PIPE, UA_AIR, CONTACT, SPRING_PER_TURN = range(8, 13)
N_COLUMNS = 13
GAS_EXPONENT = 0.1  # RT/h_LV at moderate pressure: Trouton's rule, h_LV/(R T) about 10 (textbook physical chemistry)
MOP_SHARPNESS = (
    12.0  # guess: exponent of the mean that rounds the corner; 5.6 % low at MOP, 0.7 % at 0.8
)


@dataclass(frozen=True, kw_only=True)
class ThermostaticValve(Part):
    """Parameters of a thermostatic expansion valve."""

    KIND: ClassVar[str] = "thermostatic_valve"
    HAZARDS: ClassVar[tuple[str, ...]] = ("pressure", "hot/cold")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "full_area_m2": (2e-8, 1e-5),
        "spring_pa": (0.0, 3e5),
        "spring_pa_per_quarter_turn": (0.0, 5e4),
        "stroke_pa": (5e3, 4e5),
        "bleed": (0.0, 0.3),
        "mop_evaporating_pa": (5e4, 3e6),
        "charge_offset_pa": (-2e5, 2e5),
        "bulb_heat_capacity_j_k": (1.0, 200.0),
        "bulb_pipe_conductance_w_k": (0.01, 50.0),
        "bulb_air_conductance_w_k": (0.0, 5.0),
        "linear_below_pa": (10.0, 20e3),
    }

    full_area_m2: float
    """Effective area (discharge coefficient included) at full lift."""
    spring_pa: float
    """Spring pressure as delivered; static superheat is this over the slope of the saturation line."""
    spring_pa_per_quarter_turn: float
    stroke_pa: float
    """Difference beyond the spring that gives full lift."""
    bleed: float = 0.0
    """Share of the full area that stays open through a drilled bleed port."""
    mop_evaporating_pa: float | None = None
    """Maximum operating (evaporating) pressure of a limited charge, absolute; none for a plain liquid charge."""
    charge_offset_pa: float = 0.0
    bulb_heat_capacity_j_k: float = 20.0
    bulb_pipe_conductance_w_k: float = 1.0
    bulb_air_conductance_w_k: float = 0.01
    linear_below_pa: float = 1e3

    def row(self) -> NDArray[np.float64]:
        mop = 0.0
        if self.mop_evaporating_pa is not None:
            mop = self.mop_evaporating_pa + self.spring_pa + self.charge_offset_pa
        r = np.zeros(N_COLUMNS)
        r[AREA], r[D0], r[BLEED] = self.full_area_m2, self.linear_below_pa, self.bleed
        r[SPRING], r[STROKE], r[MOP] = self.spring_pa, self.stroke_pa, mop
        r[OFFSET], r[CHARGE], r[CONTACT] = self.charge_offset_pa, 1.0, 1.0
        r[CAPACITY] = self.bulb_heat_capacity_j_k
        r[UA_PIPE], r[UA_AIR] = self.bulb_pipe_conductance_w_k, self.bulb_air_conductance_w_k
        r[SPRING_PER_TURN] = self.spring_pa_per_quarter_turn
        return r

    def spring_at(self, quarter_turns: float) -> float:
        """Spring pressure (Pa), for column SPRING, after turning the stem in (+) or out (-) from the delivered setting."""
        return self.spring_pa + quarter_turns * self.spring_pa_per_quarter_turn


@compiled
def bulb_pressure(row: NDArray[np.float64], p_sat_bulb: float) -> float:
    """Pressure (Pa) above the diaphragm; p_sat_bulb is the system fluid's bubble pressure at the bulb's temperature."""
    p = p_sat_bulb
    mop = row[MOP]
    if mop > 0.0:
        gas = (p / mop) ** GAS_EXPONENT
        p = p / (1.0 + (p / (mop * gas)) ** MOP_SHARPNESS) ** (1.0 / MOP_SHARPNESS)
    above: float = row[CHARGE] * (p - row[OFFSET])
    return above


@compiled
def lift_from_pressures(row: NDArray[np.float64], p_bulb: float, p_equaliser: float) -> float:
    """Needle lift 0..1 from the force balance."""
    return smoothstep((p_bulb - p_equaliser - row[SPRING]) / row[STROKE])


@compiled
def lift(row: NDArray[np.float64], fl: FluidTables, T_bulb: float, p_equaliser: float) -> float:
    """Needle lift 0..1 at a bulb temperature (K) and equaliser pressure (Pa)."""
    return lift_from_pressures(row, bulb_pressure(row, bubble_pressure(fl, T_bulb)), p_equaliser)


@compiled
def opening(row: NDArray[np.float64], lifted: float) -> float:
    """Share of the full area, bleed port included, at a lift 0..1."""
    share: float = row[BLEED] + (1.0 - row[BLEED]) * lifted
    return share


@compiled
def bulb_rate(row: NDArray[np.float64], T_bulb: float, T_pipe: float, T_air: float) -> float:
    """dT/dt of the bulb, K/s. Column CONTACT (1 well clamped, 0 dangling) multiplies the conductance to the pipe."""
    heat = row[CONTACT] * row[UA_PIPE] * (T_pipe - T_bulb) + row[UA_AIR] * (T_air - T_bulb)
    rate: float = heat / row[CAPACITY]
    return rate

"""Compressor known only by its published rating: the ten-coefficient polynomials of AHRI 540 (and EN 12900), corrected for suction superheat.

Equations, S and D the dew temperatures of suction and discharge pressure (in the rating's own degrees):

    X(S, D) = c1 + c2 S + c3 D + c4 S^2 + c5 S D + c6 D^2 + c7 S^3 + c8 D S^2 + c9 S D^2 + c10 D^3      X: mass flow, electrical power
    flow    m = m_map (1 + F (v_map/v - 1)),  F = 0.75,  v at the actual suction gas, v_map at the rating's suction gas
    power   P = P_map (m/m_map) (isentropic rise from the actual gas / from the rating's gas)
    gas     h_out = h_in + P (1 - loss)/m                                              loss: the share of power that the shell gives to the room

The rating holds inside its limits of S and D. Outside, S and D are held at the limits (rounded over 1 K) and the flow follows suction density and the power
suction pressure, which keeps a start from equal pressures finite; ``outside`` tells how many kelvin the state lies beyond, for the run's warnings.
Flow and power follow the supply frequency. There is no rotor: ``running`` (0..1) switches.

Sources: AHRI Standard 540 (term order); C. K. Rice, A. E. Dabiri, A compressor simulation model with corrections for the level of suction gas superheat,
ASHRAE Transactions 87(2) (1981) 771-782 (F and the power law). Range: dry suction gas; liquid at the suction is drawn at saturated-vapour conditions.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar, Literal

import numpy as np
from numpy.typing import NDArray

from sim.compiled import compiled
from sim.fluid_columns import FluidTables
from sim.fluid_inverse import density_at_pT_vapour, vapour_at_ps, vapour_entropy
from sim.fluid_kernel import dew_pressure, energy
from sim.part import Part
from sim.smooth import softplus_sqrt

Row = NDArray[np.float64]

TERMS = 10
FLOW_SHARE = 0.75  # Rice & Dabiri 1981: volumetric correction factor F
EDGE_K = 1.0  # guess: rounds the corner at the limits of the rating
GUESS_RISE_K = 50.0  # guess: start of the search for the isentropic end, K above suction
ZERO_C = 273.15  # definition of the Celsius scale
ZERO_F = 459.67  # definition of the Fahrenheit scale
KELVIN_PER_DEGF = 5.0 / 9.0  # definition
POUND_KG = 0.45359237  # NIST SP 811 appendix B.8, exact
HOUR_S = 3600.0  # definition

K_FLOW = 0
K_POWER = K_FLOW + TERMS
K_DEGREE = K_POWER + TERMS  # degrees of the rating per kelvin
K_ZERO = K_DEGREE + 1  # degrees of the rating at 0 K
K_FLOW_UNIT = K_ZERO + 1  # kg/s per unit of the flow polynomial
K_SUPERHEAT = K_FLOW_UNIT + 1  # K, of the rating's gas; negative: a fixed temperature instead
K_RETURN = K_SUPERHEAT + 1  # K, temperature of the rating's gas
K_LOSS = K_RETURN + 1
K_HERTZ = K_LOSS + 1
K_LIMITS = K_HERTZ + 1  # lowest S, highest S, lowest D, highest D, K
K_COLUMNS = K_LIMITS + 4


@dataclass(frozen=True, kw_only=True)
class MappedCompressor(Part):
    """Parameters of a rating. Coefficients are copied as published; ``degrees`` says in which units."""

    KIND: ClassVar[str] = "mapped_compressor"
    HAZARDS: ClassVar[tuple[str, ...]] = ("hot/cold", "terminals", "vacuum")
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "rating_superheat_k": (0.0, 40.0),
        "rating_return_gas_k": (250.0, 330.0),
        "loss_share": (0.0, 0.9),
        "rated_frequency_hz": (50.0, 60.0),
        "suction_dew_low_k": (210.0, 300.0),
        "suction_dew_high_k": (230.0, 310.0),
        "discharge_dew_low_k": (270.0, 330.0),
        "discharge_dew_high_k": (290.0, 360.0),
    }

    flow_coefficients: tuple[float, ...]
    power_coefficients: tuple[float, ...]
    degrees: Literal["fahrenheit", "celsius"]
    """fahrenheit: degF, lb/h, W (AHRI 540); celsius: degC, kg/s, W (EN 12900)."""
    rating_superheat_k: float | None = None
    """Superheat of the suction gas in the rating; or else"""
    rating_return_gas_k: float | None = None
    """its temperature. One of the two."""
    loss_share: float
    """Share of the electrical power that leaves through the shell to the room."""
    rated_frequency_hz: float = 60.0
    suction_dew_low_k: float
    suction_dew_high_k: float
    discharge_dew_low_k: float
    discharge_dew_high_k: float

    def check(self) -> list[tuple[str, str]]:
        """Ranges, ten terms each, one statement of the rating's gas, limits in order."""
        wrong = super().check()
        for name in ("flow_coefficients", "power_coefficients"):
            if len(getattr(self, name)) != TERMS:
                wrong.append(
                    (name, f"{name} has {len(getattr(self, name))} terms; AHRI 540 has ten")
                )
        if (self.rating_superheat_k is None) == (self.rating_return_gas_k is None):
            wrong.append(
                (
                    "rating_superheat_k",
                    "a rating states either rating_superheat_k or rating_return_gas_k, not both and not neither",
                )
            )
        for side in ("suction", "discharge"):
            low, high = getattr(self, f"{side}_dew_low_k"), getattr(self, f"{side}_dew_high_k")
            if low >= high:
                wrong.append(
                    (
                        f"{side}_dew_low_k",
                        f"the rating's {side} limits run from {low:g} K to {high:g} K: low must be below high",
                    )
                )
        return wrong


def row(part: MappedCompressor) -> Row:
    """The parameters in the order that the compiled functions read (columns K_...)."""
    values = np.zeros(K_COLUMNS)
    values[K_FLOW : K_FLOW + TERMS] = part.flow_coefficients
    values[K_POWER : K_POWER + TERMS] = part.power_coefficients
    fahrenheit = part.degrees == "fahrenheit"
    values[K_DEGREE] = 1.0 / KELVIN_PER_DEGF if fahrenheit else 1.0
    values[K_ZERO] = -ZERO_F if fahrenheit else -ZERO_C
    values[K_FLOW_UNIT] = POUND_KG / HOUR_S if fahrenheit else 1.0
    values[K_SUPERHEAT] = -1.0 if part.rating_superheat_k is None else part.rating_superheat_k
    values[K_RETURN] = part.rating_return_gas_k or 0.0
    values[K_LOSS] = part.loss_share
    values[K_HERTZ] = part.rated_frequency_hz
    values[K_LIMITS : K_LIMITS + 4] = (
        part.suction_dew_low_k,
        part.suction_dew_high_k,
        part.discharge_dew_low_k,
        part.discharge_dew_high_k,
    )
    return values


@compiled
def ten_terms(c: Row, s: float, d: float) -> float:
    """The polynomial of AHRI 540 at S and D, in the rating's units."""
    return float(
        c[0]
        + c[1] * s
        + c[2] * d
        + c[3] * s * s
        + c[4] * s * d
        + c[5] * d * d
        + c[6] * s * s * s
        + c[7] * d * s * s
        + c[8] * s * d * d
        + c[9] * d * d * d
    )


@compiled
def flow_correction(volume_ratio: float) -> float:
    """Flow over the rating's flow, from v_map/v of the suction gas (Rice & Dabiri)."""
    return 1.0 + FLOW_SHARE * (volume_ratio - 1.0)


@compiled
def held(x: float, low: float, high: float) -> float:
    """x held between two limits with rounded corners; within them it is moved by less than EDGE_K/4 one EDGE_K inside."""
    return low + softplus_sqrt(x - low, EDGE_K) - softplus_sqrt(x - high, EDGE_K)


@compiled
def outside(row: Row, suction_dew: float, discharge_dew: float) -> float:
    """How far (K) a state lies outside the rating's limits; 0 inside."""
    limits = row[K_LIMITS:]
    return float(
        max(
            limits[0] - suction_dew,
            suction_dew - limits[1],
            limits[2] - discharge_dew,
            discharge_dew - limits[3],
            0.0,
        )
    )


@compiled
def rating(row: Row, suction_dew: float, discharge_dew: float) -> tuple[float, float]:
    """Mass flow (kg/s) and power (W) of the rating at dew temperatures in K."""
    s = suction_dew * row[K_DEGREE] + row[K_ZERO]
    d = discharge_dew * row[K_DEGREE] + row[K_ZERO]
    flow = ten_terms(row[K_FLOW : K_FLOW + TERMS], s, d) * row[K_FLOW_UNIT]
    return flow, ten_terms(row[K_POWER : K_POWER + TERMS], s, d)


@compiled
def isentropic_rise(fl: FluidTables, p1: float, t1: float, rho1: float, p2: float) -> float:
    """Enthalpy rise (J/kg) of vapour compressed without loss from p1, T1 to p2."""
    h1 = energy(fl, rho1, t1) + p1 / rho1
    s1 = vapour_entropy(fl, rho1, t1)
    return vapour_at_ps(fl, p2, s1, t1 + GUESS_RISE_K)[2] - h1


@compiled
def mapped(
    row: Row,
    fl: FluidTables,
    p1: float,
    t1: float,
    rho_vapour1: float,
    h_vapour1: float,
    dew1: float,
    p2: float,
    dew2: float,
    hertz: float,
    running: float,
) -> tuple[float, float, float, float, float]:
    """Flow (kg/s), h_in (J/kg), power into the gas (W), electrical power (W), heat to the room (W); the last two balance the third.

    dew1, dew2 (K) are the dew temperatures of p1 and p2.
    """
    limits = row[K_LIMITS:]
    s = held(dew1, limits[0], limits[1])
    d = held(dew2, limits[2], limits[3])
    rated_flow, rated_power = rating(row, s, d)
    t_map = row[K_RETURN] if row[K_SUPERHEAT] < 0.0 else dew1 + row[K_SUPERHEAT]
    rho_map = density_at_pT_vapour(fl, p1, t_map)
    # outside the limits the swept volume stays what it was at the limit
    beyond = rho_map / density_at_pT_vapour(fl, dew_pressure(fl, s), t_map - dew1 + s)
    correction = flow_correction(rho_vapour1 / rho_map)
    p_top = p1 + softplus_sqrt(p2 - p1, 0.02 * p1)
    work = isentropic_rise(fl, p1, t1, rho_vapour1, p_top) / isentropic_rise(
        fl, p1, t_map, rho_map, p_top
    )
    pace = running * hertz / row[K_HERTZ]
    flow = max(rated_flow, 0.0) * beyond * correction * pace
    power = rated_power * beyond * correction * work * pace
    lost = row[K_LOSS] * power
    return flow, h_vapour1, power - lost, power, lost

"""Refrigerant dissolved in the oil of a compressor's shell: how much the oil would hold, how fast it takes it or gives it back, and how thin it makes the oil.

Plain text, X = dissolved mass over oil mass:

    phi1   = z/(z + r),  z = (X/M1)/(1/M2)                     volume share of refrigerant, r the size of an oil molecule over its own
    a      = phi1 exp[(1 - 1/r)(1 - phi1) + chi (1 - phi1)^2]  its activity after Flory and Huggins, chi = (w0/T)(1 + w1/T)
    dX/dt  = (p/p_dew(T) - a)/tau                              driven by pressure, as gas into any liquid; T is the shell's wall
    1/tau  = (1 - s)/still + s/stirred,  s = w^2/(w^2 + w_s^2) the machine stirs its oil as soon as it turns
    nu     : ln nu = (1 - c) ln nu_oil + c ln nu_refrigerant,  c = X/(1 + X)       ideal mixing of viscosities by mass (Arrhenius' rule)

Gas goes in with its own enthalpy and comes out with that of the vapour in the shell; dissolved it is booked at one enthalpy H0, that of the liquid at 40 degC,
and the shell's wall, which is the oil's metal, takes or gives the difference: the heat of condensation. The heat of mixing (chi over temperature) and the
warming of what is dissolved are left out (a tenth of it).

At rest the shell stands at its saturation pressure, p/p_dew = 1. Oil and refrigerant of this pair do not mix in all proportions: a reaches 1 near X = 0.5, where
the oil is full; what condenses beyond that stands beside it as liquid, in the shell's own volume.

Sources: r, w0, w1 of R134a in pentaerythritol tetra(3,5,5-trimethylhexanoate), a branched polyol ester: A. Wahlstrom, L. Vamling, J. Chem. Eng. Data 45 (2000)
97-103, as an open collection of sorption data gives them (its validation point: 303.15 K, 0.1622 mol/mol). Mixing rule: common practice; refrigerant thins oil
by about that. Range: R134a only, 303 to 363 K (the paper), carried on to a cold shell; 0 to about 0.5 kg/kg.
"""

from __future__ import annotations

from math import exp, log

import numpy as np

from sim.arrays import Vector
from sim.compiled import compiled
from sim.doors import door
from sim.fluid_columns import N_SAT, SAT_HL, FluidTables
from sim.fluid_kernel import dew_pressure, saturation
from sim.parts import compressor
from sim.parts.compressor import (
    C_FRICTION_OIL,
    C_FRICTION_STATED,
    C_OIL,
    C_OIL_ENTHALPY,
    C_OIL_STATED,
    C_OIL_STILL,
    C_OIL_STIRRED,
    ReciprocatingCompressor,
    Row,
    viscosity_ratio,
)

SIZE_RATIO = 10.41  # Wahlstrom & Vamling (2000): r
CHI_K = 938.0  # Wahlstrom & Vamling (2000): w0 over the gas constant, K
CHI_SLOPE_K = -176.0  # Wahlstrom & Vamling (2000): w1, K
MOLAR_MASS_RATIO = 102.03 / 697.04  # CH2FCF3 over C41H76O8, from atomic masses
STIRRED_RAD_S = 30.0  # guess: a tenth of full speed throws the oil about
OIL_MM2_S = 32.0  # ISO 3448, grade VG 32 at 40 degC: the oil of ``sim.parts.compressor``
OIL_GRADE_K = 313.15  # ISO 3448: the grade's temperature
FULLEST = (
    1.0  # kg/kg, own arithmetic: the activity is above 1 here at every temperature of the range
)
REFRIGERANT_MM2_S = 0.15  # CoolProp: liquid R134a, 0.16 at 25 degC and 0.13 at 50 degC


def oiled_row(part: ReciprocatingCompressor, fl: FluidTables) -> Row:
    """The compressor's row with the enthalpy (J/kg) at which what is dissolved is booked."""
    values, sat = compressor.row(part), np.zeros(N_SAT)
    saturation(fl, dew_pressure(fl, OIL_GRADE_K), sat)
    values[C_OIL_ENTHALPY] = sat[SAT_HL]
    return values


@compiled
def activity(dissolved: float, oil_k: float) -> float:
    """Pressure over the oil as a share of the pure refrigerant's at the oil's temperature; dissolved in kg per kg of oil, straight below zero."""
    z = dissolved / MOLAR_MASS_RATIO
    share = z / (z + SIZE_RATIO)
    oil = 1.0 - share
    chi = CHI_K / oil_k * (1.0 + CHI_SLOPE_K / oil_k)
    return share * exp((1.0 - 1.0 / SIZE_RATIO) * oil + chi * oil * oil)


@compiled
def uptake(row: Row, oil_k: float, p: float, p_dew: float, dissolved_kg: float, omega: float) -> float:  # fmt: skip
    """Refrigerant going into the oil, kg/s (negative: boiling out). p is the shell's pressure, p_dew the pure refrigerant's at the oil's temperature."""
    oil_kg = row[C_OIL]
    if oil_kg <= 0.0:
        return 0.0
    stirred = omega * omega / (omega * omega + STIRRED_RAD_S * STIRRED_RAD_S)
    per_s = (1.0 - stirred) / row[C_OIL_STILL] + stirred / row[C_OIL_STIRRED]
    return float(oil_kg * per_s * (p / p_dew - activity(dissolved_kg / oil_kg, oil_k)))


@compiled
def thinned(oil_k: float, dissolved: float) -> float:
    """Viscosity of the oil with refrigerant in it over that of the oil alone."""
    oil = OIL_MM2_S * viscosity_ratio(oil_k, OIL_GRADE_K)
    return exp(-dissolved / (1.0 + dissolved) * log(oil / REFRIGERANT_MM2_S))


@compiled
def extra_torque(row: Row, oil_k: float, dissolved_kg: float) -> float:
    """By how much dissolved refrigerant changes the torque of the oil's films, N m; none where the shell holds what friction was stated for."""
    if row[C_OIL] <= 0.0:
        return 0.0
    stated = thinned(row[C_FRICTION_STATED], row[C_OIL_STATED])
    now = thinned(oil_k, max(dissolved_kg, 0.0) / row[C_OIL])
    return float(
        row[C_FRICTION_OIL] * viscosity_ratio(oil_k, row[C_FRICTION_STATED]) * (now / stated - 1.0)
    )


@door
def room_for(row: Vector, oil_k: float, dissolved_kg: float) -> float:
    """How much more the oil takes beside pure refrigerant at its own temperature, until the activity is 1, kg."""
    low, high = 0.0, FULLEST
    for _ in range(50):
        middle = 0.5 * (low + high)
        if activity(middle, oil_k) < 1.0:
            low = middle
        else:
            high = middle
    return float(row[C_OIL] * low - dissolved_kg)

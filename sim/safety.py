"""Figures from safety standards and regulation that a plant like this one is built and handled by. For teaching, not for compliance:
editions and places differ, and local codes, the makers' instructions and licensed people take precedence.

Facts without a formula:
* Design temperature of the high side, air-cooled condenser, at 32 / 38 / 43 / 55 C outdoors: 55 / 59 / 63 / 67 C; water-cooled: highest water
  outlet + 8 K (EN 378-2 table on design temperatures, read on a public page; verify in the edition). PS is at least saturation there.
* Tests: strength at 1.1 PS with gas (EN 378-2) or 1.43 PS with liquid (2014/68/EU); tightness at 1.0 PS (from memory; verify).
* A limiter acts at no more than 0.9 PS, a relief valve starts at no more than 1.0 PS and flows fully at 1.1 PS (EN 378-2, EN 13136, from memory).
* Safety class (ISO 817, ASHRAE 34, from memory): A1 R134a R22 R410A; A2L R32 R1234yf; A3 R290 R600a.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from sim.errors import FluidRangeError
from sim.fluid import Fluid
from sim.fluid_columns import N_SAT
from sim.fluid_kernel import SAT_RHOL, SAT_RHOV, bubble_pressure, dew_pressure, saturation

# EN 378-2: 55 C, high side, air-cooled, outdoors up to 32 C (read on a public page)
DESIGN_TEMPERATURE_K = 328.15
LIMITER_SHARE = 0.9  # EN 378-2; ASHRAE 15: of PS, at most (from memory)
RELIEF_SHARE = 1.0  # EN 378-2, EN 13136: of PS, at most (from memory)

# lower flammability limit, kg/m3: ISO 817, IEC 60335-2-40 (from memory)
FLAMMABILITY_LIMIT_KG_M3 = {"R290": 0.038, "R600a": 0.043, "R32": 0.307, "R1234yf": 0.289}
# practical limit in occupied rooms, kg/m3: EN 378-1 annex E (from memory; verify in the edition)
PRACTICAL_LIMIT_KG_M3 = {
    "R134a": 0.25,
    "R410A": 0.44,
    "R32": 0.061,
    "R290": 0.008,
    "R600a": 0.011,
    "R22": 0.3,
}

# IEC 60335-2-40, -2-89, ISO 5149: m1 = 4 m3 x LFL, the "150 g" of propane (from memory)
CHARGE_M1_M3 = 4.0
# IEC 60335-2-89 ed. 3 (2019): 13 m3 x LFL, the "500 g" of propane (read on a public page)
CHARGE_APPLIANCE_M3 = 13.0
# UL 60335-2-89 2nd ed. proposal: closed cabinet, printed as 300 g (read on a public page)
CHARGE_CLOSED_CABINET_M3 = 8.0

CYLINDER_FILL_SHARE = 0.80  # service practice: transport and recovery cylinders, liquid volume
# a receiver manual asks for a relief valve beyond this at 20 C (read on a public page)
RECEIVER_FILL_SHARE = 0.90
# service practice: 500 micron of mercury, holding below 1000 (read on a public page)
EVACUATION_FINISH_PA = 66.66
# a micron of mercury, conventional millimetre of mercury over a thousand (BIPM)
MICRON_PA = 0.133322
LARGE_APPLIANCE_LB = 200.0  # 40 CFR 82.156 table 1: charge that divides small from large

Pressure = Literal["high", "medium"]
# inches of mercury below the atmosphere, equipment made after 1993, (small, large) charge: 40 CFR 82.156 table 1 (read on a public page).
# An older agency page prints 10 for large medium-pressure appliances; the text of the regulation prevails here.
RECOVERY_INHG: dict[Pressure, tuple[float, float]] = {"high": (0.0, 10.0), "medium": (10.0, 15.0)}
# share of the charge to be recovered from a small appliance: compressor dead, compressor running; 40 CFR 82.156 (read on a public page)
SMALL_APPLIANCE_SHARE = (0.80, 0.90)


def charge_cap_kg(fluid: str, volume_m3: float) -> float:
    """Largest charge of a flammable refrigerant: so many cubic metres at its lower flammability limit. KeyError for A1 fluids."""
    return volume_m3 * FLAMMABILITY_LIMIT_KG_M3[fluid]


def recovery_vacuum_inhg(pressure: Pressure, charge_lb: float) -> float:
    """Vacuum to which an appliance must be drawn before it is opened, inches of mercury below the atmosphere."""
    small, large = RECOVERY_INHG[pressure]
    return large if charge_lb >= LARGE_APPLIANCE_LB else small


def least_recovered_share(compressor_runs: bool) -> float:
    """Share of the charge that must be recovered from a small appliance."""
    return SMALL_APPLIANCE_SHARE[1] if compressor_runs else SMALL_APPLIANCE_SHARE[0]


def _saturated_densities(fluid: Fluid, temperature_k: float) -> tuple[float, float]:
    out = np.empty(N_SAT)
    mean = 0.5 * (
        dew_pressure(fluid.tables, temperature_k) + bubble_pressure(fluid.tables, temperature_k)
    )
    saturation(fluid.tables, mean, out)
    return float(out[SAT_RHOL]), float(out[SAT_RHOV])


def liquid_full_k(fluid: Fluid, liquid_share: float, filled_at_k: float) -> float:
    """Temperature at which a shut vessel becomes full of liquid, if ``liquid_share`` of its volume is liquid at ``filled_at_k``.

    Raises FluidRangeError if it does not fill below 10 K under the critical temperature.
    """
    liquid, vapour = _saturated_densities(fluid, filled_at_k)
    density = liquid_share * liquid + (1.0 - liquid_share) * vapour
    low, high = filled_at_k, fluid.critical_temperature_k - 10.0
    if not _saturated_densities(fluid, high)[0] <= density <= liquid:
        raise FluidRangeError(
            f"{fluid.name} at {density:.0f} kg/m3 does not fill its vessel between {low:.1f} and {high:.1f} K"
        )
    while high - low > 1e-3:
        middle = 0.5 * (low + high)
        if _saturated_densities(fluid, middle)[0] > density:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)

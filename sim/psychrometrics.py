"""Moist air: vapour pressure at saturation, humidity ratio, density, enthalpy, dew point.

ASHRAE Handbook Fundamentals (2017, SI) chapter 1, equations by number. Temperatures in K, pressures in Pa, humidity ratio w in kg water per
kg dry air, enthalpy in J per kg dry air with zero at 0 C dry air and liquid water.
    (5) ice, (6) liquid: ln pws = C/T + polynomial in T + C ln T        (20) w = 0.621945 pw / (p - pw)
    (26) v = 0.287042 T (1 + 1.607858 w) / p (kPa, m3/kg dry air)       (30) h = 1.006 t + w (2501 + 1.86 t)
Ice and liquid differ in slope by a tenth at 0 C; the kernel needs a smooth curve, so the two are blended within half a kelvin of the triple point,
where they differ by less than 0.5 %.
Range: -100 to 200 C, pressure above twice the vapour pressure.
"""

from __future__ import annotations

from math import exp, log

from sim.compiled import compiled
from sim.doors import door
from sim.smooth import smoothstep

WATER_TO_AIR_MASS = 0.621945  # ASHRAE Fundamentals 2017 ch. 1, ratio of molar masses below eq. 20
AIR_GAS_CONSTANT_J_KGK = 287.042  # same, eq. 1
CP_DRY_AIR_J_KGK = 1006.0  # same, eq. 30
CP_VAPOUR_J_KGK = 1860.0  # same, eq. 30
CP_LIQUID_WATER_J_KGK = 4186.0  # same, eq. 33
HEAT_OF_VAPORISATION_J_KG = 2.501e6  # same, eq. 30, at 0 C
HEAT_OF_FUSION_J_KG = 3.334e5  # same, eq. 35: enthalpy of ice at 0 C is -333.4 kJ/kg
CP_ICE_J_KGK = 2100.0  # same, eq. 35
ICE_POINT_K = 273.15  # ITS-90, zero of the Celsius scale
TRIPLE_POINT_K = 273.16  # ITS-90, triple point of water
# guess: width of the change from ice to liquid; small against the accuracy of any wall temperature here
JOIN_HALF_WIDTH_K = 0.5


@compiled
def _ln_saturation_ice(t: float) -> float:
    poly = 6.3925247e0 + t * (
        -9.677843e-3 + t * (6.2215701e-7 + t * (2.0747825e-9 + t * -9.484024e-13))
    )
    return -5.6745359e3 / t + poly + 4.1635019 * log(t)


@compiled
def _ln_saturation_water(t: float) -> float:
    poly = 1.3914993 + t * (-4.8640239e-2 + t * (4.1764768e-5 + t * -1.4452093e-8))
    return -5.8002206e3 / t + poly + 6.5459673 * log(t)


@compiled
def liquid_share(temperature_k: float) -> float:
    """0 where water freezes, 1 where it is liquid, smooth within half a kelvin of the triple point."""
    return smoothstep(
        (temperature_k - TRIPLE_POINT_K + JOIN_HALF_WIDTH_K) / (2.0 * JOIN_HALF_WIDTH_K)
    )


@compiled
def saturation_pressure_pa(temperature_k: float) -> float:
    """Pressure of water vapour over ice or liquid water (eqs. 5 and 6)."""
    share = liquid_share(temperature_k)
    if share <= 0.0:
        return exp(_ln_saturation_ice(temperature_k))
    if share >= 1.0:
        return exp(_ln_saturation_water(temperature_k))
    ice = _ln_saturation_ice(temperature_k)
    return exp(ice + share * (_ln_saturation_water(temperature_k) - ice))


@compiled
def humidity_ratio(vapour_pressure_pa: float, pressure_pa: float) -> float:
    """Kilograms of water per kilogram of dry air (eq. 20); the vapour pressure must be below the total."""
    return WATER_TO_AIR_MASS * vapour_pressure_pa / (pressure_pa - vapour_pressure_pa)


@door
def saturated_humidity_ratio(temperature_k: float, pressure_pa: float) -> float:
    """Humidity ratio of air just saturated at the temperature. Above the boiling range the vapour pressure is held at half the total."""
    return humidity_ratio(
        min(saturation_pressure_pa(temperature_k), 0.5 * pressure_pa), pressure_pa
    )


@door
def humidity_ratio_from_relative(
    temperature_k: float, relative_humidity: float, pressure_pa: float
) -> float:
    """Humidity ratio at a relative humidity of 0 to 1 (eqs. 12 and 20)."""
    return humidity_ratio(relative_humidity * saturation_pressure_pa(temperature_k), pressure_pa)


@compiled
def relative_humidity(temperature_k: float, w: float, pressure_pa: float) -> float:
    """Vapour pressure over its saturation value, 0 to 1 (eq. 12)."""
    vapour_pressure = pressure_pa * w / (WATER_TO_AIR_MASS + w)
    return vapour_pressure / saturation_pressure_pa(temperature_k)


@compiled
def specific_volume_m3_kg(temperature_k: float, w: float, pressure_pa: float) -> float:
    """Volume of moist air per kilogram of dry air (eq. 26)."""
    return AIR_GAS_CONSTANT_J_KGK * temperature_k * (1.0 + w / WATER_TO_AIR_MASS) / pressure_pa


@compiled
def density_kg_m3(temperature_k: float, w: float, pressure_pa: float) -> float:
    """Mass of dry air and water per volume (eq. 10)."""
    return (1.0 + w) / specific_volume_m3_kg(temperature_k, w, pressure_pa)


@compiled
def enthalpy_j_kg(temperature_k: float, w: float) -> float:
    """Enthalpy of moist air per kilogram of dry air (eq. 30)."""
    t = temperature_k - ICE_POINT_K
    return CP_DRY_AIR_J_KGK * t + w * (HEAT_OF_VAPORISATION_J_KG + CP_VAPOUR_J_KGK * t)


@compiled
def deposit_enthalpy_j_kg(temperature_k: float, frozen: float) -> float:
    """Enthalpy of what settles on a surface, ``frozen`` of it as ice and the rest as water (eqs. 33 and 35)."""
    t = temperature_k - ICE_POINT_K
    ice = CP_ICE_J_KGK * t - HEAT_OF_FUSION_J_KG
    return frozen * ice + (1.0 - frozen) * CP_LIQUID_WATER_J_KGK * t


@door
def dew_point_k(w: float, pressure_pa: float) -> float:
    """Temperature at which air of this humidity ratio is saturated, over ice below 0 C (Newton on ln pws; -100 to 100 C)."""
    target = log(max(pressure_pa * w / (WATER_TO_AIR_MASS + w), 2e-3))
    t = 273.0
    for _ in range(50):
        value = log(saturation_pressure_pa(t)) - target
        # Clausius-Clapeyron, good to a few percent
        slope = 5.4e3 / (t * t) if t > TRIPLE_POINT_K else 6.14e3 / (t * t)
        step = value / slope
        t -= min(max(step, -30.0), 30.0)
        t = min(max(t, 170.0), 375.0)
        if abs(step) < 1e-7:
            break
    return t

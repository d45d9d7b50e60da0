"""Stirred water bath: the outside of a coil that lies in a bucket of water instead of a stream of air. For test rigs.

The bath has one temperature. What it stores is the enthalpy H above liquid water at 0 degC, so that freezing needs no switch:

    dH/dt = heat from the coil + loss (T_room - T)
    T = 0 degC + H/C     for H > 0,   C = m c + vessel
    T = 0 degC           for H <= 0: ice grows on the coil, share -H/(m L), and the stirred water stays at 0 degC

Between coil metal and water lies one constant conductance UA (stirring makes it); to the coil's kernel it is a coil in still surroundings, each
of its n cells taking UA/n (T - T_wall). The bath's own state changes in minutes (C/UA), the metal's in seconds: whoever runs the bench moves the
bath on in steps of a second.

Source: energy balance; specific heat and heat of fusion of water as given beside the constants. Range: up to 60 degC, until a third of the water
is frozen; the thermal resistance of ice is left out. Nothing here is compiled: it is called once a second.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from sim.part import Part

ICE_POINT_K = 273.15  # source: ITS-90, ice point
WATER_J_KGK = 4186.0  # source: IAPWS R6-95, liquid water at 15 degC; within 0.6 % from 0 to 60 degC
FUSION_J_KG = 333.4e3  # source: IAPWS R10-06, heat of fusion at 0 degC


@dataclass(frozen=True, kw_only=True)
class WaterBath(Part):
    """Parameters of a stirred water bath round one coil."""

    KIND: ClassVar[str] = "water_bath"
    PORTS: ClassVar[tuple[str, ...]] = ()
    HAZARDS: ClassVar[tuple[str, ...]] = ("hot/cold",)
    RANGES: ClassVar[dict[str, tuple[float, float]]] = {
        "water_kg": (0.1, 100.0),
        "vessel_heat_capacity_j_k": (0.0, 1e5),
        "coil_conductance_w_k": (1.0, 2000.0),
        "loss_w_k": (0.0, 20.0),
    }

    coil: str
    """Tag of the coil that lies in it."""
    water_kg: float
    vessel_heat_capacity_j_k: float
    """Vessel, stirrer and what else follows the water; the coil's metal belongs to the coil."""
    coil_conductance_w_k: float
    """From the whole coil's metal to the water."""
    loss_w_k: float = 0.0
    """Through the insulation to the room."""

    @property
    def heat_capacity_j_k(self) -> float:
        """Of water and vessel."""
        return self.water_kg * WATER_J_KGK + self.vessel_heat_capacity_j_k

    def enthalpy_j(self, temperature_k: float) -> float:
        """J above water at 0 degC of an ice-free bath, from 0 degC up."""
        return self.heat_capacity_j_k * (temperature_k - ICE_POINT_K)

    def temperature_k(self, enthalpy_j: float) -> float:
        """Temperature of a bath that holds so much."""
        return ICE_POINT_K + max(enthalpy_j, 0.0) / self.heat_capacity_j_k

    def ice_share(self, enthalpy_j: float) -> float:
        """Share of the water that is frozen."""
        return max(-enthalpy_j, 0.0) / (self.water_kg * FUSION_J_KG)

    def rate_w(self, enthalpy_j: float, coil_heat_w: float, room_k: float) -> float:
        """dH/dt; ``coil_heat_w`` is what the coil gives to the water."""
        return coil_heat_w + self.loss_w_k * (room_k - self.temperature_k(enthalpy_j))

"""Frost on a coil cell: what it does to the air, how it grows and how it melts.

The state is the mass m of frost on a cell's fins (area A, clear gap g between two fins), lying evenly on both sides of every gap:
    thickness d = m / (rho A),   free share of the passage s = 1 - 2 d / g
Density: Hayashi, Aoki, Adachi and Hori, J. Heat Transfer 99 (1977) 239,  rho = 650 exp(0.277 t_surface),  -18.6 to -5 C; taken once, at -5 C. One mass
cannot remember at which temperature each layer was laid down, and frost once laid does not swell when the coil gets colder.
Conductivity: Yonko and Sepsy, ASHRAE Trans. 73 (1967) I.1.1,  k = 0.02422 + 7.214e-4 rho + 1.1797e-6 rho^2, rho below 573 kg/m3.
Air: a core's pressure drop is G^2/(2 rho) f A/A_c (Kays and London, Compact Heat Exchangers, 3rd ed., eq. 2-26a without entrance and acceleration), with
G and A_c those of the narrowed passage and f constant, so it grows as flow^2 / s^3. The fan's curve is a parabola from shut-off to free flow, all other
resistance goes with the square of the flow. Where they meet, with b the share of the shut-off pressure that the clean coil takes,
    flow / clean flow = 1 / sqrt(1 + b (s^-3 - 1))
Each cell keeps its own share of the fan: exact for an evenly frosted coil; air turned away from a choked pass does not crowd into its neighbours.
Film: the exponent of ``sim.air`` on the mass velocity in the gap, G = flow / s.
Surface: warmer than the metal by heat times d/(k A). The heat at the surface is taken along the chord between the metal's temperature (where it is
computed) and the air's (where it is nothing).
Growth: what leaves the air onto surface below 0 C (a share of the fins, ``sim.air``) stays, its heat of sublimation goes to the metal; the rest drains. Melting: metal above 0 C melts
what lies on it through a film of water, the water drains at 0 C. Left out: the frost's own heat capacity (0.1 kg holds 0.2 kJ/K beside some
0.5 kJ/K of metal; melting it takes 33 kJ), sublimation back into dry air, meltwater that freezes again.
Left out too: frost that lies thicker by the tube than at the fins' edges, though it freezes there first.
The two frost relations are written down as later papers quote them, volume and pages from memory.
Range: as ``sim.air``; frost from nothing to a passage closed to a fiftieth.
"""

from __future__ import annotations

from math import exp, log, sqrt

import numpy as np
from numpy.typing import NDArray

from sim.air import AIR_FILM_EXPONENT, cell_air, positive_part
from sim.columns import (
    C_AIR_DROP,
    C_AIR_FLOW,
    C_FIN_AREA,
    C_FIN_GAP,
    C_NATURAL,
    C_UA_AIR,
    CI_FIRST,
    CI_FROST,
    G_FROST_HELD,
)
from sim.compiled import compiled
from sim.doors import door
from sim.plant import Plant
from sim.psychrometrics import HEAT_OF_FUSION_J_KG, ICE_POINT_K

Row = NDArray[np.float64]

GROWN_AT_C = -5.0  # guess: surface of growing frost, a few kelvin below freezing; the warm end of the density's range
FROST_DENSITY_KG_M3 = 650.0 * exp(0.277 * GROWN_AT_C)  # Hayashi et al. (1977): 163
FROST_CONDUCTIVITY_W_MK = (
    0.02422 + 7.214e-4 * FROST_DENSITY_KG_M3 + 1.1797e-6 * FROST_DENSITY_KG_M3**2
)  # Yonko and Sepsy (1967): 0.17
LEAST_FREE = 0.02  # guess: a coil frozen shut still leaks a little at its edges
WATER_CONDUCTIVITY_W_MK = 0.56  # IAPWS R15-11, liquid water at 0 C
WATER_FILM_M = 2e-4  # guess: water that clings between metal and melting frost; only decides within which fraction of a kelvin the metal is held at 0 C
PATCHY_KG_M2 = 0.02  # guess: an eighth of a millimetre on the average lies in patches and no longer covers the metal
MELTING_HALF_WIDTH_K = 0.05  # guess: melting sets in over a tenth of a kelvin; rounds the corner
FLAT_K = 0.01  # guess: below such a difference between air and metal the chord has no slope worth a digit


@door
def frost_of(pl: Plant, i: int, coil: int) -> int:
    """State index of the frost on cell i of a coil."""
    return int(pl.coil_i[coil, CI_FROST] + i - pl.coil_i[coil, CI_FIRST])


@compiled
def frost_lives(pl: Plant) -> float:
    """1 while frost grows and melts, 0 while it is held."""
    return 1.0 - float(pl.glob[G_FROST_HELD])


@compiled
def free_share(frost_kg: float, fin_area_m2: float, fin_gap_m: float) -> float:
    """Share of the air passage that frost leaves open, 1 clean."""
    filled = 2.0 * frost_kg / (FROST_DENSITY_KG_M3 * fin_area_m2 * fin_gap_m)
    return LEAST_FREE + positive_part(1.0 - filled - LEAST_FREE, LEAST_FREE)


@compiled
def flow_share(free: float, air_drop_share: float) -> float:
    """Flow through a passage of which ``free`` is left, over the clean flow; ``air_drop_share`` of the shut-off pressure is the clean coil's."""
    return 1.0 / sqrt(1.0 + air_drop_share * (free**-3.0 - 1.0))


@compiled
def resistance_k_w(frost_kg: float, fin_area_m2: float) -> float:
    """Resistance of the frost layer to heat, K/W."""
    thickness = frost_kg / (FROST_DENSITY_KG_M3 * fin_area_m2)
    return thickness / (FROST_CONDUCTIVITY_W_MK * fin_area_m2)


@compiled
def frosted_air(row: Row, frost_kg: float) -> tuple[float, float]:
    """Dry air through a cell (kg/s) and its film conductance (W/K) with that much frost on it; ``row`` is the coil's."""
    if frost_kg == 0.0:
        return row[C_AIR_FLOW], row[C_UA_AIR]
    free = free_share(frost_kg, row[C_FIN_AREA], row[C_FIN_GAP])
    share = flow_share(free, row[C_AIR_DROP])
    return row[C_AIR_FLOW] * share, row[C_UA_AIR] * exp(AIR_FILM_EXPONENT * log(share / free))


@compiled
def frosted_cell_air(
    row: Row, t_in: float, w_in: float, atmosphere_pa: float, wall_k: float, frost_kg: float
) -> tuple[float, float, float, float, float]:
    """Heat to the metal in W, deposit in kg/s, temperature and humidity ratio of the leaving air, how much of the deposit freezes in kg/s; see ``sim.air.cell_air``."""
    flow, ua = frosted_air(row, frost_kg)
    heat, water, t_out, w_out, frozen = cell_air(
        t_in, w_in, atmosphere_pa, flow, ua, row[C_NATURAL], wall_k
    )
    if frost_kg == 0.0:
        return heat, water, t_out, w_out, water * frozen
    span = t_in - wall_k
    ratio = resistance_k_w(frost_kg, row[C_FIN_AREA]) * heat * span / (span * span + FLAT_K**2)
    surface = wall_k + span * ratio / (1.0 + ratio)
    heat, water, t_out, w_out, frozen = cell_air(
        t_in, w_in, atmosphere_pa, flow, ua, row[C_NATURAL], surface
    )
    return heat, water, t_out, w_out, water * frozen


@compiled
def melting_kg_s(frost_kg: float, fin_area_m2: float, wall_k: float) -> float:
    """Frost that melts on metal at a temperature, kg/s; with the last patches it fades out."""
    patchy = PATCHY_KG_M2 * fin_area_m2
    covered = frost_kg / sqrt(frost_kg * frost_kg + patchy * patchy)
    warm = positive_part(wall_k - ICE_POINT_K - MELTING_HALF_WIDTH_K, MELTING_HALF_WIDTH_K)
    film = WATER_CONDUCTIVITY_W_MK / WATER_FILM_M * fin_area_m2
    return film * covered * warm / HEAT_OF_FUSION_J_KG

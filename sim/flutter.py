"""By how much a gauge's needle trembles: with the strokes of the compressor, and with plugs of liquid in the boiling coil. For drawing only; no reading knows of it.

Strokes. In every revolution a mass m/n goes through a valve that is open for a share s of it; the rest of the plant takes or gives it steadily. A closed gas space of volume V then
swings from end to end by

    dp = gamma p (m / (n rho V)) (1 - s)

(isentropic gas, no waves: the space is short beside a wave, which at 58 Hz in this gas is 2.6 m long; what the pipes carry on makes it less.)
Plugs. Liquid and gas take turns in the coil, so that the force on the stream swings by its momentum flux G2/rho (from the momentum equation; all of it is the most there can be).

A gauge of lag tau follows a swing of frequency f only by 1/sqrt(1 + (2 pi f tau)2) (first order; the lag is the instrument's own).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, pi, sqrt
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from sim.rig import PlacedPart, Rig

GAMMA = 1.05  # source: CoolProp 8.0, rho a2/p of R134a: 1.08 at 2.3 bar and 7 degC, 1.02 at 9.3 bar and 70 degC
SUCTION_SHARE = 0.4  # guess: a suction reed is open for most of the stroke down
DISCHARGE_SHARE = (
    0.15  # guess: at a ratio of 4 a discharge reed is open for the last third of the stroke up
)
PLUG_HZ = 1.0  # guess: plugs in a tube of 8 mm pass once or twice a second
SHARES = {
    "suction_pressure_pa": (0, SUCTION_SHARE),
    "discharge_pressure_pa": (1, DISCHARGE_SHARE),
}
"""Gauge -> which port of the compressor works on it, and its valve's share."""


@dataclass(frozen=True)
class Tap:
    """Where a gauge hangs."""

    reading: str
    node: str
    gas_m3: float
    """Of the compressor's own space on that side, and of the pipe with the gauge."""
    open_share: float
    lag_s: float
    bore_m2: float
    """Cross-section of the boiling coil's tube; 0 where plugs are not felt."""


def taps_of(rig: Rig) -> tuple[Tap, ...]:
    """The gauges of a rig that hang on the compressor."""
    machine = next((part for part in rig.parts if part.kind.endswith("compressor")), None)
    if machine is None:
        return ()
    bores = [float(bore) for part in rig.parts if part.kind == "coil" and (bore := getattr(part.part, "bore_m", 0.0))]  # fmt: skip
    bore_m2 = pi / 4.0 * max(bores, default=0.0) ** 2
    gauges = [one for one in rig.instruments if one.kind == "gauge" and one.reading in SHARES]
    return tuple(
        Tap(one.reading, one.node, _space(rig, machine, one.node, SHARES[one.reading][0]), SHARES[one.reading][1], one.lag_s, bore_m2 if one.reading.startswith("suction") else 0.0)
        for one in gauges
    )  # fmt: skip


def _space(rig: Rig, machine: PlacedPart, node: str, port: int) -> float:
    return sum(rig.node(name).volume_m3 for name in {node, machine.ports[port].node})


def trembling_pa(tap: Tap, flow_kg_s: float, turns_s: float, density_kg_m3: float, pressure_pa: float) -> float:  # fmt: skip
    """Half of the needle's swing, Pa. Nothing while nothing turns or flows."""
    if turns_s <= 0.0 or flow_kg_s <= 0.0 or density_kg_m3 <= 0.0:
        return 0.0
    slug_m3 = flow_kg_s / turns_s / density_kg_m3
    strokes = GAMMA * pressure_pa * slug_m3 / tap.gas_m3 * (1.0 - tap.open_share) / 2.0
    plugs = (flow_kg_s / tap.bore_m2) ** 2 / density_kg_m3 / 2.0 if tap.bore_m2 else 0.0
    return hypot(strokes * followed(tap, turns_s), plugs * followed(tap, PLUG_HZ))


def followed(tap: Tap, frequency_hz: float) -> float:
    """Share of a swing that the gauge's needle follows."""
    return 1.0 / sqrt(1.0 + (2.0 * pi * frequency_hz * tap.lag_s) ** 2)

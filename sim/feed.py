"""The circuit as the compressor motor sees it: a table of phasors, each affine in the currents of its two windings (rows ``FEED_*`` of ``sim.columns``).

Only the motor's two windings depend on its speed. Between two moves of a contact the rest of the circuit is therefore one linear two-port, and every voltage
and current in it is c0 + c1 I_main + c2 I_start (superposition; Thevenin's theorem for the two windings). The kernel reads nothing else of the circuit.

``plain_feed`` is the feed of a rig without a wiring file: a supply of no impedance, the motor with its start gear on it, and what else the panel takes.
"""

from __future__ import annotations

from dataclasses import dataclass

from sim import columns as c
from sim.parts import motor
from sim.plant import Plant


@dataclass(frozen=True)
class Contacts:
    """What a plain supply has to know."""

    live: bool
    """Main switch on, emergency stop released."""
    motor: bool
    """The motor's circuit is closed."""
    start: bool
    """The start relay's contact is closed."""
    other_va: complex
    """What fans, coils and heaters take: W + j var."""


def plain_feed(plant: Plant, now: Contacts) -> None:
    """Write the feed of a plain supply at the plant's present volts and hertz into ``plant.feed``."""
    feed, row = plant.feed, plant.motor
    volts, hertz = float(plant.glob[c.G_VOLTS]), float(plant.glob[c.G_HERTZ])
    feed[:] = 0.0
    feed[c.FEED_MAIN, 1] = feed[c.FEED_START, 2] = -motor.OPEN_OHM
    if not now.live or volts <= 0.0:
        return
    feed[c.FEED_PANEL_V, 0] = volts
    feed[c.FEED_PANEL_A, 0] = now.other_va.conjugate() / volts
    feed[c.FEED_MACHINE_V, 0] = volts
    if not now.motor:
        return
    if row[motor.M_HERTZ] <= 0.0:  # a compressor given by its map: the line current is all there is
        feed[c.FEED_MACHINE_A, 1] = feed[c.FEED_PANEL_A, 1] = 1.0
        return
    e_m, e_a, z_mm, z_ma, z_am, z_aa = motor.plain_supply(row, volts, hertz, int(now.start))
    core = row[motor.M_CORE]
    feed[c.FEED_MAIN] = e_m, -z_mm, -z_ma
    feed[c.FEED_START] = e_a, -z_am, -z_aa
    feed[c.FEED_RELAY] = core * e_m, 1.0 - core * z_mm, -core * z_ma
    feed[c.FEED_OVERLOAD] = feed[c.FEED_RELAY]
    feed[c.FEED_OVERLOAD, 2] += 1.0
    feed[c.FEED_MACHINE_A] = feed[c.FEED_OVERLOAD]
    feed[c.FEED_PANEL_A] += feed[c.FEED_MACHINE_A]

"""Which supply a rig has: the ideal one, or the computed circuit of its wiring file."""

from __future__ import annotations

import numpy as np

from sim import columns as c
from sim.controls import Controls
from sim.parts import motor
from sim.plant import Plant
from sim.rig import Rig
from sim.supply import PlainSupply, Supply
from sim.supply_wired import WiredSupply
from sim.surroundings import Surroundings
from sim.tags import Setting
from sim.wiring import wiring_of


def mains_of(rig: Rig, rated: Surroundings) -> Surroundings:
    """A rig's surroundings with the volts and hertz of its wiring."""
    if not rig.wiring:
        return rated
    supply = wiring_of(rig).supply
    return rated.changed({"supply_voltage_v": supply.volts_v, "supply_frequency_hz": supply.frequency_hz})  # fmt: skip


def supply_of(
    rig: Rig, plant: Plant, controls: Controls, commands: dict[str, Setting]
) -> tuple[Supply, Plant]:
    """The supply that a rig has, and the plant with its motor and its feed."""
    if not rig.wiring:
        return PlainSupply(rig, plant, controls, commands), plant
    made = wiring_of(rig)
    volts = sum(magnet.quantity == "volts" for magnet in made.magnets())
    feed = np.zeros((c.FEED_FIXED + volts, 3), dtype=complex)
    plant = plant._replace(motor=motor.row(made.motor), feed=feed)
    return WiredSupply(rig, plant, controls, commands), plant

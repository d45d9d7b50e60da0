"""The plant as the kernel sees it: tables of numbers, laid out once, and the sizes that say where a state lives.

State vector: m (species-major) | U | wall temperatures | slow states of parts | ledger.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from sim.arrays import IndexRows, Indices, Matrix, PhasorRows, Vector
from sim.fluid_kernel import FluidTables
from sim.parts.capillary import CapillaryTables

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Phasors = NDArray[np.complex128]


class Plant(NamedTuple):
    """Parameters and commands of a plant. Arrays are shared with the bench, which writes commands into them between steps."""

    fluid: FluidTables
    bulb_fluid: FluidTables  # what the bulbs of thermostatic valves are charged with: the fluid that the rig is built for
    capillaries: CapillaryTables
    size: Indices  # see SIZE_*
    node: Matrix
    node_i: IndexRows
    wall: Matrix
    wall_i: IndexRows
    coil: Matrix
    coil_i: IndexRows
    link: Matrix
    link_i: IndexRows
    bulb: Matrix  # (bulbs, columns) rows of thermostatic valves
    bulb_i: IndexRows  # (bulbs, 2) node sensed, state index
    machine: Vector  # compressor row
    motor: Vector  # motor row
    wear: Vector
    machine_i: Indices  # shell node, head node, shell wall, first slow state, kind
    slide: Vector  # reversing-valve row
    slide_i: Indices  # high-side node, low-side node, state index (-1 none)
    feed: PhasorRows  # the circuit as the motor sees it, see FEED_*
    glob: Vector


# places in Plant.size
SIZE_NODES, SIZE_SPECIES, SIZE_WALLS, SIZE_U, SIZE_W, SIZE_S, SIZE_L, SIZE_STATES, SIZE_BOX = range(
    9
)

# ledger states, from SIZE_L: integrals that close the books
LEDGER_ELECTRIC = 0  # J taken from the supply by the compressor motor
LEDGER_AIR = 1  # J from room and air streams into walls
LEDGER_OUT_ENERGY = 2  # J carried out of the circuit
LEDGER_ROTOR = (
    3  # J stored in the turning rotor, integrated so that the books stay linear in the states
)
LEDGER_OUT_MASS = 4  # kg carried out, first of the species
LEDGER_FIXED = 4  # ledger states before the species

# slow states of the machine, from machine_i[3]
MACHINE_SPEED, MACHINE_WINDING, MACHINE_START, MACHINE_BIMETAL, MACHINE_OIL = range(5)

# kinds of machine, in machine_i[MACHINE_KIND]
MACHINE_KIND = 4
RECIPROCATING, MAPPED = range(2)

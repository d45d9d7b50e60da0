"""How a plant at rest is filled: everything at room temperature, one pressure, the liquid where gravity left it.

Liquid stands in every volume below the receiver's dip tube that an open path joins to it; the rest of the charge lies in the receiver (the largest
vessel), the other volumes hold saturated vapour. A charge that the receiver cannot hold goes on into the coils, then into the other
vessels, the smallest first.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.errors import PlantError
from sim.fluid_columns import N_SAT, SAT_HL, SAT_HV, SAT_RHOL, SAT_RHOV
from sim.fluid_kernel import dew_pressure, saturation
from sim.layout import Layout
from sim.parts import compressor
from sim.plant import MACHINE_KIND, RECIPROCATING, Plant
from sim.rig import Rig

Floats = NDArray[np.float64]

LIQUID_LINE_VOID = 0.002  # guess: a thread of vapour in a "full" line, as any standing plant has
FULLEST = 0.995  # guess: no volume is filled beyond this share of liquid
TRACE_KG_M3 = 0.4  # guess: vapour left after recovery, about 10 kPa
AT_ROOM = ("winding", "start_winding", "bimetal", "bulb", "temperature")
"""Slow states that begin at room temperature, by the end of their names."""
LINE_KINDS = (c.PIPE, c.SOLENOID, c.CHECK)


def collecting_vessel(rig: Rig) -> str:
    """The vessel in which a standing plant's liquid collects: the largest one with a dip tube."""
    vessels = [node for node in rig.nodes if node.kind == "vessel"]
    dipped = {port.node for part in rig.parts for port in part.ports if port.height == "bottom"}
    known = [v for v in vessels if v.name in dipped] or vessels or list(rig.nodes)
    return max(known, key=lambda node: node.volume_m3).name


def shut_in_with_receiver(rig: Rig, layout: Layout) -> list[str]:
    """The receiver and what an unvalved pipe joins to it: empty together."""
    start = collecting_vessel(rig)
    found = [start]
    for plan in layout.plans:
        if plan.kind == c.PIPE and not plan.handles and plan.start.node == start:
            found.append(plan.end.node)
    return found


def liquid_lines(rig: Rig, layout: Layout) -> set[str]:
    """Plain nodes below the receiver's dip tube, reached through pipes and line valves without passing a coil or device."""
    start = collecting_vessel(rig)
    full: set[str] = set()
    frontier = [start]
    cells = {node.name for node in rig.nodes if node.coil}
    vessels = {node.name for node in rig.nodes if node.kind == "vessel"}
    while frontier:
        here = frontier.pop()
        for plan in layout.plans:
            if plan.kind not in LINE_KINDS or plan.start.node != here:
                continue
            if here == start and plan.start.height != "bottom":
                continue
            there = plan.end.node
            if there not in cells | vessels | full and there in layout.nodes:
                full.add(there)
                frontier.append(there)
    return full


def standing_state(
    rig: Rig,
    layout: Layout,
    pl: Plant,
    charge_kg: float,
    room_k: float,
    room_humidity: float,
    *,
    receiver_empty: bool = False,
) -> Floats:
    """State vector of the plant at rest with ``charge_kg`` in it, in a room of ``room_humidity`` kg/kg. Raises PlantError when the charge does not fit.

    ``receiver_empty``: receiver and drier hold a trace of vapour, as after recovery, and the charge lies in condenser and liquid line.
    """
    fl = pl.fluid
    sat = np.zeros(N_SAT)
    p = dew_pressure(fl, room_k)
    saturation(fl, p, sat)
    rho_l, rho_v = sat[SAT_RHOL], sat[SAT_RHOV]
    volume = pl.node[:, c.N_VOLUME]
    void = np.ones(layout.n_nodes)
    for name in liquid_lines(rig, layout):
        void[layout.nodes[name]] = LIQUID_LINE_VOID
    mass = volume * (void * rho_v + (1.0 - void) * rho_l)
    coils = [n.name for n in rig.nodes if n.coil]
    receiver = collecting_vessel(rig)
    others = [n for n in rig.nodes if n.kind == "vessel" and n.name != receiver]
    others.sort(key=lambda node: node.volume_m3)
    order = [receiver, *coils, *(n.name for n in others)]
    if receiver_empty:
        empty = shut_in_with_receiver(rig, layout)
        for name in empty:
            mass[layout.nodes[name]] = TRACE_KG_M3 * volume[layout.nodes[name]]
        order = coils
    if (
        charge_kg < mass.sum()
    ):  # not even enough to fill the lines: everything holds the same vapour and liquid
        share = charge_kg / mass.sum()
        mass *= share
    rest = charge_kg - mass.sum()
    for name in order:
        k = layout.nodes[name]
        room = max(FULLEST * rho_l * volume[k] - mass[k], 0.0)
        added = min(max(rest, 0.0), room)
        mass[k] += added
        rest -= added
    if rest > 1e-9:
        raise PlantError("charge-too-large", f"{charge_kg:g} kg does not fit into the plant.")
    energy = node_energy(mass, volume, p, sat)
    y = np.zeros(layout.n_states)
    y[: layout.n_nodes] = mass
    y[layout.energy_start : layout.energy_start + layout.n_nodes] = energy
    y[layout.wall_start : layout.slow_start] = room_k
    for name, index in layout.slow.items():
        if name.rpartition(".")[2] in AT_ROOM:
            y[index] = room_k
    y[layout.slow["box.humidity"]] = room_humidity
    return y


def node_energy(mass: Floats, volume: Floats, p: float, sat: Floats) -> Floats:
    """Internal energy of each node at saturation, J; a node poorer than saturated vapour is taken as saturated vapour."""
    rho_l, rho_v = sat[SAT_RHOL], sat[SAT_RHOV]
    u_l = sat[SAT_HL] - p / rho_l
    u_v = sat[SAT_HV] - p / rho_v
    quality = (volume / mass - 1.0 / rho_l) / (1.0 / rho_v - 1.0 / rho_l)
    quality = np.clip(quality, 0.0, 1.0)
    energy: Floats = mass * (u_l + quality * (u_v - u_l))
    return energy


def oil_at_start_kg(pl: Plant) -> float:
    """Refrigerant in the oil of a machine that has lately run: as its friction is stated for."""
    if pl.machine_i[MACHINE_KIND] != RECIPROCATING:
        return 0.0
    return float(pl.machine[compressor.C_OIL] * pl.machine[compressor.C_OIL_STATED])


def resting_state(
    rig: Rig, layout: Layout, pl: Plant, charge_kg: float, room_k: float, humidity: float, *, receiver_empty: bool
) -> Floats:  # fmt: skip
    """The whole state at rest: refrigerant, also in the oil, all metal and remembered temperatures at the room's. Raises PlantError when the charge does not fit."""
    in_oil = min(oil_at_start_kg(pl), 0.5 * charge_kg)
    y = standing_state(rig, layout, pl, charge_kg - in_oil, room_k, humidity, receiver_empty=receiver_empty)  # fmt: skip
    if in_oil:
        y[layout.slow["machine.oil"]] = in_oil
    return y

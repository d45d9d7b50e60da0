"""Charge, and gas that does not condense, that faults let out of a plant, put into it or move within it: how fast, from where, and how much of it has gone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim import course, oil
from sim.faults import all_faults
from sim.filling import LINE_KINDS, collecting_vessel
from sim.layout import is_outside
from sim.onset import Onset
from sim.parts import compressor
from sim.plant import MACHINE_OIL

if TYPE_CHECKING:
    from sim.bench import Bench
    from sim.faulting import ActiveFault

Floats = NDArray[np.float64]

BY_MASS = "undercharge"
"""The fault whose way of moving charge is lent to a scale."""
CHARGE_STEP_S = 1.0
CHARGE_DONE_KG = 1e-6
FASTEST_SHARE = 0.5  # of a stock in one step, so that no volume is drawn empty between two looks
TRACE_KG_M3 = 0.01  # guess: what stays in a plant that is let out to the last, as vapour of some 250 Pa: a fair vacuum

EMPTIEST = 0.95  # guess: share of a volume's liquid that can wander off
FULLEST_SHELL = 0.8  # guess: above it the motor would stand in liquid to its windings' ends


def settle_charge(bench: Bench) -> None:
    """Write down how much each charge fault has moved since it was last looked at.

    What is put in flows exactly at its rate; what is let out is what the account ``outside`` has gained beyond that. A relief valve or a burst part feeds the
    same account, so no more is put down to the fault than its rate allows.
    """
    moving = [active for active in bench.faults.values() if active.rate_kg_s]
    gas = [active for active in moving if all_faults()[active.name].gas_kg]
    if not moving:
        return
    outside = bench.lost_mass_kg
    span = bench.time_s - moving[0].at_s
    added = sum(
        active.rate_kg_s * span for active in moving if active.rate_kg_s < 0.0 and active not in gas
    )
    for active in moving:
        if active.rate_kg_s < 0.0:
            active.moved_kg += active.rate_kg_s * span
        else:
            gained = outside - active.outside_kg - added
            active.moved_kg += min(max(gained, 0.0), active.rate_kg_s * span)
        active.at_s, active.outside_kg = bench.time_s, outside


def move_by_mass(bench: Bench, kg: float, seconds: float) -> None:
    """Charge ``kg`` (negative: recover), and let the bench run for the seconds that this takes. Raises ValueError while a charge fault is present.

    As faults do it, off the record: liquid into the collecting vessel, out of whatever holds liquid. What does not go over stays where it is.
    """
    from sim.faulting import ActiveFault

    if BY_MASS in bench.faults:
        raise ValueError(f"{BY_MASS} is present; remove it before anything is weighed in or out.")
    settle_charge(bench)
    bench.faults[BY_MASS] = ActiveFault(BY_MASS, 0.0, bench.time_s, onset=Onset(ramp_s=seconds), target_kg=-kg)  # fmt: skip
    move_charge(bench)
    try:
        bench.apply()
        bench.advance(seconds + CHARGE_STEP_S)
    finally:
        settle_charge(bench)
        del bench.faults[BY_MASS]
        move_charge(bench)
        bench.apply()


def charge_rate(active: ActiveFault, now_s: float) -> float:
    """kg/s that a charge fault lets out now (negative: puts in); 0 before it begins, when it is done, or has tried for four times its time on an empty plant."""
    rest = active.target_kg - active.moved_kg
    begun = active.since_s <= now_s <= active.since_s + 4.0 * active.time_s
    if abs(rest) < CHARGE_DONE_KG or not begun:
        return 0.0
    return rest / max(active.since_s + active.time_s - now_s, CHARGE_STEP_S)


def move_charge(bench: Bench) -> None:
    """One second of letting charge out or in: share it out over the nodes, come back until it is done."""
    settle_charge(bench)
    bench.look()
    outside = bench.lost_mass_kg
    sinks, gas = bench.plant.node[:, c.N_SINK], bench.plant.node[:, c.N_GAS]
    sinks[:] = gas[:] = 0.0
    busy = False
    for name in sorted(bench.faults):
        active = bench.faults[name]
        active.rate_kg_s = charge_rate(active, bench.time_s)
        active.at_s, active.outside_kg = bench.time_s, outside
        busy = busy or active.rate_kg_s != 0.0
        if all_faults()[name.partition("@")[0]].gas_kg:
            gas -= shared_out(bench, active.rate_kg_s)
        else:
            sinks += shared_out(bench, active.rate_kg_s)
    if busy and all(due.method != "charge_step" for due in bench._due):
        bench.later(CHARGE_STEP_S, "charge_step")


def shared_out(bench: Bench, rate_kg_s: float) -> Floats:
    """Rate by node: out of all liquid, then out of all vapour; in at the charging place."""
    sinks = np.zeros(bench.layout.n_nodes)
    if rate_kg_s < 0.0:
        sinks[charging_place(bench)] = rate_kg_s
    elif rate_kg_s > 0.0:
        P = bench.watch.P
        liquid = bench.plant.node[:, c.N_VOLUME] * (1.0 - P[:, c.P_VOID]) * P[:, c.P_RHOL]
        mass = bench.watch.y[: bench.layout.n_nodes]
        volume = bench.plant.node[:, c.N_VOLUME]
        wanted = rate_kg_s * CHARGE_STEP_S / FASTEST_SHARE
        stock = liquid if liquid.sum() > wanted else np.maximum(mass - TRACE_KG_M3 * volume, 0.0)
        sinks[:] = rate_kg_s * stock / max(stock.sum(), wanted)
    return sinks


def charging_place(bench: Bench) -> int:
    """Where charge is put in: the collecting vessel, or behind the outlet valve of one that is shut off from the coils."""
    layout, table = bench.layout, bench.plant.link
    vessel = layout.nodes[collecting_vessel(bench.rig)]
    lines = [(k, layout.nodes[p.start.node], layout.nodes[p.end.node]) for k, p in enumerate(layout.plans) if p.kind in LINE_KINDS and not is_outside(p.end)]  # fmt: skip
    joined, size = {vessel}, 0
    while size < len(joined):
        size = len(joined)
        for k, start, end in lines:
            if table[k, c.L_OPENING] > 0.0 and joined & {start, end}:
                joined |= {start, end}
    cells = {k for k in joined if bench.plant.node_i[k, c.NI_COIL] >= 0}
    behind = [end for _, start, end in lines if start in joined and end not in joined]
    return vessel if cells or not behind else behind[0]


def migrate(bench: Bench, wanted_kg: float) -> None:
    """What a long cold stop does, at once: liquid goes from the rest of the plant into the compressor's shell, first into its oil until that is full.

    Out of the collecting vessel, then out of all others alike; every kilogram takes along the enthalpy of the liquid it was, so both books stay closed. What
    dissolves is booked at its own enthalpy, the shell's wall takes the difference.
    """
    plant, lay, y = bench.plant, bench.layout, bench._memory.y
    shell, wall, state = (int(x) for x in plant.machine_i[[0, 2, 3]])
    if shell < 0:
        return
    course.restart(bench.time_s, bench._memory, bench.watch, plant)
    bench.look()
    P, volume = bench.watch.P, plant.node[:, c.N_VOLUME]
    liquid = volume * (1.0 - P[:, c.P_VOID]) * P[:, c.P_RHOL]
    room = FULLEST_SHELL * volume[shell] * P[shell, c.P_RHOL] - liquid[shell]
    liquid[shell] = 0.0
    into_oil = min(max(oil.room_for(plant.machine, y[lay.wall_start + wall], y[state + MACHINE_OIL]), 0.0), wanted_kg)  # fmt: skip
    moved = min(wanted_kg, EMPTIEST * liquid.sum(), into_oil + max(room, 0.0))
    into_oil = min(into_oil, moved)
    taken = np.zeros_like(liquid)
    first = lay.nodes[collecting_vessel(bench.rig)]
    taken[first] = min(moved, EMPTIEST * liquid[first])
    rest = liquid - taken
    taken += (moved - taken.sum()) * rest / max(rest.sum(), 1e-12)
    energy = float((taken * P[:, c.P_HL]).sum())
    dissolved_j = into_oil * energy / max(moved, 1e-12)
    y[: lay.n_nodes] -= taken
    y[lay.energy_start : lay.wall_start] -= taken * P[:, c.P_HL]
    y[shell] += moved - into_oil
    y[lay.energy_start + shell] += energy - dissolved_j
    y[state + MACHINE_OIL] += into_oil
    booked = into_oil * plant.machine[compressor.C_OIL_ENTHALPY]
    y[lay.wall_start + wall] += (dissolved_j - booked) / plant.wall[wall, c.W_CAPACITY]
    bench._memory.y_before[:] = y

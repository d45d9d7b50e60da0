"""Charge, and gas that does not condense, that faults let out of a plant or put into it: how fast, from where, and how much of it has gone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.faults import FAULTS
from sim.filling import collecting_vessel

if TYPE_CHECKING:
    from sim.bench import Bench
    from sim.faulting import ActiveFault

Floats = NDArray[np.float64]

CHARGE_STEP_S = 1.0
CHARGE_DONE_KG = 1e-6
FASTEST_SHARE = 0.5  # of a stock in one step, so that no volume is drawn empty between two looks
TRACE_KG_M3 = 0.01  # guess: what stays in a plant that is let out to the last, as vapour of some 250 Pa: a fair vacuum


def settle_charge(bench: Bench) -> None:
    """Write down how much each charge fault has moved since it was last looked at.

    What is put in flows exactly at its rate; what is let out is what the account ``outside`` has gained beyond that. A relief valve or a burst part feeds the
    same account, so no more is put down to the fault than its rate allows.
    """
    moving = [active for active in bench.faults.values() if active.rate_kg_s]
    gas = [active for active in moving if FAULTS[active.name].gas_kg]
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
        if FAULTS[name.partition("@")[0]].gas_kg:
            gas -= shared_out(bench, active.rate_kg_s)
        else:
            sinks += shared_out(bench, active.rate_kg_s)
    if busy and all(due.method != "charge_step" for due in bench._due):
        bench.later(CHARGE_STEP_S, "charge_step")


def shared_out(bench: Bench, rate_kg_s: float) -> Floats:
    """Rate by node: out of all liquid, then out of all vapour; in at the collecting vessel."""
    sinks = np.zeros(bench.layout.n_nodes)
    if rate_kg_s < 0.0:
        sinks[bench.layout.nodes[collecting_vessel(bench.rig)]] = rate_kg_s
    elif rate_kg_s > 0.0:
        P = bench.watch.P
        liquid = bench.plant.node[:, c.N_VOLUME] * (1.0 - P[:, c.P_VOID]) * P[:, c.P_RHOL]
        mass = bench.watch.y[: bench.layout.n_nodes]
        volume = bench.plant.node[:, c.N_VOLUME]
        wanted = rate_kg_s * CHARGE_STEP_S / FASTEST_SHARE
        stock = liquid if liquid.sum() > wanted else np.maximum(mass - TRACE_KG_M3 * volume, 0.0)
        sinks[:] = rate_kg_s * stock / max(stock.sum(), wanted)
    return sinks

"""Putting faults into a bench and taking them out: severity in time, charge in grams, effects into the plant's tables."""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim.errors import InputError
from sim.faults import FAULTS, Effects
from sim.filling import collecting_vessel
from sim.layout import coil_tables
from sim.parts import compressor

if TYPE_CHECKING:
    from sim.bench import Bench

Floats = NDArray[np.float64]

RAMP_STEPS = 50  # a ramp grows in so many steps, each a fiftieth of it
CHARGE_TIME_S = 30.0  # contract: charge is moved over at least half a minute
CHARGE_STEP_S = 1.0
CHARGE_DONE_KG = 1e-6
FASTEST_SHARE = 0.5  # of a stock in one step, so that no volume is drawn empty between two looks
TRACE_KG_M3 = 0.01  # guess: what stays in a plant that is let out to the last, as vapour of some 250 Pa: a fair vacuum
SLUG_LEAK_M2 = 0.5e-7  # guess: a bent discharge reed leaks like a sixth of the worst leak; a few slugs spoil the machine


@dataclass
class ActiveFault:
    """A fault that is present."""

    name: str
    severity: float
    since_s: float
    ramp_s: float
    target_kg: float = 0.0
    """Charge to take out (negative: put in)."""
    moved_kg: float = 0.0
    """How much of it has been moved up to ``at_s``."""
    rate_kg_s: float = 0.0
    """Rate at which it moves since ``at_s``."""
    at_s: float = 0.0
    outside_kg: float = 0.0
    """Ledger account ``outside`` at ``at_s``."""

    @property
    def time_s(self) -> float:
        """How long its charge takes to move."""
        return max(self.ramp_s, CHARGE_TIME_S)

    def share(self, now_s: float) -> float:
        """How much of its severity has set in, 0..1."""
        return 1.0 if self.ramp_s <= 0.0 else min((now_s - self.since_s) / self.ramp_s, 1.0)


def insert(bench: Bench, name: str, severity: float, ramp_s: float, place: str | None) -> None:
    """Let a fault set in. Raises InputError for a wrong name, severity or place."""
    fault = FAULTS.get(name)
    if fault is None:
        raise InputError(f"there is no fault {name!r}; known are {', '.join(sorted(FAULTS))}.")
    if not 0.0 <= severity <= 1.0:
        raise InputError(
            f"severity of {name} is {severity:g}; it goes from 0 (nothing) to 1 (the worst)."
        )
    if place is not None:
        raise InputError(f"{name} has only one place on this rig; leave out place.")
    if not 0.0 <= ramp_s < inf:
        raise InputError(f"ramp_s of {name} is {ramp_s:g}; it is a time from 0 up.")
    active = ActiveFault(name, severity, bench.time_s, ramp_s)
    if fault.charge:
        active.target_kg = severity * fault.charge * bench.rig.charge_kg
    elif ramp_s > 0.0:
        bench.later(ramp_s / RAMP_STEPS, "ramp_step", name)
    settle_charge(bench)
    bench.faults[name] = active
    if active.target_kg:
        move_charge(bench)
    bench.note(name, "fault", f"{fault.what} Severity {severity:g}.")


def remove(bench: Bench, name: str) -> None:
    """Take a fault away. Raises InputError when it is not there."""
    if name not in bench.faults:
        raise InputError(f"the fault {name!r} is not present.")
    settle_charge(bench)
    del bench.faults[name]
    if FAULTS[name].charge:
        move_charge(bench)
    bench.note(name, "fault", f"{name} has been removed.")


def effects_of(bench: Bench) -> Effects:
    """What all present faults together do now."""
    effects = Effects()
    # by name, so that not even a rounding depends on the order of insertion
    for name in sorted(bench.faults):
        active = bench.faults[name]
        effect = FAULTS[active.name].effect
        if effect is not None:
            effect(effects, active.severity * active.share(bench.time_s))
    return effects


def apply_faults(bench: Bench) -> None:
    """Write the effects into wear, air, fouling and the reversing valve's leak."""
    effects = effects_of(bench)
    slugs = bench.happenings.damage.get(bench.machine_tag, 0)
    wear = bench.plant.wear
    wear[compressor.WEAR_DISCHARGE_LEAK] = effects.discharge_leak_m2 + slugs * SLUG_LEAK_M2
    wear[compressor.WEAR_PUMPING] = 1.0 - effects.pumping_share
    for coil in coil_tables(bench.rig):
        stream = next(a for a in bench.rig.airs if a.tag == coil.air)
        role = "evaporator" if stream.inlet == "load_box" else "condenser"
        bench.appliance.air_health[coil.air] = effects.air_share.get(role, 1.0)
        bench.appliance.fouling[coil.tag] = 1.0 - effects.clean_share.get(role, 1.0)
    for k, plan in enumerate(bench.layout.plans):
        if plan.tag.endswith(".leak"):
            own = plan.part.leak_area_m2 + effects.reversing_leak_m2
            bench.plant.link[k, c.L_K] = own
            bench.plant.link[k, c.L_OPENING] = float(own > 0.0)


def settle_charge(bench: Bench) -> None:
    """Write down how much each charge fault has moved since it was last looked at.

    What is put in flows exactly at its rate; what is let out is what the account ``outside`` has gained beyond that. A relief valve or a burst part feeds the
    same account, so no more is put down to the fault than its rate allows.
    """
    moving = [active for active in bench.faults.values() if active.rate_kg_s]
    if not moving:
        return
    outside = bench.lost_mass_kg
    span = bench.time_s - moving[0].at_s
    added = sum(active.rate_kg_s * span for active in moving if active.rate_kg_s < 0.0)
    for active in moving:
        if active.rate_kg_s < 0.0:
            active.moved_kg += active.rate_kg_s * span
        else:
            gained = outside - active.outside_kg - added
            active.moved_kg += min(max(gained, 0.0), active.rate_kg_s * span)
        active.at_s, active.outside_kg = bench.time_s, outside


def charge_rate(active: ActiveFault, now_s: float) -> float:
    """kg/s that a charge fault lets out now (negative: puts in); 0 when it is done, or has tried for four times its time on an empty plant."""
    rest = active.target_kg - active.moved_kg
    if abs(rest) < CHARGE_DONE_KG or now_s > active.since_s + 4.0 * active.time_s:
        return 0.0
    return rest / max(active.since_s + active.time_s - now_s, CHARGE_STEP_S)


def move_charge(bench: Bench) -> None:
    """One second of letting charge out or in: share it out over the nodes, come back until it is done."""
    settle_charge(bench)
    bench.look()
    outside = bench.lost_mass_kg
    sinks = bench.plant.node[:, c.N_SINK]
    sinks[:] = 0.0
    busy = False
    for name in sorted(bench.faults):
        active = bench.faults[name]
        active.rate_kg_s = charge_rate(active, bench.time_s)
        active.at_s, active.outside_kg = bench.time_s, outside
        busy = busy or active.rate_kg_s != 0.0
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

"""Putting faults into a bench and taking them out: severity in time, charge in grams, effects into the plant's tables."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sim import columns as c
from sim.errors import InputError
from sim.faults import FAULTS, Effects
from sim.filling import collecting_vessel
from sim.layout import coil_tables
from sim.parts import compressor
from sim.plant import LEDGER_FIXED

if TYPE_CHECKING:
    from sim.bench import Bench

RAMP_STEPS = 50  # a ramp grows in so many steps, each a fiftieth of it
CHARGE_TIME_S = 30.0  # contract: charge is moved over at least half a minute
CHARGE_STEP_S = 1.0
CHARGE_DONE_KG = 1e-6
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
    out_before_kg: float = 0.0
    """Ledger account ``outside`` when it began."""

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
    if ramp_s < 0.0:
        raise InputError(f"ramp_s of {name} is {ramp_s:g}; it is a time from 0 up.")
    active = ActiveFault(name, severity, bench.time_s, ramp_s)
    if fault.charge:
        active.target_kg = severity * fault.charge * bench.rig.charge_kg
        active.out_before_kg = bench.lost_mass_kg
        bench.later(0.0, "charge_step", name)
    elif ramp_s > 0.0:
        bench.later(ramp_s / RAMP_STEPS, "ramp_step", name)
    bench.faults[name] = active
    bench.note(name, "fault", f"{fault.what} Severity {severity:g}.")


def remove(bench: Bench, name: str) -> None:
    """Take a fault away. Raises InputError when it is not there."""
    if bench.faults.pop(name, None) is None:
        raise InputError(f"the fault {name!r} is not present.")
    if FAULTS[name].charge:
        bench.plant.node[:, c.N_SINK] = 0.0
    bench.note(name, "fault", f"{name} has been removed.")


def effects_of(bench: Bench) -> Effects:
    """What all present faults together do now."""
    effects = Effects()
    for active in bench.faults.values():
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


def move_charge(bench: Bench, name: str) -> None:
    """One second of letting charge out (or in): share it out over the nodes, come back until it is done."""
    active = bench.faults.get(name)
    if active is None:
        return
    bench.look()
    start = bench.layout.ledger_start + LEDGER_FIXED
    gone = float(bench.watch.y[start]) - active.out_before_kg
    rest = active.target_kg - gone
    sinks = bench.plant.node[:, c.N_SINK]
    sinks[:] = 0.0
    left = max(active.since_s + max(active.ramp_s, CHARGE_TIME_S) - bench.time_s, CHARGE_STEP_S)
    if abs(rest) < CHARGE_DONE_KG or bench.time_s > active.since_s + 4.0 * max(active.ramp_s, CHARGE_TIME_S):  # fmt: skip
        return
    rate = rest / left
    if rate > 0.0:
        n = bench.layout.n_nodes
        P = bench.watch.P
        mass = bench.watch.y[:n]
        liquid = bench.plant.node[:, c.N_VOLUME] * (1.0 - P[:, c.P_VOID]) * P[:, c.P_RHOL]
        stock = liquid if liquid.sum() > rate * CHARGE_STEP_S * 2.0 else mass
        sinks[:] = rate * stock / max(stock.sum(), 1e-9)
    else:
        sinks[bench.layout.nodes[collecting_vessel(bench.rig)]] = rate
    bench.later(CHARGE_STEP_S, "charge_step", name)

"""The whole charge exchanged for another refrigerant, as after a filling from the wrong cylinder.

Every volume keeps its temperature and its share of liquid: whoever fills by the level in the receiver and by the sight glass does not see which fluid it is. Its pressure
becomes what the new fluid has where the old one had the same saturation temperature; mass and energy follow from the new fluid's tables. So a running plant goes on
from much the same temperatures at other pressures, and a standing one stands on the new fluid's card. What went out and came in is booked in the ledger's account
``outside``.

What is cut for a fluid stays: bores, needles, springs, and the charge in the bulb of a thermostatic valve, which is the rig's own refrigerant. Gauges and charts too
go on as if it were the right one, for nobody has told them. Oil is taken to dissolve every fluid as it does R134a (``sim.oil``); what it holds stays the same mass.

Source: common practice (charging by level and by glass); conservation of what is booked.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from sim import columns as c
from sim import course
from sim.errors import FluidRangeError
from sim.faults import all_faults
from sim.filling import collecting_vessel
from sim.fluid import Fluid
from sim.fluid_inverse import density_at_pT_liquid, density_at_pT_vapour
from sim.fluid_kernel import energy
from sim.ledger import oil_held_kg
from sim.network import build_plant
from sim.parts import compressor
from sim.plant import LEDGER_FIXED, LEDGER_OUT_ENERGY, MACHINE_OIL

if TYPE_CHECKING:
    from sim.bench import Bench
    from sim.faulting import ActiveFault
    from sim.rig import Rig

Floats = NDArray[np.float64]

FULLEST_VOID = 0.05  # guess: as much vapour stays in a vessel that is filled, and as much liquid in one that is drawn off
LEAST_KG = 1e-12  # numerical: a charge is met to this
WET = 1e-6  # guess, numerical: a volume with less liquid or vapour than this share is taken as wholly of the other


def wanted_fluid(bench: Bench) -> str:
    """What a fault that is there says the plant is charged with; there is one of this kind at most."""
    wrong = [active.place for active in bench.faults.values() if all_faults()[active.name].recharges and active.present(bench.time_s) > 0.0]  # fmt: skip
    return next(iter(wrong), bench.rig.fluid_name)


def use_fluid(bench: Bench, name: str) -> None:
    """Make the plant's tables those of a plant with this fluid in it; the state stays."""
    fresh, _ = build_plant(replace(bench.rig, fluid_name=name), bench.layout.n_species)
    fluid = Fluid.load(name)
    bench.charged_with = name
    bench.plant = bench.plant._replace(fluid=fresh.fluid, capillaries=fresh.capillaries)
    bench.plant.glob[c.G_P_CRITICAL] = fluid.critical_pressure_pa
    bench.watch.limits[:] = fluid.t_high_k, fluid.t_low_k
    bench.sound.tables["link"][:, c.L_K] = fresh.link[:, c.L_K]
    bench.sound.tables["machine"][compressor.C_OIL_ENTHALPY] = fresh.machine[compressor.C_OIL_ENTHALPY]  # fmt: skip


def settle_fluid(bench: Bench, active: ActiveFault) -> None:
    """Exchange the charge if this fault's severity has come or gone; what the plant held of its own refrigerant is kept for the way back."""
    if wanted_fluid(bench) == bench.charged_with:
        return
    if bench.charged_with == bench.rig.fluid_name:
        active.held_kg = bench.total_mass_kg
        recharge(bench)
    else:
        recharge(bench, active.held_kg or None)


def recharge(bench: Bench, kilograms: float | None = None) -> None:
    """Exchange the charge if the faults that are there say so, by level or, where a mass is given, until the plant with its oil holds that."""
    name = wanted_fluid(bench)
    if name == bench.charged_with:
        return
    course.restart(bench.time_s, bench._memory, bench.watch, bench.plant)
    bench.look()
    lay, y, P, volume = bench.layout, bench._memory.y, bench.watch.P, bench.plant.node[:, c.N_VOLUME]  # fmt: skip
    old, new = Fluid.load(bench.charged_with), Fluid.load(name)
    before = contents(old, old, P, volume)
    after = contents(old, new, P, volume)
    if kilograms is not None:
        goal = kilograms - oil_held_kg(bench)
        for vessel in vessels_in_turn(bench.rig, lay.nodes):
            if abs(after[0].sum() - goal) > LEAST_KG:
                top_up(after, goal, vessel, P[vessel], volume[vessel], old, new)
    masses, energies = slice(0, lay.n_nodes), slice(lay.energy_start, lay.wall_start)
    ledger = lay.ledger_start
    y[ledger + LEDGER_FIXED] += y[masses].sum() - after[0].sum()
    y[ledger + LEDGER_OUT_ENERGY] += (before[1] - after[1]).sum()
    y[masses] = after[0]
    y[energies] += after[1] - before[1]
    booked = float(bench.plant.machine[compressor.C_OIL_ENTHALPY])
    use_fluid(bench, name)
    state = int(bench.plant.machine_i[3])
    if state >= 0:
        change = bench.sound.tables["machine"][compressor.C_OIL_ENTHALPY] - booked
        y[ledger + LEDGER_OUT_ENERGY] -= y[state + MACHINE_OIL] * change
    bench._memory.y_before[:] = y


def vessels_in_turn(rig: Rig, nodes: Mapping[str, int]) -> list[int]:
    """Nodes of the vessels in the order in which they are filled or drawn off: where liquid collects first, then the others, the largest first."""
    first = collecting_vessel(rig)
    vessels = sorted((node for node in rig.nodes if node.kind == "vessel"), key=lambda node: (node.name != first, -node.volume_m3))  # fmt: skip
    return [nodes[node.name] for node in vessels]


def top_up(found: tuple[Floats, Floats], kilograms: float, k: int, row: Floats, volume: float, old: Fluid, new: Fluid) -> None:  # fmt: skip
    """Raise or lower the level in vessel k at its own temperature until the sum of (kg, J) by node is as given, as far as the vessel goes."""
    masses, energies = found
    own = row[c.P_P] - row[c.P_GAS_P], row[c.P_T]
    full, dry = (held(old, new, *own, void)[0] for void in (FULLEST_VOID, 1.0 - FULLEST_VOID))
    goal = (masses[k] + kilograms - masses.sum()) / volume
    void = FULLEST_VOID + (full - goal) / (full - dry) * (1.0 - 2.0 * FULLEST_VOID)
    density, per_volume = held(old, new, *own, min(max(void, FULLEST_VOID), 1.0 - FULLEST_VOID))
    masses[k], energies[k] = volume * density, volume * per_volume


def contents(old: Fluid, new: Fluid, P: Floats, volume: Floats) -> tuple[Floats, Floats]:
    """(kg, J) of the new fluid in every node that now holds the old one."""
    rows = [held(old, new, *row) for row in zip(P[:, c.P_P] - P[:, c.P_GAS_P], P[:, c.P_T], P[:, c.P_VOID], strict=True)]  # fmt: skip
    density, per_volume = np.array(rows).T
    return volume * density, volume * per_volume


def held(old: Fluid, new: Fluid, p_pa: float, t_k: float, void: float) -> tuple[float, float]:
    """(kg/m3, J/m3) of the new fluid at the temperature and liquid share of the old one, whose own pressure is ``p_pa``."""
    p = corresponding_pressure(old, new, p_pa)
    fl = new.tables
    if p is None:  # a trace of vapour, or a state above the critical: the same pressure
        rho = density_at_pT_vapour(fl, p_pa, t_k)
        return rho, rho * energy(fl, rho, t_k)
    line = new.saturation(p)
    if void > 1.0 - WET:
        t = max(t_k, line.t_dew_k)
        rho = density_at_pT_vapour(fl, p, t)
        return rho, rho * energy(fl, rho, t)
    if void < WET:
        t = min(t_k, line.t_bubble_k)
        rho = density_at_pT_liquid(fl, p, t)
        return rho, rho * energy(fl, rho, t)
    liquid, vapour = (1.0 - void) * line.rho_liquid_kg_m3, void * line.rho_vapour_kg_m3
    return liquid + vapour, liquid * line.h_liquid_j_kg + vapour * line.h_vapour_j_kg - p


def corresponding_pressure(old: Fluid, new: Fluid, p_pa: float) -> float | None:
    """Saturation pressure of the new fluid at the temperature where the old one has ``p_pa``; None beyond either's tables."""
    try:
        t = old.saturation(p_pa).t_k
        return 0.5 * (new.dew_pressure(t) + new.bubble_pressure(t))
    except FluidRangeError:
        return None

"""Opens the real plant, in the runner's thread: importing the model takes a while. ``chart_of`` is a table of a fluid, made once, in whatever thread asks first."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from typing import TYPE_CHECKING, Any, cast

import numpy as np

from sim.events import RECORD
from sim.events import Event as Line
from sim.flutter import taps_of
from sim.library import ready
from sim.working.scales import scales_of
from tui.faults import door_of
from tui.fluid_chart import FluidChart
from tui.meter import Use
from tui.orders import Begin, probing_of
from tui.pieces import pieces_of, reading_of
from tui.plant import Bench, Measured
from tui.report import Spring
from tui.roles import roles_of
from tui.runner import Opened, Progress
from tui.spaces import spaces_of
from tui.wiring_plan import plan_of

if TYPE_CHECKING:
    from sim.bench import Bench as SimBench

ROWS = 120
LOWEST_K = 213.15
HIGHEST_SHARE = 0.995
SUPERHEATS = 13
MOST_SUPERHEAT_K = 120.0


def open_plant(begin: Begin, progress: Progress) -> Opened:
    """A bench as ``begin`` asks for it, the chart of its fluid, the spaces that its valves shut in."""
    progress("loading the model", None)
    ready(progress)
    bench = _bench(begin, progress)
    rig = bench.rig
    mark_assessed(bench, begin)
    guarded = frozenset(switch.tag for switch in rig.switches if getattr(switch, "guarded", False))  # fmt: skip
    opened = Opened(
        cast(Bench, bench),
        chart_of(rig.fluid_name),
        spaces_of(rig),
        guarded,
        faults=door_of(rig) if begin.instructor else None,
        kinds=_kinds((*rig.instruments, *rig.parts, *rig.switches)),
        dials={one.tag: reading_of(one) for one in rig.instruments},
        lines={one.tag: one.link for one in rig.instruments if one.link},
        charts=chart_of,
        scales=scales_of(rig.instruments),
        taps=taps_of(rig),
        roles=roles_of(rig),
        springs=_springs(rig.parts),
        pieces=pieces_of(rig),
        assessed=bench.assessed,
    )
    if not rig.wiring:
        return opened
    from sim.wiring import wiring_of

    wiring = wiring_of(rig)
    kinds = {device.tag: device.KIND for device in wiring.devices} | dict(opened.kinds)
    return opened._replace(plan=plan_of(wiring), ask=measured, kinds=kinds)


def mark_assessed(bench: SimBench, begin: Begin) -> None:
    """A bench that has been assessed stays so; that an instructor has looked inside is on its record."""
    if bench.assessed and begin.instructor:
        bench.events.append(Line(bench.time_s, "", RECORD, "This assessed bench was opened in an instructor's session."))  # fmt: skip
    bench.assessed = bench.assessed or begin.assessed


def _kinds(placed: Iterable[Any]) -> dict[str, str]:
    return {one.tag: kind_of(one) for one in placed}


def _springs(placed: Iterable[Any]) -> dict[str, Spring]:
    return {one.tag: Spring(one.part.spring_at(0.0), one.part.spring_at(1.0) - one.part.spring_at(0.0)) for one in placed if one.kind == "thermostatic_valve"}  # fmt: skip


def kind_of(one: object) -> str:
    """What kind of part, switch or instrument it is: parts and switches carry theirs in the class."""
    return str(getattr(one, "kind", "") or getattr(one, "KIND", ""))


def measured(bench: Bench, use: Use) -> Measured:
    """What the model's hand meter says."""
    found: Measured = cast("SimBench", bench).measure(probing_of(use))
    return found


def _bench(begin: Begin, progress: Progress) -> SimBench:
    """The bench of a file, or a new one with only the options that were given: the session knows the defaults."""
    if begin.load is not None:
        from sim.bench import Bench as SavedBench

        progress("loading the saved bench", None)
        return SavedBench.load(begin.load)
    from sim.session import open_bench

    options = {name: value for name, value in (("device", begin.device), ("room_c", begin.room_c)) if value is not None}  # fmt: skip
    return open_bench(begin.rig, begin.start, progress=progress, **options)  # type: ignore[arg-type]


@cache
def chart_of(name: str) -> FluidChart:
    """The saturation line and the superheated gas of a fluid, from its tables: from -60 °C, or where they begin, to just below the critical point."""
    from sim import fluid_kernel as fk
    from sim.fluid import Fluid

    fluid = Fluid.load(name)
    tables = fluid.tables
    low = float(fk.dew_pressure(tables, max(LOWEST_K, fluid.t_low_k + 1.0)))
    pressure = np.geomspace(low, HIGHEST_SHARE * fluid.critical_pressure_pa, ROWS)
    rows = np.empty((ROWS, 32))
    for index, value in enumerate(pressure):
        fk.saturation(tables, value, rows[index])
    superheat = np.linspace(0.0, MOST_SUPERHEAT_K, SUPERHEATS)
    dew, bubble = rows[:, fk.SAT_T_DEW].copy(), rows[:, fk.SAT_T_BUBBLE].copy()
    gas = np.empty((ROWS, SUPERHEATS - 1, 2))
    fk.superheated(tables, pressure, dew, superheat[1:].copy(), gas)
    vapour = rows[:, fk.SAT_HV].copy()
    wet = [fk.liquid_entropy(tables, rho, t) for rho, t in zip(rows[:, fk.SAT_RHOL], bubble, strict=True)]  # fmt: skip
    dry = [fk.vapour_entropy(tables, rho, t) for rho, t in zip(rows[:, fk.SAT_RHOV], dew, strict=True)]  # fmt: skip
    return FluidChart(
        fluid.name, fluid.safety_class, pressure, dew, bubble,
        rows[:, fk.SAT_HL].copy(), vapour, superheat, np.column_stack([vapour, gas[:, :, 0]]),
        np.array(wet), np.array(dry), np.column_stack([dry, gas[:, :, 1]]),
        rows[:, fk.SAT_RHOL].copy(),
    )  # fmt: skip

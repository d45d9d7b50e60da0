"""Everything that the command line asks of the model, in one place and imported only when asked: a compiler stands behind most of it."""

from __future__ import annotations

import gc
import os
import time
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import AbstractContextManager
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.cautions import Caution
from sim.errors import InputError, Mistake
from sim.rig import Device, Rig, load_rig
from sim.starts import From, Start
from sim.units import STANDARD_ATMOSPHERE_PA

if TYPE_CHECKING:
    from concurrent.futures import Executor

    from sim.run_sheet import BenchLike, RunSheet, TagLike
    from sim.study.card import Card
    from sim.study.case import Case
    from sim.study.compare import Comparison
    from sim.study.journal import Journal
    from sim.study.survey import Confusion, Plan
    from tui.fluid_chart import FluidChart


def rig(name: str) -> Rig:
    """A rig by name or path."""
    return load_rig(name)


def rig_near(name: str, folder: Path) -> Rig:
    """A rig by name or path, as a file in ``folder`` names it."""
    return load_rig(name, near=folder)


def drawn_names(of: Rig) -> dict[str, Collection[str]]:
    """Nodes, links and tags that a drawing of a rig may name."""
    from sim.network import build_plant

    layout = build_plant(of)[1]
    machines = [part.tag for part in of.parts if part.kind.endswith("compressor")]
    return {"nodes": list(layout.nodes), "links": [*layout.links, *machines], "tags": of.tags}


def start_bench(of: Rig, start: Start) -> BenchLike:
    """A bench in its starting condition."""
    from sim.session import start_bench as begin

    bench: BenchLike = begin(of, start)
    return bench


def tags(of: Rig) -> Sequence[TagLike]:
    """Everything on a rig that a hand can move."""
    from sim.bench import Bench

    found: Sequence[TagLike] = Bench(of).tags()
    return found


def faults_able(of: Rig) -> tuple[str, ...]:
    """Faults that have a place on a rig."""
    from sim.study.survey import able

    return able(of)


def compare(rigs: tuple[Rig, Rig], sheets: tuple[RunSheet, RunSheet], every_s: float) -> Comparison:
    """Two sheets on one clock. Raises PlantError."""
    from sim.session import start_bench as begin
    from sim.study.compare import compare as run_both

    return run_both(rigs, sheets, lambda of, sheet: begin(of, sheet.beginning), every_s)


def shown_words(key: str, value: float | str) -> str:
    """What an instrument shows, as its dial is read."""
    from tui.console.output import reading_row

    if isinstance(value, str):
        return value
    _, plain, dial = reading_row(key, value, STANDARD_ATMOSPHERE_PA)
    return dial or plain


def rig_mark(of: Rig) -> str:
    """A short name of all that a rig's files say."""
    from sim.study.journal import fingerprint as mark

    return mark(of)


def survey_plan(rig_name: str, names: tuple[str, ...], devices: tuple[Device, ...], rooms_c: tuple[float, ...], severity: float, pairs: bool) -> Plan:  # fmt: skip
    """What is to be surveyed."""
    from sim.study.survey import Plan

    return Plan(rig_name, names, devices, rooms_c, severity, pairs)


def fingerprint(*parts: object) -> str:
    """A short name of what results depend on: these, the catalogue of faults, and every file of the model."""
    from sim.cache import cache_folder
    from sim.faults import all_faults
    from sim.study.journal import fingerprint as mark
    from sim.study.journal import sources

    return mark(*parts, sorted(all_faults().items()), cache_folder().name, sources())


def journal(path: Path, belongs_to: str) -> Journal:
    """A journal that is there, or a new one. Raises InputError."""
    from sim.study.journal import Journal

    return Journal(path, belongs_to)


def processes(count: int) -> AbstractContextManager[Executor]:
    """So many processes of this machine."""
    from sim.study.workers import processes as of

    return of(count)


def survey(plan: Plan, executor: Executor, done: Collection[str]) -> Iterator[list[dict[str, Any]]]:
    """Records as they come of what is not done yet."""
    from sim.study.survey import survey as carry_out

    return carry_out(plan, executor, done)


def confusions(records: Sequence[Mapping[str, Any]]) -> list[Confusion]:
    """What pairs of faults hide."""
    from sim.study.survey import confusions as of

    return of(records)


def fluid_chart(name: str) -> FluidChart:
    """The saturation line of a refrigerant. Raises InputError for one that is not known."""
    from tui.opening import chart_of

    return chart_of(name)


def faults() -> Mapping[str, tuple[str, str]]:
    """Fault name -> (family, what it is in one sentence)."""
    from sim.faults import all_faults

    return {name: (fault.family, fault.what) for name, fault in all_faults().items()}


def cautions_of_faults(names: Sequence[str]) -> list[Caution]:
    """What anything exported carries that has these faults in it."""
    from sim.faults import cautions_of

    return cautions_of(names)


def fault_places(name: str, of: Rig) -> tuple[str, ...]:
    """Where on a rig a fault can sit, the usual place first; none for one of the plant as a whole."""
    from sim.faults import all_faults
    from sim.places import places_on

    return places_on(of, all_faults()[name].places)


def steady(of: Rig, device: str, mode: str, settings: Mapping[str, float | str]) -> dict[str, Any]:
    """The steady state of a rig on a device, with the reference cycle beside it: the JSON of ``rimebench steady``."""
    from sim.steady import steady_report

    report: dict[str, Any] = steady_report(of, device=device, mode=mode, settings=settings)
    return report


def wiring_mistakes(path: Path, of: Rig) -> list[Mistake]:
    """Every mistake in a wiring file of a rig."""
    from sim.wiring import load_wiring

    try:
        load_wiring(path, of)
    except InputError as error:
        return error.mistakes
    return []


def deck(of: Rig, sheet: RunSheet, at_s: float, on_progress: Callable[[float], None]) -> str:
    """The circuit of a run sheet at an instant, as a SPICE deck."""
    from sim.run_bench import run_on
    from sim.session import start_bench as begin

    bench = begin(of, sheet.beginning)
    run_on(bench, sheet.until(at_s), lambda _time, _row: None, on_progress)
    return bench.wiring.deck()


def case_of(of: Rig, fault: str, **how: Any) -> Case:
    """A fault that sets in on a bench that runs steady; ``how`` as ``sim.study.case.case_of`` has it."""
    from sim.study.case import case_of as of_fault

    return of_fault(of, fault, **how)


def case_of_sheet(of: Rig, sheet: RunSheet) -> Case:
    """The faults of a run sheet, on its plant."""
    from sim.study.case import case_of_sheet as of_sheet

    return of_sheet(of, sheet)


def rehearsal(case: Case) -> Iterator[tuple[str, Card]]:
    """The rehearsal card, piece by piece."""
    from sim.study.card import rehearse
    from sim.study.workers import processes

    count = os.cpu_count() or 1
    if count == 1:
        yield from rehearse(case)
        return
    with processes(count) as executor:
        yield from rehearse(case, executor, count)


def card_record(card: Card) -> dict[str, Any]:
    """The card as JSON has it."""
    from sim.study.card import as_record

    return as_record(card)


def prepare(on_progress: Callable[[float, str], None]) -> None:
    """Build whatever the first start would build."""
    from sim.library import ready

    ready(lambda what, share: on_progress(share or 0.0, what))


def remove_old_kernels() -> int:
    """Remove what earlier versions have compiled, if it is old. Returns the bytes freed."""
    from sim.cache import remove_old_kernels as remove

    return remove(time.time())


def open_screen(
    rig_name: str,
    *,
    start: From,
    device: str | None,
    room_c: float | None,
    load: str | None,
    instructor: bool,
    assessed: bool,
) -> int:
    """Open the bench on the screen. Exit code. Nothing is swept until the plant is there: what is loaded on the way stays (see ``BenchScreen.paint``)."""
    gc.disable()
    from tui.app import run

    return run(rig_name, start, device, room_c, load, instructor, assessed)


def open_plain(
    rig_name: str,
    *,
    start: From,
    device: str | None,
    room_c: float | None,
    load: str | None,
    instructor: bool,
    assessed: bool,
) -> int:
    """Open the bench in plain sentences. Exit code."""
    from tui.orders import Begin
    from tui.plain.loop import run
    from tui.session.kept import opened

    begin = Begin(rig=rig_name, start=start, device=device, room_c=room_c, load=load)
    return run(begin, instructor=instructor, assessed=assessed, kept=opened())

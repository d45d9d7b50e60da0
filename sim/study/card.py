"""The rehearsal card of one case: computed piece by piece, so that the first table can be read while the rest is worked out."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from dataclasses import asdict, dataclass, field
from typing import Any

from sim.bench import Bench
from sim.cautions import Caution, all_cautions
from sim.faults import all_faults, cautions_of
from sim.fluid import Fluid
from sim.study.case import Case
from sim.study.dials import dials_of
from sim.study.limits import Limit
from sim.study.questions import APART_S, Question, questions_for, resets_itself
from sim.study.recovery import Recovery, Step
from sim.study.spread import UNABLE, Found, spread_limits
from sim.study.strength import Strengths, strengths_of
from sim.study.timeline import Move, SumMove, Timeline
from sim.study.twins import Look, Twins

ICE_POINT_K = 273.15
SMALLEST_TRACE_KG = 1e-4
NO_TRACE = "none"  # the catalogue's word
AFTERMATH_S = 120.0  # guess: in two minutes after a stop the gauges are well on their way together
CURVES = 4
"""So many displays are drawn."""


@dataclass
class Card:
    """What is known so far. Times are seconds after the first fault."""

    case: Case
    room_c: float
    cautions: list[Caution]
    moves: list[Move] = field(default_factory=list)
    still: list[str] = field(default_factory=list)
    sums: list[SumMove] = field(default_factory=list)
    limits: list[Limit] = field(default_factory=list)
    looked_s: float = 0.0
    at_once: bool = False
    """Has something stopped the machine before any display moved, so that the looks go on beyond it?"""
    times_s: list[float] = field(default_factory=list)
    curves: dict[str, list[float]] = field(default_factory=dict)
    spread: list[Found] = field(default_factory=list)
    recipe: list[Step] | None = None
    traces: list[str] = field(default_factory=list)
    strengths: Strengths | None = None
    questions: list[Question] = field(default_factory=list)
    warnings: list[str] = field(default_factory=list)

    @property
    def first_limit(self) -> tuple[float, str, str] | None:
        """(s, what, under which variation) of the earliest limit."""
        known = [(limit.time_s, f"{limit.tag}: {limit.text}", "this rig as filed") for limit in self.limits]  # fmt: skip
        known += [(f.limit.time_s, f"{f.limit.tag}: {f.limit.text}", f.variation) for f in self.spread if f.limit and f.limit.tag != UNABLE]  # fmt: skip
        return min(known, default=None)


def rehearse(case: Case, executor: Executor | None = None, ahead: int = 1) -> Iterator[tuple[str, Card]]:  # fmt: skip
    """The card again and again, each time with the named piece filled in; variations by ``executor``, so many at once, and severities beside the recipe. Raises PlantError."""
    healthy = case.healthy()
    room_c = healthy.surroundings.room_temperature_k - ICE_POINT_K
    card = Card(case, room_c, _cautions(case))
    yield "head", card
    twins = Twins(case, healthy)
    looks = _watch(card, twins, healthy)
    restarts = any(resets_itself(case, limit) for limit in card.limits)
    card.cautions += [one for one in [all_cautions()["restart"]] if restarts and one not in card.cautions]  # fmt: skip
    for piece in ("moves", "sums", "limits", "chart"):
        yield piece, card
    if not case.spares_the_plant:
        card.spread = list(spread_limits(case, room_c, card.limits, executor, ahead))
    yield "spread", card
    graded = case.may_be_staged and case.single and not all_faults()[case.single.name].yes_or_no
    strengths = executor.submit(strengths_of, case) if executor and graded else None
    recovery = Recovery(case, twins, healthy)
    if case.may_be_staged:
        card.recipe = recovery.carry_out()
        yield "recipe", card
    else:
        recovery.take_away()
    card.traces = _traces(case, twins.faulty.bench, recovery.missing_kg)
    yield "traces", card
    if graded:
        card.strengths = strengths.result() if strengths else strengths_of(case, healthy)
        yield "strengths", card
    card.questions = questions_for(card, healthy, looks)
    yield "questions", card
    yield "end", card


def _watch(card: Card, twins: Twins, healthy: Bench) -> list[Look]:
    """Run the pair and keep what was seen up to the end of the demonstration. All looks up to that at which a class is asked for the cause."""
    case = card.case
    dials = dials_of(case.rig)
    line = Timeline.of(dials, Fluid.load(case.rig.fluid_name), case.start.mode, healthy.readings())
    looks: list[Look] = []
    for look in twins.looks(case.look_s):
        card.limits += look.limits
        ends = [limit.time_s for limit in look.limits if limit.ends]
        if not looks or (look.time_s <= case.last_act_s + APART_S and not ends):
            looks.append(look)
        card.looked_s = min(ends, default=look.time_s)
        if not ends:  # after a stop everything moves, which says nothing of the fault
            line.add(look)
    if card.looked_s < case.look_s and not line.ordered():
        looks += _watch_aftermath(card, twins, line, look)
    card.moves, card.still, card.sums = line.ordered(), line.still(), line.calculated()
    moved = [move.tag for move in card.moves if move.tag in line.shifts]
    moved.sort(key=lambda tag: -max(map(abs, line.shifts[tag])))
    card.times_s = line.times_s
    card.curves = {tag: line.shifts[tag] for tag in moved[:CURVES]}
    card.warnings = list(twins.faulty.bench.warnings)
    return looks


def _watch_aftermath(card: Card, twins: Twins, line: Timeline, last: Look) -> list[Look]:
    """The machine stopped before a display moved: what follows is all there is to see. The looks at it."""
    card.at_once = True
    line.add(last)
    looks = []
    for look in twins.aftermath(last.time_s, min(last.time_s + AFTERMATH_S, card.case.look_s)):
        known = {(one.tag, one.text) for one in card.limits}
        card.limits += [one for one in look.limits if (one.tag, one.text) not in known]
        line.add(look)
        card.looked_s = look.time_s
        looks.append(look)
    return looks


def _cautions(case: Case) -> list[Caution]:
    """The card's own, the general one, what the faults carry, and what hands do for them."""
    names = [one.name for one, _ in case.named]
    done = (f"command:{case.occasion.name}",) if case.occasion else ()
    return cautions_of(names, "export:rehearsal-card", *done, wired=bool(case.sheet.wiring_faults))


def _traces(case: Case, faulty: Bench, missing_kg: float) -> list[str]:
    """What stays behind when the faults have been taken away: by what the plant lacks then, by its damage, and as the catalogue has it of each fault."""
    traces = []
    if abs(missing_kg) > SMALLEST_TRACE_KG:
        verb = "has left" if missing_kg > 0.0 else "has been added to"
        traces.append(f"{1000 * abs(missing_kg):.0f} g of refrigerant {verb} the plant; taking the fault away does not undo that")  # fmt: skip
    traces += [f"{tag} is damaged ({count} time{'s' * (count > 1)})" for tag, count in faulty.happenings.damage.items()]  # fmt: skip
    traces += [f"{one.name}: {fault.trace}" for one, fault in case.named if fault.trace != NO_TRACE]
    return traces


def as_record(card: Card) -> dict[str, Any]:
    """The card as JSON has it. A fault that is never staged has no recipe and no severities in it."""
    case = card.case
    first = card.first_limit
    record: dict[str, Any] = {
        "rig": case.rig.name,
        "device": case.start.device,
        "mode": case.start.mode,
        "room_temperature_c": card.room_c,
        "fault": case.name,
        "place": case.place_of(case.single) if case.single else None,
        "severity": case.single.severity if case.single else None,
        "occasion": asdict(case.occasion) if case.occasion else None,
        "hands": [{"at_s": one.at_s - case.begun_s, "set": dict(one.set)} for one in case.acts_after],
        "faults": [asdict(one) for one in case.sheet.every_fault],
        "on_a_real_rig": case.on_a_real_rig,
        "looked_s": card.looked_s,
        "stopped_at_once": card.at_once,
        "moves": [asdict(one) for one in card.moves],
        "still": card.still,
        "calculations": [asdict(one) for one in card.sums],
        "limits": [limit._asdict() for limit in card.limits],
        "spread": [{"variation": f.variation, "not_before_s": f.not_before_s, "limit": f.limit._asdict() if f.limit else None} for f in card.spread],
        "first_limit": None if first is None else dict(zip(("time_s", "what", "variation"), first, strict=True)),
        "traces": card.traces,
        "questions": [one._asdict() for one in card.questions],
        "curves_percent_of_dial": {"time_s": card.times_s, **card.curves},
        "warnings": card.warnings,
        "cautions": [one.record for one in card.cautions],
    }  # fmt: skip
    if card.recipe is not None:
        record["recipe"] = [step._asdict() for step in card.recipe]
    if card.strengths is not None:
        shows, trips = card.strengths
        record["severities"] = {"too_small": shows.no, "shows_from": shows.yes, "stays_up_to": trips.no, "too_large": trips.yes}  # fmt: skip
    return record

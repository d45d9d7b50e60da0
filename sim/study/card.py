"""The rehearsal card of one case: computed piece by piece, so that the first table can be read while the rest is worked out."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import Executor
from dataclasses import asdict, dataclass, field
from typing import Any

from sim.bench import Bench
from sim.cautions import Caution, cautions_for
from sim.faults import FAULTS
from sim.fluid import Fluid
from sim.study.case import Case
from sim.study.dials import dials_of
from sim.study.limits import Limit
from sim.study.recovery import Recovery, Step
from sim.study.spread import Found, spread_limits
from sim.study.strength import Strengths, strengths_of
from sim.study.timeline import Move, SumMove, Timeline
from sim.study.twins import Twins

ICE_POINT_K = 273.15
SMALLEST_TRACE_KG = 1e-4
NO_TRACE = "none"  # the catalogue's word
WIRING_CAUTIONS = ("protective", "isolate", "capacitor", "terminals")
"""What a fault of the wiring carries, by id."""
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
    times_s: list[float] = field(default_factory=list)
    curves: dict[str, list[float]] = field(default_factory=dict)
    spread: list[Found] = field(default_factory=list)
    recipe: list[Step] | None = None
    traces: list[str] = field(default_factory=list)
    strengths: Strengths | None = None
    warnings: list[str] = field(default_factory=list)

    @property
    def first_limit(self) -> tuple[float, str, str] | None:
        """(s, what, under which variation) of the earliest limit."""
        known = [(limit.time_s, f"{limit.tag}: {limit.text}", "this rig as filed") for limit in self.limits]  # fmt: skip
        known += [(f.limit.time_s, f"{f.limit.tag}: {f.limit.text}", f.variation) for f in self.spread if f.limit]  # fmt: skip
        return min(known, default=None)


def rehearse(case: Case, executor: Executor | None = None, ahead: int = 1) -> Iterator[tuple[str, Card]]:  # fmt: skip
    """The card again and again, each time with the named piece filled in; variations by ``executor``, so many at once. Raises PlantError."""
    healthy = case.healthy()
    room_c = healthy.surroundings.room_temperature_k - ICE_POINT_K
    card = Card(case, room_c, _cautions(case))
    yield "head", card
    twins = Twins(case, healthy)
    _watch(card, twins, healthy)
    for piece in ("moves", "sums", "limits", "chart"):
        yield piece, card
    nominal = min(card.limits, default=None)
    for found in spread_limits(case, room_c, nominal, case.look_s, executor, ahead):
        card.spread.append(found)
    yield "spread", card
    if case.may_be_staged:
        card.recipe = Recovery(case, twins.healthy, twins.faulty).carry_out()
        yield "recipe", card
    card.traces = _traces(case, twins)
    yield "traces", card
    if case.may_be_staged and case.single and not FAULTS[case.single.name].yes_or_no:
        card.strengths = strengths_of(case, healthy)
        yield "strengths", card
    yield "end", card


def _watch(card: Card, twins: Twins, healthy: Bench) -> None:
    """Run the pair and keep what was seen up to the end of the demonstration."""
    case = card.case
    dials = dials_of(case.rig)
    line = Timeline.of(dials, Fluid.load(case.rig.fluid_name), case.start.mode, healthy.readings())
    for look in twins.looks(case.look_s):
        card.limits += look.limits
        ends = [limit.time_s for limit in look.limits if limit.ends]
        card.looked_s = min(ends, default=look.time_s)
        if not ends:  # after a stop everything moves, which says nothing of the fault
            line.add(look)
    card.moves, card.still, card.sums = line.ordered(), line.still(), line.calculated()
    moved = [move.tag for move in card.moves if move.tag in line.shifts]
    moved.sort(key=lambda tag: -max(map(abs, line.shifts[tag])))
    card.times_s = line.times_s
    card.curves = {tag: line.shifts[tag] for tag in moved[:CURVES]}
    card.warnings = list(twins.faulty.bench.warnings)


def _cautions(case: Case) -> list[Caution]:
    """The card's own, the general one, and what the fault carries."""
    names = [f"fault:{one.name}" for one, _ in case.named]
    also = [id for _, fault in case.named for id in fault.cautions]
    also += WIRING_CAUTIONS if case.sheet.wiring_faults else ()
    return cautions_for("export:rehearsal-card", "export:any", *names, also=also)


def _traces(case: Case, twins: Twins) -> list[str]:
    """What stays behind in the plant: by its books, and as the catalogue has it of each fault."""
    healthy, faulty = twins.healthy.bench, twins.faulty.bench
    traces = []
    lost = faulty.lost_mass_kg - healthy.lost_mass_kg
    if abs(lost) > SMALLEST_TRACE_KG:
        verb = "has left" if lost > 0.0 else "has been added to"
        traces.append(f"{1000 * abs(lost):.0f} g of refrigerant {verb} the plant; taking the fault away does not undo that")  # fmt: skip
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
        "faults": [asdict(one) for one in case.sheet.every_fault],
        "on_a_real_rig": case.on_a_real_rig,
        "looked_s": card.looked_s,
        "moves": [asdict(one) for one in card.moves],
        "still": card.still,
        "calculations": [asdict(one) for one in card.sums],
        "limits": [limit._asdict() for limit in card.limits],
        "spread": [{"variation": f.variation, "not_before_s": f.not_before_s, "limit": f.limit._asdict() if f.limit else None} for f in card.spread],
        "first_limit": None if first is None else dict(zip(("time_s", "what", "variation"), first, strict=True)),
        "traces": card.traces,
        "curves_percent_of_dial": {"time_s": card.times_s, **card.curves},
        "warnings": card.warnings,
        "cautions": [{"id": one.id, "level": one.level, "text": one.text} for one in card.cautions],
    }  # fmt: skip
    if card.recipe is not None:
        record["recipe"] = [step._asdict() for step in card.recipe]
    if card.strengths is not None:
        shows, trips = card.strengths
        record["severities"] = {"too_small": shows.no, "shows_from": shows.yes, "stays_up_to": trips.no, "too_large": trips.yes}  # fmt: skip
    return record

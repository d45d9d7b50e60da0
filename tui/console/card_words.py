"""The rehearsal card in words: every piece as a title, a few sentences and a table. How these look is the business of each format."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from sim.occasions import position
from sim.run_sheet import FaultEntry, WiringFault

if TYPE_CHECKING:
    from sim.faults import Fault
    from sim.study.card import Card
    from sim.study.case import Case
    from sim.study.limits import Limit
    from sim.study.timeline import Move, SumMove

NEVER_STAGED = "NEVER to be staged on a real rig. This card says what would happen, and nothing about how to bring it about."
HELD = {
    "trained staff only": "On a real rig only by trained staff, after local codes and the makers' instructions.",
    "ordinary": "On a real rig an ordinary demonstration where local codes and the makers' instructions allow it.",
}
DIFFERENCES = {"bar g": "bar", "psi g": "psi", "°C": "K"}
"""Unit of a scale -> unit of a distance on it."""


@dataclass(frozen=True)
class Block:
    """A piece of the card."""

    title: str
    sentences: Sequence[str] = ()
    head: Sequence[str] = ()
    rows: Sequence[Sequence[str]] = ()
    chart: bool = False
    """The curves belong here."""


def clock(seconds: float | None) -> str:
    """A time as one says it: 85 s, 4 min 05 s, 1 h 20 min."""
    if seconds is None:
        return ""
    if seconds < 120.0:
        return f"{seconds:.3g} s"
    whole = round(seconds)
    if whole < 3600:
        return f"{whole // 60} min {whole % 60:02d} s"
    return f"{whole // 3600} h {whole % 3600 // 60:02d} min"


def block_of(piece: str, card: Card) -> Block | None:
    """One piece in words; None when it has nothing to say."""
    ways = {
        "head": _head, "moves": _moves, "sums": _sums, "limits": _limits, "chart": _chart, "spread": _spread, "recipe": _recipe,
        "traces": _traces, "strengths": _strengths, "questions": _questions, "end": _end,
    }  # fmt: skip
    return ways[piece](card)


def _head(card: Card) -> Block:
    case = card.case
    staged = HELD[case.on_a_real_rig] if case.may_be_staged else NEVER_STAGED
    sheet = not case.occasion and (case.sheet.title or case.sheet.actions or case.begun_s)
    begins = (
        f"the sheet begins {case.start.start}; times count from the first fault, at {case.begun_s:g} s of it"
        if sheet
        else f"{case.start.start} before the fault"
    )
    where = f"{case.rig.title}, {case.start.device} device, {case.start.mode}, room {card.room_c:g} °C; {begins}."
    what = [
        f"{fault.what} {_how_bad(one, fault)}{_where(case, one)}{_when(case, one)}"
        for one, fault in case.named
    ]
    what += [
        f"Fault of the wiring: {one.fault.name}.{_when(case, one)}"
        for one in case.sheet.wiring_faults
    ]
    own = [one.line() for one in card.cautions if one.id != "general"]
    return Block(f"Rehearsal card: {_title(case)}", [*what, where, *_occasion(case), staged, *own])


def _occasion(case: Case) -> list[str]:
    """What hands do in it and when, or why the fault may stay hidden."""
    said = []
    if case.occasion:
        said.append(f"It shows only when something is done: {case.occasion.what[0].lower()}{case.occasion.what[1:]}")  # fmt: skip
    if case.acts_after:
        said.append(f"Hands do on both benches, after the fault: {hands(case)}.")
    if case.single is None:
        return said
    fault = case.named[0][1]
    if case.hindered and fault.shown_by:
        said.append(f"It shows only when something is done ({fault.occasion}), which is left out here: {case.hindered}.")  # fmt: skip
    if fault.device not in (None, case.start.device):
        said.append(f"It sits in the {fault.device} device, which is not in line here.")
    return said


def hands(case: Case) -> str:
    """Acts with their times: 30 s: HS-4 (compressor) off; 5 min 30 s: HS-4 on."""
    what = {switch.tag: switch.what for switch in case.rig.switches}
    what |= {placed.tag: placed.what for placed in case.rig.parts}
    said: dict[str, list[str]] = {}
    for action in case.acts_after:
        after = clock(action.at_s - case.begun_s)
        for tag, to in action.set.items():
            named = what.pop(tag, "")
            said.setdefault(after, []).append(f"{tag}{f' ({named})' * bool(named)} {position(to)}")
    return "; ".join(f"{after}: {', '.join(acts)}" for after, acts in said.items())


def _title(case: Case) -> str:
    if case.single is None:
        return case.sheet.title or case.name
    graded = not case.named[0][1].yes_or_no
    parts = [case.name, case.place_of(case.single), f"severity {case.single.severity:g}" * graded]
    return ", ".join(part for part in parts if part)


def _how_bad(one: FaultEntry, fault: Fault) -> str:
    if fault.yes_or_no:
        return f"{fault.severity[0].upper()}{fault.severity[1:]}."
    return f"Severity {one.severity:g}: {fault.severity}."


def _where(case: Case, one: FaultEntry) -> str:
    place = case.place_of(one)
    return f" Place: {place}." if place else ""


def _when(case: Case, one: FaultEntry | WiringFault) -> str:
    """When it sets in, as far as that is not at once and for good."""
    after_s = one.at_s - case.begun_s
    said = f" From {clock(after_s)} on." if after_s else ""
    if isinstance(one, FaultEntry):
        said += f" Waits for the event {one.on}." if one.on else ""
        said += f" Grows over {clock(one.ramp_s)}." if one.ramp_s else ""
        said += f" Comes and goes: {one.duty:.0%} of every {clock(one.period_s)}." if one.period_s else ""  # fmt: skip
    return said + (
        f" Until {clock(one.until_s - case.begun_s)}." if one.until_s is not None else ""
    )


def _moves(card: Card) -> Block:
    levels = [one.tag for one in card.case.rig.instruments if one.kind == "level"]
    rows = [(move.tag, move.what, clock(move.moves_s), move.first, clock(move.plain_s) or "never", _at_end(move, levels)) for move in card.moves]  # fmt: skip
    looked = f"Against a healthy bench on the same clock, looked at for {clock(card.looked_s)}."
    looked += (
        " The machine stops before anything moves, so what follows the stop is all there is to see."
        * card.at_once
    )
    still = f"Never moves: {', '.join(card.still)}." if card.still else ""
    head = ("tag", "instrument", "moves", "first", "plain from the back", "at the end")
    return Block("Which instrument moves when", [text for text in (looked, still) if text], head, rows)  # fmt: skip


def _at_end(move: Move, levels: Sequence[str]) -> str:
    """How far a display is from the healthy one; of a level in percent, as its glass shows it."""
    if not isinstance(move.end, float):
        return str(move.end)
    if move.tag in levels:
        return f"{100.0 * move.end:+.0f} %"
    return f"{move.end:+.3g} {DIFFERENCES.get(move.unit, move.unit)}".rstrip()


def _sums(card: Card) -> Block | None:
    if not card.sums:
        return Block("What a calculation shows", ["No calculation leaves its band."])
    rows = [_sum_row(one) for one in card.sums]
    head = ("worked out from the displays", "leaves its band", "first", "before a pressure gauge is plain", "at the end")  # fmt: skip
    return Block("What a calculation shows", [], head, rows)


def _sum_row(one: SumMove) -> tuple[str, ...]:
    band = f"{clock(one.shows_s)} (±{one.band:.2g} {one.unit}".rstrip() + ")"
    before = "yes" if one.before_the_gauges else "no"
    return one.name, band, one.first, before, f"{one.end or 0.0:+.3g} {one.unit}".rstrip()


def _limits(card: Card) -> Block:
    if not card.limits:
        return Block("What trips, and other limits", [f"None in {clock(card.looked_s)} on this rig as filed."])  # fmt: skip
    rows = [(clock(limit.time_s), limit.tag, limit.text, "ends here" if limit.ends else "") for limit in sorted(card.limits)]  # fmt: skip
    return Block("What trips, and other limits", [], ("after", "tag", "what", ""), rows)


def _chart(card: Card) -> Block | None:
    return Block("Distance from the healthy bench, percent of the dial", chart=True) if card.curves else None  # fmt: skip


def _spread(card: Card) -> Block:
    first = card.first_limit
    tried = f"{len(card.spread)} variations: a warmer room, and each parameter of the rig's spread at its ends, one at a time."  # fmt: skip
    if card.case.spares_the_plant:
        tried = "The fault sits in an instrument: the plant runs as without it."
    if first is None:
        return Block("First limit reached in this model", [f"None in {clock(card.looked_s)}.", tried])  # fmt: skip
    time_s, what, variation = first
    said = f"{clock(time_s)}: {what} ({variation}). A forecast of a model, not a permission."
    rows = [_found(one.variation, one.limit) for one in card.spread if one.limit]
    return Block("First limit reached in this model", [said, tried], ("earlier with", "after", "tag", "what"), rows)  # fmt: skip


def _found(variation: str, limit: Limit) -> tuple[str, ...]:
    return variation, clock(limit.time_s), limit.tag, limit.text


def _recipe(card: Card) -> Block | None:
    if card.recipe is None:
        return None
    rows = []
    for number, step in enumerate(card.recipe, 1):
        wait = "too long" if step.wait_s is None else clock(step.wait_s) if step.wait_s else ""
        rows.append((f"{number}", step.do, wait, step.until))
    said = [f"From where the run above ended, after {clock(card.looked_s)}; times as the model needed them."]  # fmt: skip
    return Block("Putting it right", said, ("", "do", "wait", "for"), rows)


def _traces(card: Card) -> Block:
    return Block("Traces it leaves", card.traces or ["None in the model."])


def _strengths(card: Card) -> Block | None:
    if card.strengths is None:
        return None
    shows, trips = card.strengths
    within = "within two minutes of the last act" if card.case.occasion else "within ten minutes"
    small = f"Too small to show: up to {shows.no:.2f}." if shows.no and shows.yes else "Even the smallest severity tried shows."  # fmt: skip
    if shows.yes is None:
        small = f"No severity is plain from the back of the room {within}."
    elif shows.no is not None:
        small += f" From {shows.yes:.2f} something is plain from the back of the room {within}."
    large = f"No severity stops the bench {within}."
    if trips.yes is not None:
        large = f"Too large: from {trips.yes:.2f} the bench stops {within}."
    return Block("Severity", [small, large])


def _questions(card: Card) -> Block | None:
    if not card.questions:
        return None
    said = []
    for one in card.questions:
        when = f"After {clock(one.at_s)}" if one.at_s else "Before"
        said.append(f"{when}: {one.ask} Answer: {one.answer}. Wrong answer to expect: {one.wrong}. What shows it: {one.why}.")  # fmt: skip
    return Block("What to ask", said)


def _end(card: Card) -> Block:
    general = [one.line() for one in card.cautions if one.id == "general"]
    return Block("", [*(f"warning: {text}" for text in card.warnings), *general])

"""What to ask a class at each moment of a demonstration, the answer, and the wrong answer to expect: all from what the card has computed, and from what the catalogue says a fault is taken for.

The reading that tells a fault from the one it is taken for is found by letting the other one set in on the same bench.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from sim.bench import Bench
from sim.errors import InputError, PlantError
from sim.faults import all_faults
from sim.study.case import Case
from sim.study.dials import Dial, Readings, dials_of
from sim.study.limits import OVERLOAD, Limit
from sim.study.timeline import GAUGES, Move
from sim.study.twins import Look, Watched
from sim.switches import HighPressureTrip, LowPressureControl

if TYPE_CHECKING:
    from sim.study.card import Card

APART_S = 600.0  # guess: ten minutes after the last act a class asks for the cause
MOST_TOLD = 2
"""So many readings tell two faults apart; more than two nobody writes down."""
LEAD_S = 3.0  # guess: what comes sooner than that is seen as the same moment
WAIT = "wait and see whether it runs again"  # common practice, as the next
RESET = "reset it and see whether it holds"  # common practice: what is done where nobody taught to find the cause first


class Question(NamedTuple):
    """Asked ``at_s`` after the fault, or before it when that is 0."""

    at_s: float
    ask: str
    answer: str
    wrong: str
    """The answer to expect from those who are mistaken."""
    why: str
    """What shows that it is wrong."""


def questions_for(card: Card, healthy: Bench, looks: Sequence[Look]) -> list[Question]:
    """In the order of time. ``looks``: all up to that at which the cause is asked for; ``healthy``: a bench before the fault."""
    asked = [_first(card), _calculation(card), _stop(card), *_causes(card, healthy, looks)]
    return sorted((one for one in asked if one is not None), key=lambda one: one.at_s)


def _gauges(card: Card) -> list[Dial]:
    return [dial for dial in dials_of(card.case.rig) if dial.key in GAUGES]


def _first(card: Card) -> Question | None:
    """Which instrument moves first: those who look at gauges only say a gauge. While hands move the plant everything moves; then it is which one leaves a sound plant's."""
    if not card.moves:
        return None
    first, acted = card.moves[0], card.case.occasion is not None
    tags = [dial.tag for dial in _gauges(card)]
    gauge = next((move for move in card.moves if move.tag in tags and move.tag != first.tag), None)
    never = next((tag for tag in tags if tag in card.still), "")
    if gauge and (gauge.moves_s or 0.0) - (first.moves_s or 0.0) >= LEAD_S:
        wrong, why = gauge.tag, _moves_at(gauge, acted)
    elif never:
        as_always = "stands as on a sound plant" if acted else "does not move"
        wrong, why = never, f"{never} {as_always} in {card.looked_s:.0f} s"
    else:
        return None
    ask = f"{card.case.occasion.what} Which instrument will differ first from a sound plant's, and which way?" if card.case.occasion else "Which instrument will move first, and which way?"  # fmt: skip
    return Question(0.0, ask, _moves_at(first, acted), f"{wrong}, because one looks at the gauges", why)  # fmt: skip


def _moves_at(move: Move, acted: bool) -> str:
    way = {"up": "above a sound plant's", "down": "below a sound plant's"}.get(move.first, move.first) if acted else move.first  # fmt: skip
    return f"{move.tag} ({move.what}): {way} after {move.moves_s:g} s"


def _calculation(card: Card) -> Question | None:
    """What a calculation shows while the gauges look as always; none while hands move the plant, when nothing looks as always."""
    if card.case.occasion is not None:
        return None
    gauges = [move for move in card.moves if move.tag in {dial.tag for dial in _gauges(card)} and move.plain_s is not None]  # fmt: skip
    gauge = min(gauges, key=lambda move: move.plain_s or 0.0, default=None)
    early = next((one for one in card.sums if one.before_the_gauges), None)
    if early is None or early.shows_s is None:
        return None
    if gauge and (gauge.plain_s or 0.0) - early.shows_s < LEAD_S:
        return None
    later = f"{gauge.tag} is plain only after {gauge.plain_s:g} s" if gauge else f"no pressure gauge is plain in {card.looked_s:.0f} s"  # fmt: skip
    return Question(early.shows_s, "From the back of the room the gauges look as always. Is anything wrong?", f"yes: {early.name} is {early.first}, out of its band of ±{early.band:.2g} {early.unit}".rstrip(), "no: the pressures are right", later)  # fmt: skip


def _stop(card: Card) -> Question | None:
    """A protective switch has opened: what now?"""
    ends = min((limit for limit in card.limits if limit.ends), default=None)
    if ends is None:
        return None
    ask = f"{ends.tag} has stopped the machine. What is done first?"
    latching = [switch.tag for switch in card.case.rig.switches if isinstance(switch, HighPressureTrip)]  # fmt: skip
    if ends.tag in latching:
        return Question(ends.time_s, ask, "leave it off and find the cause; then one reset", RESET, "the cause is still there")  # fmt: skip
    if resets_itself(card.case, ends):
        answer = (
            "switch HS-4 off: it starts by itself when its switch closes again; then find the cause"
        )
        return Question(ends.time_s, ask, answer, WAIT, "the cause is still there, and a machine that starts by itself catches hands")  # fmt: skip
    return None


def resets_itself(case: Case, limit: Limit) -> bool:
    """Does the machine start by itself after what has stopped it: a low-pressure control, the motor's own protector?"""
    return limit.tag == OVERLOAD or any(switch.tag == limit.tag for switch in case.rig.switches if isinstance(switch, LowPressureControl))  # fmt: skip


def _causes(card: Card, healthy: Bench, looks: Sequence[Look]) -> list[Question]:
    """The cause, and what it is taken for."""
    if card.case.single is None:
        return []
    fault = all_faults()[card.case.single.name]
    asked = []
    for name in fault.mistaken_for[:1]:
        other = _with(card, healthy, name, looks)
        if other is None:
            continue
        why = _told_apart(dials_of(card.case.rig), other, name)
        asked.append(Question(looks[-1].time_s, "What is the cause?", _small(fault.what), f"{name}: {_small(all_faults()[name].what)}", why))  # fmt: skip
    return asked


def _small(sentence: str) -> str:
    return f"{sentence[0].lower()}{sentence[1:].rstrip('.')}"


class Other(NamedTuple):
    """The bench on which another fault is the cause, as far as it can be compared."""

    here: Look
    """The last look before it stops."""
    readings: Readings
    """Its displays then."""
    stops_s: float | None
    """When it stops, if it does before the cause is asked for."""


def _with(card: Card, healthy: Bench, name: str, looks: Sequence[Look]) -> Other | None:
    """Follow another fault look by look; None when it cannot be computed, or stops before the first look."""
    found: Other | None = None
    try:
        watched = Watched(healthy.fork(), card.case.of_fault(name), faulty=True)
        for look in looks:
            now = watched.go_to(look.time_s)
            ends = [
                limit.time_s for limit in watched.lookout.look(watched.bench, now) if limit.ends
            ]
            if ends and not card.at_once:
                return found._replace(stops_s=min(ends)) if found is not None else None
            found = Other(look, now, None)
    except (InputError, PlantError):
        return None
    return found


def _told_apart(dials: tuple[Dial, ...], other: Other, name: str) -> str:
    """The displays that stand furthest from where the other fault would have them, in shares of the dial."""
    here, its_readings = other.here, other.readings
    apart = []
    for dial in dials:
        own, its = dial.shift(here.healthy, here.faulty), dial.shift(here.healthy, its_readings)
        if dial.glass and dial.word(here.faulty) != dial.word(its_readings):
            apart.append((1.0, f"{dial.tag} is {dial.word(here.faulty)}, with {name} {dial.word(its_readings)}"))  # fmt: skip
        elif not dial.glass and dial.is_plain(its - own):
            said = f"{dial.tag} stands {100.0 * own / dial.span:+.0f} % of its dial from healthy, with {name} {100.0 * its / dial.span:+.0f} %"
            apart.append((abs(its - own) / dial.span, said))
    best = [said for _, said in sorted(apart, key=lambda one: -one[0])[:MOST_TOLD]]
    if other.stops_s is not None:
        when = f" at {here.time_s:g} s" if best else ""
        best = [f"{one}{when if k == 0 else ''}" for k, one in enumerate(best)]
        best.append(f"with {name} the machine stops after {other.stops_s:.0f} s")
    if not best:
        return "no display tells the two apart from the back of the room: it takes the hand meter, a touch or a second test"  # fmt: skip
    return "; ".join(best)

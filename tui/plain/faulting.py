"""Faults, in the instructor's view only: what there is, putting one in, taking one out."""

from __future__ import annotations

from sim.cautions import cautions_for
from sim.errors import UsageError
from sim.record import did_you_mean
from tui.fault_desk import events_of
from tui.orders import InsertFault, RemoveFault
from tui.plain.talk import Talk
from tui.plain.values import seconds_of
from tui.words import listed


def _instructor_only(talk: Talk) -> None:
    if not talk.scene.instructor:
        raise UsageError("Faults belong to the instructor's view. Begin with --instructor, or type view instructor.")  # fmt: skip


def faults(talk: Talk, typed: str) -> None:
    """``faults``: what is in the bench now, and all names; ``faults condenser`` those with that word in them."""
    from sim.faults import all_faults

    _instructor_only(talk)
    present = talk.bench.faults
    if not typed:
        talk.voice.say_all(f"In the bench: {key}, severity {active.severity:g}." for key, active in present.items())  # fmt: skip
        if not present:
            talk.voice.say("There is no fault in the bench.")
    found = [fault for name, fault in all_faults().items() if typed.lower() in name]
    talk.voice.say_all(f"{fault.name}: {fault.what}" for fault in found)


def fault(talk: Talk, typed: str) -> None:
    """``fault condenser-fouled 0.6``, ``fault NAME 1 at PLACE``."""
    from sim.faults import all_faults

    _instructor_only(talk)
    typed, _, on = typed.partition(" when ")
    typed, in_s = _timed(typed, "after")
    typed, ramp_s = _timed(typed, "over")
    typed, period_s = _timed(typed, "every")
    words, _, place = typed.partition(" at ")
    name, _, number = words.strip().partition(" ")
    number = number.strip().removeprefix("severity").strip()
    if not name:
        raise UsageError("Say which fault and how severe, as in: fault condenser-fouled 0.6.")
    if name not in all_faults():
        raise UsageError(f"There is no fault {name}. {did_you_mean(name, all_faults())}")
    one, severity = all_faults()[name], _severity(number)
    lines = [caution.line(safety_class=talk.safety_class) for caution in cautions_for(f"fault:{name}", also=one.cautions)]  # fmt: skip
    talk.voice.say_all(lines)
    talk.voice.say(f"On a real rig: {one.on_a_real_rig}. Severity means: {one.severity}.")
    talk.order(InsertFault(name=name, severity=severity, place=place.strip() or None, ramp_s=ramp_s, in_s=in_s, period_s=period_s, on=_event(talk, on)))  # fmt: skip


def remove(talk: Talk, typed: str) -> None:
    """``remove condenser-fouled``."""
    _instructor_only(talk)
    name, _, place = typed.partition(" at ")
    if not name:
        raise UsageError("Say which fault to take out, as in: remove condenser-fouled.")
    talk.order(RemoveFault(name=name.strip(), place=place.strip() or None))


def _timed(typed: str, word: str) -> tuple[str, float]:
    """``typed`` without its time behind a word, and that time in seconds."""
    rest, found, span = typed.partition(f" {word} ")
    return rest, seconds_of(span) if found else 0.0


def _event(talk: Talk, typed: str) -> str:
    """What a waiting fault waits for, from its words on the board or its own name. Raises UsageError."""
    wanted = typed.strip()
    events = events_of(talk.scene.roles)
    known = {words: event for event, words in events.items()} | {event: event for event in events}
    if wanted and wanted not in known:
        raise UsageError(f"A fault cannot wait until {wanted}. It can wait, as in: fault NAME 0.6 when a protector trips. There are {listed(list(events.values()))}.")  # fmt: skip
    return known.get(wanted, "")


def _severity(text: str) -> float:
    if not text:
        return 1.0
    try:
        number = float(text.removesuffix("%")) / (100.0 if text.endswith("%") else 1.0)
    except ValueError:
        raise UsageError(
            f"A severity is a number from 0 to 1, and {text} is none. Type fault, its name and 0.6, or 60%."
        ) from None
    if number > 1.0:
        raise UsageError(f"A severity goes from 0 to 1; {text} could mean {text} percent. Write {number / 100:g} or {number:g}%.")  # fmt: skip
    return number

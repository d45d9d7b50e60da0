"""The hand meter by words: ``measure volts K1.A1 K1.A2``, ``measure amps around W56``, ``measure watts L.1 N.1 around W56``; and the largest readings, its own and the panel's."""

from __future__ import annotations

from dataclasses import replace

from sim.errors import InputError, UsageError
from sim.record import did_you_mean
from tui.cautions import for_meter, lines_of
from tui.draw.lists import METERS
from tui.meter import CLAMPED, MODES, MeterDesk, Use
from tui.orders import Record
from tui.plain.aloud import capital
from tui.plain.talk import Talk
from tui.words import in_words

NAMES = {mode: words for mode, words, _ in MODES}
"""The meter's name for a mode -> words."""


def measure(talk: Talk, typed: str) -> None:
    """Put the meter somewhere and say what it shows; where it refuses, what would have happened."""
    opened = talk.opened
    assert talk.bench is not None
    if opened is None or opened.ask is None or talk.scene.plan is None:
        raise UsageError("This rig has no wiring to measure at.")
    if typed.lower() == "record":
        _record(talk)
        return
    use = talk.use if typed.lower() == "again" and talk.use is not None else _use(talk, typed)
    try:
        measured = opened.ask(opened.bench, use)
    except InputError as error:
        raise UsageError(str(error)) from None
    talk.use = use
    talk.metering.take_up(replace(use, holding=talk.metering.holding))
    if talk.metering.holding:  # what is told now is the first of the peak
        talk.metering.look(opened.bench)
    knob = next(i for i, (mode, _, _) in enumerate(MODES) if mode == use.mode)
    desk = MeterDesk(probes=[*use.between, "", ""][:2], knob=knob)
    talk.voice.say_all(lines_of(for_meter(talk.scene.plan, desk, measured), talk.safety_class))
    if measured.refusal:
        talk.voice.say(f"The meter refuses {placed(use)}: {measured.refusal}. {measured.would_have}")  # fmt: skip
        return
    shown = "over range, or open circuit" if measured.shown == "OL" else measured.shown
    talk.voice.say(f"{capital(placed(use))}: {shown}.")


def placed(use: Use) -> str:
    """What the meter is set to and where it is: ``volts ac between K1.A1 and K1.A2``."""
    between = f" between {' and '.join(use.between)}" if use.between else ""
    around = f" around {' and '.join(use.around)}" if use.around else ""
    return f"{NAMES[use.mode]}{between}{around}"


def peaks(talk: Talk, typed: str) -> None:
    """``peaks new``: hold the largest readings of panel and hand meter from now on; ``peaks``: say them; ``peaks off``."""
    what = typed.lower()
    if what not in ("", "new", "off"):
        raise UsageError("Say peaks to hear the largest readings, peaks new to hold them from now on, or peaks off.")  # fmt: skip
    talk.look()
    if what == "new":
        _hold(talk)
        return
    if what == "off":
        if talk.metering.use is not None:
            talk.metering.take_up(replace(talk.metering.use, holding=False))
        talk.voice.say("The hand meter holds no peak any more. The panel's meters always keep theirs.")  # fmt: skip
        return
    found = talk.bench.peaks()
    units, room = talk.scene.units, talk.scene.atmosphere_pa
    talk.voice.say_all(f"{meter.name(talk.scene)}, largest: {in_words(meter.key, found[meter.key], units, room, short=True)}." for meter in METERS if meter.key in found)  # fmt: skip
    if talk.use is not None and talk.metering.holding:
        largest = talk.metering.now.largest
        talk.voice.say(f"Hand meter, {placed(talk.use)}, largest: {largest.shown if largest is not None else 'nothing yet'}.")  # fmt: skip


def _hold(talk: Talk) -> None:
    """From now on, all of them; another place of the hand meter begins a new peak."""
    talk.bench.clear_peaks()
    talk.metering.hold_anew()
    with talk.computing():
        talk.metering.look(talk.bench)
    hand = f"and so does the hand meter, {placed(talk.use)}" if talk.use is not None else "and so does the hand meter once it is put somewhere, as in: measure amps around W56"  # fmt: skip
    talk.voice.say(f"The panel meters hold their largest readings from now on, {hand}. Type peaks to hear them.")  # fmt: skip


def _record(talk: Talk) -> None:
    """What the meter shows now goes among the events: a tester proved, a panel proved dead."""
    if talk.use is None:
        raise UsageError("Nothing was measured yet, as in: measure volts K1.A1 K1.A2. Then: measure record.")  # fmt: skip
    talk.order(Record(use=talk.use))


def _use(talk: Talk, typed: str) -> Use:
    """What is asked of the meter. Raises UsageError."""
    words = typed.replace(",", " ").split()
    if not words:
        raise UsageError(f"Say what and where, as in: measure volts K1.A1 K1.A2. The meter has {', '.join(NAMES)}.")  # fmt: skip
    mode = words[0].lower()
    if mode not in NAMES:
        raise UsageError(f"The meter has no {words[0]}. {did_you_mean(mode, NAMES)}")
    rest = [word for word in words[1:] if word.lower() not in ("between", "at", "from", "to", "and")]  # fmt: skip
    cut = next((i for i, word in enumerate(rest) if word.lower() == "around"), len(rest))
    between, around = rest[:cut], rest[cut + 1 :]
    if mode == "amps" and not around:
        between, around = [], between
    if mode != "amps" and len(between) != 2:
        raise UsageError(f"{NAMES[mode].capitalize()} needs two terminals, as in: measure {mode} K1.A1 K1.A2.")  # fmt: skip
    if mode in CLAMPED and not around:
        raise UsageError(f"{NAMES[mode].capitalize()} needs a wire in the clamp, as in: around W56.")  # fmt: skip
    return Use(mode, tuple(_spelled(talk, end) for end in between), tuple(_spelled(talk, wire) for wire in around), True)  # fmt: skip


def _spelled(talk: Talk, name: str) -> str:
    """A terminal or wire as the wiring spells it; the meter says what is wrong with an unknown one."""
    plan = talk.scene.plan
    assert plan is not None
    ends = [end for lead in plan.leads for end in (lead.a, lead.b, lead.tag)]
    known = {end.lower(): end for end in ends}
    sign = "-" if name.startswith("-") else ""
    return sign + known.get(name.lower().removeprefix("-"), name.removeprefix("-"))

"""Commands that only look: readings, events, cautions, view."""

from __future__ import annotations

import math
import re

from sim.errors import UsageError
from sim.units import SYMBOLS, from_si
from tui.assessed import NO_TRUTH, RESULT, sentence
from tui.cautions import all_lines
from tui.derived import DERIVED, WET_SAID, wet
from tui.plain.naming import AT_OUTLET, Look, instruments, look_at, readable
from tui.plain.talk import Talk
from tui.seen import NO_FLOW, against, wants_flow
from tui.words import MISSING, in_words

MOST_EVENTS = 20
"""So many are told when nobody says how many."""


def read(talk: Talk, typed: str) -> None:
    """``read PI-1``, ``read superheat``, ``read all``, several names with commas between them."""
    if not typed:
        raise UsageError("Say what to read, as in: read PI-1, read superheat, or read all.")
    talk.look()
    if typed.lower() == "all":
        looks = list(instruments(talk).values())
        hung = {look.key for look in looks}
        rest = {
            key: name
            for key, name in readable(talk.scene).items()
            if key not in hung and not (key == AT_OUTLET and talk.scene.heating)
        }
        looks += [Look(key, name) for key, name in rest.items()]
    else:
        looks, wrong = [], []
        for name in _names(talk, typed):
            try:
                looks.append(look_at(talk, name))
            except UsageError as error:
                wrong.append(error)
        talk.voice.say_all(reading_sentence(talk, look) for look in looks)
        if wrong:
            raise wrong[0]
        return
    talk.voice.say_all(reading_sentence(talk, look) for look in looks)


def _names(talk: Talk, typed: str) -> list[str]:
    """What is asked for: with commas or *and* between, or tags side by side."""
    tags = {tag.lower() for tag in instruments(talk)}
    words = typed.replace(",", " ").split()
    rest = [word for word in words if word.lower() != "and"]
    if all(word.lower() in tags for word in rest):
        return rest
    return [name.strip() for name in re.split(r",| and ", typed) if name.strip()]


def reading_sentence(talk: Talk, look: Look) -> str:
    """``Suction gauge PI-1: 1.3 bar gauge.`` In the instructor's view the truth follows what the instrument shows."""
    shown = talk.now.readings.get(f"{look.key}_shown")
    if not talk.scene.instructor or shown is None or look.key in DERIVED:
        return f"{look.name}: {value_words(talk, look.key)}{_at_the_end(talk, look)}{_passed_backwards(talk, look)}."  # fmt: skip
    dial = in_words(look.key, shown, talk.scene.units, talk.scene.atmosphere_pa)
    true = "" if look.key not in talk.now.readings else f" True: {value_words(talk, look.key)}."
    return f"{look.name}: {_beside(dial)}{_at_the_end(talk, look)}.{true}"


def value_words(talk: Talk, key: str) -> str:
    """A reading as this person may see it, with its unit in the chosen units."""
    if key in DERIVED and talk.scene.own_work:
        return RESULT
    if wants_flow(talk.now, key):
        return f"{NO_FLOW}, so it would mean nothing"
    value = talk.scene.reading(key)
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return "no reading"
    words = _beside(in_words(key, value, talk.scene.units, talk.scene.atmosphere_pa))
    return f"{words}, {WET_SAID}" if wet(key, value) else words


def _beside(words: str) -> str:
    """``1.3 bar g (18.9 psi g)`` read aloud: the other units after a comma."""
    return "no reading" if words == MISSING else words.replace(" (", ", ").removesuffix(")")


def _at_the_end(talk: Talk, look: Look) -> str:
    """A needle on its stop says no more than that."""
    dial = look.instrument
    shown = talk.now.readings.get(f"{look.key}_shown")
    if dial is None or not dial.unit or look.key == "flowmeter" or not isinstance(shown, float):
        return ""
    there = from_si(shown, SYMBOLS[dial.unit], talk.scene.atmosphere_pa)
    near = 0.001 * (dial.high - dial.low)
    return ", the upper end of its scale" if there >= dial.high - near else ""


def _passed_backwards(talk: Talk, look: Look) -> str:
    """What a flowmeter is worth while refrigerant comes from its other side."""
    link = look.instrument.link if look.instrument is not None else ""
    return ", but refrigerant flows through it the wrong way, so that says nothing" if link and against(talk.now, link) else ""  # fmt: skip


def events(talk: Talk, typed: str) -> None:
    """``events``, ``events 5``, ``events all``."""
    talk.look()
    happened = list(talk.scene.events)
    if typed and typed.lower() != "all" and not typed.isdigit():
        raise UsageError("Say events, events 5 or events all.")
    count = len(happened) if typed.lower() == "all" else int(typed or MOST_EVENTS)
    if not happened:
        talk.voice.say("Nothing has happened yet.")
        return
    if count < len(happened):
        talk.voice.say(f"The last {count} of {len(happened)} events:")
    talk.voice.say_all(map(talk.event_words, happened[-count:] if count else []))


def cautions(talk: Talk, typed: str) -> None:
    """Every caution."""
    talk.voice.say_all(line for line in all_lines(talk.safety_class) if line)


def view(talk: Talk, typed: str) -> None:
    """``view instructor`` or ``view learner``."""
    if typed.lower() not in ("learner", "instructor"):
        raise UsageError("Say view learner, or view instructor.")
    if talk.assessed:
        raise UsageError(sentence(NO_TRUTH))
    talk.scene.instructor = typed.lower() == "instructor"
    talk.voice.say("Instructor's view: the truth beside the instruments, and faults." if talk.scene.instructor else "Learner's view: what the instruments show.")  # fmt: skip

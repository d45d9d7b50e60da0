"""A copy that runs beside the bench: ``copy`` makes it, ``copy set HCV-22 20%`` works on it, ``compare`` says where the two stand apart."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from sim.errors import UsageError
from tui.assessed import ONE_BENCH, sentence
from tui.draw.lists import table_keys
from tui.draw.side_by_side import PairFrame, apart_words, both, only_on_copy
from tui.plain.alongside import COPY, Alongside
from tui.plain.aloud import capital, clock_words
from tui.plain.naming import instruments
from tui.plain.talk import Talk
from tui.seen import instrument_label
from tui.words import listed

ON_COPY = ("read", "set", "open", "shut", "press", "stop", "look", "listen", "touch", "part", "parts", "settings", "status", "events", "measure", "repair", "fault", "faults", "remove")  # fmt: skip
"""Commands that can be meant for the copy."""
MOST_EVENTS = 4
"""Of what has happened on the copy, and was told when it happened; guess: so many are remembered."""
NO_COPY = "There is no copy. Type copy to make one of this moment."
Carry = Callable[[Talk, str], object]


def copy(talk: Talk, typed: str, carry_out: Carry) -> None:
    """``copy``: one of this moment; ``copy end``; ``copy LINE``: have something done on it."""
    if talk.assessed:
        raise UsageError(sentence(ONE_BENCH))
    if not typed:
        _begin(talk)
    elif typed.lower() == "end":
        _copy_of(talk)
        talk.alongside.left()
        talk.voice.say("The copy is gone. The bench stands as you left it.")
    else:
        _do(talk, typed, carry_out)


def _begin(talk: Talk) -> None:
    opened = talk.opened
    before = talk.look()
    if opened is None:
        raise UsageError("There is no bench to copy.")
    again = talk.alongside.partner is not None
    with talk.computing():
        made = opened._replace(bench=talk.bench.fork())
    other = Talk(talk.voice, talk.begin, talk.opener, talk.progress, opened=made, scene=replace(talk.scene))  # fmt: skip
    other.passed_over(before)
    talk.alongside.partner = other
    other.alongside = Alongside(talk, COPY, before.time_s)
    new = "A new copy is made, and the one from before is gone" if again else "A copy is made"
    talk.voice.say(f"{new}: both stand at {clock_words(before.time_s)} and run on one clock from now on. A command goes to the bench; with copy before it, as in copy set HCV-22 20%, it goes to the copy. compare says where they stand apart, copy end ends it.")  # fmt: skip


def _copy_of(talk: Talk) -> Talk:
    if talk.alongside.partner is None:
        raise UsageError(NO_COPY)
    return talk.alongside.partner


def _do(talk: Talk, typed: str, carry_out: Carry) -> None:
    """A command on the copy, with what this person may see."""
    other = _copy_of(talk)
    name = typed.partition(" ")[0].lower()
    if name not in ON_COPY:
        raise UsageError(f"{name} is not for the copy. What can be done there: {listed(list(ON_COPY))}. Time passes on both in wait.")  # fmt: skip
    other.scene.instructor, other.scene.own_work = talk.scene.instructor, talk.scene.own_work
    other.scene.units = talk.scene.units
    talk.voice.say("On the copy:")
    with talk.alongside.outlived():
        carry_out(other, typed)
    if talk.alongside.partner is None:
        talk.wrong += 1
    talk.look()


def compare(talk: Talk, typed: str) -> None:
    """``compare``: readings that differ, and what has happened on the copy only; ``compare all``: every reading."""
    if typed.lower() not in ("", "all"):
        raise UsageError("Say compare, or compare all for every reading.")
    other = _copy_of(talk)
    here = there = talk.look()
    with talk.alongside.outlived():
        there = other.look()
    if talk.alongside.partner is None:
        talk.wrong += 1
        return
    rows = [(_name(talk, key), *both(talk.scene, (here, there), key)) for key in table_keys(talk.scene)]  # fmt: skip
    differ = [row for row in rows if row[1] != row[2]]
    talk.voice.say(f"Bench and copy, parted at {clock_words(other.alongside.parted_s)}, stand at {clock_words(here.time_s)}. {len(differ)} of {len(rows)} readings differ.")  # fmt: skip
    talk.voice.say_all(_line(*row) for row in (rows if typed else differ))
    own = only_on_copy(talk.scene, PairFrame(here, there, other.alongside.parted_s))
    if len(own) > MOST_EVENTS:
        talk.voice.say(f"The last {MOST_EVENTS} of {len(own)} events that happened on the copy only; copy events tells of the others:")  # fmt: skip
    talk.voice.say_all(f"On the copy only: {other.event_words(event)}" for event in own[-MOST_EVENTS:])  # fmt: skip


def _name(talk: Talk, key: str) -> str:
    """A reading by its instrument, or in words."""
    named = (look.name for look in instruments(talk).values() if look.key == key)
    return next(named, capital(instrument_label(talk.now, key)))


def _line(name: str, live: str, fork: str) -> str:
    """``Suction gauge PI-1: 1.3 bar g on the bench, 1.1 bar g on the copy, 0.2 bar less.``"""
    if live == fork:
        return f"{name}: {live} on both."
    apart = apart_words(live, fork)
    more = f", {apart[1:]} {'less' if apart[0] == '-' else 'more'}" if apart[:1] in ("+", "-") else ""  # fmt: skip
    return f"{name}: {live} on the bench, {fork} on the copy{more}."

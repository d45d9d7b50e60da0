"""The command ``glossary``: trade terms in plain words."""

from __future__ import annotations

from sim.errors import UsageError
from sim.record import did_you_mean
from tui.glossary import Term, called, entry_lines, found_by, glossary
from tui.plain.aloud import capital
from tui.plain.talk import Talk
from tui.words import listed

MOST_FOUND = 12
ON_THE_SCREEN = "On the bench and its screen"
"""Where a term is met: views and keys that it names are the screen's."""


def terms(talk: Talk, typed: str) -> None:
    """``glossary``, or ``glossary superheat``. Raises UsageError for a word that no entry knows."""
    if not typed:
        talk.voice.say(f"{len(glossary())} terms: {listed(list(glossary()))}.")
        talk.voice.say("Type glossary and a term to hear what it means.")
        return
    for word in ("is ", "are ", "a ", "an ", "the "):  # what is a capillary
        typed = typed.removeprefix(word)
    term = called(typed)
    if term is None:
        _offer(talk, typed)
    else:
        say_term(talk, term)


def say_term(talk: Talk, term: Term) -> None:
    """An entry, with what the bench shows of it."""
    talk.look()
    first, *rest = entry_lines(term, talk.scene, ON_THE_SCREEN)
    talk.voice.say_all([f"{capital(term.name)}. {first}", *rest])
    if term.related:
        talk.voice.say(f"Related: {listed(list(term.related))}.")


def _offer(talk: Talk, typed: str) -> None:
    """What speaks of it, when nothing is called so."""
    found = [term.name for term in found_by(typed)]
    if not found:
        raise UsageError(f"The glossary has no term {typed}. {did_you_mean(typed.lower(), glossary(), most=8)}")  # fmt: skip
    more = f", and {len(found) - MOST_FOUND} more" if len(found) > MOST_FOUND else ""
    talk.voice.say(f"No term is called {typed}. It is spoken of under {listed(found[:MOST_FOUND])}{more}.")  # fmt: skip

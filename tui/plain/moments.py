"""Other moments of the plant: back to an earlier one, ahead on a copy, put by under a name and gone on with."""

from __future__ import annotations

from sim.errors import UsageError
from sim.record import did_you_mean
from tui.assessed import NO_WAY_BACK, ONE_BENCH, sentence
from tui.beside import Beside
from tui.cautions import of_events
from tui.orders import Fork
from tui.plain.aloud import aloud, clock_words, time_words
from tui.plain.beginning import how_it_stands
from tui.plain.talk import Talk
from tui.plain.values import seconds_of
from tui.plant import Bench
from tui.rewind import Keeper
from tui.words import listed

FORGOTTEN = "What came after is forgotten, mishaps aside: those stay on record. Save it first if you need it. A real plant has no way back."  # fmt: skip


def back(talk: Talk, typed: str) -> None:
    """``back 5 min``, ``back to 20 min``, ``back to beginning``."""
    _not_when_assessed(talk, NO_WAY_BACK)
    keeper = talk.keeper
    if keeper is None or talk.opened is None or not typed:
        raise UsageError("Say how far, as in: back 5 min, back to 20 min, or back to beginning.")
    now, text = talk.now.time_s, typed.lower()
    if text in ("to beginning", "to the beginning"):
        to_s = keeper.first_s
    elif text.startswith("to "):
        to_s = seconds_of(text.removeprefix("to "))
    else:
        to_s = now - seconds_of(text)
    if not keeper.first_s <= to_s <= now:
        raise UsageError(f"One can go back to any moment from {clock_words(keeper.first_s)} to {clock_words(now)}, as in: back to {time_words(round((keeper.first_s + now) / 2))}.")  # fmt: skip
    if not talk.voice.agreed([FORGOTTEN], f"go back to {clock_words(to_s)}"):
        return
    with talk.computing():
        found = keeper.back(talk.bench, to_s)
    talk.opened = talk.opened._replace(bench=found)
    talk.passed_over(found.snapshot())
    talk.unsaved = True
    talk.voice.say_all(how_it_stands(talk))


def ahead(talk: Talk, typed: str) -> None:
    """``ahead``: a copy lives ten minutes on; what it trips and passes is said. The bench stays as it is."""
    _not_when_assessed(talk)
    from sim.study.ahead import AHEAD_S, look_ahead, note_that_somebody_looked

    bench = talk.bench
    *_, seen = look_ahead(bench.fork())
    talk.voice.say_all(f"After {time_words(round(one.after_s))}{f', {one.tag}' if one.tag else ''}: {one.text}" for one in seen.coming)  # fmt: skip
    if not seen.coming:
        talk.voice.say(f"In {time_words(AHEAD_S)} nothing trips and no limit is passed.")
    if seen.unable:
        talk.voice.say(f"The copy could be computed for {time_words(round(seen.seen_s))} only: {seen.unable}")  # fmt: skip
    talk.voice.say_all(of_events([one.kind for one in seen.coming], safety_class=talk.safety_class))  # fmt: skip
    note_that_somebody_looked(bench, seen)
    talk.told += 1  # said above, number by number
    talk.look()
    talk.voice.say("That was a copy, a forecast of a model. The bench stands as you left it; that you looked is on its record. A plant has no rewind.")  # fmt: skip


def keep(talk: Talk, typed: str) -> None:
    """``keep monday``: puts the plant by under a name; ``keep`` lists those put by."""
    _not_when_assessed(talk)
    store = talk.put_by
    if not typed:
        names = [f"{one.name}, at {clock_words(one.time_s)}" for one in store.kept.values()]
        talk.voice.say(f"Put by: {'; '.join(names)}." if names else "Nothing is put by. Type keep and a name.")  # fmt: skip
        return
    _ask(store, talk, Fork(what="keep", name=typed))
    talk.voice.say(f"The plant is put by as {typed}, as it stands at {clock_words(talk.now.time_s)}, until the session ends. A real plant cannot be put by. Go on with it later: resume {typed}.")  # fmt: skip


def resume(talk: Talk, typed: str) -> None:
    """``resume monday``: goes on with a plant that was put by; the present one is put by instead."""
    _not_when_assessed(talk)
    store, opened = talk.put_by, talk.opened
    typed = next(
        (name for name in store.kept if aloud(name).lower() == aloud(typed).lower()), typed
    )
    if typed not in store.kept or opened is None:
        hint = did_you_mean(typed, map(aloud, store.kept)) if store.kept else "Nothing is put by; type keep and a name."  # fmt: skip
        raise UsageError(f"Nothing is put by as {typed or 'nothing'}. {hint}")
    known = set(store.kept)
    found = _ask(store, talk, Fork(what="adopt", name=typed))
    talk.opened, talk.keeper = opened._replace(bench=found), Keeper(found)
    talk.passed_over(found.snapshot())
    talk.unsaved = True
    talk.voice.say(f"The bench from before is put by as {listed([name for name in store.kept if name not in known])}.")  # fmt: skip
    talk.voice.say_all(how_it_stands(talk))


def _ask(store: Beside, talk: Talk, order: Fork) -> Bench:
    try:
        return store.obey(talk.bench, order)
    except ValueError as error:
        raise UsageError(str(error)) from None


def _not_when_assessed(talk: Talk, why: str = ONE_BENCH) -> None:
    if talk.assessed:
        raise UsageError(sentence(why))

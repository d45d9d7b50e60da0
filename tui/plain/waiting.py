"""Letting time pass, as fast as the machine goes, and telling what happens meanwhile."""

from __future__ import annotations

import re
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import NamedTuple

from sim.errors import UsageError
from sim.steadiness import BAR
from tui.assessed import RESULT
from tui.derived import DERIVED
from tui.goal import EQUAL_BAR, STEADY, Waiting, number
from tui.plain.alongside import CutShortError
from tui.plain.aloud import capital, clock_words, time_words
from tui.plain.looking import reading_sentence
from tui.plain.naming import Look, look_at
from tui.plain.talk import Talk
from tui.plain.values import quantity_in_si, seconds_of
from tui.plant import Event
from tui.seen import tripped
from tui.words import listed

STEP_S = 1.0
"""Simulated seconds between two looks."""
LEAST_S = 1e-6
"""A tick of the plant's clock."""
LONGEST_S = 24 * 3600.0
RECORD_S = 5.0
"""Between two looks for trend and log while one simply waits, at least."""
MOST_LOOKS = 500
"""In one such wait: a look costs as much as some ten seconds of the plant's time."""
LIMIT_S = 3600.0
"""How long ``wait until`` waits when nobody says."""
SILENCE_S = 10.0
"""Wall seconds after which a wait says that it is still there."""
_LIMIT = re.compile(r",?\s+(?:for\s+)?(?:at most|limit)\s+(.+)$")
_CONDITION = re.compile(r"(.+?)\s+(?:is\s+|goes\s+)?(below|under|above|over)\s+(.+)")
EQUALISED = ("equalised", "equalized", "equal", "pressures drawn together", "both pressures have drawn together", "pressures equal")  # fmt: skip
"""What a person may call it when both gauges show nearly the same."""
CALLED_STEADY = ("steady", "stable", "steady running", "it runs steadily", "it is steady")
BY_HAND = "Stopped by hand."
STOPPING = ("trip", "lift", "burst", "damage", "stall")
"""Kinds of events at which ``wait until`` ends."""
Done = Callable[[], bool]


class Condition(NamedTuple):
    """What is waited for: is it so, and how it is said."""

    reached: Done
    words: Callable[[], str]


def wait(talk: Talk, typed: str) -> None:
    """``wait 60``, ``wait 5 min``, ``wait until steady``, ``wait until equalised``, ``wait until PI-1 below 0.5 bar at most 10 min``."""
    if not typed:
        raise UsageError("Say how long or until what, as in: wait 60, or: wait until steady.")
    word, _, rest = typed.partition(" ")
    if word.lower() == "until":
        _wait_until(talk, rest.strip())
        return
    seconds = _checked(seconds_of(typed.lower().removeprefix("for ")))
    before = min(talk.moments_s, seconds)
    talk.moments_s = 0.0
    with _patient(talk) as given_up:
        passed = before + _pass(talk, seconds - before, given_up)
    if passed < seconds - LEAST_S:
        talk.voice.new_line()
        raise CutShortError(f"Stopped by hand after {time_words(passed)}. {_clock(talk)}")
    talk.voice.say(f"{time_words(passed)} passed. {_clock(talk)}")


def _clock(talk: Talk) -> str:
    machine = "The compressor runs." if talk.now.running else "The compressor stands."
    opened = tripped(talk.now, talk.scene.kinds)
    protectors = f" Tripped: {listed(opened)}." if opened else ""
    return f"The bench's clock stands at {clock_words(talk.now.time_s)}. {machine}{protectors}"


def _checked(seconds: float) -> float:
    if not 0.0 < seconds <= LONGEST_S:
        raise UsageError("A wait is longer than nothing and at most 24 hours.")
    return seconds


def _wait_until(talk: Talk, typed: str) -> None:
    found = _LIMIT.search(typed)
    limit = _checked(seconds_of(found[1])) if found else LIMIT_S
    condition = _condition(talk, (typed[: found.start()] if found else typed).strip())
    talk.moments_s = 0.0
    with _patient(talk) as given_up:
        passed, why = _watch(talk, limit, condition.reached, given_up)
    if why == BY_HAND:
        talk.voice.new_line()
    if why:
        raise CutShortError(f"{why} Not reached in {time_words(passed)}: {condition.words()} {_clock(talk)}")  # fmt: skip
    talk.voice.say(f"Reached after {time_words(passed)}: {condition.words()} {_clock(talk)}")


def _watch(talk: Talk, limit: float, done: Done, given_up: Done) -> tuple[float, str]:
    """Seconds until it was done, and why it was not; '' when it was."""
    open_before = set(tripped(talk.look(), talk.scene.kinds))
    passed, why = 0.0, ""
    while not done():
        why = why or ("The time is up." if passed >= limit else BY_HAND if given_up() else "")  # fmt: skip
        if why:
            return passed, why
        step = min(STEP_S, limit - passed)
        heard = _step(talk, step)
        passed += step
        open_now = set(tripped(talk.now, talk.scene.kinds))
        acted = [event.tag for event in heard if event.kind in STOPPING] + sorted(open_now - open_before)  # fmt: skip
        why = f"{acted[0]} has acted." if acted else ""
        open_before &= open_now
    return passed, ""


def _pass(talk: Talk, seconds: float, given_up: Done) -> float:
    """Let time pass; returns how much did."""
    passed, said_at = 0.0, time.monotonic()
    look_s = max(RECORD_S, seconds / MOST_LOOKS)
    while passed < seconds - LEAST_S and not given_up():
        step = min(STEP_S, seconds - passed)
        _step(talk, step, look_s)
        passed += step
        if time.monotonic() - said_at > SILENCE_S:
            said_at = time.monotonic()
            talk.voice.say(f"Still waiting: {time_words(round(passed))} of {time_words(seconds)}.")
    talk.tell()
    return passed


def _step(talk: Talk, seconds: float, look_s: float = 0.0) -> list[Event]:
    """A piece of time, and what happened in it; the plant is looked at when something did, and every ``look_s``."""
    talk.advance(seconds)
    due = talk.bench.time_s >= talk.now.time_s + look_s
    return talk.tell() if due or len(talk.bench.events) > talk.told else []


def _condition(talk: Talk, text: str) -> Condition:
    """Raises UsageError for what is no condition."""
    if text.lower() in CALLED_STEADY:
        steadiness = Steadiness(talk)
        return Condition(steadiness.reached, lambda: f"{steadiness.words}.")
    if text.lower() in EQUALISED:
        return Condition(
            lambda: _apart(talk) < EQUAL_BAR * BAR, lambda: "both gauges within 0.3 bar."
        )
    found = _CONDITION.fullmatch(text)
    if found is None:
        raise UsageError("Say wait until steady, wait until equalised, or what has to go below or above what, as in: wait until PI-1 below 0.5 bar.")  # fmt: skip
    look = look_at(talk, found[1].strip())
    if isinstance(talk.scene.reading(look.key), str):
        raise UsageError(f"{look.name} shows words, not a number.")
    if look.key in DERIVED and talk.scene.own_work:
        raise UsageError(f"{capital(RESULT)}.")
    below = found[2].lower() in ("below", "under")
    bound = quantity_in_si(look.key, found[3], talk.scene.units.system, talk.scene.atmosphere_pa)

    def reached() -> bool:
        value = _number(talk, look)
        return value < bound if below else value > bound

    wanted = f"{look.name} {'below' if below else 'above'} {found[3]}"
    return Condition(reached, lambda: f"{wanted}. {reading_sentence(talk, look)}")


def _apart(talk: Talk) -> float:
    """How far the two pressure gauges stand apart, Pa."""
    low, high = (number(talk.now.readings, f"{side}_pressure_pa") for side in ("suction", "discharge"))  # fmt: skip
    return abs(high - low)


def _number(talk: Talk, look: Look) -> float:
    """What the instrument shows, also for the instructor; without one, what this person may know."""
    shown = talk.now.readings.get(f"{look.key}_shown") if look.instrument is not None else None
    return float(shown) if isinstance(shown, int | float) else talk.scene.number(look.key)


class Steadiness:
    """Watches what the screen's W watches, and says the same (``tui.goal``)."""

    def __init__(self, talk: Talk) -> None:
        self._talk, self._waiting = talk, Waiting.on(STEADY, talk.bench, talk.scene.fluid)
        self.words = STEADY.words

    def reached(self) -> bool:
        """Look once, a second after the last time."""
        now = self._talk.now
        met = self._waiting.look(now.time_s, now.readings)
        self.words = self._talk.scene.in_units(met) or self.words
        return bool(met)


@contextmanager
def _patient(talk: Talk) -> Iterator[Done]:
    """Ctrl-C ends the wait between two steps instead of tearing a step apart; where nobody types it then ends the program."""
    pressed: list[int] = []

    def note(number: int, frame: FrameType | None) -> None:
        pressed.append(number)

    before = signal.signal(signal.SIGINT, note)
    try:
        yield lambda: bool(pressed)
    finally:
        signal.signal(signal.SIGINT, before or signal.default_int_handler)
    if pressed and not talk.voice.by_hand:
        raise KeyboardInterrupt

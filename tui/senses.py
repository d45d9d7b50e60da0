"""What hand, eye and ear find, in words: a row a place, in the order in which the refrigerant comes past.

Nothing is said of what it means; that is for whoever stands there. What a hand would feel is only known where one has touched, except in the instructor's view.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from itertools import groupby
from typing import NamedTuple

from sim.senses import LOUD_W, Sense, Senses, Sign, Spot, Surface
from tui.glasses import GLASSES, glass_words
from tui.words import Units, in_words

PHRASES: Mapping[str, str] = {
    "runs": "beats {value:.0f} times a second",
    "hums": "hums at {value:.0f} Hz",
    "knocks": "knocks hard",
    "coil hums": "its coil hums at {value:.0f} Hz",
    "clicks": "has just clicked",
    "chatters": "chatters",
    "liquid rushes": "rushes",
    "flashes": "hisses evenly",
    "gurgles": "hisses unevenly, spits",
    "gas hisses": "hisses, dry and steady",
    "lifted": "roars",
    "blows": "blows off gas",
    "turns fast": "turns fast",
    "turns backwards": "turns the wrong way, against the arrow on its frame",
    "turns slowly": "turns slowly",
    "turns wearily": "turns, but wearily",
    "stands still": "stands still",
    **{state: glass_words(state) for state in GLASSES},
    "air warmer": "air comes out warmer than it goes in",
    "air cooler": "air comes out cooler than it goes in",
    "air the same": "air comes out as it goes in",
    "no air": "hardly any air comes out",
}
"""Sign -> words; ``value`` is the sign's."""
SKINS = {"sweating": "wet with dew", "frosted": "white with frost", "thawing": "frost, dripping"}
MOST_LEVEL_STEPS = 20
"""A level is read off a glass to a twentieth."""
NOTHING = "nothing to see or hear"
UNTOUCHED = "not touched"
NO_METAL = ""
HURTS = {"too hot to touch": "too hot: hand drawn back", "biting cold": "biting cold: hand drawn back"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Touched:
    """What a hand found, and when."""

    time_s: float
    words: str
    hurt: bool = False


class Row(NamedTuple):
    """One place on the list."""

    place: str
    name: str
    found: str
    hand: str
    hurt: bool = False
    white: bool = False
    """Frost is to be seen."""


def name_of(spot: Spot) -> str:
    """A place as one says it: a pipe by its name, a part by tag and name."""
    what = spot.what.partition(",")[0]
    metal = bool(spot.surfaces) and spot.surfaces[0].node == spot.place
    return what if metal else f"{spot.place} {what}".rstrip()


def found_words(spot: Spot, *only: Sense) -> str:
    """What eye and ear find, and a hand in the air; ``only`` some of these senses, then '' where they find nothing."""
    if spot.shut_in:
        return "inside the closed load box"
    by_eye = not only or "look" in only
    found = [words for words in _skin_words(spot.surfaces) if words and by_eye]
    signs = spot.found(*only) if only else spot.signs
    return "; ".join([*found, *(sign_words(sign) for sign in signs)]) or ("" if only else NOTHING)


def sign_words(sign: Sign) -> str:
    """One sign."""
    if sign.what == "level":
        return f"glass {round(sign.value * MOST_LEVEL_STEPS) * 100 // MOST_LEVEL_STEPS} % full"
    if sign.what == "float":
        return f"float {_of_three(sign.value, 'down', 'half way', 'up')}"
    if sign.what == "slide":
        return f"slide {_of_three(sign.value, 'on the cooling side', 'half way', 'on the heating side')}"  # fmt: skip
    words = PHRASES[sign.what].format(value=sign.value)
    loud = sign.what in ("flashes", "gurgles", "gas hisses", "liquid rushes") and sign.value > LOUD_W  # fmt: skip
    return f"{words}, loud" if loud else words


def _of_three(share: float, low: str, middle: str, high: str) -> str:
    return low if share < 0.1 else high if share > 0.9 else middle


def _along(values: Iterable[str]) -> list[tuple[str, int, int]]:
    """(value, first, last) of every run of equal values, counted from 1."""
    runs, at = [], 1
    for value, group in groupby(values):
        count = len(list(group))
        runs.append((value, at, at + count - 1))
        at += count
    return runs


def _skin_words(surfaces: tuple[Surface, ...]) -> list[str]:
    runs = _along(surface.skin for surface in surfaces)
    return [f"{SKINS[skin]}{_where(first, last, len(surfaces))}" if skin in SKINS else "" for skin, first, last in runs]  # fmt: skip


def _where(first: int, last: int, count: int) -> str:
    """Which parts of a coil; nothing when it is all of it."""
    if first == 1 and last == count:
        return ""
    return f" on part {first} of {count}" if first == last else f" on parts {first} to {last} of {count}"  # fmt: skip


def felt_words(spot: Spot, *, spoken: bool = False) -> str:
    """What a hand finds; along a coil part by part, ``spoken`` in words that read well aloud."""
    if not spot.surfaces:
        return "; ".join(sign_words(sign) for sign in spot.found("look"))
    runs = _along(surface.feel for surface in spot.surfaces)
    if len(runs) == 1:
        return runs[0][0]
    if spoken:
        return ", ".join(f"{feel}{_where(first, last, len(spot.surfaces))}" for feel, first, last in runs)  # fmt: skip
    return ", ".join(f"{feel} {first}" if first == last else f"{feel} {first}-{last}" for feel, first, last in runs)  # fmt: skip


def hurts(spot: Spot) -> bool:
    """Would a hand be harmed?"""
    turning = any(sign.what.startswith("turns") for sign in spot.signs)
    return any(surface.hurts for surface in spot.surfaces) or (not spot.surfaces and turning)


def touch_words(spot: Spot, time_s: float, *, spoken: bool = False) -> Touched:
    """What stays in mind of a touch."""
    feels = [surface.feel for surface in spot.surfaces if surface.hurts]
    if feels:
        return Touched(time_s, HURTS[feels[0]], hurt=True)
    if hurts(spot):
        return Touched(time_s, "the blades hit the hand", hurt=True)
    return Touched(time_s, felt_words(spot, spoken=spoken))


def truth_words(spot: Spot, units: Units, *, spoken: bool = False) -> str:
    """For the instructor: feel and temperature, of a coil at both ends."""
    ends = list(dict.fromkeys(s.temperature_k for s in (*spot.surfaces[:1], *spot.surfaces[-1:])))
    numbers = " to ".join(in_words("temperature_k", t, units, short=True) for t in ends)
    return f"{felt_words(spot, spoken=spoken)}; {numbers}" if spot.surfaces else NO_METAL


def rows_of(senses: Senses, touched: Mapping[str, Touched], now_s: float, *, instructor: bool, units: Units) -> list[Row]:  # fmt: skip
    """The whole list."""
    rows = []
    for spot in senses.spots:
        memory = touched.get(spot.place)
        hand, hurt = (UNTOUCHED if spot.surfaces else NO_METAL), False
        if instructor:
            hand, hurt = truth_words(spot, units), any(s.hurts for s in spot.surfaces)
        elif memory is not None and memory.time_s <= now_s:
            hand, hurt = f"{memory.words}{_ago(now_s - memory.time_s)}", memory.hurt
        white = not spot.shut_in and any(s.skin in ("frosted", "thawing") for s in spot.surfaces)
        rows.append(Row(spot.place, name_of(spot), found_words(spot), hand, hurt, white))
    return rows


def _ago(seconds: float) -> str:
    return "" if seconds < 60.0 else f" ({seconds / 60.0:.0f} min ago)"

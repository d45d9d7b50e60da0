"""``look``, ``listen``, ``touch``: what eye, ear and hand find, place by place along the refrigerant's way. Words, cautions and the hand's record are those of the screen."""

from __future__ import annotations

from collections.abc import Iterable

from sim.errors import UsageError
from sim.record import did_you_mean
from sim.senses import Sense, Spot
from tui.orders import Touch
from tui.plain.aloud import capital, time_words
from tui.plain.talk import Talk
from tui.senses import NO_METAL, found_words, name_of, touch_words, truth_words
from tui.touching import SETTLE, before_touch, strap_on, why_not
from tui.words import listed

MOMENT_AGO_S = 60.0
"""What was felt within it was felt just now."""


def look(talk: Talk, typed: str) -> None:
    """``look``, ``look receiver``: what is seen, and the air that a hand feels behind a coil."""
    _sense(talk, typed, ("look", "feel"), "see")


def listen(talk: Talk, typed: str) -> None:
    """``listen``, ``listen K1``."""
    _sense(talk, typed, ("listen",), "hear")


def _sense(talk: Talk, typed: str, senses: tuple[Sense, ...], verb: str) -> None:
    talk.look()
    spots = [spot_of(talk, typed)] if typed else list(talk.now.senses.spots)
    found = {spot.place: found_words(spot, *senses) for spot in spots}
    for spot in spots:
        words = found[spot.place]
        by_hand = _by_hand(talk, spot) if verb == "see" else []
        if words or by_hand or typed:
            first = words or f"nothing to {verb}"
            talk.voice.say(". ".join([f"{capital(name_of(spot))}: {first}", *by_hand]) + ".")
    quiet = [name_of(spot) for spot in spots if not found[spot.place]]
    if quiet and not typed:
        talk.voice.say(f"Nothing to {verb} at {listed(quiet)}.")


def _by_hand(talk: Talk, spot: Spot) -> list[str]:
    """What a hand has found there; the instructor knows without one."""
    if talk.scene.instructor:
        truth = truth_words(spot, talk.scene.units, spoken=True)
        return [f"True for a hand: {truth}"] if truth != NO_METAL else []
    memory = talk.touched.get(spot.place)
    if memory is None or memory.time_s > talk.now.time_s:
        return []
    ago = talk.now.time_s - memory.time_s
    when = "just now" if ago < MOMENT_AGO_S else f"{time_words(60 * round(ago / 60))} ago"
    return [f"Touched {when}: {memory.words}"]


def touch(talk: Talk, typed: str) -> None:
    """``touch receiver``: cautions and thermometer first, then the bare hand. What it finds goes on record."""
    talk.look()
    if not typed:
        raise UsageError(f"Say what to touch, as in: touch receiver. There are {listed(_names(talk.now.senses.spots))}.")  # fmt: skip
    spot = spot_of(talk, typed)
    if why_not(spot, talk.scene.roles):
        raise UsageError(
            f"{capital(name_of(spot))}: {why_not(spot, talk.scene.roles)}. Type look for the places."
        )
    strap = strap_on(talk.scene.tags.values())
    before = before_touch(spot, talk.scene, strap, talk.scene.setting(strap.tag) if strap else None)
    lines = [f"Before you touch: {name_of(spot)}.", *before.lines]
    if before.strap:
        lines.append(f"To measure first, type: set {before.strap} {spot.surfaces[0].node.replace('_', ' ')}; {SETTLE}.")  # fmt: skip
    if not before.allowed:
        talk.voice.say_all(lines)
        return
    if not talk.voice.agreed(lines, "touch it with a bare hand"):
        return
    found = touch_words(talk.now.senses.spot(spot.place) or spot, talk.now.time_s, spoken=True)
    talk.touched[spot.place] = found
    talk.order(Touch(place=spot.place), f"{capital(name_of(spot))}: {found.words}.", "note")


def spot_of(talk: Talk, typed: str) -> Spot:
    """A place by its name, or by the tag of what sits there. Raises UsageError."""
    senses = talk.now.senses
    wanted = " ".join(typed.lower().replace("_", " ").removeprefix("at ").removeprefix("the ").split())  # fmt: skip
    names: dict[str, Spot] = {}
    for spot in senses.spots:
        for name in (spot.place.replace("_", " "), spot.what, name_of(spot), spot.what.partition(",")[0]):  # fmt: skip
            names.setdefault(name.lower(), spot)
    for spot in senses.spots:
        for tag in sorted(spot.tags):
            names.setdefault(tag.lower(), spot)
    devices = talk.scene.plan.what if talk.scene.plan is not None else {}
    if wanted not in names and wanted.upper() in devices:
        raise UsageError(f"There is nothing to see, hear or feel at {wanted.upper()} now. Type part {wanted.upper()}.")  # fmt: skip
    if wanted not in names:
        near = did_you_mean(wanted, names, most=0)
        hint = near if near.startswith("Did") else f"There are {listed(_names(senses.spots))}."
        raise UsageError(f"There is no place called {typed}. {hint}")
    return names[wanted]


def _names(spots: Iterable[Spot]) -> list[str]:
    return [spot.place.replace("_", " ") for spot in spots]

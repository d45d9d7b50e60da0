"""Commands that move something on the bench. Cautions are read out, and agreed to, where the full screen asks."""

from __future__ import annotations

from sim.errors import UsageError
from tui.cautions import asked_before
from tui.desk import BUTTONS, nudged, pressed_stop
from tui.draw.symbols import STOP_TAG
from tui.orders import Repair, SetTag
from tui.plain.naming import tag_of
from tui.plain.parts import can_be, purpose, spelling, stands
from tui.plain.talk import Talk
from tui.plain.values import setting_of
from tui.plant import Setting, TagInfo
from tui.words import setting_words

STEPS = {"more": 1, "up": 1, "less": -1, "down": -1}
"""A step as on the screen's + and -."""


def set_tag(talk: Talk, typed: str) -> None:
    """``set HCV-22 35%``."""
    tag, _, value = typed.replace("=", " ").partition(" ")
    if not tag:
        raise UsageError("Say what and to where, as in: set HCV-22 35%, or: set HS-2 low.")
    info, value = tag_of(talk, tag), value.strip().removeprefix("to ")
    if not value:
        raise UsageError(f"Say to where. {info.tag} stands at {stands(talk, info)}. {can_be(talk, info)} Type: {spelling(talk, info)}.")  # fmt: skip
    put(talk, info, _meant(talk, info, value))


def _meant(talk: Talk, info: TagInfo, typed: str) -> Setting:
    """What was typed, in SI and within reach. Raises UsageError with what is wrong and how it is spelled."""
    now = talk.scene.setting(info.tag)
    stepped = nudged(info, now, STEPS[typed.lower()]) if typed.lower() in STEPS and info.kind not in BUTTONS else None  # fmt: skip
    if stepped is not None:
        return stepped
    if typed[:1] in "+-" and (info.low, info.high) == (0.0, 1.0):
        raise UsageError(f"{typed} could be a position or a step. {info.tag} stands at {stands(talk, info)}. Write the new position, or take a step: set {info.tag} more, set {info.tag} less.")  # fmt: skip
    try:
        value = setting_of(info, typed, talk.scene.units.system, talk.scene.atmosphere_pa)
    except UsageError as error:
        raise UsageError(f"{error} Type: {spelling(talk, info)}.") from None
    low, high = info.low, info.high
    if isinstance(value, float) and low is not None and high is not None and not low <= value <= high:  # fmt: skip
        raise UsageError(f"{info.tag} cannot be set to {typed}. {can_be(talk, info)} Type: {spelling(talk, info)}.")  # fmt: skip
    return value


def open_valve(talk: Talk, typed: str) -> None:
    """``open HV-21``."""
    put(talk, valve_of(talk, typed, "open"), 1.0)


def shut_valve(talk: Talk, typed: str) -> None:
    """``shut HV-22``."""
    put(talk, valve_of(talk, typed, "shut"), 0.0)


def valve_of(talk: Talk, typed: str, verb: str) -> TagInfo:
    """A valve. Raises UsageError for anything else."""
    if not typed:
        raise UsageError(f"Say what to {verb}, as in: {verb} HV-21.")
    info = tag_of(talk, typed)
    if info.choices or (info.low, info.high) != (0.0, 1.0) or info.kind in BUTTONS:
        raise UsageError(f"{info.tag} is no valve: it is {info.what}. Type: {spelling(talk, info)}.")  # fmt: skip
    return info


def press(talk: Talk, typed: str) -> None:
    """``press PSHH-1.reset``, or ``reset PSHH-1``."""
    if not typed:
        raise UsageError("Say what to press, as in: press PSHH-1.reset.")
    tags = {tag.lower(): info for tag, info in talk.scene.tags.items()}
    info = tags.get(f"{typed.lower()}.reset") or tag_of(talk, typed)
    if info.kind not in BUTTONS:
        raise UsageError(f"{info.tag} is no button: it is {info.what}. Type: {spelling(talk, info)}.")  # fmt: skip
    put(talk, info, 1.0)


def put(talk: Talk, info: TagInfo, value: Setting) -> None:
    """Move one thing, after its cautions."""
    before = talk.look()
    if info.kind not in BUTTONS and before.commands.get(info.tag) == value:
        talk.voice.say(f"{info.tag} stands at {_words(talk, info, value)} already.")
        return
    assert talk.opened is not None
    guarded = info.tag in talk.opened.guarded
    asked = asked_before(info.tag, value, before, talk.opened, guarded=guarded, safety_class=talk.safety_class, units=talk.scene.units)  # fmt: skip
    act = f"lift the guard and turn {info.tag}" if guarded else f"set {info.tag}"
    act = f"{act} all the same" if asked.warns else act
    if asked.lines and not talk.voice.agreed([f"Before you set {info.tag}:", *asked.lines], act):
        return
    words = f"{info.tag}, {purpose(info)}: {_words(talk, info, value)}."
    said = "" if info.kind in BUTTONS else words
    talk.order(SetTag(tag=info.tag, value=value), said)


def _words(talk: Talk, info: TagInfo, value: Setting) -> str:
    words = setting_words(info, info.tag, value, talk.scene.units)
    return words.replace("_", " ") if info.choices else words


def stop(talk: Talk, typed: str) -> None:
    """Press the emergency stop. Never asks."""
    info = talk.scene.tags.get(STOP_TAG)
    if info is None:
        raise UsageError("There is no emergency stop on this rig.")
    said = f"{info.tag} is pressed. Find the cause, then release it: set {info.tag} released."
    talk.order(SetTag(tag=info.tag, value=pressed_stop(info)), said)


def repair(talk: Talk, typed: str) -> None:
    """``repair M1``."""
    if not typed:
        raise UsageError("Say what to repair, as in: repair M1.")
    known = [talk.bench.machine_tag, *talk.now.places]
    wanted = typed.replace(" ", "_").lower()
    found = next((name for name in known if name.lower() == wanted), None)
    if found is None:
        raise UsageError(f"There is nothing called {typed} that could be repaired. Type repair {talk.bench.machine_tag}, or a vessel or pipe by its name, as look says it.")  # fmt: skip
    talk.order(Repair(tag=found))

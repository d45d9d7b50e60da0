"""Commands that move something on the bench. Cautions are read out, and agreed to, where the full screen asks."""

from __future__ import annotations

from sim.errors import UsageError
from tui.cautions import asked_before
from tui.desk import pressed_stop
from tui.orders import Repair, SetTag
from tui.plain.naming import tag_of
from tui.plain.parts import BUTTONS, purpose
from tui.plain.talk import Talk
from tui.plain.values import setting_of
from tui.plant import Setting, TagInfo
from tui.words import setting_words

EMERGENCY_STOP = "HS-0"


def set_tag(talk: Talk, typed: str) -> None:
    """``set HCV-22 35%``."""
    tag, _, value = typed.replace("=", " ").partition(" ")
    if not tag or not value.strip():
        raise UsageError("Say what and to where, as in: set HCV-22 35%, or: set HS-2 low.")
    value = value.strip().removeprefix("to ")
    info = tag_of(talk, tag)
    put(talk, info, setting_of(info, value, talk.scene.units.system, talk.scene.atmosphere_pa))


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
        raise UsageError(f"{info.tag} is no valve. Type part {info.tag.partition('.')[0]} to hear what it is.")  # fmt: skip
    return info


def press(talk: Talk, typed: str) -> None:
    """``press PSHH-1.reset``, or ``reset PSHH-1``."""
    if not typed:
        raise UsageError("Say what to press, as in: press PSHH-1.reset.")
    full = typed if "." in typed else f"{typed}.reset"
    info = tag_of(talk, full)
    if info.kind not in BUTTONS:
        raise UsageError(f"{info.tag} is no button. Type set {info.tag} and where to.")
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
    info = talk.scene.tags.get(EMERGENCY_STOP)
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
    talk.order(Repair(tag=next((name for name in known if name.lower() == wanted), typed)))

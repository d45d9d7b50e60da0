"""Commands about parts: what there is, how it stands, what it is for, what carries a caution, what a technician would look at."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

from sim.cautions import cautions_for
from sim.errors import UsageError
from sim.record import did_you_mean
from tui.cautions import card_lines, lines_of
from tui.desk import BUTTONS, own_settings
from tui.glossary import terms_for
from tui.opening import kind_of
from tui.part_card import card_of, what_is
from tui.plain.aloud import capital
from tui.plain.looking import reading_sentence
from tui.plain.naming import instruments
from tui.plain.talk import Talk
from tui.plant import TagInfo
from tui.seen import tripped
from tui.words import Units, in_words, listed, quantity_of, setting_words

VALVES = ("hand_valve", "hand_expansion_valve")
HANDLES = ("selector", "load_box", "heater")
CONTROLS = ("reset", "set_point", "spring", "off_time", "place", "choice")
MEASURED = ("set_point", "spring", "off_time")
"""Settings whose words end in the unit in which they are stored."""
AT_THE_WIRING = ("lead", "jumper", "press", "lock", "cover")
COIL = "coil"
"""A part whose name says what it does now."""
GROUPS = {"valves": VALVES, "switches": HANDLES, "controls": CONTROLS, "wiring": AT_THE_WIRING}
"""Name of a group -> kinds of settings in it."""
MOST_CHOICES = 8
A_WIDE_RANGE = 100.0
"""Quarter turns end below it, watts above: it only chooses the number of an example."""


def parts(talk: Talk, typed: str) -> None:
    """``parts``, or one group of them."""
    wanted = typed.lower()
    talk.look()
    if wanted == "instruments":
        talk.voice.say_all(f"{look.name}." for look in instruments(talk).values())
        return
    if wanted and wanted != "all" and wanted not in GROUPS:
        raise UsageError(f"There is no group {typed}. {did_you_mean(wanted, [*GROUPS, 'instruments', 'all'])}")  # fmt: skip
    for name, kinds in GROUPS.items():
        infos = [info for info in talk.scene.tags.values() if info.kind in kinds]
        if infos and (wanted in (name, "all") or (not wanted and name != "wiring")):
            talk.voice.say(f"{capital(name)}:")
            talk.voice.say_all(f"{info.tag}, {purpose(info)}: {stands(talk, info)}." for info in infos)  # fmt: skip
    if not wanted or wanted == "all":
        talk.voice.say(f"Instruments: {listed(list(instruments(talk)))}. Type read and a tag, or read all.")  # fmt: skip
    if not wanted:
        talk.voice.say("Type parts wiring for leads, fuses and covers, part and a tag for one part.")  # fmt: skip


def purpose(info: TagInfo) -> str:
    """What a setting is, without the unit in which it is stored."""
    if info.kind in BUTTONS:
        return re.split(r"[:;] 1 ", info.what)[0]
    return info.what.rpartition(", ")[0] if info.kind in MEASURED else info.what


def stands(talk: Talk, info: TagInfo) -> str:
    """Where a hand has put it."""
    value = talk.scene.setting(info.tag)
    if info.kind in BUTTONS:
        return "ready"
    return setting_words(info, info.tag, value, talk.scene.units).replace("_", " ")


def settings(talk: Talk, typed: str) -> None:
    """How everything stands that a hand can move, the wiring's leads aside."""
    talk.look()
    talk.voice.say_all(setting_lines(talk))


def setting_lines(talk: Talk) -> list[str]:
    """Valves by position, then everything else that can be set."""
    tags = talk.scene.tags.values()
    valves = [info for info in tags if info.kind in VALVES]
    lines = []
    for word in ("open", "shut"):
        found = [info.tag for info in valves if stands(talk, info) == word]
        lines += [f"{capital(word)}: {listed(found)}."] if found else []
    lines += [f"{info.tag}: {stands(talk, info)}." for info in valves if stands(talk, info) not in ("open", "shut")]  # fmt: skip
    for info in tags:
        if info.kind in (*HANDLES, *MEASURED, "place", "lock", "cover"):
            lines.append(f"{info.tag}, {purpose(info)}: {stands(talk, info)}.")
    lifted = [info.tag for info in tags if info.kind == "lead" and talk.scene.setting(info.tag) == "lifted"]  # fmt: skip
    clipped = [f"{info.tag} at {talk.scene.setting(info.tag)}" for info in tags if info.kind == "jumper" and talk.scene.setting(info.tag) != "none"]  # fmt: skip
    lines += [f"Lifted leads: {listed(lifted)}."] if lifted else []
    lines += [f"Jumper leads: {listed(clipped)}."] if clipped else []
    return lines


def part(talk: Talk, typed: str) -> None:
    """``part HV-22``: what it is, how it stands, its cautions, what a technician would look at."""
    if not typed:
        raise UsageError("Say which part, as in: part HV-22.")
    talk.look()
    tag = known_tag(talk, typed)
    dial = instruments(talk).get(tag)
    infos = own_settings(tag, talk.scene.tags)
    record = record_of(talk, tag)
    card = card_of(tag, talk.scene, talk.drawing, talk.about, talk.safety_class)
    talk.voice.say(f"{tag}: {_what(talk, tag, record, infos)}.")
    talk.voice.say_all([reading_sentence(talk, dial)] if dial is not None else [f"{line}." for line in card.shows])  # fmt: skip
    talk.voice.say_all(card.told)
    for info in infos:
        talk.voice.say(f"{info.tag} now: {stands(talk, info)}. {can_be(talk, info)}")
    talk.voice.say_all(card.state)
    talk.voice.say_all(_reason(talk, tag))
    if tag in tripped(talk.now, talk.scene.kinds):
        talk.voice.say(f"{tag} has opened its contact.")
    kind = kind_of(record) or card.kind
    talk.voice.say_all(_cautions(talk, tag, kind, infos))
    if card.check:
        talk.voice.say(card.check)
    terms = terms_for(tag, kind)
    if terms:
        talk.voice.say(f"In the glossary: {listed(terms)}.")


def known_tag(talk: Talk, typed: str) -> str:
    """A part's tag as the rig spells it, from the tag or from what the part is. Raises UsageError."""
    rig, plan = talk.bench.rig, talk.scene.plan
    names = [info.partition(".")[0] if info.count(".") else info for info in talk.scene.tags]
    names += [one.tag for one in (*rig.parts, *rig.switches, *rig.instruments)]
    names += list(plan.what) if plan is not None else []
    names += list(talk.scene.tags)
    drawn = {} if talk.drawing is None else {one.tag: one.what for one in talk.drawing.symbols}
    names += list(drawn)
    folded = {name.lower(): name for name in names}
    by_use = {what.lower(): tag for tag, what in drawn.items()}
    by_use |= {one.what.lower(): one.tag for one in (*rig.parts, *rig.switches, *rig.instruments)}
    if typed.lower() in by_use:
        return by_use[typed.lower()]
    if typed.lower() in folded:
        return folded[typed.lower()]
    raise UsageError(f"There is no part {typed}. {did_you_mean(typed, folded.values(), most=8)}")


def record_of(talk: Talk, tag: str) -> Any:
    """What the rig's file says of a tag, or that of its wiring; None when neither does."""
    from sim.wiring import wiring_of  # brings the compiler, which an open bench has

    rig = talk.bench.rig
    devices = wiring_of(rig).devices if rig.wiring else ()
    return next((one for one in (*rig.parts, *rig.switches, *rig.instruments, *devices) if one.tag == tag), None)  # fmt: skip


def _what(talk: Talk, tag: str, record: Any, infos: list[TagInfo]) -> str:
    if record is not None and getattr(record, "kind", "") != COIL:
        kind = getattr(record, "kind", "").replace("_", " ")
        what = record.what or kind
        return what if not kind or kind in what else f"{what} ({kind})"
    if infos:
        return purpose(infos[0])
    return what_is(talk.scene, talk.drawing, tag)


def can_be(talk: Talk, info: TagInfo) -> str:
    """What it can be set to."""
    if info.kind in BUTTONS:
        return f"Type press {info.tag}."
    if info.choices:
        names = [choice.replace("_", " ") for choice in info.choices[:MOST_CHOICES]]
        more = f" and {len(info.choices) - MOST_CHOICES} more" if len(info.choices) > MOST_CHOICES else ""  # fmt: skip
        return f"It can be {', '.join(names)}{more}."
    if (info.low, info.high) == (0.0, 1.0):
        return "It goes from shut to open."
    quantity, units = quantity_of(info), talk.scene.units
    low, high = (_limit(quantity, float(end or 0.0), units, talk) for end in (info.low, info.high))
    return f"It goes from {low} to {high}."


def _limit(quantity: str, end: float, units: Units, talk: Talk) -> str:
    return in_words(quantity, end, units, talk.scene.atmosphere_pa, short=True) if quantity else f"{end:g}"  # fmt: skip


def _reason(talk: Talk, tag: str) -> Iterable[str]:
    """Why it stands as it does in the line-up that the bench stands in."""
    line_up = lined_up(talk)
    for step in line_up.steps if line_up is not None else ():
        if step.set == tag and talk.scene.setting(tag) == step.to:
            yield f"In the line-up for {line_up.what} it is set so because: {step.reason}."
            return


def lined_up(talk: Talk) -> Any:
    """The rig's line-up for a metering device whose valves all stand so; None when none does."""
    commands = talk.now.commands
    kinds = {info.tag for info in talk.scene.tags.values() if info.kind == VALVES[0]}
    for line_up in talk.bench.rig.line_ups:
        steps = [step for step in line_up.steps if step.set in kinds]
        if line_up.device and all(commands.get(step.set) == step.to for step in steps):
            return line_up
    return None


def _cautions(talk: Talk, tag: str, kind: str, infos: list[TagInfo]) -> list[str]:
    """Those of the part's card, of its kind and of its place in the wiring, each once."""
    lines = card_lines(infos[0], talk.safety_class) if infos else []
    lines += [caution.line(safety_class=talk.safety_class) for caution in cautions_for(f"part:{kind}", f"switch:{kind}")]  # fmt: skip
    plan = talk.scene.plan
    lines += lines_of(plan.cautions.get(tag, ())) if plan is not None else []
    return list(dict.fromkeys(lines))


def spelling(talk: Talk, info: TagInfo) -> str:
    """A right way to type a setting, in this person's units."""
    if info.kind in BUTTONS:
        return f"press {info.tag}"
    if info.choices:
        now = talk.scene.setting(info.tag)
        other = next((choice for choice in info.choices if choice != now), info.choices[0])
        return f"set {info.tag} {other.replace('_', ' ')}"
    if (info.low, info.high) == (0.0, 1.0):
        return f"set {info.tag} open, set {info.tag} shut, or set {info.tag} 40%"
    if quantity_of(info):
        return f"set {info.tag} {stands(talk, info)}"
    high = float(info.high or 0.0)
    return f"set {info.tag} {3 if high < A_WIDE_RANGE else 0.4 * high:g}"

"""The tour and the first lesson in sentences, on the bench as it stands. The state, and what is harmless to turn, are those of the screen's tour (``tui.tour``); here a step asks for typed words.

Neither moves anything by itself. A step is done when the bench shows that it is, or when what it asked for has been typed.
"""

from __future__ import annotations

from collections.abc import Callable

from sim.errors import UsageError
from tui.assessed import PRACTICE, sentence
from tui.cautions import asked_before
from tui.desk import RELEASED
from tui.draw.layout import View
from tui.draw.symbols import STOP_TAG
from tui.plain.aloud import capital
from tui.plain.talk import Talk
from tui.plant import Setting
from tui.roles import STARTS
from tui.tour import Notes, Pointer, Saying, Sight, Stage, Step, Tour
from tui.tour_steps import boiling_words, harmless_valve, valve_words

NONE = "There is neither tour nor lesson under way. Type tour, or lesson."
LATER = "Next: type lesson for a first lesson on this bench. help lists the commands."
PlainStep = Callable[[Talk, Notes, str], Saying]
"""A step that also hears what was typed."""
SKIP = "Type skip for the next step, end to leave."


def tour(talk: Talk, typed: str) -> None:
    """``tour``: six short steps."""
    begin(talk, Tour(tuple((name, _on(talk, step)) for name, step in STEPS), lambda sight: harmless_valve(sight.scene, sight.harmless, lambda tag: True), later=LATER))  # fmt: skip


def begin(talk: Talk, tour: Tour) -> None:
    """From its first step on; where the same is under way, its present step is said again."""
    if talk.assessed:
        raise UsageError(sentence(PRACTICE))
    talk.look()
    now = talk.tour
    if now is not None and now.stage is Stage.UNDER_WAY and now.name == tour.name:
        _say(talk, "Type skip for the next step, end to leave; then it can begin anew.")
        return
    talk.tour = tour
    tour.begin(sight_of(talk))
    _say(talk, SKIP)


def skip(talk: Talk, typed: str) -> None:
    """``skip``: to the next step, this one undone."""
    tour = _under_way(talk)
    tour.skip(sight_of(talk))
    if tour.stage is Stage.ENDED:
        _say(talk)
    else:
        _say(talk, SKIP)


def end(talk: Talk, typed: str) -> None:
    """``end``: leave tour or lesson."""
    _under_way(talk)
    talk.tour = None
    talk.voice.say("Left. Everything stays as it stands.")


def _under_way(talk: Talk) -> Tour:
    if talk.tour is None or talk.tour.stage is not Stage.UNDER_WAY:
        raise UsageError(NONE)
    return talk.tour


def guide(talk: Talk) -> None:
    """After a command: has the step been done, and what is next?"""
    tour = talk.tour
    if tour is None or tour.stage is not Stage.UNDER_WAY or talk.opened is None or talk.failure:
        return
    before, said = tour.number, tour.said()
    tour.look(sight_of(talk))
    after = tour.said()
    if tour.number != before:
        _say(talk)
    elif after is not None and said is not None and after.do != said.do:
        talk.voice.say(after.do)


def _say(talk: Talk, *more: str) -> None:
    """The step in full."""
    said = talk.tour.said() if talk.tour is not None else None
    if said is not None:
        done = [line for line in said.lines if line.startswith("Done: ")]
        rest = [line for line in said.lines if line not in done]
        talk.voice.say_all([*done, f"{capital(said.title)}.", *rest, *([said.do] if said.do else []), *more])  # fmt: skip


def sight_of(talk: Talk) -> Sight:
    """What tour and lesson look at."""
    assert talk.opened is not None
    starters = talk.opened.roles.named(STARTS)
    return Sight(talk.scene, None, View.PLANT, "", False, 1, False, lambda tag, value: _harmless(talk, tag, value), starters)  # fmt: skip


def _harmless(talk: Talk, tag: str, value: Setting) -> bool:
    opened = talk.opened
    assert opened is not None
    return not asked_before(tag, value, talk.now, opened, guarded=tag in opened.guarded).lines


def typed_so(talk: Talk, *words: str) -> bool:
    """Was this typed last? In any case of letters, with ``and`` or commas or neither, with more behind it."""
    line = _bare(talk.line)
    return any(line == _bare(word) or line.startswith(f"{_bare(word)} ") for word in words)


def _bare(line: str) -> str:
    return " ".join(word for word in line.lower().replace(",", " ").split() if word != "and")


def _on(talk: Talk, step: PlainStep) -> Step:
    return lambda sight, notes, part: step(talk, notes, part)


def saying(words: str, do: str, done: str = "") -> Saying:
    """Nothing is pointed at."""
    return Saying(words, do, Pointer(), done)


# The six.


def a_part(talk: Talk, notes: Notes, part: str) -> Saying:
    """Hear about a part."""
    target = part or STOP_TAG
    words = "Whatever a hand can move has a tag, and so has every instrument. Type parts to hear them all, part and a tag to hear about one."  # fmt: skip
    done = f"you heard about {target}." if typed_so(talk, f"part {target}") else ""
    return saying(words, f"Type: part {target}", done)


def a_valve(talk: Talk, notes: Notes, part: str) -> Saying:
    """Turn a valve over and back."""
    scene = talk.scene
    if part not in scene.tags:
        return saying("Open and shut move a valve, set moves anything. No valve can be turned harmlessly as the bench stands now.", "Type: skip")  # fmt: skip
    now = scene.setting(part)
    first = notes.at_first.setdefault(part, now)
    notes.flags |= {"turned"} if now != first else set()
    done = f"{part} was turned over and is {scene.setting_words(part)} again." if "turned" in notes.flags and now == first else ""  # fmt: skip
    back = ", as it was" if "turned" in notes.flags else ""
    return saying(f"Open and shut move a valve, set moves anything. {valve_words(scene, part, first)}", f"Type: {'shut' if now == 1.0 else 'open'} {part}{back}", done)  # fmt: skip


def time_passes(talk: Talk, notes: Notes, part: str) -> Saying:
    """Let time pass."""
    begun = float(notes.at_first.setdefault("begun", talk.now.time_s) or 0.0)
    words = "The plant's time stands still while you think. An act of your hand takes half a second of it; wait lets it pass, and what happens meanwhile is told. wait until steady and wait until equalised end by themselves."  # fmt: skip
    passed = typed_so(talk, "wait") and talk.now.time_s > begun
    return saying(words, "Type: wait 10", "time has passed." if passed else "")


def a_gauge(talk: Talk, notes: Notes, part: str) -> Saying:
    """Read the suction gauge, and what that means."""
    scene = talk.scene
    words = "read tells what an instrument shows, several with commas between them. A gauge also says at which temperature the refrigerant boils at the pressure that it shows: read evaporating."  # fmt: skip
    means = "" if scene.own_work else f", and that is {scene.words('suction_saturation_temperature_k')} for the refrigerant. {boiling_words(scene)}"  # fmt: skip
    tag = scene.dial("suction_pressure_pa", "suction")
    done = f"{tag} shows {scene.words('suction_pressure_pa')}{means or '.'}" if typed_so(talk, f"read {tag.lower()}", "read suction") else ""  # fmt: skip
    return saying(words, f"Type: read {tag}", done)


def the_stop(talk: Talk, notes: Notes, part: str) -> Saying:
    """Press the emergency stop and release it; on a running plant only hear about it."""
    scene = talk.scene
    words = f"stop presses the red button {STOP_TAG} at once and never asks. It stays in until somebody releases it."  # fmt: skip
    if STOP_TAG not in scene.tags:
        return saying("This rig has no emergency stop with a tag of its own.", "Type: skip")
    if scene.setting(STOP_TAG) not in RELEASED:
        notes.flags.add("pressed")
        on = [tag for tag in sight_of(talk).starters if scene.setting(tag) == "on"]
        first = f"First switch {on[0]} off, or the compressor may start as you release. Type: set {on[0]} off" if on else ""  # fmt: skip
        return saying(words, first or f"Now find the cause; here it was you. Type: set {STOP_TAG} released")  # fmt: skip
    if "pressed" in notes.flags:
        return saying(words, "", f"{STOP_TAG} was pressed and is released again.")
    if talk.now.running:
        done = "stop presses it at any time." if typed_so(talk, f"part {STOP_TAG}") else ""
        return saying(words, f"The plant runs, so leave the button alone this time. Type: part {STOP_TAG}", done)  # fmt: skip
    return saying(words, "The compressor stands still, so try it. Type: stop")


def the_help(talk: Talk, notes: Notes, part: str) -> Saying:
    """Ask for help."""
    done = "you know where help is." if typed_so(talk, "help", "glossary") else ""
    return saying("help lists the commands; help and a command says more; glossary and a word says what the trade means by it. look, listen and touch go round the plant.", "Type: glossary superheat", done)  # fmt: skip


STEPS: tuple[tuple[str, PlainStep], ...] = (
    ("a part", a_part),
    ("a valve", a_valve),
    ("time", time_passes),
    ("a pressure gauge", a_gauge),
    ("the emergency stop", the_stop),
    ("help", the_help),
)

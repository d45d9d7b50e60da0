"""Two lessons, typed. The first: cold start, steady running, the needle a step down and up, over to the capillary, stop. The second: heating with coil B, and back. Why a step is done and what to type; every number is what the bench then says.

A step is a row of acts. One is done when the bench stands so, when the time has passed, or when its words have been typed.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from sim.errors import UsageError
from tui.desk import nudged
from tui.plain.guiding import begin, saying, typed_so
from tui.plain.parts import lined_up
from tui.plain.talk import Talk
from tui.plant import Setting
from tui.tour import Notes, Saying, Step, Tour

DEVICE, TUBE, NEEDLE = "hand", "capillary", "HCV-22"
TAGS = ("HS-1", "HS-2", "HS-3", "HS-4", "HS-5", "HS-6", "HV-11", "HV-12", "HV-13", "HV-21", "HV-22", "HV-32", NEEDLE)  # fmt: skip
AFTER_FIRST = "Next: type lesson heating, or begin thermostatic for another metering device."
AFTER_HEATING = "Next: the same start on another metering device. Type begin thermostatic."
Done = Callable[[Talk, Notes], bool]


class Act(NamedTuple):
    """One thing to do."""

    typed: Callable[[Notes], str]
    done: Done


class Stage(NamedTuple):
    """A step of the lesson."""

    title: str
    why: str
    acts: tuple[Act, ...]


def put(tag: str, value: Setting, typed: str = "") -> Act:
    """Until a setting stands so."""
    words = typed or f"set {tag} {value}"
    return Act(lambda notes: words, lambda talk, notes: talk.scene.setting(tag) == value)


def waited(minutes: float) -> Act:
    """Until so much time has passed since it was asked for."""
    return Act(lambda notes: f"wait {minutes:g} min", lambda talk, notes: talk.now.time_s >= _since(talk, notes) + 60.0 * minutes - 1.0)  # fmt: skip


def typed(words: str, *also: str) -> Act:
    """Until this has been typed."""
    return Act(lambda notes: words, lambda talk, notes: talk.heard > _heard(talk, notes) and typed_so(talk, words, *also))  # fmt: skip


def _since(talk: Talk, notes: Notes) -> float:
    return float(notes.at_first.setdefault(f"since {len(notes.flags)}", talk.now.time_s) or 0.0)


def _heard(talk: Talk, notes: Notes) -> int:
    """How many lines had been typed when the act was asked for."""
    return int(notes.at_first.setdefault(f"heard {len(notes.flags)}", talk.heard) or 0)


def _less(notes: Notes) -> float:
    return float(notes.at_first.get("less") or 0.0)


def _turned_down(talk: Talk, notes: Notes) -> bool:
    now = talk.scene.setting(NEEDLE)
    first = notes.at_first.setdefault("needle", now)
    notes.at_first.setdefault("less", nudged(talk.scene.tags[NEEDLE], first, -1))
    return now == _less(notes)


DOWN = Act(lambda notes: f"set {NEEDLE} {100 * _less(notes):g}%", _turned_down)
UP = Act(
    lambda notes: f"set {NEEDLE} {100 * float(notes.at_first['needle'] or 0.0):g}%",
    lambda talk, notes: talk.scene.setting(NEEDLE) == notes.at_first["needle"],
)
LINED_UP = Act(lambda notes: f"begin {DEVICE}", lambda talk, notes: _on(talk, DEVICE))
RUNNING = Act(lambda notes: f"steady {TUBE}", lambda talk, notes: _on(talk, TUBE) and talk.now.running)  # fmt: skip
DRAWN_TOGETHER = typed("wait until equalised", "wait")
FIRST = (
    Stage("look along the line", "Liquid must have one way, and only one, from the receiver to the coil. While everything stands, both gauges show the same: the saturation pressure at the room's temperature, each to its own steps.",
          (LINED_UP, typed("status"), typed("read PI-1, PI-2", "read all"))),
    Stage("air first, then the liquid's solenoid", "A compressor started without air over its coils is soon stopped by PSHH-1. HS-6 opens the solenoid in the liquid line.",
          (put("HS-1", "on"), put("HS-2", "low"), put("HS-3", "high"), put("HS-6", "on"), typed("read JI-1", "read all"))),
    Stage("start", "A start draws a short high current, beyond the ammeter's scale; peaks tells it from what the panel held. Then suction falls and discharge climbs.",
          (typed("peaks new"), put("HS-4", "on"), typed("wait 10", "wait"), typed("peaks"), typed("read II-1, PI-1, PI-2", "read all"))),
    Stage("metal takes its time", "Pressures settle in minutes; shell and discharge pipe go on warming for long.",
          (waited(10), typed("read PI-1, PI-2, superheat, JI-1", "read all"), typed("look"))),
    Stage("a small turn of the needle", "The metering device sets how much liquid the coil gets, not the temperature. Less liquid: suction falls, superheat rises, by more than one would think from so small a turn.",
          (DOWN, waited(3), typed("read PI-1, superheat", "read all"), UP, waited(3))),
    Stage("over to the capillary", "The new way is opened first: with none open, suction is pumped down within seconds and PSL-1 stops the machine.",
          (put("HV-21", 1.0, "open HV-21"), put("HV-22", 0.0, "shut HV-22"), waited(3), typed("read PI-1, PI-2, superheat", "read all"))),
    Stage("stop", "The tube cannot shut. With HV-12 open the receiver empties through it into the cold coil, and the next start draws that liquid. Then the two pressures draw together; a start waits for that.",
          (put("HS-4", "off"), put("HV-12", 0.0, "shut HV-12"), DRAWN_TOGETHER, typed("read PI-1, PI-2", "read all"))),
    Stage("fans last", "The fans bring both coils to the room's temperature, so that no liquid collects in a cold one.",
          (waited(5), put("HS-2", "off"), put("HS-3", "off"), put("HS-6", "off"), put("HS-1", "off"))),
)  # fmt: skip


HEATING = (
    Stage("a plant that runs on the capillary", "The tube lets refrigerant through either way, so it serves for both directions.",
          (RUNNING, typed("status"), typed("read PI-1, PI-2", "read all"))),
    Stage("stop, and shut the receiver in", "HV-12 is the urgent one: through the tube the receiver would empty. In heating the refrigerant goes round the receiver by HV-13. HV-32 is shut, or the float drum would fill.",
          (put("HS-4", "off"), put("HV-12", 0.0, "shut HV-12"), put("HV-11", 0.0, "shut HV-11"), put("HV-32", 0.0, "shut HV-32"), put("HV-13", 1.0, "open HV-13"))),
    Stage("turn the mode over", "Only on a plant that stands, with pressures drawn together. The slide of the reversing valve does not move yet: it needs the running compressor's pressure difference. Coil B will be the hot one, so its fan runs high now.",
          (DRAWN_TOGETHER, put("HS-5", "heating"), put("HS-2", "high"), put("HS-3", "low"), typed("status"))),
    Stage("heat", "The start moves the slide. Then coil B warms its air and coil A cools its; this charge is more than heating needs, so the gas at the compressor stays a little wet.",
          (put("HS-4", "on"), typed("wait until steady", "wait"), typed("read PI-1, PI-2, superheat, JI-1", "read all"), typed("look"))),
    Stage("back to cooling", "The same way round: stop, wait, turn the mode, line up, start at once. With HV-12 open the tube fills the cold coil as long as the machine stands.",
          (put("HS-4", "off"), DRAWN_TOGETHER, put("HS-5", "cooling"), put("HV-13", 0.0, "shut HV-13"), put("HV-11", 1.0, "open HV-11"), put("HV-32", 1.0, "open HV-32"), put("HS-2", "low"), put("HS-3", "high"),
           put("HV-12", 1.0, "open HV-12"), put("HS-4", "on"), waited(3), typed("status"))),
)  # fmt: skip
LESSONS = {"": (FIRST, "lesson", AFTER_FIRST), "heating": (HEATING, "lesson in heating", AFTER_HEATING)}  # fmt: skip


def lesson(talk: Talk, typed: str) -> None:
    """``lesson``, ``lesson heating``: begins it. Raises UsageError on a rig with other tags."""
    missing = [tag for tag in TAGS if tag not in talk.scene.tags]
    if missing:
        raise UsageError(f"The lessons are for a bench that has {missing[0]}. Type tour instead.")
    if typed.lower() not in LESSONS:
        raise UsageError("Type lesson for the first one, or lesson heating.")
    stages, name, later = LESSONS[typed.lower()]
    steps = tuple((stage.title, _step(talk, stage)) for stage in stages)
    begin(talk, Tour(steps, lambda sight: "", name, later))


def _on(talk: Talk, device: str) -> bool:
    """Do the valves stand for cooling on this device?"""
    found = lined_up(talk)
    return found is not None and found.device == device and talk.scene.setting("HS-5") == "cooling"


def _step(talk: Talk, stage: Stage) -> Step:
    def step(sight: object, notes: Notes, part: str) -> Saying:
        while len(notes.flags) < len(stage.acts):
            act = stage.acts[len(notes.flags)]
            if not act.done(talk, notes):
                return saying(stage.why, f"Type: {act.typed(notes)}")
            notes.flags.add(f"{len(notes.flags)}")
        return saying(stage.why, "", f"{stage.title}.")

    return step

"""Commands about the bench as a whole: beginning, loading, leaving; and how it stands, in words."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from sim.errors import UsageError
from sim.record import did_you_mean
from sim.starts import DEVICES
from tui.assessed import ONE_BENCH, STANDS, sentence
from tui.desk import pressed_stop
from tui.draw.symbols import STOP_TAG
from tui.plain.aloud import capital, clock_words
from tui.plain.looking import reading_sentence
from tui.plain.naming import instruments
from tui.plain.parts import lined_up, setting_lines, stands
from tui.plain.talk import Talk, slide_words
from tui.seen import tripped
from tui.session.notebook import unwritten_words
from tui.words import listed

FIRST_READ = ("suction_pressure_pa", "discharge_pressure_pa")
"""What is read out first, as one would look first."""


def begin(talk: Talk, typed: str) -> None:
    """``begin``, ``begin thermostatic``: cold and lined up for a metering device."""
    device = _device(typed) if typed else None
    if _given_up(talk):
        talk.open(replace(talk.begin, start="off", device=device, load=None))
        talk.voice.say_all(how_it_stands(talk))


def steady(talk: Talk, typed: str) -> None:
    """``steady thermostatic``: a bench that has been running for two hours."""
    if not typed:
        raise UsageError(f"Say on which device: steady {', steady '.join(DEVICES)}.")
    device = _device(typed)
    if _given_up(talk):
        talk.voice.say("Two hours of running in are computed; that takes some seconds.")
        talk.open(replace(talk.begin, start="steady", device=device, load=None))
        talk.voice.say_all(how_it_stands(talk))


def load(talk: Talk, typed: str) -> None:
    """``load FILE``."""
    if not typed:
        raise UsageError("Say which file, as in: load monday.rime.")
    if _given_up(talk):
        talk.open(replace(talk.begin, load=typed))
        talk.notebook.open(Path(typed))
        talk.voice.say_all(how_it_stands(talk))


def leave(talk: Talk, typed: str) -> None:
    """``quit``: while the compressor runs, or with notes that are not saved, a person is asked first; a script is not."""
    running = not talk.failure and talk.now.running
    lines = ["The compressor runs. On a real plant one would stop it first."] if running else []
    noted = talk.notebook.unwritten
    lines += [f"{unwritten_words(noted)} Type save and a file name, and they stand beside it."] if noted else []  # fmt: skip
    talk.over = not lines or not talk.voice.by_hand or talk.voice.agreed(lines, "leave")


def _device(typed: str) -> str:
    name = typed.lower().removeprefix("on ").removeprefix("the ")
    if name not in DEVICES:
        raise UsageError(f"There is no metering device {typed}. {did_you_mean(name, DEVICES)}")
    return name


def _given_up(talk: Talk) -> bool:
    """What runs now would be lost: asked, as on the full screen. Raises UsageError in an assessed session."""
    if talk.assessed and talk.opened is not None and not talk.failure:
        raise UsageError(sentence(ONE_BENCH))
    noted = talk.notebook.unwritten
    lines = [unwritten_words(noted)] if noted else []
    if talk.unsaved and not talk.failure:
        lines = [
            "What runs now is given up; type save and a file name first if you need it.",
            *lines,
        ]
    return not lines or talk.voice.agreed(lines, "begin again all the same")


def unsaved_words(talk: Talk) -> str:
    """What was saved and where, and what leaving now gives up; '' when there is nothing of either."""
    noted = talk.notebook.unwritten
    return f"{_bench_words(talk)} {unwritten_words(noted) if noted else ''}".strip()


def _bench_words(talk: Talk) -> str:
    if talk.opened is None:
        return ""
    saved = f"Saved: {talk.saved}." if talk.saved else ""
    if not talk.unsaved:
        return f"{saved} Nothing has changed since." if saved else ""
    stood = f"it stood at {clock_words(talk.now.time_s)} on its clock"
    return f"{saved} What came after was not saved; {stood}." if saved else f"The bench was not saved; {stood}."  # fmt: skip


def how_it_stands(talk: Talk) -> list[str]:
    """Where the bench stands: cold or running, line-up, gauges, settings that matter, what has tripped."""
    snapshot, rig = talk.look(), talk.bench.rig
    line_up = lined_up(talk)
    machine = "the compressor runs" if snapshot.running else "the compressor stands"
    lines = [f"{capital(rig.title)}, refrigerant {rig.fluid_name}. The clock stands at {clock_words(snapshot.time_s)}; {machine}."]  # fmt: skip
    lines += [sentence(STANDS)] if talk.assessed else []
    lines.append(f"Lined up for {line_up.what}." if line_up is not None else "Its valves stand in no line-up of the rig.")  # fmt: skip
    lines += [*_switches(talk), *_modes(talk)]
    lines += [f"{info.tag} is pressed." for info in (talk.scene.tags.get(STOP_TAG),) if info and talk.scene.setting(info.tag) == pressed_stop(info)]  # fmt: skip
    opened = tripped(snapshot, talk.scene.kinds)
    lines += [f"Tripped: {listed(opened)}."] if opened else []
    dials = instruments(talk)
    lines += [
        reading_sentence(talk, dials[tag])
        for tag in map(talk.scene.dial, FIRST_READ)
        if tag in dials
    ]
    return lines


def _switches(talk: Talk) -> list[str]:
    """The panel in one sentence when everything is off, and the valves."""
    lines = setting_lines(talk)
    powered = [info for info in talk.scene.tags.values() if info.kind == "selector" and "off" in info.choices]  # fmt: skip
    on = [info for info in powered if talk.scene.setting(info.tag) != "off"]
    valves = [line for line in lines if line.startswith(("Open: ", "Shut: "))]
    if not powered:
        return valves
    if not on:
        return [*valves, "Everything at the panel is off."]
    said = [f"{info.tag} {talk.scene.setting(info.tag)}" for info in on]
    return [*valves, f"At the panel: {listed(said)}."]


def _modes(talk: Talk) -> list[str]:
    """What stands under a guard, and where the slide is that one of them sends for."""
    guarded = talk.opened.guarded if talk.opened is not None else ()
    infos = [info for tag, info in talk.scene.tags.items() if tag in guarded]
    lines = [f"{info.tag}, {info.what}, under a guard: {stands(talk, info)}." for info in infos]
    slide = slide_words(talk.now)
    return [*lines, *([f"{slide}."] if slide else [])]

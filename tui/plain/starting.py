"""The first bench of a conversation: what the settings say, what a session that broke off has left, or what was asked for on the command line."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from sim.errors import InputError, PlantError
from tui.plain.talk import Talk
from tui.plain.voice import NO, YES, Voice
from tui.session.autosave import OF_ANOTHER, Left
from tui.session.kept import Kept
from tui.session.notebook import beside

BROKE_OFF = "A session broke off."
ASKED = "Type yes to go on where it broke off, no to have what was kept removed. Anything else leaves it for the next start."  # fmt: skip


def open_first(talk: Talk, kept: Kept) -> None:
    """Open it. Raises what the opener raises for the bench of the command line."""
    talk.voice.say_all(_mistakes(kept))
    if _went_on(talk, kept):
        return
    begin = talk.begin
    talk.open(begin)
    if begin.load is not None:
        talk.notebook.open(Path(begin.load))
    talk.keeping.begin(talk.bench)


def _mistakes(kept: Kept) -> list[str]:
    """What is wrong with the settings file."""
    told = kept.file.told if kept.file is not None else []
    return ["The settings have mistakes.", *told, "The defaults hold until that is mended; the file is left as it is."] if told else []  # fmt: skip


def _went_on(talk: Talk, kept: Kept) -> bool:
    """Ask what becomes of a bench that was left behind. True when that is the bench now."""
    left, kept.left = kept.left, None
    if left is None or kept.keeper is None:
        return False
    if not talk.voice.by_hand:
        left.lock.release()
        _tell_a_script(left)
        return False
    if left.assessed and talk.begin.instructor:
        left.lock.release()
        talk.voice.say(f"{OF_ANOTHER[0].upper()}{OF_ANOTHER[1:]}.")
        return False
    talk.voice.say(f"{BROKE_OFF} {left.words}")
    answer = talk.voice.answer(ASKED)
    if answer == YES[0]:
        return _opened(talk, kept, left)
    if answer == NO[1]:
        left.remove()
        talk.voice.say("It is removed.")
        return False
    left.lock.release()
    talk.voice.say("It stays for the next start.")
    return False


def _opened(talk: Talk, kept: Kept, left: Left) -> bool:
    """Go on with it; what cannot be opened stays where it is, and is told."""
    begin = talk.begin
    try:
        talk.open(replace(begin, load=str(left.bench)))
    except (InputError, PlantError) as error:
        left.lock.release()
        talk.voice.say(f"It cannot be opened: {error} It stays in {left.folder}.")
        return False
    assert kept.keeper is not None
    kept.keeper.adopt(left)
    talk.notebook.load(beside(left.folder / "bench.rime"))
    talk.unsaved = True
    talk.keeping.begin(talk.bench)
    return True


def _tell_a_script(left: Left) -> None:
    """Where nobody types nothing is asked, so that no line of a script is taken for the answer."""
    Voice(sys.stdin, sys.stderr).say(f"{BROKE_OFF} {left.words} A start at a keyboard asks what becomes of it. It can be opened by: rimebench --plain --load {left.bench}")  # fmt: skip

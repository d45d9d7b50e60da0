"""The conversation from the first words to the last. ``run`` is the way in.

Exit codes: 0; 1 when commands came through a pipe or file and one of them was not understood, was refused or ended at a trip; 3 when the plant could
not be computed any further; 128 and its number at a signal. Ctrl-C and a reader that goes away: see ``tui.cli``.
"""

from __future__ import annotations

import io
import re
import signal
import sys
import time
from dataclasses import replace

from sim.errors import FluidRangeError, InputError, PlantError, UsageError
from tui.cautions import first_run_lines
from tui.opening import open_plant
from tui.orders import Begin
from tui.plain.alongside import CutShortError
from tui.plain.aloud import capital
from tui.plain.beginning import how_it_stands, unsaved_words
from tui.plain.guiding import guide
from tui.plain.keeping import STAYS, Keeping
from tui.plain.starting import open_first
from tui.plain.talk import Talk
from tui.plain.vocabulary import carry_out
from tui.plain.voice import Voice
from tui.runner import Opener
from tui.session.kept import Kept
from tui.session.signals import EndedError, Endings

WHAT = "Rimebench in plain sentences: a computed refrigeration plant to practise on. You type commands, the bench answers. Its time stands still until you type wait; an act of your hand takes half a second."
READ = "Type yes when you have read the cautions; anything else leaves the program."
HINT = "Type help for the commands, tour to be shown round, lesson for a first lesson."
ASSESSED_HINT = "Type help for the commands."
SENTENCE = re.compile(r"[a-z]+ ")
"""What begins so is a sentence, and not a file's name."""
QUIET_S = 10.0
"""Wall seconds between two words about what is being prepared."""


def run(begin: Begin, *, instructor: bool = False, assessed: bool = False, opener: Opener = open_plant, voice: Voice | None = None, kept: Kept | None = None) -> int:  # fmt: skip
    """Talk until quit or the end of input. Exit code. Raises InputError for a rig or file that cannot be read, KeyboardInterrupt for Ctrl-C, OSError when nobody reads any more."""
    endings, kept = Endings(), kept if kept is not None else Kept()
    begin = replace(begin, instructor=instructor, assessed=assessed)
    talk = Talk(
        voice or _usual_voice(), begin, opener, Preparing(), notebook=kept.notebook, kept=kept
    )
    talk.scene.instructor, talk.scene.own_work, talk.assessed = instructor, assessed, assessed
    talk.keeping, talk.voice.listening = Keeping(kept.keeper, endings), endings.listening
    with endings.watching():
        try:
            return _conversation(talk, kept)
        except EndedError as ended:
            return _ended(talk, ended)
        except OSError:  # nobody reads any more
            _keep(talk)
            raise


def _usual_voice() -> Voice:
    if isinstance(sys.stdin, io.TextIOWrapper):  # bytes that are no text become a refused command
        sys.stdin.reconfigure(errors="replace")
    return Voice(sys.stdin, sys.stdout)


def _conversation(talk: Talk, kept: Kept) -> int:
    voice = talk.voice
    voice.say_all(first_run_lines())
    voice.say(WHAT)
    if voice.by_hand and not voice.yes(READ):
        return 0
    open_first(talk, kept)
    voice.say_all(how_it_stands(talk))
    voice.say(ASSESSED_HINT if talk.assessed else HINT)
    try:
        _lines(talk)
    except KeyboardInterrupt:
        voice.new_line()
        if not talk.unsaved:
            talk.keeping.close()
        voice.say(f"Stopped by hand. {unsaved_words(talk)} {STAYS if talk.keeping.holds else ''}".rstrip())  # fmt: skip
        raise
    farewell = unsaved_words(talk)
    if farewell:
        voice.say(farewell)
    talk.keeping.close()
    return exit_code(talk)


def _lines(talk: Talk) -> None:
    """Line after line, until quit or the end of input."""
    while not talk.over:
        line = talk.voice.hear()
        if line is None:
            talk.voice.new_line()
            talk.voice.say("End of input.")
            return
        one(talk, line)
        _keep(talk)
        trouble = talk.keeping.told()
        if trouble:
            talk.voice.say(trouble)


def _keep(talk: Talk) -> None:
    """A bench that can still be computed is kept."""
    if talk.opened is not None and not talk.failure:
        talk.keeping.keep(talk.opened.bench)


def _ended(talk: Talk, ended: EndedError) -> int:
    """The last save; said where there may be somebody to hear it."""
    _keep(talk)
    if ended.number == signal.SIGTERM and talk.opened is not None:
        talk.voice.new_line()
        talk.voice.say(f"The system ends the program. {unsaved_words(talk)} {STAYS if talk.keeping.holds else ''}".rstrip())  # fmt: skip
    return ended.code


def one(talk: Talk, line: str) -> None:
    """Carry out one line; what is wrong with it is said, and the conversation goes on."""
    try:
        if carry_out(talk, line):
            guide(talk)
    except (UsageError, InputError, CutShortError) as error:
        talk.wrong += 1
        talk.voice.say(capital(str(error)) if SENTENCE.match(str(error)) else str(error))
    except (PlantError, FluidRangeError) as error:
        talk.wrong += 1
        talk.voice.say(f"The plant could not be computed: {error}")


def exit_code(talk: Talk) -> int:
    """See above."""
    if talk.failure:
        return 3
    return 1 if talk.wrong and not talk.voice.by_hand else 0


class Preparing:
    """Says on standard error what is being got ready, when it takes long."""

    def __init__(self) -> None:
        self._said_at = time.monotonic()
        self._voice = Voice(io.StringIO(), sys.stderr)

    def __call__(self, what: str, share: float | None) -> None:
        """Told by the opener, as often as it likes."""
        if time.monotonic() - self._said_at < QUIET_S:
            return
        self._said_at = time.monotonic()
        part = "" if share is None else f", {100 * share:.0f} %"
        self._voice.say(f"Still getting the plant ready: {what}{part}.")

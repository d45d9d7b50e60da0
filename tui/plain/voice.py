"""Lines out, lines in. One sentence or paragraph at a time, wrapped, flushed at once; nothing moves the cursor, nothing is coloured."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable
from contextlib import AbstractContextManager, nullcontext
from typing import TextIO

from tui.plain.aloud import aloud

WIDTH = 78
PROMPT = "> "
YES = ("yes", "y")
NO = ("", "no", "n")


class Voice:
    """Speaks on ``out`` and listens to ``source``; prompts only when a person types."""

    def __init__(self, source: TextIO, out: TextIO) -> None:
        self._source, self._out = source, out
        self.by_hand = source.isatty()
        self.listening: Callable[[], AbstractContextManager[None]] = nullcontext
        """Within it a line is waited for: nothing is under way that an end would tear apart."""
        self._pending: str | None = None
        self.comma = False
        """Numbers with a unit are said with a decimal comma."""

    def say(self, text: str = "") -> None:
        """A paragraph. Raises BrokenPipeError when nobody reads any more."""
        lines = textwrap.wrap(
            aloud(text, self.comma), WIDTH, break_long_words=False, break_on_hyphens=False
        )
        self._out.write("\n".join(lines) + "\n")
        self._out.flush()

    def say_all(self, paragraphs: Iterable[str]) -> None:
        """One after the other."""
        for text in paragraphs:
            self.say(text)

    def new_line(self) -> None:
        """After a key that the terminal has echoed without ending the line."""
        if self.by_hand:
            self._out.write("\n")

    def hear(self) -> str | None:
        """The next line, without its end; None when there is no more."""
        if self._pending is not None:
            line, self._pending = self._pending, None
            return line
        if self.by_hand:
            self._out.write(PROMPT)
            self._out.flush()
        with self.listening():
            line = self._source.readline()
        return line.strip() if line else None

    def answer(self, question: str) -> str:
        """Ask, and wait for ``yes`` or ``no``; '' for any other line. A command among them is heard again next."""
        self.say(question)
        typed = self.hear()
        if typed is not None and typed.lower() not in (*YES, *NO):
            self._pending = typed
        if not typed:
            return ""
        return YES[0] if typed.lower() in YES else NO[1] if typed.lower() in NO else ""

    def yes(self, question: str) -> bool:
        """Ask, and wait for a typed yes. Any other line means no."""
        return self.answer(question) == YES[0]

    def agreed(self, lines: Iterable[str], act: str) -> bool:
        """Read out what has to be read before an act, and ask."""
        self.say_all(lines)
        agreed = self.yes(f"Type yes to {act}; anything else leaves it as it is.")
        if not agreed:
            self.say("Left as it is.")
        return agreed

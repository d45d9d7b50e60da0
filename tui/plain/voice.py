"""Lines out, lines in. One sentence or paragraph at a time, wrapped, flushed at once; nothing moves the cursor, nothing is coloured."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable
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
        self._pending: str | None = None

    def say(self, text: str = "") -> None:
        """A paragraph. Raises BrokenPipeError when nobody reads any more."""
        lines = textwrap.wrap(aloud(text), WIDTH, break_long_words=False, break_on_hyphens=False)
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
        line = self._source.readline()
        return line.strip() if line else None

    def yes(self, question: str) -> bool:
        """Ask, and wait for a typed yes. Any other line means no; a command among them is heard again next."""
        self.say(question)
        answer = self.hear()
        if answer is not None and answer.lower() not in (*YES, *NO):
            self._pending = answer
        return answer is not None and answer.lower() in YES

    def agreed(self, lines: Iterable[str], act: str) -> bool:
        """Read out what has to be read before an act, and ask."""
        self.say_all(lines)
        agreed = self.yes(f"Type yes to {act}; anything else leaves it as it is.")
        if not agreed:
            self.say("Left as it is.")
        return agreed

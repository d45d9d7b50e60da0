"""Bench and copy of one conversation: time passes on both, what happens on the other is told under its name, and a copy may end before the bench."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tui.plain.talk import Talk

COPY = "copy"


class CutShortError(Exception):
    """A command has done what it could and this was not what was asked: a trip before the end of a wait."""


@dataclass
class Alongside:
    """The other of the two, as one of them knows it."""

    partner: Talk | None = None
    """On the same clock."""
    name: str = "bench"
    """What this one's events are said to have happened on."""
    parted_s: float = 0.0
    """Of a copy: when it was made."""

    @contextmanager
    def outlived(self) -> Iterator[None]:
        """A copy that cannot be computed any further ends here, and the bench goes on. Raises CutShortError when it is the bench that cannot."""
        try:
            yield
        except CutShortError:
            other = self.partner
            if other is None or not other.failure or other.alongside.name != COPY:
                raise
            self.partner = None
            other.voice.say(f"The copy ends: {other.failure}")

    def run(self, seconds: float) -> None:
        """The same time passes on the other."""
        if self.partner is not None:
            with self.outlived():
                self.partner.run(seconds)

    def tell(self) -> None:
        """What has happened on the other meanwhile, told while this one is at hand, with its cautions."""
        other = self.partner
        if other is None or other.failure or len(other.bench.events) <= other.told:
            return
        with self.outlived():
            new = other.heard_anew()
            other.voice.say_all(f"On the {other.alongside.name}: {other.event_words(event)}" for event in new)  # fmt: skip
            other.warn(new)

    def left(self) -> bool:
        """There is no partner any more. Was there one?"""
        was, self.partner = self.partner, None
        return was is not None

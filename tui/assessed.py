"""What an assessed session does not give, in the words in which the screen and the plain sentences refuse it."""

from __future__ import annotations

ONE_BENCH = "there is one bench, from its beginning to its end"
"""No copy, no look ahead, no other bench."""
NO_WAY_BACK = "there is no way back, as on a plant"
NO_TRUTH = "the instruments are all there is"
COVERED = "results are covered until you have yours"
CYCLE = "the cycle is yours to find"
PRACTICE = "tours and lessons are for practice"
RESULT = "yours to work out; this session is assessed"
"""In the place of a number that follows from several readings."""
STANDS = "no way back, and results are yours to work out"
"""What is said of it when its bench is opened."""


def refused(why: str) -> str:
    """A notice on the screen."""
    return f"this session is assessed: {why}"


def sentence(why: str) -> str:
    """The same as a sentence."""
    return f"This session is assessed: {why}."

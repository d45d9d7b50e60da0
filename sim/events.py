"""Something that happened on a bench."""

from __future__ import annotations

from dataclasses import dataclass

KINDS = (
    "command", "contact", "trip", "reset", "lift", "burst", "slug", "stall", "damage", "empty",
    "beyond-tables", "violation", "fault", "note", "record",
)  # fmt: skip
"""Kinds of events, in the words of the run log."""
RECORD = "record"
"""What is carried over when the clock goes back or a bench begins again (``tui.mishaps``)."""


@dataclass(frozen=True)
class Event:
    """At ``time_s`` something of this kind happened to ``tag``; ``text`` is one plain sentence."""

    time_s: float
    tag: str
    kind: str
    text: str

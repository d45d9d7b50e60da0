"""Something that happened on a bench."""

from __future__ import annotations

from dataclasses import dataclass

KINDS = (
    "command", "contact", "trip", "reset", "lift", "burst", "slug", "stall", "damage", "empty",
    "beyond-tables", "violation", "fault", "note",
)  # fmt: skip
"""Kinds of events, in the words of the run log."""


@dataclass(frozen=True)
class Event:
    """At ``time_s`` something of this kind happened to ``tag``; ``text`` is one plain sentence."""

    time_s: float
    tag: str
    kind: str
    text: str

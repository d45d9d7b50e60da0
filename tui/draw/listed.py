"""A sheet for a rig that nobody has drawn: its parts as a list, so that every rig can be worked from the screen."""

from __future__ import annotations

from collections.abc import Sequence

from tui.draw.drawing import Drawing, Sheet, Symbol
from tui.plant import TagInfo

AT_WIRING = ("lead", "jumper")
"""Kinds of tags that have their place on the ladder."""
WIDTH, ROWS = 78, 19
"""The small sheet's size."""


def listed(tags: Sequence[TagInfo]) -> Drawing:
    """One line for each tag that a hand can move, in as many columns as are needed; what is worked at the wiring stands on the ladder."""
    tags = [info for info in tags if info.kind not in AT_WIRING]
    rows = max(ROWS, -(-len(tags) // 3)) if len(tags) > 3 * ROWS else ROWS
    columns = max(1, -(-len(tags) // rows))
    width = WIDTH // columns - 2
    symbols = tuple(
        Symbol(
            tag=info.tag,
            shape="switch",
            at=(index // rows * (width + 2), index % rows),
            size=(width, 1),
            words=info.what,
        )
        for index, info in enumerate(tags)
    )
    return Drawing("no drawing", Sheet(width=WIDTH, height=rows), symbols=symbols)

"""A list that is longer than its pane: it scrolls no further than its cursor needs, and knows what stands in which row."""

from __future__ import annotations


class Scrolled:
    """``lines`` names what every line of the whole list belongs to; ``heads`` rows above it stand still."""

    heads = 1

    def __init__(self) -> None:
        self.top = 0
        self.lines: list[str] = []
        self.room = 0

    def follow(self, cursor: str) -> None:
        """Bring the cursor's lines into sight."""
        mine = [k for k, name in enumerate(self.lines) if name == cursor]
        if mine:
            self.top = max(min(self.top, mine[0]), mine[-1] + 1 - self.room)
        self.top = max(0, min(self.top, len(self.lines) - self.room))

    def paged(self, cursor: str, step: int) -> str:
        """The list goes on by a page, and the cursor with it, as far as there are rows, to something that can be chosen; where that is."""
        by = step * max(1, self.room - 1)
        self.top = max(0, min(self.top + by, len(self.lines) - self.room))
        mine = [k for k, name in enumerate(self.lines) if name == cursor]
        if not mine:
            return next(filter(None, self.lines), cursor)
        start = mine[-1] if step > 0 else mine[0]
        goal = max(0, min(len(self.lines) - 1, start + by))
        way = self.lines[start : goal + 1] if step > 0 else self.lines[goal : start + 1][::-1]
        return next(filter(None, reversed(way)), cursor)

    @property
    def more(self) -> str:
        """Where there is more to read."""
        last = min(len(self.lines), self.top + self.room)
        return "" if len(self.lines) <= self.room else f"lines {self.top + 1} to {last} of {len(self.lines)}"  # fmt: skip

    def place_at(self, y: int) -> str:
        """What stands in a row of the pane, or ''."""
        k = self.top + y - self.heads
        return self.lines[k] if y >= self.heads and 0 <= k < len(self.lines) else ""

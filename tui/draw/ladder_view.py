"""The ladder in its pane: made once for a size, scrolled so that the cursor stays in view."""

from __future__ import annotations

from tui.draw.canvas import Canvas
from tui.draw.glyphs import Glyphs
from tui.draw.ink import Ink
from tui.draw.ladder import LadderPicture
from tui.draw.ladder_build import ladder_of
from tui.draw.ladder_cells import Ladder, Spot
from tui.draw.scene import Scene
from tui.meter import MeterDesk
from tui.wiring_plan import WiringPlan

MARGIN = 2
"""Rows that stay visible above and below the cursor."""


class LadderView:
    """Keeps the picture and where it is scrolled to."""

    def __init__(self) -> None:
        self._made: dict[tuple[int, int, str], LadderPicture] = {}
        self._plan: WiringPlan | None = None
        self._picture: LadderPicture | None = None
        self._followed: tuple[int, int] | None = None
        self.left, self.top = 0, 0
        self._room = (0, 0)

    @property
    def ladder(self) -> Ladder | None:
        """The ladder that was painted last."""
        return self._picture.ladder if self._picture is not None else None

    def paint(self, canvas: Canvas, scene: Scene, desk: MeterDesk, glyphs: Glyphs) -> None:
        """Paint what of the ladder finds room."""
        if scene.plan is None:
            canvas.text_middle(canvas.height // 2, "this rig has no wiring", Ink.FAINT)
            return
        picture = self._picture_of(scene.plan, canvas.width, canvas.height, glyphs)
        here = desk.here(picture.ladder)
        whole = Canvas.blank(*picture.ladder.size)
        picture.paint(whole, scene, desk)
        self._room = canvas.width, canvas.height
        if self._followed != (here.x, here.y):
            self._follow(here)
        self._keep_inside(*picture.ladder.size)
        width = min(canvas.width, whole.width - self.left)
        height = min(canvas.height, whole.height - self.top)
        x, y = self._offset
        canvas.chars[y : y + height, x : x + width] = whole.chars[self.top : self.top + height, self.left : self.left + width]  # fmt: skip
        canvas.inks[y : y + height, x : x + width] = whole.inks[self.top : self.top + height, self.left : self.left + width]  # fmt: skip

    def spot_at(self, x: int, y: int) -> Spot | None:
        """The terminal or wire under a cell of the pane."""
        if self.ladder is None:
            return None
        dx, dy = self._offset
        return self.ladder.at(x - dx + self.left, y - dy + self.top)

    def scroll(self, rows: int) -> None:
        """Look further up or down; the cursor stays."""
        self.top += rows

    @property
    def more(self) -> str:
        """Where there is more to see."""
        if self.ladder is None or self.ladder.size[1] <= self._room[1]:
            return ""
        last = min(self.ladder.size[1], self.top + self._room[1])
        return f"rows {self.top + 1} to {last} of {self.ladder.size[1]}"

    @property
    def _offset(self) -> tuple[int, int]:
        """A small ladder stands in the middle."""
        assert self.ladder is not None
        width, height = self.ladder.size
        return max(0, (self._room[0] - width) // 2), max(0, (self._room[1] - height) // 2)

    def _picture_of(self, plan: WiringPlan, width: int, height: int, glyphs: Glyphs) -> LadderPicture:  # fmt: skip
        if plan is not self._plan:
            self._made, self._plan = {}, plan
        key = width, height, glyphs.name
        if key not in self._made:
            self._made[key] = LadderPicture(ladder_of(plan, width, height), glyphs)
            self._followed = None
        self._picture = self._made[key]
        return self._picture

    def _follow(self, here: Spot) -> None:
        self._followed = (here.x, here.y)
        width, height = self._room
        self.top = max(min(self.top, here.y - MARGIN), here.y + MARGIN + 1 - height)
        self.left = max(min(self.left, here.x - MARGIN), here.x + MARGIN + 1 - width)

    def _keep_inside(self, width: int, height: int) -> None:
        self.top = max(0, min(self.top, height - self._room[1]))
        self.left = max(0, min(self.left, width - self._room[0]))

"""What the person at the bench has chosen: view, units, selected part, trends, scroll; and what a key does to a part.

No Textual here: the screen maps keys to these methods and paints what they leave behind.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from sim.switches import MAIN_SWITCH
from tui.charting import Charting
from tui.draw.drawing import Drawing
from tui.draw.holds import choices_of
from tui.draw.layout import View
from tui.plant import Setting, TagInfo
from tui.senses import Touched
from tui.trending import Trending
from tui.words import UNIT_CHOICES, Units

Direction = Literal["left", "right", "up", "down"]
NEEDLE = "hand_expansion_valve"
"""Kind of the valve that is set in small turns and never flung open or shut."""
NUDGE = 0.05
"""Share of its range that + or - moves a valve."""
ROW_WEIGHT = 2.0
"""A row is about twice as high as a column is wide."""
STOPPED = ("pressed", "in", "on")
"""Names that a pressed emergency stop may have among its choices."""
BUTTONS = ("reset", "press")
"""Kinds of settings that are pressed and not turned."""
RELEASED = (None, "released", "out", "off", False, 0.0)
"""What a released one may be called."""
LETTERS = "abcdefghijklmnopqrstuvwxyz"


class Waiting(NamedTuple):
    """An order on its way: its number, and the setting that it brings."""

    number: int
    value: Setting | None = None


@dataclass
class Desk:
    """Choices of one person."""

    view: View = View.PLANT
    units: Units = UNIT_CHOICES[0]
    instructor: bool = False
    on_fork: bool = False
    """The hand works on the copy beside the bench."""
    selected: str = MAIN_SWITCH
    trending: Trending = field(default_factory=Trending)
    scroll: int = 0
    charting: Charting = field(default_factory=Charting)
    place: str = ""
    """Where the cursor stands among the places that one can look at, listen to and touch."""
    touched: dict[str, Touched] = field(default_factory=dict)
    letters: dict[str, str] = field(default_factory=dict)
    waiting: dict[str, Waiting] = field(default_factory=dict)
    """Tag -> its order that has not been confirmed."""

    def next_units(self) -> Units:
        """Go to the next choice of units."""
        now = Units(self.units.family, self.units.beside)
        index = UNIT_CHOICES.index(now) + 1 if now in UNIT_CHOICES else 0
        chosen = UNIT_CHOICES[index % len(UNIT_CHOICES)]
        self.units = self.units._replace(family=chosen.family, beside=chosen.beside)
        return self.units

    def show(self, view: View) -> None:
        """Change the view; scrolling starts anew."""
        self.view, self.scroll = view, 0

    def confirm(self, applied: int) -> None:
        """Orders up to ``applied`` have been carried out."""
        self.waiting = {tag: order for tag, order in self.waiting.items() if order.number > applied}

    def neighbour(self, drawing: Drawing, direction: Direction) -> str:
        """The nearest part or instrument in a direction from the selected one."""
        choices = choices_of(drawing)
        here = next((hold for hold in choices if hold.tag == self.selected), None)
        if here is None:
            return choices[0].tag if choices else ""
        costs = [(step_cost(other.spot, here.spot, direction), other.tag) for other in choices if other is not here]  # fmt: skip
        cost, tag = min(costs, default=(math.inf, self.selected))
        return tag if cost < math.inf else self.selected

    def following(self, drawing: Drawing, step: int) -> str:
        """The next or the previous one in reading order."""
        order = [hold.tag for hold in choices_of(drawing)]
        if self.selected not in order:
            return order[0] if order else ""
        return order[(order.index(self.selected) + step) % len(order)]

    def label_letters(self, drawing: Drawing) -> dict[str, str]:
        """A letter for everything on the sheet, in reading order; two letters when one is not enough."""
        order = choices_of(drawing)
        second = LETTERS[: -(-len(order) // len(LETTERS))]
        names = list(LETTERS) if len(order) <= len(LETTERS) else [a + b for a in LETTERS for b in second]  # fmt: skip
        self.letters = {hold.tag: name for hold, name in zip(order, names, strict=False)}
        return self.letters


def step_cost(there: tuple[int, int], here: tuple[int, int], direction: Direction) -> float:
    """Distance, with sideways steps counted threefold; infinite when it lies the other way."""
    across, down = there[0] - here[0], (there[1] - here[1]) * ROW_WEIGHT
    ahead, beside = (across, down) if direction in ("left", "right") else (down, across)
    if direction in ("left", "up"):
        ahead = -ahead
    return ahead + 3 * abs(beside) if ahead > 0 else math.inf


def own_settings(tag: str, tags: Mapping[str, TagInfo]) -> list[TagInfo]:
    """All that a hand can move on a part: itself, its set point, its reset, its spring."""
    return [info for name, info in tags.items() if name == tag or name.startswith(f"{tag}.")]


def turned(tag: str, tags: Mapping[str, TagInfo]) -> TagInfo | None:
    """What + and - move of a part: its first setting that is no button."""
    return next((info for info in own_settings(tag, tags) if info.kind not in BUTTONS), None)


def toggled(info: TagInfo, value: Setting | None) -> Setting | None:
    """What Enter makes of a simple part: a valve opens or shuts, a switch of two positions goes over. None: it has to be asked, as with a needle, and with a valve that somebody has throttled."""
    choices = tuple(info.choices)
    if (info.low, info.high) == (0.0, 1.0) and not choices:
        throttled = isinstance(value, float) and 0.0 < value < 1.0
        if throttled or info.kind == NEEDLE:
            return None
        return 0.0 if isinstance(value, int | float) and value > 0 else 1.0
    if isinstance(value, bool):
        return not value
    if len(choices) == 2 and value in choices:
        return choices[1 - choices.index(str(value))]
    return choices[0] if len(choices) == 1 else None


def pressed_stop(info: TagInfo) -> Setting:
    """What an emergency stop is set to when somebody presses it."""
    return next((choice for choice in info.choices if choice in STOPPED), 1.0)


def nudged(info: TagInfo, value: Setting | None, steps: int) -> Setting | None:
    """A step up or down: five percent of a range, or the neighbouring choice."""
    choices = tuple(info.choices)
    if choices and value in choices:
        index = choices.index(str(value)) + steps
        return choices[max(0, min(len(choices) - 1, index))]
    if info.low is None or info.high is None or not isinstance(value, int | float):
        return None
    step = (info.high - info.low) * NUDGE
    if info.high - info.low >= 4 and float(info.low).is_integer() and info.high - info.low < 100:
        step = 1.0
    return round(max(info.low, min(info.high, float(value) + steps * step)), 6)


def by_tag(tags: Iterable[TagInfo]) -> dict[str, TagInfo]:
    """Tags by their names."""
    return {info.tag: info for info in tags}

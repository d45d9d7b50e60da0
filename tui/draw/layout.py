"""Where the views stand on a screen of any size. Larger screens show more, never something else.

From 80x24 one view fills the screen. From 120x40 the plant has dials, chart, meters and a trend around it. From 200x60 the large drawing, two trends and the log.
"""

from __future__ import annotations

from collections.abc import Mapping
from enum import Enum
from itertools import pairwise
from typing import NamedTuple

from tui.draw.drawing import Rect

LEAST_WIDTH, LEAST_HEIGHT = 80, 24
METER_ROWS = 8
"""Rows of the hand meter below the ladder."""
LADDER_WIDTH, MOST_METER = 82, 46
"""A ladder of the default rig with its frame; the widest hand meter."""
DIAL_TEXT_ROWS, LEAST_TREND = 2, 8
"""Rows that a dial needs beyond a quarter of a pair's width; rows from which a trend is worth its frame."""
LEAST_BOTH = 8
"""Rows of the trend below bench and copy."""
STATUS_ROWS, EVENT_ROWS, FOOTER_ROWS = 1, 1, 1


class View(Enum):
    """What fills the screen, in the order of the keys 1 to 9; those behind have a letter."""

    PLANT = "plant"
    CHART = "p-h chart"
    TREND = "trend"
    METERS = "meters"
    TABLE = "table"
    LOG = "log"
    WIRING = "wiring"
    BOARD = "fault board"
    PAIR = "bench and copy"
    SENSES = "senses"
    WORKING = "readings and working"
    PROJECTOR = "projector"


class Pane(NamedTuple):
    """A framed part of the screen. ``kind`` names the view that is painted inside; ``which`` tells two of a kind apart."""

    kind: str
    rect: Rect
    which: int = 0

    @property
    def inside(self) -> Rect:
        """Without the frame."""
        x, y, width, height = self.rect
        return Rect(x + 1, y + 1, width - 2, height - 2)


class Arrangement(NamedTuple):
    """Everything that is painted. ``drawing`` is the size of the plant's sheet."""

    panes: tuple[Pane, ...]
    drawing: str = ""

    def pane_at(self, x: int, y: int) -> Pane | None:
        """The pane under a cell."""
        return next((pane for pane in self.panes if pane.rect.holds(x, y)), None)


def fits(width: int, height: int) -> bool:
    """True when the screen is large enough to work on."""
    return width >= LEAST_WIDTH and height >= LEAST_HEIGHT


def body(width: int, height: int) -> Rect:
    """What is left between the bars."""
    return Rect(0, STATUS_ROWS, width, height - STATUS_ROWS - EVENT_ROWS - FOOTER_ROWS)


def arrange(width: int, height: int, view: View, sheets: Mapping[str, tuple[int, int]]) -> Arrangement:  # fmt: skip
    """Panes for a view. ``sheets``: size of drawing -> (columns, rows)."""
    area = body(width, height)
    if view is View.PLANT:
        return _plant(area, sheets)
    if view is View.METERS:
        return _meters(area)
    if view is View.WIRING:
        return _wiring(area)
    if view is View.PAIR:
        rows = max(LEAST_BOTH, area.height // 3)
        return Arrangement((Pane("pair", Rect(area.x, area.y, area.width, area.height - rows)), Pane("both", Rect(area.x, area.y + area.height - rows, area.width, rows))))  # fmt: skip
    if view is View.TREND and area.height >= 30:
        return Arrangement(tuple(Pane("trend", rect, i) for i, rect in enumerate(_rows(area, 2))))
    kinds = {
        View.CHART: "chart",
        View.TREND: "trend",
        View.TABLE: "table",
        View.LOG: "log",
        View.BOARD: "board",
        View.SENSES: "senses",
        View.WORKING: "working",
        View.PROJECTOR: "projector",
    }
    return Arrangement((Pane(kinds[view], area),))


def _fitting(area: Rect, sheets: Mapping[str, tuple[int, int]]) -> str:
    for size in ("l", "m", "s"):
        if size in sheets and sheets[size][0] + 2 <= area.width and sheets[size][1] + 2 <= area.height:  # fmt: skip
            return size
    return min(sheets, key=lambda size: sheets[size]) if sheets else ""


def _plant(area: Rect, sheets: Mapping[str, tuple[int, int]]) -> Arrangement:
    size = _fitting(area, sheets)
    columns, rows = sheets.get(size, (area.width - 2, area.height - 2))
    right, below = area.width - columns - 2, area.height - rows - 2
    if right < 20:
        right = 0
    if below < 6:
        below = 0
    plant = Rect(area.x, area.y, area.width - right, area.height - below)
    wide_below = below >= 12 and right >= 60
    side_height = plant.height if wide_below else area.height
    side = Rect(plant.x + plant.width, area.y, right, side_height)
    under = Rect(area.x, plant.y + plant.height, area.width if wide_below else plant.width, below)
    panes = [Pane("plant", plant), *_side(side, wide_below)]
    if below:
        panes += _under(under, wide_below)
    return Arrangement(tuple(panes), size)


def _side(area: Rect, meters_elsewhere: bool) -> list[Pane]:
    """Chart, dials and meters beside the plant; a narrow side holds only meters."""
    if not area.width:
        return []
    if area.width < 36 or area.height < 30:
        return [Pane("meters", area)]
    dials = 11 if area.height < 50 and area.width < 60 else 17
    meters = 0 if meters_elsewhere else 11
    chart = area.height - dials - meters
    x, y, width, _ = area
    panes = [Pane("chart", Rect(x, y, width, chart))]
    panes += _dials(Rect(x, y + chart, width, dials))
    if meters:
        panes.append(Pane("meters", Rect(x, y + chart + dials, width, meters)))
    return panes


def _dials(area: Rect) -> list[Pane]:
    return [Pane("dial", rect, i) for i, rect in enumerate(_columns(area, 2))]


def _under(area: Rect, wide: bool) -> list[Pane]:
    if not wide:
        return [Pane("trend", area)]
    first, second, third, fourth = _columns(area, 4)
    return [Pane("trend", first), Pane("trend", second, 1), Pane("meters", third), Pane("log", fourth)]  # fmt: skip


def _wiring(area: Rect) -> Arrangement:
    """The ladder, and the hand meter at its side; below it when the screen is narrow."""
    if area.width < 116:
        meter = Rect(area.x, area.y + area.height - METER_ROWS, area.width, METER_ROWS)
        ladder = Rect(area.x, area.y, area.width, area.height - METER_ROWS)
    else:
        side = min(MOST_METER, area.width - LADDER_WIDTH)
        ladder = Rect(area.x, area.y, area.width - side, area.height)
        meter = Rect(ladder.width, area.y, side, area.height)
    return Arrangement((Pane("wiring", ladder), Pane("meter", meter)))


def _meters(area: Rect) -> Arrangement:
    """Two large dials above, meters below; side by side when the screen is wide."""
    if area.width >= 120:
        left = Rect(area.x, area.y, area.width * 2 // 3, area.height)
        right = Rect(left.width, area.y, area.width - left.width, area.height)
        rows = min(left.height, left.width // 4 + DIAL_TEXT_ROWS)
        if left.height - rows < LEAST_TREND:
            return Arrangement((*_dials(left), Pane("meters", right)))
        dials = Rect(left.x, left.y, left.width, rows)
        below = Rect(left.x, left.y + rows, left.width, left.height - rows)
        return Arrangement((*_dials(dials), Pane("trend", below), Pane("meters", right)))
    height = max(10, area.height - 10)
    top = Rect(area.x, area.y, area.width, height)
    bottom = Rect(area.x, area.y + height, area.width, area.height - height)
    return Arrangement((*_dials(top), Pane("meters", bottom)))


def _columns(area: Rect, count: int) -> list[Rect]:
    cuts = [area.x + area.width * i // count for i in range(count + 1)]
    return [Rect(a, area.y, b - a, area.height) for a, b in pairwise(cuts)]


def _rows(area: Rect, count: int) -> list[Rect]:
    cuts = [area.y + area.height * i // count for i in range(count + 1)]
    return [Rect(area.x, a, area.width, b - a) for a, b in pairwise(cuts)]

"""The whole screen of the bench on one canvas: bars, panes and what is in them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from tui.draw.bars import (
    FooterKey,
    Progress,
    left_over,
    paint_event_line,
    paint_footer,
    paint_preparing,
    paint_status,
)
from tui.draw.by_eye import ladder_title
from tui.draw.canvas import Canvas
from tui.draw.dial import Dial, standard_dials
from tui.draw.drawing import Drawing, Rect
from tui.draw.fault_board import Area, FaultFrame, paint_fault_board
from tui.draw.glyphs import ASCII, Glyphs, to_ascii
from tui.draw.hit import Hit
from tui.draw.holds import hold_of
from tui.draw.ink import Ink
from tui.draw.ladder_view import LadderView
from tui.draw.layout import LEAST_HEIGHT, LEAST_WIDTH, Arrangement, Pane, View, arrange, fits
from tui.draw.lists import paint_log, paint_meters, paint_table
from tui.draw.meter_face import MeterFrame, paint_meter
from tui.draw.pair_trend import PairTrend, pair_trend_title
from tui.draw.plant_legend import edge_signs, paint_edge
from tui.draw.plant_picture import PlantPicture
from tui.draw.projector import ProjectorFrame, paint_projector
from tui.draw.scene import Scene
from tui.draw.scrolled import Scrolled
from tui.draw.senses_list import SensesList
from tui.draw.side_by_side import NO_PAIR, PairFrame, paint_pair, pair_title
from tui.draw.state_chart import StateChart
from tui.draw.tour_box import Boxed, Target, paint_tour
from tui.draw.trend import Trend
from tui.draw.working_page import WorkingPage
from tui.history import History
from tui.senses import Row
from tui.tour import Pointer, Said
from tui.trending import Trending
from tui.working import WorkingFrame

TOP_WORDS = 17
"""Columns of the top line that hold pace and clock."""


@dataclass
class Frame:
    """What the board needs besides the scene."""

    scene: Scene
    view: View
    history: History
    trending: Trending = field(default_factory=Trending)
    scroll: int = 0
    status: str = ""
    alarms: tuple[str, ...] = ()
    stage: str = "RUN"
    caption: str = ""
    footer: Sequence[FooterKey] = ()
    notice: str = ""
    preparing: Progress | None = None
    acted: bool = False
    """Something has happened, or a hand has done something, since what was waited for held the plant: the event line says that."""
    meter: MeterFrame | None = None
    faults: FaultFrame | None = None
    pair: PairFrame = NO_PAIR
    senses: tuple[Sequence[Row], str] = ((), "")
    """Rows of the list, and the place under the cursor."""
    tour: Said | None = None
    working: WorkingFrame | None = None
    projector: ProjectorFrame | None = None


UNTIL = "go_on_until"
"""The command that a click on the clock runs."""
PIPE_COLOURS = "pipe_colours"
"""The command that a click on the legend of colours runs."""


@dataclass
class Board:
    """Paints frames; keeps pictures and faces between them."""

    drawings: Mapping[str, Drawing]
    glyphs: Glyphs
    arrangement: Arrangement = field(default_factory=lambda: Arrangement(()))
    _pictures: dict[tuple[str, str], PlantPicture] = field(default_factory=dict)
    _footer_spots: list[tuple[int, int, str]] = field(default_factory=list)
    _clock_ends: int = 0
    _alarm_spots: list[tuple[int, int, str]] = field(default_factory=list)
    _rows: int = 0
    _areas: list[Area] = field(default_factory=list)
    boxed: Boxed | None = None
    """Where the tour's box stands."""
    _boxed_before: Boxed | None = None
    scroll: int = 0
    """How far log, table or pair stand scrolled: of what was asked for, as much as there are rows."""

    def __post_init__(self) -> None:
        self.drawn = bool(self.drawings)
        """False for a rig without drawings: a list of its parts stands in for them."""
        self.ladder, self.senses, self.working = LadderView(), SensesList(), WorkingPage()
        self._trends, self.both = (Trend(), Trend()), PairTrend()
        self._dials = tuple(Dial(spec) for spec in standard_dials())
        paths = next(((drawing.sheet.cooling_path, drawing.sheet.heating_path) for drawing in self.drawings.values() if drawing.sheet.cooling_path), ((), ()))  # fmt: skip
        self.chart = StateChart(*paths)

    @property
    def drawing(self) -> Drawing | None:
        """The sheet that is shown, or the one that would be."""
        size = self.arrangement.drawing or next(iter(self.drawings), "")
        return self.drawings.get(size)

    def picture(self, size: str) -> PlantPicture:
        """The prepared plant of a sheet."""
        key = (size, self.glyphs.name)
        if key not in self._pictures:
            self._pictures[key] = PlantPicture(self.drawings[size], self.glyphs)
        return self._pictures[key]

    def paint(self, canvas: Canvas, frame: Frame) -> None:
        """One whole frame."""
        canvas.clear()
        self._rows, self.boxed, self._boxed_before = canvas.height, None, self.boxed
        self.scroll = 0
        if not fits(canvas.width, canvas.height):
            self.arrangement, self._clock_ends, self._footer_spots = Arrangement(()), 0, []
            canvas.text(0, 0, f"This screen is {canvas.width}x{canvas.height}; the bench needs {LEAST_WIDTH}x{LEAST_HEIGHT}."[: canvas.width], Ink.STRONG)  # fmt: skip
            return
        sheets = {size: (drawing.sheet.width, drawing.sheet.height) for size, drawing in self.drawings.items()}  # fmt: skip
        self.arrangement = arrange(canvas.width, canvas.height, frame.view, sheets)
        for pane in self.arrangement.panes:
            self._pane(canvas, pane, frame)
        self._alarm_spots, self._clock_ends = paint_status(canvas.window(0, 0, canvas.width, 1), frame.scene, frame.stage, frame.status, frame.alarms)  # fmt: skip
        said = frame.notice or ("" if frame.acted else left_over(frame.stage, canvas.width))
        paint_event_line(canvas.window(0, canvas.height - 2, canvas.width, 1), frame.scene, said)  # fmt: skip
        self._footer_spots = paint_footer(canvas.window(0, canvas.height - 1, canvas.width, 1), frame.footer)  # fmt: skip
        if frame.tour is not None:
            self._tour(canvas, frame.tour)
        if frame.preparing is not None:
            paint_preparing(canvas, frame.preparing, self.glyphs)
        if self.glyphs is ASCII:
            to_ascii(canvas)

    def hit(self, x: int, y: int) -> Hit:
        """What a click at (x, y) means."""
        if self.boxed is not None and self.boxed.rect.holds(x, y):
            return Hit(command=next((one.command for one in self.boxed.buttons if one.y == y and one.left <= x < one.right), ""))  # fmt: skip
        if y == 0:
            alarm = next((tag for left, right, tag in self._alarm_spots if left <= x < right), "")
            return Hit(alarm=alarm, command=UNTIL if not alarm and x < self._clock_ends else "")
        if y == self._rows - 1:
            return Hit(command=next((name for left, right, name in self._footer_spots if left <= x < right), ""))  # fmt: skip
        pane = self.arrangement.pane_at(x, y)
        if pane is None:
            return Hit()
        if pane.kind == "plant" and self.arrangement.drawing:
            left, top = self._plant_origin(pane)
            picture = self.picture(self.arrangement.drawing)
            command = PIPE_COLOURS if picture.explains_colours(x - left, y - top) else ""
            return Hit(tag=picture.tag_at(x - left, y - top), command=command, pane="plant")
        return self._inside(pane, x - pane.inside.x, y - pane.inside.y)

    def _inside(self, pane: Pane, x: int, y: int) -> Hit:
        """What a click within a pane means."""
        if pane.kind == "wiring":
            return Hit(pane=pane.kind, spot=self.ladder.spot_at(x, y))
        if pane.kind == "senses":
            return Hit(pane=pane.kind, place=self.senses.place_at(y))
        if pane.kind == "working":
            return Hit(pane=pane.kind, step=self.working.place_at(y))
        if pane.kind == "trend":
            return Hit(pane=pane.kind, time_s=self._trends[pane.which].at_column(x))
        if pane.kind == "chart":
            return Hit(pane=pane.kind, share=self.chart.share_at(x, y))
        if pane.kind == "board":
            return Hit(pane=pane.kind, act=next((area.act for area in self._areas if area.y == y and area.left <= x - 1 < area.right), ""))  # fmt: skip
        return Hit(pane=pane.kind)

    # The tour.

    def _tour(self, canvas: Canvas, said: Said) -> None:
        """The box between the bars; the caption on the plant's lower edge stays in sight."""
        captions = [Rect(pane.rect.x, pane.rect.y + pane.rect.height - 1, pane.rect.width, 1) for pane in self.arrangement.panes if pane.kind == "plant"]  # fmt: skip
        before = self._boxed_before
        room = Rect(1, 1, canvas.width - 2, canvas.height - 3 - bool(captions))
        self.boxed = paint_tour(canvas, said, room, self.targets(said.pointer, canvas.width), captions, self.glyphs, before.corner if before else 0)  # fmt: skip

    def targets(self, pointer: Pointer, width: int) -> list[Target]:
        """Where that which is pointed at stands on the screen now; nothing for what this view does not show."""
        found = [Target(Rect(0, 0, min(TOP_WORDS, width), 1))] if pointer.top else []
        for left, right, command in self._footer_spots:
            if command and command == pointer.command:
                found.append(Target(Rect(left, self._rows - 1, right - left, 1)))
        for pane in self.arrangement.panes:
            if pointer.pane and (pane.kind, pane.which) == (pointer.pane, 0):
                found.append(Target(pane.rect, "edge"))
            if pane.kind == "plant" and self.arrangement.drawing:
                found += self._parts(pane, pointer.tags)
        return found

    def _parts(self, pane: Pane, tags: Sequence[str]) -> list[Target]:
        """Where a part has a label that is marked, and its symbol stays readable; an instrument's words are marked."""
        drawing, (left, top) = self.drawing, self._plant_origin(pane)
        found = []
        for hold in (hold_of(drawing, tag) for tag in tags) if drawing is not None else ():
            if hold is not None:
                label = hold.rects[1:]
                found.append(Target(_moved(hold.body, left, top), "bare" if label else "words"))
                found += [Target(_moved(rect, left, top)) for rect in label]
        return found

    def _plant_origin(self, pane: Pane) -> tuple[int, int]:
        width, height = self.picture(self.arrangement.drawing).size
        x, y, room_x, room_y = pane.inside
        return x + max(0, room_x - width) // 2, y + max(0, room_y - height) // 2

    def _pane(self, canvas: Canvas, pane: Pane, frame: Frame) -> None:
        canvas.box(*pane.rect, self.glyphs.frame, Ink.FRAME)
        x, y, width, height = pane.rect
        canvas.text(x + 2, y, f" {self._title(pane, frame)} "[: width - 4], Ink.TITLE)
        scrolled: dict[str, LadderView | Scrolled] = {
            "wiring": self.ladder,
            "senses": self.senses,
            "working": self.working,
        }
        more = scrolled[pane.kind].more if pane.kind in scrolled else ""
        canvas.text_right(x + width - 2, y, f" {more} " if more else "", Ink.FAINT)
        if pane.kind == "plant" and frame.caption:
            canvas.text(x + 2, y + height - 1, f" {frame.caption} "[: width - 4], Ink.STRONG)
        if pane.kind == "dial":
            other = self._dials[pane.which].spec.beside(frame.scene)
            edge = canvas.window(x + 1, y + height - 1, width - 2, 1)
            edge.text_middle(0, f" {other} " if other else "", Ink.TEXT)
        inside = canvas.window(*pane.inside)
        if pane.kind == "plant" and self.arrangement.drawing:
            left, top = self._plant_origin(pane)
            sheet = self.picture(self.arrangement.drawing)
            sheet.paint(canvas.window(left, top, *sheet.size), frame.scene)
            if sheet.drawing.pipes:
                signs = edge_signs(self.glyphs, lines=not sheet.drawing.sheet.legend)
                paint_edge(canvas, x + len(" plant ") + 2, y, x + width - 2, signs)
        elif pane.kind == "wiring" and frame.meter is not None:
            self.ladder.paint(inside, frame.scene, frame.meter.desk, self.glyphs)
        elif pane.kind == "meter" and frame.meter is not None:
            paint_meter(inside.window(1, 0, inside.width - 2, inside.height), frame.meter, self.glyphs)  # fmt: skip
        else:
            self._content(inside, pane, frame)

    def _line_views(self, inside: Canvas, pane: Pane, frame: Frame) -> None:
        """Views that are made of lines, with a blank column at either side."""
        lines = inside.window(1, 0, inside.width - 2, inside.height)
        scene = frame.scene
        if pane.kind == "meters":
            paint_meters(lines, scene)
        elif pane.kind == "table":
            self.scroll = paint_table(lines, scene, frame.scroll)
        elif pane.kind == "log":
            self.scroll = paint_log(lines, scene, frame.scroll)
        elif pane.kind == "pair":
            self.scroll = paint_pair(lines, scene, frame.pair, frame.scroll)
        elif pane.kind == "board" and frame.faults is not None:
            self._areas = paint_fault_board(lines, frame.faults, self.glyphs)
        elif pane.kind == "working" and frame.working is not None:
            self.working.paint(lines, frame.working, self.glyphs)
        elif pane.kind == "projector" and frame.projector is not None:
            paint_projector(lines, frame.projector, self.glyphs)

    def _content(self, inside: Canvas, pane: Pane, frame: Frame) -> None:
        scene = frame.scene
        if pane.kind == "chart":
            self.chart.paint(inside, scene, frame.history)
        elif pane.kind == "dial":
            self._dials[pane.which].paint(inside, scene)
        elif pane.kind == "both":
            self.both.paint_both(inside, scene, frame.pair, frame.history, frame.trending)
        elif pane.kind == "trend":
            chosen = frame.trending.shown(pane.which)
            self._trends[pane.which].paint(inside, scene, frame.history, chosen, frame.trending)
        elif pane.kind == "senses":
            self.senses.paint(inside.window(1, 0, inside.width - 2, inside.height), *frame.senses)
        else:
            self._line_views(inside, pane, frame)

    def _title(self, pane: Pane, frame: Frame) -> str:
        if pane.kind == "dial":
            return self._dials[pane.which].spec.title(frame.scene)
        if pane.kind == "trend":
            return f"trend: {frame.trending.shown(pane.which).title}"
        if pane.kind == "chart":
            who = "every node" if frame.scene.instructor else "from the instruments"
            return f"{frame.scene.charting.axes.value} chart, {who}"
        if pane.kind == "pair":
            return pair_title(frame.pair)
        if pane.kind == "both":
            return pair_trend_title(frame.scene, frame.pair.key)
        if pane.kind == "working" and frame.working is not None:
            return frame.working.title
        return {"board": "fault board", "plant": "plant", "meters": "meters", "table": "instruments", "log": "event log", "senses": "look, listen, touch", "working": "readings and working", "projector": "projector", "meter": "hand meter", "wiring": ladder_title(frame.scene)}[pane.kind]  # fmt: skip


def _moved(rect: Rect, x: int, y: int) -> Rect:
    return Rect(rect.x + x, rect.y + y, rect.width, rect.height)

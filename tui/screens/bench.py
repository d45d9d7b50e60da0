"""The bench's screen: one board, kept up to date by a frame clock, worked by commands. A little over 300 lines: clock, orders and mouse share one state."""

from __future__ import annotations

import gc
import time
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar, cast

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.screen import Screen

from tui.commands import BY_KEY, BY_NAME, COMMANDS
from tui.desk import Desk, Waiting, by_tag
from tui.draw.bars import Progress
from tui.draw.board import Board, Frame
from tui.draw.drawing import Drawing
from tui.draw.glyphs import FULL, SETS, Glyphs
from tui.draw.layout import View
from tui.draw.listed import listed
from tui.draw.scene import Drift, Scene
from tui.fault_desk import FaultDesk, events_of
from tui.frames import FrameClock
from tui.history import History
from tui.meter import MeterDesk
from tui.orders import Begin, Order, SetTag
from tui.plant import Setting, Snapshot
from tui.runner import Report, Runner, Stage
from tui.screens.at_board import NO_WORDS, STOP_KEYS, AtBoard
from tui.screens.at_chart import AtChart
from tui.screens.at_clock import AtClock
from tui.screens.at_help import AtHelp
from tui.screens.at_lists import AtLists
from tui.screens.at_projector import AtProjector
from tui.screens.at_senses import AtSenses
from tui.screens.at_session import AtSession
from tui.screens.at_trend import AtTrend
from tui.screens.at_wiring import AtWiring
from tui.screens.at_working import AtWorking
from tui.screens.copies import Copies
from tui.screens.says import alarm_words, caption_words, footer_keys, stage_words, status_words
from tui.seen import SLIDE_THERE, trembling
from tui.session.kept import Kept, units_of
from tui.tour_steps import tour
from tui.trending import Trending
from tui.views.board_view import BoardView
from tui.working import WorkingDesk

if TYPE_CHECKING:
    from tui.app import BenchApp

TICK_S = 0.1
SOON_S = 0.02
"""Until the plant is there: somebody waits for it."""
START_AFTER_S = 0.05
"""Wall seconds between the first picture and the start of the plant's thread, whose imports would hold up the picture's way to the terminal."""
NOTICE_S = 4.0


def _bindings() -> list[BindingType]:
    return [Binding(key, f"command('{command.name}')", command.help, show=False, priority=key in ("tab", "shift+tab")) for command in COMMANDS for key in command.keys]  # fmt: skip


class BenchScreen(
    AtSenses,
    AtClock,
    AtChart,
    AtTrend,
    AtWiring,
    AtBoard,
    Copies,
    AtSession,
    AtWorking,
    AtProjector,
    AtHelp,
    AtLists,
    Screen[None],
):
    """Board, clock and commands. What opens a dialog is in ``Errands``; what is done at a view, with time or with what lasts in the classes of their names; with copies in ``Copies``."""

    BINDINGS: ClassVar[list[BindingType]] = _bindings()

    def __init__(self, runner: Runner, drawings: Mapping[str, Drawing], begin: Begin, *, instructor: bool, glyphs: Glyphs = FULL, kept: Kept | None = None, assessed: bool = False) -> None:  # fmt: skip
        super().__init__()
        self.runner, self.begin, self.assessed = runner, begin, assessed
        self.kept = kept if kept is not None else Kept()
        chosen = self.kept.settings
        self.desk = Desk(instructor=instructor, units=units_of(chosen.units))
        self.meter, self.faults, self.working, self.tour = MeterDesk(), FaultDesk(), WorkingDesk(), tour()  # fmt: skip
        self.live: Snapshot | None = None
        self.ahead_asked, self.ahead_with, self.events_heard, self.begun = 0, "", -1, 0
        self.ahead_against: tuple[str, ...] = ()
        self._heats: bool | None = None
        self.unread = False
        """The first cautions are not: until then no time passes."""
        self._events_when_met = 0
        self._come = Stage.PREPARING, 0
        self.board = Board(drawings, glyphs)
        self.clock = FrameClock(chosen=float(chosen.screen.frames_per_s))
        self.history, self.copy_past = History(), History()
        self.scene = Scene(glyphs=glyphs, drift=Drift(), by_side=chosen.screen.pipes == "side")
        if assessed:
            self.be_assessed()
        self.report = self._taken = Report()
        self.sent = 0
        self.pace_sent = (0, begin.first_pace)
        self.pace_before = begin.first_pace or 1
        self._notice = ("", 0.0)
        self._version = 0
        self.frames_painted = 0
        self._opened_at = time.monotonic()
        self.told: set[int] = set()
        self.warned: set[str] = set()
        self.failure_shown = ""

    @property
    def bench_app(self) -> BenchApp:
        """The app, by its own type."""
        return cast("BenchApp", self.app)

    def compose(self) -> ComposeResult:
        """One board."""
        yield BoardView(self.bench_app.palette)

    @property
    def view(self) -> BoardView:
        """The board's widget."""
        return self.query_one(BoardView)

    def on_mount(self) -> None:
        """Start looking."""
        self._ticks = self.set_interval(SOON_S, self.tick)

    # Frames.

    def tick(self) -> None:
        """Poll the runner; paint when a frame is due. Nothing wakes the program while a held plant stands on the screen as it is."""
        report = self.runner.take()
        self._take(report)
        report = self.report
        now = time.monotonic()
        self.clock.behind = self.app.screen is not self
        notice = self._notice[0] if now < self._notice[1] else ""
        key = (report.number if report.stage is not Stage.HELD else report.applied, report.stage, self._version, notice, self.clock.rate)  # fmt: skip
        come = report.stage, report.applied if self.clock.behind else 0
        fresh, self._come = come != self._come, come
        if self.clock.due(now, key, report.stage is Stage.PREPARING, fresh):
            self.paint()
        self._tell(report)
        self.tell_ahead(report)
        if report.stage is Stage.HELD and not report.held_because and report.applied >= self.sent and not notice and not self.ahead_asked and self.clock.shows(key):  # fmt: skip
            self._ticks.pause()

    def _hurry(self, before: Stage, now: Stage) -> None:
        """Look more often while the plant is being prepared."""
        if before is not now and Stage.PREPARING in (before, now):
            self._ticks.stop()
            self._ticks = self.set_interval(SOON_S if now is Stage.PREPARING else TICK_S, self.tick)

    def _take(self, report: Report) -> None:
        if report is self._taken:
            return
        self._hurry(self._taken.stage, report.stage)
        self._taken = report
        if report.snapshot is not None:
            if not self.kept.settings.screen.reduced_motion:
                self.scene.drift.move(report.snapshot.flows, self.clock.passed_s(report.snapshot, report.pace))  # fmt: skip
            self.kept.log.add(report.snapshot)
            inside = report.charts(report.snapshot.charged_with) if report.charts and self.begin.instructor else None  # fmt: skip
            self.history.add(report.snapshot, report.fluid, inside)
        self.remember_copy(report)
        if report.assessed and not self.begin.instructor:
            self.be_assessed()
        if report.tags is not self.report.tags:
            self.scene.tags = by_tag(report.tags)
            self.faults.events = events_of(report.roles)
            self.use_preset(report.units)
            if report.tags and not self.board.drawn:
                self.board.drawings = listed(report.tags, report.pieces)
        if report.applied != self.report.applied:
            self.clock.fresh_numbers()
            self.desk.confirm(report.applied)
        before, now = self.report.snapshot, report.snapshot
        if before is not None and now is not None and self._changed_over(now.slide):
            self.notice("the reversing valve's slide has moved: the coils have changed their work")
        fresh, self.report = report.met != self.report.met, self.at_hand(report)
        if fresh and self.report.snapshot is not None:
            self._events_when_met = len(self.report.snapshot.events)

    def _changed_over(self, slide: float) -> bool:
        """Has the slide come to the other side? In between it is on neither, as the log has it."""
        before = self._heats
        if abs(slide - 0.5) > SLIDE_THERE - 0.5 or before is None:
            self._heats = slide > 0.5
        return before is not None and before is not self._heats

    def paint(self) -> None:
        """One frame, now."""
        started = time.monotonic()
        if not self.is_mounted or not self.view.canvas.width:
            return
        self._set_scene(started)
        frame = self._frame(started)
        self.view.show(lambda canvas: self.board.paint(canvas, frame))
        self.desk.scroll = self.board.scroll
        self.frames_painted += 1
        if self.frames_painted == 1:
            self.set_timer(START_AFTER_S, self.runner.start)
        if not gc.isenabled() and self.report.stage is not Stage.PREPARING:
            gc.freeze()
            gc.enable()
        self.clock.painted(started, time.monotonic() - started)

    def _set_scene(self, now: float) -> None:
        scene, report, desk = self.scene, self.report, self.desk
        scene.snapshot, scene.fluid, scene.charts = report.snapshot, report.fluid, report.charts
        scene.plan, scene.peaks = report.plan, report.meters.peaks
        if report.stage is Stage.HELD:
            self.clock.fresh_numbers()  # what stands still is printed as it stands
        scene.numbers = self.clock.numbers_from(now, report.snapshot)
        scene.units, scene.instructor, scene.selected = desk.units, desk.instructor, desk.selected
        scene.waiting, scene.letters = frozenset(desk.waiting), desk.letters
        scene.charting, scene.scales, scene.dials = desk.charting, report.scales, report.dials
        scene.lines, scene.kinds, scene.roles = report.lines, report.kinds, report.roles
        taps = () if self.kept.settings.screen.reduced_motion else report.taps
        scene.trembling = trembling(report.snapshot, taps) if report.snapshot is not None else {}

    def _frame(self, now: float) -> Frame:
        report, desk = self.report, self.desk
        preparing = None
        if report.stage is Stage.PREPARING:
            seconds = now - self._opened_at
            preparing = Progress(report.preparing.text, report.preparing.share, seconds / 2 % 1, seconds)  # fmt: skip
        return Frame(
            self.scene, desk.view, self.history, self.trending_shown, desk.scroll,
            status=status_words(desk, self.clock, self.assessed), alarms=alarm_words(report), stage=stage_words(report, self.scene),
            caption=caption_words(desk.selected, desk, self.scene, self.board.drawing),
            footer=footer_keys(desk.view), meter=self.meter_frame(), faults=self.faults_frame() if desk.view is View.BOARD else None, pair=self.pair_frame(), senses=self.senses_rows(), working=self.working_frame(), projector=self.projector_frame(), tour=self.tour_said(), notice=self._notice[0] if now < self._notice[1] else "", preparing=preparing,
            acted=bool(report.met) and report.snapshot is not None and len(report.snapshot.events) > self._events_when_met,
        )  # fmt: skip

    @property
    def trending_shown(self) -> Trending:
        """What the trends show: beside the plant they are of now, wherever the large ones' cursor stands."""
        return self.desk.trending if self.desk.view is View.TREND else self.desk.trending.at_now

    # What commands use.

    def aimed(self, tag: str) -> Setting | None:
        """Where a tag will stand when the orders on their way have arrived: two quick keys are two steps."""
        waiting, snapshot = self.desk.waiting.get(tag), self.report.snapshot
        if waiting is not None and waiting.value is not None:
            return waiting.value
        return snapshot.commands.get(tag) if snapshot is not None else None

    def order(self, order: Order) -> int:
        """Queue an order as it is, and look what follows; its number."""
        self.sent = self.runner.send(order)
        self._ticks.resume()
        return self.sent

    def take_hand(self) -> None:
        """The plant that the hand works on has changed."""
        self.report = self.at_hand(self._taken)

    def send(self, order: Order) -> None:
        """Hand an order to the plant."""
        number = self.order(replace(order, to_fork=self.desk.on_fork))
        tag = getattr(order, "tag", "")
        if tag:
            self.desk.waiting[tag] = Waiting(number, getattr(order, "value", None))
        self.changed()

    def changed(self) -> None:
        """Something that a frame shows has changed: paint at once, and look again what follows."""
        self._version += 1
        self.clock.fresh_numbers()
        self.paint()
        self._ticks.resume()

    def notice(self, text: str) -> None:
        """Say something on the event line for a few seconds."""
        self._notice = (text, time.monotonic() + NOTICE_S)
        self.changed()

    def put(self, tag: str, value: Setting) -> None:
        """Set a tag; what has to be read before is asked first (see ``Errands.set_tag``)."""
        self.send(SetTag(tag=tag, value=value))

    def open_anew(self, begin: Begin) -> None:
        """Start over."""
        self.begin = begin = replace(begin, instructor=self.begin.instructor, assessed=self.assessed)  # fmt: skip
        self._opened_at, self.pace_before = time.monotonic(), begin.first_pace or 1
        self._heats = None
        self.history.clear()
        self.kept.log.clear()
        self.working.chosen = self.working.now = None
        self.warned.clear()
        self.send(replace(begin, first_pace=0) if self.unread else begin)
        self.begun, self.events_heard = self.sent, -1
        self.use_meter()

    def be_assessed(self) -> None:
        """From now on the session is an assessed one: it was opened so, or its bench is by what the save says."""
        self.assessed = self.scene.own_work = self.desk.trending.own_work = True
        self.desk.charting.ghost = ()

    def action_command(self, name: str) -> None:
        """Run a command by its name."""
        command = BY_NAME[name]
        if command.ready_only and self.report.snapshot is None:
            self.notice("the plant is not ready yet")
            return
        command.run(self)
        self.changed()

    # Keys and mouse.

    def on_key(self, event: events.Key) -> None:
        """Keys are carried out here, one after the other, and not by the bindings, which come behind all keys of a burst: on a slow line a letter must not be taken for a command.

        While letters are shown, a letter selects a part; while the faults are searched, it goes into the search. What was typed before a question stood there answers nothing;
        the emergency stop is never lost.
        """
        if self.app.screen is not self and event.key not in STOP_KEYS:
            event.stop()
            event.prevent_default()
            return
        if self.faults.searching and self.at_board and self.type_search(event):
            event.stop()
            event.prevent_default()
            self.changed()
            return
        letters = self.desk.letters and event.key not in NO_WORDS
        if letters or event.key in BY_KEY:
            event.stop()
            event.prevent_default()
            if letters:
                self.take_letter(event.key)
            else:
                self.action_command(BY_KEY[event.key])

    def on_board_view_resized(self) -> None:
        """A new size: paint everything."""
        self.changed()

    def on_board_view_clicked(self, message: BoardView.Clicked) -> None:
        """A click selects a part; a click on the selected part works it; a click on the last line runs its command."""
        hit = self.board.hit(message.x, message.y)
        choosing = bool(self.desk.letters)
        self.desk.letters = {}
        named = ((hit.act, self.click_at_board), (hit.command, self.action_command), (hit.place, self.click_at_senses), (hit.step, self.click_at_working), (hit.alarm, self.show_alarm))  # fmt: skip
        found = next(((name, work) for name, work in named if name), None)
        if found is not None:
            found[1](found[0])
        elif hit.spot is not None:
            self.click_at_wiring(hit.spot, message.button)
        elif hit.share is not None:
            self.click_at_chart(hit.share)
        elif hit.time_s is not None:
            self.click_at_trend(hit.time_s)
        elif hit.tag:
            self._click_part(hit.tag, message.button, choosing)
        elif hit.pane in ("dial", "meters") and self.desk.view is View.PLANT:
            self.desk.show(View.METERS)
            self.changed()

    def _click_part(self, tag: str, button: int, choosing: bool) -> None:
        """Select it; the selected one is worked, unless letters stood there to choose by, and the right button opens its card."""
        again = tag == self.desk.selected and not choosing
        self.desk.selected = tag
        if again or button == 3:
            self.action_command("card" if button == 3 else "act")
        else:
            self.changed()

    def next_glyphs(self) -> None:
        """The next set of characters."""
        names = list(SETS)
        self.use_glyphs(names[(names.index(self.board.glyphs.name) + 1) % len(names)])

    def use_glyphs(self, name: str) -> None:
        """A set of characters by its name."""
        self.board.glyphs = self.scene.glyphs = SETS[name]
        self.notice(f"characters: {name}")

    def on_screen_resume(self) -> None:
        """Back from a dialog."""
        self.changed()

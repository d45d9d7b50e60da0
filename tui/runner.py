"""The thread that owns the plant and the wall clock.

The screen sends commands and polls ``latest``, one frozen report; it never touches the bench. The bench is built inside the thread, since building it imports
the compiler. Wall time becomes simulated time by the pace: it is a debt that every step pays. A machine that was busy elsewhere for a moment is caught up with; a plant that
cannot keep up loses what it owes beyond a second, and the report says how much. A held plant wakes nobody. If nobody has taken a report for a while (a terminal that stopped
reading), the plant is held. Whatever the engine raises becomes a report, never a traceback over the screen.

Longer than 300 lines because the thread's life and the report that it makes belong together.
"""

from __future__ import annotations

import queue
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import replace

from sim.events import Event as Line
from tui.beside import Beside
from tui.faults import FaultDoor
from tui.goal import Waiting
from tui.metering import Metering
from tui.mishaps import carry_over, on_record
from tui.orders import (
    Begin,
    Fork,
    LookAhead,
    Measure,
    Order,
    Refused,
    Rewind,
    Step,
    Until,
    changes_plant,
    obey,
)
from tui.plant import Bench
from tui.report import Opened, Opener, Preparing, Progress, Report, Stage
from tui.rewind import Keeper

__all__ = ["Opened", "Opener", "Progress", "Report", "Runner", "Stage"]

PACES = (0, 1, 2, 5, 10, 20, 60)
"""Simulated seconds per wall second; 0 is held."""
SLICE_S = 0.05
"""Wall seconds between two steps of the plant: twice as often as frames, so that a frame is never older than half its period."""
SHORTEST_SLICE_S = 0.01
LONGEST_WORK_S = 0.012
"""Wall seconds that one step may take before it is cut finer: the screen cannot draw while the engine computes (one interpreter lock)."""
PIECE_S = 0.5
"""Simulated seconds that are computed in one go: between two goes the screen may draw."""
LEAST_REST_S = 0.002
"""Wall seconds of rest after every step, also for a plant that is behind: the screen has to draw."""
LOOK_S = 0.08
"""Wall seconds between two snapshots of a running plant: a frame takes a tenth of a second, and a snapshot costs."""
MOST_DEBT_S = 1.0
"""Wall seconds that a plant may be behind and still catch up."""
PATIENCE_S = 60.0
"""Wall seconds without a look at the plant after which it is held."""


class Runner:
    """Owns the thread. ``send`` and ``take`` are all that the screen uses."""

    def __init__(self, opener: Opener, begin: Begin, *, clock: Callable[[], float] = time.monotonic, patience_s: float = PATIENCE_S) -> None:  # fmt: skip
        self._opener, self._begin = opener, begin
        self._clock, self._patience_s = clock, patience_s
        self._orders: queue.SimpleQueue[Order | None] = queue.SimpleQueue()
        self._sent = 0
        self._taken_at = clock()
        self._bench: Bench | None = None
        self._keeper: Keeper | None = None
        self._waiting: Waiting | None = None
        self._metering, self._beside = Metering(None), Beside()
        self._door: FaultDoor | None = None
        self._record: list[Line] = []
        self._slice_s = SLICE_S
        self._stopping = False
        self._published_at = -1e9
        self._paid_until = self._stepped_at = clock()
        self._reached, self._dropped_s = 1.0, 0.0
        self._thread: threading.Thread | None = None
        self.latest = Report()

    # The screen's side.

    def start(self) -> None:
        """Start the thread."""
        self._thread = threading.Thread(target=self._live, name="plant", daemon=True)
        self._thread.start()

    def stop(self, patience_s: float = 2.0) -> None:
        """Ask the thread to end, and wait a little."""
        self._stopping = True
        self._orders.put(None)
        if self._thread is not None:
            self._thread.join(patience_s)

    def send(self, order: Order) -> int:
        """Queue an order; returns the number under which ``Report.applied`` will confirm it."""
        self._sent += 1
        self._taken_at = self._clock()
        self._orders.put(replace(order, number=self._sent))
        return self._sent

    def take(self) -> Report:
        """The newest report; also the sign that somebody is looking."""
        self._taken_at = self._clock()
        if self.latest.held_because:
            self._orders.put(None)
        return self.latest

    # The thread's side.

    def _live(self) -> None:
        self._open(self._begin)
        while not self._stopping:
            orders = self._wait()
            self._catch_up()
            for order in orders:
                self._obey(order)
            self._run_ahead()

    def _wait(self) -> list[Order]:
        """Sleep until the next slice is due, or until an order comes; a plant that stands still sleeps until then. Returns the orders."""
        rest = LEAST_REST_S if self._beside.busy else None
        if self.latest.stage is Stage.RUNNING:
            due = self._paid_until + self._slice_s - self._clock()
            rest = LEAST_REST_S if self._beside.busy else max(LEAST_REST_S, due)
        found: list[Order | None] = []
        try:
            found.append(self._orders.get(timeout=rest))
            while True:
                found.append(self._orders.get_nowait())
        except queue.Empty:
            return [order for order in found if order is not None]

    def _catch_up(self) -> None:
        """Advance the plant by the wall time that it owes, or by as much of it as one step may take."""
        now = self._clock()
        if self.latest.stage is not Stage.RUNNING:
            self._paid_until = self._stepped_at = now
        self._watch(now)
        if self.latest.stage is not Stage.RUNNING:
            return
        pace, debt = self.latest.pace, now - self._paid_until
        paid, dropped = min(debt, 2 * self._slice_s), max(0.0, debt - MOST_DEBT_S)
        if not self._advance(paid * pace):
            return
        self._fit_slice(self._clock() - now)
        self._paid_until += paid + dropped
        self._dropped_s += dropped
        self._smooth_reached(pace, paid, now)
        if self._keeper is not None and self._bench is not None:
            self._keeper.look(self._bench)
        if now - self._published_at >= LOOK_S or self.latest.met:
            self._published_at = now
            self._publish(lag_s=self._clock() - self._paid_until, reached=self._reached, dropped_s=self._dropped_s)  # fmt: skip

    def _smooth_reached(self, pace: int, paid: float, now: float) -> None:
        """Pace really held, smoothed over about a second."""
        passed = now - self._stepped_at
        self._stepped_at = now
        if passed > 0:
            self._reached += (pace * paid / passed - self._reached) * min(1.0, passed)

    def _reckon_from_now(self, pace: int) -> None:
        """Nothing is owed at this instant."""
        self._paid_until = self._stepped_at = self._clock()
        self._reached, self._dropped_s = float(pace), 0.0

    def _fit_slice(self, worked: float) -> None:
        if worked > LONGEST_WORK_S:
            self._slice_s = max(SHORTEST_SLICE_S, self._slice_s / 2)
        elif worked < LONGEST_WORK_S / 4:
            self._slice_s = min(SLICE_S, self._slice_s * 1.25)

    def _watch(self, now: float) -> None:
        """Hold the plant when nobody looks, and let it go when somebody does."""
        report = self.latest
        alone = now - self._taken_at > self._patience_s
        if alone and report.stage is Stage.RUNNING:
            self._publish(stage=Stage.HELD, held_because="nobody is watching")
        elif not alone and report.held_because:
            self._publish(stage=Stage.RUNNING, held_because="")

    def _advance(self, seconds: float) -> bool:
        assert self._bench is not None
        pieces = self._metering.pieces(seconds, PIECE_S)
        try:
            for _ in range(pieces):
                self._bench.advance(seconds / pieces)
                self._beside.advance(seconds / pieces)
                if pieces > 1 and self._metering.holding:
                    self._metering.look(self._bench)
                if self._waiting is not None and self._has_met(self._waiting):
                    break
        except Exception as error:  # the engine may raise anything; the screen must live on
            self._fail(error)
            return False
        return True

    def _has_met(self, waiting: Waiting) -> bool:
        """Is what was waited for there? Then hold, and say what it was."""
        assert self._bench is not None
        met = waiting.met(self._bench)
        if met:
            self._waiting = None
            self.latest = replace(self.latest, stage=Stage.HELD, pace=0, goal="", met=met)
        return bool(met)

    def _obey(self, order: Order) -> None:
        if isinstance(order, Begin):
            self._open(order)
            self.latest = replace(self.latest, number=self.latest.number + 1, applied=order.number)
            return
        if order.pace is not None:
            self._set_pace(order.pace)
        if isinstance(order, Measure):
            self._metering.take_up(order.use)
        about_time = isinstance(order, Rewind | Step | Until)
        refused = self._travel(order) if about_time else self._at_copies(order)  # type: ignore[arg-type]
        if not about_time:
            refused = refused or obey(order, self._beside.fork if order.to_fork else self._bench)
        if self._keeper is not None and self._bench is not None and refused is None and changes_plant(order):  # fmt: skip
            self._keeper.note(order, self._bench)
        if self._bench is not None and self.latest.stage is not Stage.FAILED:
            self._publish(applied=order.number, refused=refused)
        else:
            self.latest = replace(self.latest, number=self.latest.number + 1, applied=order.number, refused=refused)  # fmt: skip

    def _travel(self, order: Rewind | Step | Until) -> Refused | None:
        """Orders about time itself."""
        if self._bench is None or self._keeper is None or self.latest.stage is Stage.FAILED:
            return Refused(order.number, "", "the plant is not ready")
        if isinstance(order, Step):
            self._advance(order.seconds)
        elif isinstance(order, Until):
            self._waiting = Waiting.on(order.goal, self._bench, self.latest.fluid)
            self.latest = replace(self.latest, goal=order.goal.words)
        else:
            try:
                self._bench = self._keeper.back(self._bench, order.to_s)
                self._beside.join()
            except (
                Exception
            ) as error:  # an instant that is not in the record, an engine that fails on the way
                return Refused(order.number, "", str(error))
        return None

    def _at_copies(self, order: Order) -> Refused | None:
        """Orders that make and end copies of the bench."""
        if self._bench is None or not isinstance(order, LookAhead | Fork):
            return None
        try:
            if isinstance(order, LookAhead):
                self._beside.look(self._bench, order)
            else:
                before, self._bench = self._bench, self._beside.obey(self._bench, order)
                if self._bench is not before:
                    self._keeper, self._waiting = Keeper(self._bench), None
        except (
            Exception
        ) as error:  # a wrong value, no room for a copy: for the person, as in ``obey``
            return Refused(order.number, "", str(error))
        # the copy was made on the program's time, not on the plant's
        self._reckon_from_now(self.latest.pace)
        return None

    def _run_ahead(self) -> None:
        """A little of the copy that runs ahead; at its end the record says that somebody looked."""
        if self._beside.busy and self._bench is not None:
            if self._beside.work() and self._beside.report is not None:
                self._beside.note(self._bench)
            self._publish()

    def _set_pace(self, pace: int) -> None:
        if pace == 0:
            self._waiting = None
        self._reckon_from_now(pace)
        stage = self.latest.stage
        if stage in (Stage.RUNNING, Stage.HELD):
            stage = Stage.RUNNING if pace else Stage.HELD
        self.latest = replace(self.latest, pace=pace, reached=float(pace), lag_s=0.0, dropped_s=0.0, stage=stage, held_because="", met="", goal=self.latest.goal if self._waiting else "")  # fmt: skip

    def _open(self, begin: Begin) -> None:
        if self._bench is not None:
            self._record = on_record(self._bench.events)
        self._bench = self._keeper = self._waiting = None
        self.latest = Report(number=self.latest.number + 1, pace=begin.first_pace, reached=float(begin.first_pace))  # fmt: skip
        try:
            opened = self._opener(begin, self._progress)
            self._bench, self._metering = opened.bench, Metering(opened.ask)
            carry_over(self._record, opened.bench)
            self._keeper = Keeper(opened.bench)
            self._door, self._beside = opened.faults, opened.beside or Beside()
            self.latest = replace(
                self.latest, fluid=opened.fluid, charts=opened.charts, spaces=opened.spaces, guarded=opened.guarded,
                plan=opened.plan, kinds=opened.kinds, dials=opened.dials, tags=tuple(opened.bench.tags()), units=getattr(opened.bench.rig, "units", "si"),
                entries=self._door.entries if self._door else (), scales=opened.scales, lines=opened.lines, roles=opened.roles, springs=opened.springs, taps=opened.taps, pieces=opened.pieces, assessed=opened.assessed,
            )  # fmt: skip
            self._reckon_from_now(begin.first_pace)
            self._publish(stage=Stage.RUNNING if begin.first_pace else Stage.HELD)
        except Exception as error:  # a rig that cannot be opened is told, not thrown
            self._fail(error)

    def _progress(self, text: str, share: float | None = None) -> None:
        report = self.latest
        self.latest = replace(report, number=report.number + 1, preparing=Preparing(text, share))

    def _fail(self, error: BaseException) -> None:
        detail = "".join(traceback.format_exception(error))
        report = self.latest
        self.latest = replace(report, number=report.number + 1, stage=Stage.FAILED, failure=str(error) or type(error).__name__, detail=detail)  # fmt: skip

    def _publish(self, **changes: object) -> None:
        """A new report with the bench's newest snapshot."""
        assert self._bench is not None
        try:
            snapshot = self._bench.snapshot()
            changes["meters"] = self._metering.look(self._bench)
            changes |= {"ahead": self._beside.report, "fork": self._beside.snapshot(), "fork_begun_s": self._beside.fork_begun_s, "kept": tuple((one.name, one.time_s) for one in self._beside.kept.values())}  # fmt: skip
            if self._door is not None:
                changes["faults"] = self._door.look(self._bench)
                changes["fork_faults"] = self._door.look(self._beside.fork) if self._beside.fork else ()  # fmt: skip
        except Exception as error:  # as above
            self._fail(error)
            return
        report = self.latest
        self.latest = replace(report, number=report.number + 1, snapshot=snapshot, warnings=tuple(self._bench.warnings), first_s=self._keeper.first_s if self._keeper else 0.0, **changes)  # type: ignore[arg-type]  # fmt: skip

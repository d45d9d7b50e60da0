"""The thread that owns the plant and the wall clock.

The screen sends commands and polls ``latest``, one frozen report; it never touches the bench. The bench is built inside the thread, since building it imports
the compiler. Wall time becomes simulated time by the pace; a plant that cannot keep up loses the debt instead of chasing it. If nobody has taken a report for
a while (a terminal that stopped reading), the plant is held. Whatever the engine raises becomes a report, never a traceback over the screen.
"""

from __future__ import annotations

import queue
import threading
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass, replace
from enum import Enum
from typing import NamedTuple

from tui.fluid_chart import FluidChart
from tui.metering import NO_METERS, Ask, Metering, Meters
from tui.orders import Begin, Measure, Order, Refused, obey
from tui.plant import Bench, Snapshot, TagInfo
from tui.spaces import NO_SPACES, Spaces
from tui.wiring_plan import WiringPlan

PACES = (0, 1, 2, 5, 10, 20, 60)
"""Simulated seconds per wall second; 0 is held."""
SLICE_S = 0.05
"""Wall seconds between two steps of the plant: twice as often as frames, so that a frame is never older than half its period."""
SHORTEST_SLICE_S = 0.01
LONGEST_WORK_S = 0.012
"""Wall seconds that one step may take before it is cut finer: the screen cannot draw while the engine computes (one interpreter lock)."""
LOOK_S = 0.08
"""Wall seconds between two snapshots of a running plant: a frame takes a tenth of a second, and a snapshot costs."""
MOST_LAG_S = 0.3
PATIENCE_S = 60.0
"""Wall seconds without a look at the plant after which it is held."""


class Stage(Enum):
    """What the plant is doing."""

    PREPARING = "preparing"
    RUNNING = "running"
    HELD = "held"
    FAILED = "failed"


@dataclass(frozen=True, slots=True)
class Preparing:
    """What is being got ready; ``share`` is 0..1, or None when nobody knows."""

    text: str = "getting the plant ready"
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Report:
    """All that the screen may know, at one instant."""

    number: int = 0
    stage: Stage = Stage.PREPARING
    preparing: Preparing = Preparing()
    snapshot: Snapshot | None = None
    tags: tuple[TagInfo, ...] = ()
    fluid: FluidChart | None = None
    spaces: Spaces = NO_SPACES
    guarded: frozenset[str] = frozenset()
    """Tags under a cover that has to be lifted first."""
    plan: WiringPlan | None = None
    meters: Meters = NO_METERS
    pace: int = 1
    reached: float = 1.0
    """Simulated seconds per wall second that were really held."""
    lag_s: float = 0.0
    applied: int = 0
    """Number of the last order that was carried out or refused."""
    refused: Refused | None = None
    failure: str = ""
    detail: str = ""
    held_because: str = ""
    warnings: tuple[str, ...] = ()


Progress = Callable[[str, float | None], None]


class Opened(NamedTuple):
    """A bench, and what the screen has to know of it once."""

    bench: Bench
    fluid: FluidChart | None = None
    spaces: Spaces = NO_SPACES
    guarded: frozenset[str] = frozenset()
    """Tags under a cover that has to be lifted first."""
    plan: WiringPlan | None = None
    """The wiring, for its ladder; None on a rig without one."""
    ask: Ask | None = None
    """Reads the hand meter."""


Opener = Callable[[Begin, Progress], Opened]


class Runner:
    """Owns the thread. ``send`` and ``take`` are all that the screen uses."""

    def __init__(self, opener: Opener, begin: Begin, *, clock: Callable[[], float] = time.monotonic, patience_s: float = PATIENCE_S) -> None:  # fmt: skip
        self._opener, self._begin = opener, begin
        self._clock, self._patience_s = clock, patience_s
        self._orders: queue.SimpleQueue[Order | None] = queue.SimpleQueue()
        self._sent = 0
        self._taken_at = clock()
        self._bench: Bench | None = None
        self._metering = Metering(None)
        self._slice_s = SLICE_S
        self._stopping = False
        self._published_at = -1e9
        self._reached = 1.0
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
        self._orders.put(replace(order, number=self._sent))
        return self._sent

    def take(self) -> Report:
        """The newest report; also the sign that somebody is looking."""
        self._taken_at = self._clock()
        return self.latest

    # The thread's side.

    def _live(self) -> None:
        self._open(self._begin)
        then = self._clock()
        while not self._stopping:
            self._wait()
            now = self._clock()
            then = self._step(then, now)

    def _wait(self) -> None:
        """Sleep until the next slice, or until an order comes; then obey all that wait."""
        try:
            order = self._orders.get(timeout=self._slice_s)
            while True:
                if order is None:
                    return
                self._obey(order)
                order = self._orders.get_nowait()
        except queue.Empty:
            return

    def _step(self, then: float, now: float) -> float:
        """Advance by the wall time since ``then``; returns the instant up to which time is paid."""
        self._watch(now)
        report = self.latest
        if report.stage is not Stage.RUNNING or self._bench is None or report.pace == 0:
            return now
        wall = now - then
        paid = min(wall, self._slice_s * 2, MOST_LAG_S)
        started = self._clock()
        if not self._advance(paid * report.pace):
            return now
        worked = self._clock() - started
        self._fit_slice(worked)
        lag = wall - paid
        self._smooth_reached(report.pace, paid, wall)
        if now - self._published_at >= LOOK_S:
            self._published_at = now
            self._publish(lag_s=lag, reached=self._reached)
        return now if lag > MOST_LAG_S else then + paid

    def _smooth_reached(self, pace: int, paid: float, wall: float) -> None:
        """Pace really held, smoothed over about a second."""
        now = pace * paid / wall if wall > 0 else float(pace)
        self._reached += (now - self._reached) * min(1.0, wall)

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
        looks = self._metering.looks(seconds)
        try:
            for _ in range(looks):
                self._bench.advance(seconds / looks)
                if looks > 1:
                    self._metering.look(self._bench)
        except Exception as error:  # the engine may raise anything; the screen must live on
            self._fail(error)
            return False
        return True

    def _obey(self, order: Order) -> None:
        if isinstance(order, Begin):
            self._open(order)
            self._publish(applied=order.number)
            return
        if order.pace is not None:
            self._set_pace(order.pace)
        if isinstance(order, Measure):
            self._metering.take_up(order.use)
        refused = obey(order, self._bench)
        if self._bench is not None and self.latest.stage is not Stage.FAILED:
            self._publish(applied=order.number, refused=refused)
        else:
            self.latest = replace(self.latest, number=self.latest.number + 1, applied=order.number, refused=refused)  # fmt: skip

    def _set_pace(self, pace: int) -> None:
        self._reached = float(pace)
        stage = self.latest.stage
        if stage in (Stage.RUNNING, Stage.HELD):
            stage = Stage.RUNNING if pace else Stage.HELD
        self.latest = replace(self.latest, pace=pace, reached=float(pace), lag_s=0.0, stage=stage, held_because="")  # fmt: skip

    def _open(self, begin: Begin) -> None:
        self._bench = None
        self.latest = Report(number=self.latest.number + 1, pace=begin.first_pace, preparing=Preparing())  # fmt: skip
        try:
            opened = self._opener(begin, self._progress)
            self._bench, self._metering = opened.bench, Metering(opened.ask)
            self.latest = replace(
                self.latest, fluid=opened.fluid, spaces=opened.spaces, guarded=opened.guarded,
                plan=opened.plan, tags=tuple(opened.bench.tags()),
            )  # fmt: skip
            self._first_step(begin.first_pace)
        except Exception as error:  # a rig that cannot be opened is told, not thrown
            self._fail(error)

    def _first_step(self, pace: int) -> None:
        """The first step compiles whatever is not in the cache yet, which can take most of a minute: it belongs to the preparation."""
        self._publish(preparing=Preparing("compiling the plant's equations for this machine"))
        if pace and not self._advance(SHORTEST_SLICE_S * pace):
            return
        self._publish(stage=Stage.RUNNING if pace else Stage.HELD, reached=float(pace))

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
        except Exception as error:  # as above
            self._fail(error)
            return
        report = self.latest
        self.latest = replace(report, number=report.number + 1, snapshot=snapshot, warnings=tuple(self._bench.warnings), **changes)  # type: ignore[arg-type]  # fmt: skip

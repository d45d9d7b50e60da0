"""What the bench's screen does with time: a step, going on until something happens, going back."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from sim.units import from_si, on_screen, screen_unit, to_si
from tui.assessed import NO_WAY_BACK, refused
from tui.draw.ink import INK_MASK, Ink
from tui.draw.lists import clock_words, event_ink, table_keys
from tui.goal import STEADY_MEANS, Goal
from tui.orders import Pace, Rewind, Step, Until
from tui.report import Stage
from tui.runner import PACES
from tui.screens.dialogs import Ask, AskNumber
from tui.seen import instrument_label

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

ASSESSED_PACE = 10
"""The fastest pace of an assessed session."""
LONGEST_S = 7200.0
"""Plant time after which waiting for something that does not come ends: longer than the slowest metal on the bench takes."""
MINUTES = (1, 5, 15, 60)
BACK_S = (10, 60, 300)
EVENTS_BACK = 8
"""So many of the newest events can be gone back to."""
BEFORE_S = 1.0
"""Going back to an event means to just before it."""


class AtClock:
    """Mixed into ``BenchScreen``."""

    def _timed(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def paces(self) -> tuple[int, ...]:
        """What may be chosen; an assessed session does not race."""
        return tuple(pace for pace in PACES if pace <= ASSESSED_PACE) if self._timed().assessed else PACES  # fmt: skip

    def hold(self) -> None:
        """Hold, or go on at the pace that this person chose last, whatever a waiting ran at."""
        me = self._timed()
        held = self.aimed_pace() == 0 or bool(me.report.held_because)
        self._pace(me.pace_before if held else 0)

    def change_pace(self, step: int) -> None:
        """The next pace up or down; of a held plant, the one that space will go on with."""
        me = self._timed()
        held = self.aimed_pace() == 0
        paces = [pace for pace in self.paces if pace or not held]
        index = paces.index(me.pace_before if held else self.aimed_pace()) + step
        chosen = paces[max(0, min(len(paces) - 1, index))]
        if held:
            me.pace_before = chosen
            me.notice(f"held; goes on at x{chosen}")
        else:
            self._pace(chosen)

    def aimed_pace(self) -> int:
        """The pace that the last order asked for, or the plant's when that has been carried out."""
        me = self._timed()
        number, pace = me.pace_sent
        return pace if number > me.report.applied else me.report.pace

    def pace_is(self, pace: int) -> None:
        """The order sent last brings this pace."""
        me = self._timed()
        me.pace_sent = (me.sent, pace)

    def all_read(self) -> None:
        """What has to be read before the first start has been: time begins."""
        me = self._timed()
        if me.unread:
            me.unread = False
            self._send_pace(me.begin.first_pace)

    def _pace(self, pace: int) -> None:
        me = self._timed()
        me.pace_before = pace or me.pace_before
        self._send_pace(pace)
        me.notice("held" if pace == 0 else f"pace x{pace}")

    def _send_pace(self, pace: int) -> None:
        self._timed().order(Pace(pace=pace))
        self.pace_is(pace)

    def step_once(self) -> None:
        """One second of a held plant."""
        me = self._timed()
        if me.report.stage is not Stage.HELD:
            me.notice("a step is for a held plant: space holds it")
            return
        me.send(Step(seconds=1.0))

    # Going on.

    def ask_until(self) -> None:
        """What to wait for."""
        me = self._timed()
        answers = [
            ("", "Leave"),
            ("steady", f"until it runs steady: {STEADY_MEANS}"),
            ("equal", "until both pressures have drawn together, to within 0.3 bar"),
            ("trip", "until something trips or goes wrong"),
            *((f"time:{minutes}", f"for {minutes} min of the plant's time") for minutes in MINUTES),
            ("crossing", "until a reading crosses a value"),
        ]  # fmt: skip
        lines = [f"The plant runs at pace {self.paces[-1]} and is held when it is there, or when anything trips."]  # fmt: skip
        me.app.push_screen(Ask("Go on until", lines, answers, topic="until"), self._until_answered)  # fmt: skip

    def _until_answered(self, answer: str | None) -> None:
        kind, _, minutes = (answer or "").partition(":")
        if kind == "steady":
            self.wait_for(Goal("steady", seconds=LONGEST_S, words="steady"))
        elif kind == "equal":
            self.wait_for(Goal("equal", seconds=LONGEST_S, words="pressures drawn together"))
        elif kind == "trip":
            self.wait_for(Goal("trip", seconds=LONGEST_S, words="a trip"))
        elif kind == "time":
            self.wait_for(Goal("time", seconds=60.0 * float(minutes), words=f"{minutes} min passed"))  # fmt: skip
        elif kind == "crossing":
            self._ask_reading()

    def _ask_reading(self) -> None:
        me = self._timed()
        if me.report.snapshot is None:
            return
        keys = [key for key in table_keys(me.scene) if isinstance(me.scene.reading(key), int | float)]  # fmt: skip
        answers = [("", "Leave"), *((key, f"{instrument_label(me.report.snapshot, key)}, now {me.scene.words(key)}") for key in keys)]  # fmt: skip
        me.app.push_screen(Ask("Which reading", [], answers, topic="reading"), self._reading_answered)  # fmt: skip

    def _reading_answered(self, key: str | None) -> None:
        me = self._timed()
        if not key:
            return
        unit, atmosphere = screen_unit(key, me.desk.units.system), me.scene.atmosphere_pa
        now, symbol = on_screen(key, me.scene.number(key), me.desk.units.system, atmosphere)

        def answered(number: float | None) -> None:
            if number is not None:
                words = f"{instrument_label(me.report.snapshot, key)} {number:g} {symbol}".rstrip()  # type: ignore[arg-type]
                self.wait_for(Goal("crossing", key, to_si(number, unit, atmosphere), LONGEST_S, words))  # fmt: skip

        low, high = (from_si(limit, unit, atmosphere) for limit in (-1e9, 1e9))
        me.app.push_screen(AskNumber("Until it crosses", [f"Value, in {symbol or 'the scale of the reading'}"], round(now, 2), low, high, topic="crossing"), answered)  # fmt: skip

    def wait_for(self, goal: Goal) -> None:
        """Go on at the fastest pace until the goal is met."""
        me = self._timed()
        me.send(Until(goal=goal, pace=self.paces[-1]))
        me.pace_is(self.paces[-1])
        me.notice(f"until {goal.words}; space holds at once")

    # Going back.

    def ask_back(self) -> None:
        """To which moment."""
        me = self._timed()
        snapshot = me.report.snapshot
        if snapshot is None:
            return
        if me.assessed:
            me.notice(refused(NO_WAY_BACK))
            return
        now, first = snapshot.time_s, me.report.first_s
        answers = [("", "Leave")]
        cursor = me.desk.trending.cursor_s
        if cursor is not None and first <= cursor < now:
            answers.append((f"{cursor}", f"to the trend's cursor, {clock_words(cursor)}"))
        answers += [(f"{now - back}", f"{back} s back, to {clock_words(now - back)}") for back in BACK_S if now - back >= first]  # fmt: skip
        for event in reversed(me.scene.events[-EVENTS_BACK:]):
            at_s = max(event.time_s - BEFORE_S, first)
            mark = "! " if event_ink(event) & INK_MASK == Ink.ALARM else ""
            answers.append((f"{at_s}", f"before {clock_words(event.time_s)} {mark}{event.tag} {me.scene.told(event)}"))  # fmt: skip
        answers.append((f"{first}", f"to the beginning of the record, {clock_words(first)}"))
        unique = list(dict(answers).items())
        lines = ["What came after is forgotten, mishaps aside: those stay on record. Save it first (w) if you need it. A real plant has no way back."]  # fmt: skip
        me.app.push_screen(Ask("Go back", lines, unique, topic="back"), self._back_answered)  # fmt: skip

    def _back_answered(self, answer: str | None) -> None:
        if not answer:
            return
        to_s = float(answer)
        if math.isfinite(to_s):
            me = self._timed()
            me.send(Rewind(to_s=to_s, pace=0))
            me.pace_is(0)
            me.notice(f"back at {clock_words(to_s)}; space goes on from here")

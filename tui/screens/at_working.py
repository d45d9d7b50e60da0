"""What the bench's screen does at readings and working: the set, the cursor, own results."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from sim.working.sheet import Held
from sim.working.steps import STEPS
from tui.assessed import COVERED, refused
from tui.draw.layout import View
from tui.draw.lists import clock_words
from tui.marking import Answer, wrong_with
from tui.screens.dialogs import AskText
from tui.working import (
    NO_RESULT,
    WorkingDesk,
    WorkingFrame,
    held_of,
    own_answer,
    page_rows,
    set_words,
    unit_of,
)

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

STANDS = "there is a result of yours already: the first one stands"
OPEN_ALREADY = "this result is worked out already; Z covers results, to practise"
READ = "this is read, not worked out: now at the first result"
OLD_S = 30.0
"""Older readings are called so; guess: in less a steady plant does not move by what one reads."""
NO_SETS = "no reading sets yet: R takes one"


class AtWorking:
    """Mixed into ``BenchScreen``."""

    working: WorkingDesk

    def _worker(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def at_working(self) -> bool:
        """Does the page fill the screen?"""
        return self._worker().desk.view is View.WORKING

    @property
    def _held(self) -> Held | None:
        """The set that is worked on."""
        sets, desk = self._worker().kept.notebook.sets, self.working
        if desk.chosen is not None and desk.chosen < len(sets):
            return sets[desk.chosen].held
        desk.chosen = None
        return desk.now

    @property
    def _answers(self) -> Sequence[Answer]:
        chosen = self.working.chosen
        return self._worker().kept.notebook.sets[chosen].answers if chosen is not None else ()

    @property
    def _covered(self) -> bool:
        return self._worker().assessed or self.working.covered

    def show_working(self) -> None:
        """The page; the first time, or with now chosen, the instruments as they stand at this instant."""
        me = self._worker()
        if not self.at_working:
            me.desk.show(View.WORKING)
        if self.working.chosen is None:
            self.hold_now()

    def hold_now(self) -> None:
        """Now, held as of this instant."""
        me = self._worker()
        self.working.chosen = None
        self.working.to_top()
        if me.report.snapshot is not None:
            self.working.now = held_of(me.report.snapshot, me.scene.atmosphere_pa)

    def next_reading_set(self) -> None:
        """The next recorded set, and now behind the last."""
        me = self._worker()
        count = len(me.kept.notebook.sets)
        if not count:
            me.notice(NO_SETS)
        self.working.next_set(count)
        if self.working.chosen is None:
            self.hold_now()

    def cover(self) -> None:
        """Cover the results, or uncover them."""
        me = self._worker()
        if me.assessed:
            me.notice(refused(COVERED))
            return
        self.working.covered = not self.working.covered
        if self.working.cursor not in STEPS:
            self._to_first_result()
        me.notice("results covered: enter gives yours" if self.working.covered else "results open")

    def working_frame(self) -> WorkingFrame | None:
        """What the painter needs."""
        me = self._worker()
        if not self.at_working:
            return None
        snapshot, now = me.report.snapshot, self.working.now
        if self.working.chosen is None and snapshot is not None and (now is None or now.time_s > snapshot.time_s):  # fmt: skip
            self.hold_now()  # another bench, or an earlier moment of this one
        held = self._held
        rows = page_rows(held, self.working, me.report.scales, me.report.fluid, me.desk.units, self._answers, self._covered)  # fmt: skip
        return WorkingFrame(rows, self.working.cursor, self._title(held))

    def _title(self, held: Held | None) -> str:
        when = clock_words(held.time_s) if held is not None else ""
        if self.working.chosen is None:
            return f"readings and working: held at {when}{self._age(held)}"
        count = len(self._worker().kept.notebook.sets)
        return f"readings and working: set {self.working.chosen + 1} of {count}, {when}"

    def _age(self, held: Held | None) -> str:
        """How long ago that was, when the plant has run on since."""
        snapshot = self._worker().report.snapshot
        ago = snapshot.time_s - held.time_s if held is not None and snapshot is not None else 0.0
        return f", {clock_words(ago)} AGO; esc: now" if ago >= OLD_S else ""

    def step_at_working(self, rows: int) -> None:
        """The cursor along the page."""
        frame = self.working_frame()
        if frame is not None:
            self.working.step(rows, frame.rows)

    def click_at_working(self, key: str) -> None:
        """A click selects a result; a click on the selected one asks for one's own."""
        if self.working.cursor == key:
            self.ask_own()
        self.working.cursor = key
        self._worker().changed()

    def _to_first_result(self) -> None:
        """The page opens at its readings; results come below them."""
        self.working.cursor = next(iter(STEPS))

    def ask_own(self) -> None:
        """Ask for one's own result where the cursor stands."""
        me, key = self._worker(), self.working.cursor
        if self._held is None or me.report.fluid is None:
            return
        if key not in STEPS:
            self._to_first_result()
            me.notice(READ)
            return
        if any(answer.step == key for answer in self._answers):
            me.notice(STANDS)
            return
        if not self._covered:
            me.notice(OPEN_ALREADY)
            return
        step, unit = STEPS[key], unit_of(key, me.desk.units)
        lines = [f"{step.symbol}{', in ' if unit else ''}{unit}. Type none where there is no result. The first one stands."]  # fmt: skip
        me.app.push_screen(
            AskText(step.name, lines, "", wrong=wrong_with, topic="own result"),
            lambda text: self._take_own(key, text),
        )

    def _take_own(self, key: str, text: str | None) -> None:
        me, held, fluid = self._worker(), self._held, self._worker().report.fluid
        if not text or held is None or fluid is None:
            return
        sheet = self.working.sheet(held, me.report.scales, fluid)
        answer = own_answer(sheet, key, text, me.desk.units)
        if self.working.chosen is None:
            self._keep_now(held)
        assert self.working.chosen is not None
        me.kept.notebook.answer(self.working.chosen, answer)
        me.notice(
            f"{STEPS[key].name}: {NO_RESULT if answer.own is None else text}; {answer.place.value}"
        )

    def _keep_now(self, held: Held) -> None:
        """What an own result was worked out from is kept as a reading set."""
        me = self._worker()
        me.kept.notebook.take(held.time_s, set_words(held, me.desk.units), held)
        self.working.chosen = len(me.kept.notebook.sets) - 1

"""What the bench's screen does to explain: help where one stands, keys, glossary, tour."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tui.assessed import PRACTICE, refused
from tui.cautions import asked_before
from tui.draw.layout import View
from tui.help_here import here_at
from tui.helptext import help_lines
from tui.part_card import card_of
from tui.plant import Setting
from tui.roles import STARTS
from tui.screens.dialogs import Page
from tui.screens.helping import GLOSSARY, KEYS, TERM, TOUR, GlossaryDialog, HelpPage
from tui.session.kept import Kept
from tui.tour import Said, Sight, Stage, Tour

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

NO_TOUR = "no tour is under way; H begins one"
UNDER_WAY = "the tour is under way: H goes to its next step"
OVER = "the tour is over; H begins it again"
DECLINED = "no tour; H begins it at any time"


class AtHelp:
    """Mixed into ``BenchScreen``."""

    kept: Kept
    tour: Tour

    def _helper(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    # Help.

    def show_help(self) -> None:
        """What one stands at, and ways on."""
        me = self._helper()
        snapshot, view = me.report.snapshot, me.desk.view
        safety = me.report.fluid.safety_class if me.report.fluid is not None else ""
        tag = me.spot_tag() if me.at_wiring else me.desk.selected
        card = card_of(tag, me.scene, me.board.drawing, me.report, safety)
        rows, place = me.senses_rows()
        row = next((one for one in rows if one.place == place), None)
        entry = me.faults.entry(me.report.entries) if me.at_board else None
        spot = me.spot_words() if me.at_wiring and snapshot is not None else []
        here = here_at(view, me.scene, card, row, entry, spot, drawn=me.board.drawn)
        me.app.push_screen(HelpPage(here.title, here.lines, here.terms), self._help_answered)

    def _help_answered(self, answer: str | None) -> None:
        me = self._helper()
        if answer == KEYS:
            me.app.push_screen(Page("All keys", help_lines(me.scene.glyphs)))
        elif answer == GLOSSARY:
            self.show_glossary()
        elif answer == TOUR and self.tour.stage is not Stage.UNDER_WAY:
            me.action_command("tour")
        elif answer == TOUR:
            me.notice(UNDER_WAY)
        elif answer:
            self.show_glossary(answer.removeprefix(TERM))

    def show_glossary(self, first: str = "") -> None:
        """Trade terms; ``first`` is shown at once."""
        me = self._helper()
        me.app.push_screen(GlossaryDialog(me.scene, first))

    # The tour.

    def offer_tour(self) -> None:
        """Once, at a first start."""
        me = self._helper()
        told = bool(self.kept.file is not None and self.kept.file.told)
        if self.kept.offers_tour and self.kept.settings.screen.tour == "offer" and not told and not me.assessed:  # fmt: skip
            self.tour.offer()
            me.changed()

    def take_tour(self) -> None:
        """Begin it; under way: the next step."""
        me = self._helper()
        if self.tour.stage is Stage.UNDER_WAY:
            self.tour.skip(self._sight())
            self._remember()
            return
        if me.assessed:
            me.notice(refused(PRACTICE))
            return
        me.desk.letters = {}
        me.desk.show(View.PLANT)
        self.tour.begin(self._sight())

    def end_tour(self) -> None:
        """Away with it, and never again by itself."""
        me = self._helper()
        if me.assessed:
            self.tour.end()  # it may have begun before a load made the session assessed
            me.notice(refused(PRACTICE))
            return
        if not self.tour.shown:
            me.notice(NO_TOUR)
            return
        declined = self.tour.stage is Stage.OFFERED
        self.tour.end()
        me.notice(DECLINED if declined else OVER)
        self._remember(now=True)

    def tour_said(self) -> Said | None:
        """What a frame shows of it, after a look at what has been done."""
        me = self._helper()
        if me.report.snapshot is None:
            return None
        if self.tour.stage is Stage.UNDER_WAY and self.tour.look(self._sight()):
            self._remember()
        return self.tour.said()

    def _remember(self, *, now: bool = False) -> None:
        """A tour that was taken or declined is not offered again."""
        settings = self.kept.settings
        if settings.screen.tour == "over" or not (now or self.tour.stage is Stage.ENDED):
            return
        self.kept.settings = replace(settings, screen=replace(settings.screen, tour="over"))
        trouble = self.kept.file.write(self.kept.settings) if self.kept.file is not None else ""
        if trouble:
            self._helper().notice(trouble)

    def _sight(self) -> Sight:
        me = self._helper()
        desk = me.desk
        helping = any(isinstance(screen, HelpPage) for screen in me.app.screen_stack)
        return Sight(me.scene, me.board.drawing, desk.view, desk.selected, bool(desk.letters), me.aimed_pace(), helping, self._harmless, me.report.roles.named(STARTS))  # fmt: skip

    def _harmless(self, tag: str, value: Setting) -> bool:
        """No caution is to be read before this."""
        me = self._helper()
        snapshot, report = me.report.snapshot, me.report
        if snapshot is None:
            return False
        return not asked_before(tag, value, snapshot, report, guarded=tag in report.guarded).lines

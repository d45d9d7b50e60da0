"""What the bench's screen does where one looks, listens and touches: the cursor along the places, the thermometer, the hand."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.senses import Senses, Spot
from tui.desk import Direction
from tui.draw.holds import hold_of
from tui.draw.layout import View
from tui.orders import Touch
from tui.screens.answers import LOOK
from tui.screens.dialogs import Ask
from tui.screens.errands import Errands
from tui.senses import Row, name_of, rows_of, touch_words
from tui.touching import SETTLE, before_touch, strap_on, why_not

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


class AtSenses(Errands):
    """The errands, and what they become while the list fills the screen."""

    def _round(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def at_senses(self) -> bool:
        """Does the list fill the screen?"""
        return self._round().desk.view is View.SENSES

    @property
    def _senses(self) -> Senses | None:
        snapshot = self._round().report.snapshot
        return snapshot.senses if snapshot is not None else None

    def senses_rows(self) -> tuple[list[Row], str]:
        """What the painter needs: rows, and the place under the cursor."""
        me = self._round()
        if not self.at_senses or self._senses is None or me.report.snapshot is None:
            return [], ""
        rows = rows_of(self._senses, me.desk.touched, me.report.snapshot.time_s, instructor=me.desk.instructor, units=me.desk.units)  # fmt: skip
        spot = self._spot()
        return rows, spot.place if spot is not None else ""

    def _spot(self) -> Spot | None:
        """The place under the cursor; the first when that place is no longer on the list."""
        if self._senses is None or not self._senses.spots:
            return None
        spots = self._senses.spots
        return next((spot for spot in spots if spot.place == self._round().desk.place), spots[0])

    def look_round(self) -> None:
        """Show the list, with the cursor at the selected part."""
        me = self._round()
        spot = self._senses.spot(me.desk.selected) if self._senses is not None else None
        me.desk.place = spot.place if spot is not None else me.desk.place
        me.desk.show(View.SENSES)

    def move(self, direction: Direction) -> None:
        """To the next or the previous place."""
        if self.at_senses:
            self.step_at_senses(1 if direction in ("down", "right") else -1)
        else:
            super().move(direction)

    def step_part(self, step: int) -> None:
        """The same."""
        if self.at_senses:
            self.step_at_senses(step)
        else:
            super().step_part(step)

    def act(self) -> None:
        """Touch."""
        if self.at_senses:
            self.touch()
        else:
            super().act()

    def _card_answered(self, answer: str | None) -> None:
        if answer == LOOK:
            self.look_round()
        else:
            super()._card_answered(answer)

    def step_at_senses(self, step: int) -> None:
        """So many places along the refrigerant's way; at the ends it stops."""
        spot = self._spot()
        if self._senses is None or spot is None:
            return
        places = [one.place for one in self._senses.spots]
        self._stand(places[max(0, min(len(places) - 1, places.index(spot.place) + step))])

    def _stand(self, place: str) -> None:
        """A part under the cursor is the selected one too."""
        me = self._round()
        me.desk.place = place
        if me.board.drawing is not None and hold_of(me.board.drawing, place) is not None:
            me.desk.selected = place

    def click_at_senses(self, place: str) -> None:
        """A click puts the cursor there; a click on the cursor touches."""
        me = self._round()
        spot = self._spot()
        if spot is not None and spot.place == place:
            me.action_command("act")
            return
        self._stand(place)
        me.changed()

    # The hand.

    def touch(self) -> None:
        """Cautions and thermometer first."""
        me = self._round()
        spot = self._spot()
        if spot is None:
            return
        if why_not(spot, me.scene.roles):
            me.notice(why_not(spot, me.scene.roles))
            return
        lines, answers = self._before(spot)

        def answered(answer: str | None) -> None:
            if answer == "touch":
                self._lay_hand(spot.place)
            elif answer:
                me.set_tag(answer, spot.surfaces[0].node)
                me.notice(SETTLE)

        me.app.push_screen(Ask(f"Before you touch: {name_of(spot)}", lines, answers, danger=True, topic="touch"), answered)  # fmt: skip

    def _before(self, spot: Spot) -> tuple[list[str], list[tuple[str, str]]]:
        """What is read before a hand goes there, and what one can do then."""
        me = self._round()
        strap = strap_on(me.scene.tags.values())
        before = before_touch(spot, me.scene, strap, me.aimed(strap.tag) if strap is not None else None)  # fmt: skip
        answers = [("", "Leave it")]
        if before.strap:
            answers.append((before.strap, f"Strap {before.strap.rpartition('.')[0]} on here first"))
        if before.allowed:
            answers.append(("touch", "Touch it with a bare hand"))
        return before.lines, answers

    def _lay_hand(self, place: str) -> None:
        me = self._round()
        spot = self._senses.spot(place) if self._senses is not None else None
        if spot is None or me.report.snapshot is None:
            return
        found = touch_words(spot, me.report.snapshot.time_s)
        me.desk.touched[place] = found
        me.send(Touch(place=place))
        me.notice(f"{name_of(spot)}: {found.words}")

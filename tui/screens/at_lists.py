"""What wheel and page keys do on the bench's screen: lists, trend, the throttled part."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.desk import turned
from tui.draw.layout import View
from tui.views.board_view import BoardView

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

TREND_ROWS = 10
"""Rows of time that a page key pans a trend."""


class AtLists:
    """Mixed into ``BenchScreen``."""

    def _lister(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    def on_board_view_scrolled(self, message: BoardView.Scrolled) -> None:
        """The wheel throttles the selected part on the plant and scrolls lists."""
        me = self._lister()
        hit = me.board.hit(message.x, message.y)
        if hit.pane == "plant" and hit.tag == me.desk.selected:
            info = turned(hit.tag, me.scene.tags)
            if info is not None and info.choices:  # too easily done in passing
                me.notice(f"{info.tag} has positions, which the wheel leaves alone: click it, or use + and -")  # fmt: skip
            else:
                me.action_command("less" if message.rows > 0 else "more")
        elif hit.pane == "wiring":
            me.board.ladder.scroll(3 * message.rows)
            me.changed()
        elif hit.pane == "trend":
            me.zoom(-message.rows)
            me.changed()
        elif hit.pane == "board":
            me.turn_at_board(message.rows)
        elif hit.pane in ("log", "table", "pair", "both", "senses", "working"):
            self.scroll_rows(3 * message.rows)

    def scroll_rows(self, rows: int) -> None:
        """Scroll the log (back in time), the table (further down), the trend; the cursor of a list that has one."""
        me = self._lister()
        if me.at_trend:
            me.pan(rows)
            return
        if me.at_senses:
            me.step_at_senses(rows)
        if me.at_working:
            me.step_at_working(rows)
        table = me.desk.view in (View.TABLE, View.PAIR)
        me.desk.scroll = max(0, me.desk.scroll + (rows if table else -rows))
        me.changed()

    def scroll_page(self, step: int) -> None:
        """A page of what fills the screen; the trend goes by rows of time."""
        me = self._lister()
        if me.at_senses:
            spot = me._spot()
            me.step_to(me.board.senses.paged(spot.place if spot is not None else "", step))
            return
        if me.at_working:
            me.step_to(me.board.working.paged(me.working.cursor, step))
            return
        inside = next((pane.inside for pane in me.board.arrangement.panes), None)
        self.scroll_rows(step * (TREND_ROWS if me.at_trend or inside is None else max(1, inside.height - 1)))  # fmt: skip

    def step_to(self, place: str) -> None:
        """The cursor of the list that fills the screen."""
        me = self._lister()
        if me.at_senses:
            me._stand(place)
        else:
            me.working.cursor = place
        me.changed()

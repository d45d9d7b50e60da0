"""What the bench's screen does at the chart of states: other axes, a stored cycle, the cursor."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.assessed import CYCLE, refused
from tui.draw.cycle import cycle_seen
from tui.draw.layout import View
from tui.fluid_card import card_lines

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


class AtChart:
    """Mixed into ``BenchScreen``."""

    def _screen(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def at_chart(self) -> bool:
        """Does the chart fill the screen?"""
        return self._screen().desk.view is View.CHART

    def next_axes(self) -> None:
        """Pressure over enthalpy, or temperature over entropy."""
        me = self._screen()
        me.notice(f"chart: {me.desk.charting.next_axes().value}")

    def store_cycle(self) -> None:
        """Keep the cycle of now on the chart, or take the kept one away."""
        me = self._screen()
        if me.assessed:
            me.notice(refused(CYCLE))
            return
        corners = cycle_seen(me.scene)
        if not corners and not me.desk.charting.ghost:
            me.notice("no cycle to keep: the compressor stands, or both gauges show the same")
            return
        time_s = me.report.snapshot.time_s if me.report.snapshot is not None else 0.0
        kept = me.desk.charting.store(corners, time_s)
        me.notice("this cycle stays on the chart to compare with" if kept else "the kept cycle is gone from the chart")  # fmt: skip

    def click_at_chart(self, share: tuple[float, float]) -> None:
        """The cursor to where the mouse is; from the plant's screen a click on the small chart opens the large one."""
        me = self._screen()
        if self.at_chart:
            me.desk.charting.point(*share)
        else:
            me.desk.show(View.CHART)
        me.changed()

    def show_card(self) -> None:
        """The fluid's pressure-temperature card."""
        me = self._screen()
        if me.report.fluid is None:
            me.notice("the card comes with the plant")
            return
        me.show_page("Pressure and temperature", card_lines(me.report.fluid))

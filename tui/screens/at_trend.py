"""What the bench's screen does at the trends: cursor, window, which readings."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tui.desk import Direction
from tui.draw.layout import View
from tui.draw.lists import table_keys
from tui.draw.scene import Scene
from tui.plant import Snapshot
from tui.screens.choose import Choose
from tui.seen import instrument_label
from tui.trending import MOST_READINGS
from tui.words import label_of

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

PAN = 0.25
"""Share of the window that page up and page down shift it."""
WORKED_OUT = ("gauge_superheat_k", "suction_gauge_superheat_k", "gauge_subcooling_k", "suction_saturation_temperature_k", "discharge_saturation_temperature_k")  # fmt: skip


def reading_choices(scene: Scene, snapshot: Snapshot) -> list[tuple[str, str]]:
    """(reading, words) of everything with a number that this person may see."""
    known = [key for key in table_keys(scene) if isinstance(scene.reading(key), int | float)]
    choices = [(key, instrument_label(snapshot, key)) for key in known]
    worked = () if scene.own_work else WORKED_OUT
    return choices + [(key, f"{label_of(key)}, worked out") for key in worked]


class AtTrend:
    """Mixed into ``BenchScreen``."""

    def _looker(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def at_trend(self) -> bool:
        """Do the trends fill the screen?"""
        return self._looker().desk.view is View.TREND

    def _session(self) -> tuple[float, float]:
        history = self._looker().history
        return history.start_s, history.now_s

    def move_at_trend(self, direction: Direction) -> None:
        """Left and right: the cursor; up and down: half or twice the time."""
        trending = self._looker().desk.trending
        if direction in ("up", "down"):
            self.zoom(1 if direction == "up" else -1)
        else:
            trending.move_cursor(1 if direction == "right" else -1, *self._session())

    def zoom(self, steps: int) -> None:
        """Half the window for each step, or twice."""
        self._looker().desk.trending.zoom(steps, *self._session())

    def pan(self, rows: int) -> None:
        """Back in time (up) or forward."""
        self._looker().desk.trending.pan(PAN if rows > 0 else -PAN, *self._session())
        self._looker().changed()

    def click_at_trend(self, time_s: float) -> None:
        """The cursor to where the mouse is; a click on a trend elsewhere opens the large ones."""
        me = self._looker()
        start, now = self._session()
        if self.at_trend:
            me.desk.trending.cursor_s = min(max(time_s, start), now)
        else:
            me.desk.show(View.TREND)
        me.changed()

    def back_to_now(self) -> None:
        """No cursor on trend and chart."""
        me = self._looker()
        if me.at_working:
            me.hold_now()
        me.desk.trending.live()
        me.desk.charting.cursor = None

    def choose_readings(self) -> None:
        """A list of everything that this person may see."""
        me = self._looker()
        snapshot, trending = me.report.snapshot, me.desk.trending
        if snapshot is None:
            return
        if me.at_projector:
            me.choose_for_projector()
            return
        choices = reading_choices(me.scene, snapshot)

        def answered(keys: tuple[str, ...] | None) -> None:
            if keys is not None:
                trending.choose(keys)
                me.desk.show(View.TREND)
                me.changed()

        me.app.push_screen(Choose("Readings for a trend", choices, trending.own, MOST_READINGS), answered)  # fmt: skip

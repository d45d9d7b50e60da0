"""What the bench's screen does at the projector's page: which five readings, and that they are remembered."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from tui.draw.layout import View
from tui.draw.projector import ProjectorFrame
from tui.projecting import MOST, chosen, five
from tui.screens.at_trend import reading_choices
from tui.screens.choose import Choose

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


class AtProjector:
    """Mixed into ``BenchScreen``."""

    def _shower(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def at_projector(self) -> bool:
        """Does the page fill the screen?"""
        return self._shower().desk.view is View.PROJECTOR

    def projector_frame(self) -> ProjectorFrame | None:
        """What the painter needs."""
        me = self._shower()
        if not self.at_projector or me.report.snapshot is None:
            return None
        keys = me.kept.settings.projector.readings
        return ProjectorFrame(five(me.scene, me.history, keys, me.report.scales))

    def choose_for_projector(self) -> None:
        """A list of everything that instruments show; what is chosen is kept with the settings."""
        me = self._shower()
        snapshot, settings = me.report.snapshot, me.kept.settings
        if snapshot is None:
            return
        choices = reading_choices(replace(me.scene, instructor=False), snapshot)

        def answered(keys: tuple[str, ...] | None) -> None:
            if keys is not None:
                kept = replace(settings.projector, readings=keys)
                trouble = me.use_settings(replace(me.kept.settings, projector=kept))
                if trouble:
                    me.notice(trouble)

        ticked = chosen(settings.projector.readings, me.assessed)
        me.app.push_screen(
            Choose("Readings for the projector", choices, ticked, MOST, topic="projector"), answered
        )

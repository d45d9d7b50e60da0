"""Commands of what is seen: views, units, colours, trends, charts."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from tui.command import Command
from tui.draw.layout import View

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen


class UnitsRound(Command):
    """Units: SI, US with SI beside, SI with US beside."""

    name, keys, shown_key, footer, group = "units", ("u",), "u", "units", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.next_units()


class SwitchView(Command):
    """Learner's view or instructor's view. The truth is only in the instructor's."""

    name, keys, shown_key, footer, group = "instructor", ("i",), "i", "view", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.switch_view()


class ThemeRound(Command):
    """Colours: dark, light, high contrast, none."""

    name, keys, shown_key, group = "theme", ("t",), "t", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.next_theme()


class PipeColours(Command):
    """Pipes: coloured by temperature, or by side, high or low pressure. A click on the scale below the plant does the same."""

    name, keys, shown_key, group = "pipe_colours", ("Y",), "Y", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.next_pipe_colours()


class GlyphsRound(Command):
    """Characters: full set, without braille, plain ASCII."""

    name, keys, shown_key, group = "characters", ("y",), "y", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.next_glyphs()


class TrendRound(Command):
    """Trend: the next set of readings; at bench and copy the next reading. At readings and working: the next recorded set, then now."""

    name, keys, shown_key, footer, group = "trend_set", ("n",), "n", "set", "view"

    def run(self, screen: BenchScreen) -> None:
        if screen.at_working:
            screen.next_reading_set()
        elif screen.desk.view is View.PAIR:
            screen.desk.trending.pair += 1
        else:
            screen.desk.trending.next_set()


class SpanRound(Command):
    """Trend: 5, 15, 60 minutes, or the whole session."""

    name, keys, shown_key, footer, group = "trend_span", ("m",), "m", "span", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.desk.trending.next_span()


class ChooseReadings(Command):
    """Choose readings: up to four for a trend, five for the projector."""

    name, keys, shown_key, footer, group, ready_only = "own_trend", ("C",), "C", "choose", "view", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.choose_readings()


class Live(Command):
    """Take the cursor off trend or chart; the trend goes on with now. At readings and working: now, held as of this instant."""

    name, keys, shown_key, footer, group = "live", ("escape",), "esc", "live", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.back_to_now()


class AxesRound(Command):
    """Chart of states: pressure over enthalpy, or temperature over entropy."""

    name, keys, shown_key, footer, group = "chart_axes", ("A",), "A", "axes", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.next_axes()


class StoreCycle(Command):
    """Chart of states: keep the cycle of now to compare with, or take the kept one away."""

    name, keys, shown_key, footer, group, ready_only = "keep_cycle", ("K",), "K", "keep cycle", "view", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.store_cycle()


class PageUp(Command):
    """A page of the log, the table or a list up; the trend back."""

    name, keys, shown_key, group = "page_up", ("pageup",), "page up", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.scroll_page(-1)


class PageDown(Command):
    """A page of the log, the table or a list down; the trend forward."""

    name, keys, shown_key, group = "page_down", ("pagedown",), "page down", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.scroll_page(1)


class ShowView(Command):
    """Fill the screen with a view."""

    view: ClassVar[View] = View.PLANT
    group = "view"

    def run(self, screen: BenchScreen) -> None:
        screen.desk.show(self.view)


ALSO_CALLED = {View.LOG: "log of events", View.TABLE: "table of readings", View.TREND: "trend of readings"}  # fmt: skip
"""In the list of commands one looks for them by these words too."""
NUMBERED = 9
"""Views that have a digit."""


def _view(number: int, view: View) -> type[Command]:
    words = f"View {number}: {ALSO_CALLED.get(view, view.value)}."
    return type(f"Show{view.name.title()}", (ShowView,), {"__doc__": words, "name": f"view_{view.value.replace(' ', '_')}", "keys": (str(number),), "shown_key": str(number), "view": view})  # fmt: skip


class LookListenTouch(Command):
    """Senses: look, listen, touch. What eye and ear find, place by place, and what a hand finds where you lay it."""

    name, keys, shown_key, footer, group, ready_only = "look_listen_touch", ("s",), "s", "senses", "view", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.look_round()


class ShowWorking(Command):
    """Readings and working: what the instruments show at one instant, and the calculation from it step by step."""

    name, keys, shown_key, footer, group, ready_only = "working", ("M",), "M", "working", "view", True  # fmt: skip

    def run(self, screen: BenchScreen) -> None:
        screen.show_working()


class CoverResults(Command):
    """Readings and working: cover the results to practise, or open them."""

    name, keys, shown_key, footer, group = "cover_results", ("Z",), "Z", "cover", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.cover()


class ShowProjector(Command):
    """Projector: five readings large enough for the back of the room."""

    name, keys, shown_key, footer, group = "projector", ("D",), "D", "projector", "view"

    def run(self, screen: BenchScreen) -> None:
        screen.desk.show(View.PROJECTOR)


VIEW_COMMANDS: tuple[type[Command], ...] = (
    *(_view(number, view) for number, view in enumerate(View, start=1) if number <= NUMBERED),
    LookListenTouch, ShowWorking, CoverResults, ShowProjector,
    UnitsRound, SwitchView, ThemeRound, PipeColours, GlyphsRound, TrendRound, SpanRound, ChooseReadings, Live, AxesRound, StoreCycle, PageUp, PageDown,
)  # fmt: skip

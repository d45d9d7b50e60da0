"""A person at the chart of states, the trends and the pressure-temperature card, by key and by mouse."""

from __future__ import annotations

from textual.widgets import SelectionList

from tests.screen.test_bench_screen import bench, text_of, until
from tui.app import BenchApp
from tui.draw.layout import View
from tui.screens.choose import Choose
from tui.screens.dialogs import Page


def pane(app: BenchApp, kind: str) -> tuple[int, int]:
    """Somewhere in the middle of a pane."""
    found = next(pane for pane in app.bench.board.arrangement.panes if pane.kind == kind)
    return found.rect.x + found.rect.width // 2, found.rect.y + found.rect.height // 2


async def test_arrows_put_a_cursor_on_the_chart_and_escape_takes_it_away() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("2", "right", "left")
        assert app.bench.desk.charting.cursor is not None
        assert "kJ/(kg K)" in text_of(app)
        selected = app.bench.desk.selected
        await pilot.press("up", "escape")
        assert app.bench.desk.charting.cursor is None
        assert app.bench.desk.selected == selected, "no part is selected unseen"


async def test_a_key_changes_the_axes_and_another_keeps_the_cycle() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("2", "A")
        assert "T-s chart" in text_of(app)
        assert "entropy" in text_of(app)
        await pilot.press("A", "K")
        assert app.bench.desk.charting.ghost
        await pilot.press("K")
        assert not app.bench.desk.charting.ghost


async def test_a_standing_plant_has_no_cycle_to_keep_and_says_so() -> None:
    async with bench() as (app, pilot):
        await pilot.press("2", "K")
        assert not app.bench.desk.charting.ghost
        assert "no cycle to keep" in text_of(app)


async def test_a_click_on_the_small_chart_opens_the_large_one_and_then_points() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.click(offset=pane(app, "chart"))
        await until(lambda: app.bench.desk.view is View.CHART)
        await pilot.click(offset=(70, 18))
        await until(lambda: app.bench.desk.charting.cursor is not None)
        assert app.bench.view.canvas.row_text(18)[70] == "+"


async def test_arrows_and_signs_at_the_trends() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("3")
        await until(lambda: app.bench.history.now_s > 0.5)
        await pilot.press("left", "left", "plus", "plus")
        trending = app.bench.desk.trending
        assert trending.cursor_s is not None
        assert trending.span_s == 75.0
        await pilot.press("minus", "escape")
        assert trending.span_s == 150.0
        assert trending.cursor_s is None
        assert trending.end_s is None


async def test_a_click_on_a_trend_puts_the_cursor_there() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.click(offset=pane(app, "trend"))
        await until(lambda: app.bench.desk.view is View.TREND)
        await pilot.click(offset=(100, 10))
        await until(lambda: app.bench.desk.trending.cursor_s is not None)


async def test_readings_are_ticked_for_an_own_trend() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("C")
        await until(lambda: isinstance(app.screen, Choose))
        await pilot.press("space", "down", "space", "down", "space", "down", "space", "down", "space")  # fmt: skip
        assert len(app.screen.query_one(SelectionList).selected) == 4, "a fifth is not taken"
        await pilot.press("ctrl+s")
        await until(lambda: app.screen is app.bench)
        assert len(app.bench.desk.trending.own) == 4
        assert "own choice" in text_of(app)


async def test_the_button_takes_the_choice_too_and_escape_leaves_it() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("C")
        await until(lambda: isinstance(app.screen, Choose))
        await pilot.press("space", "escape")
        await until(lambda: app.screen is app.bench)
        assert app.bench.desk.trending.own == ()
        await pilot.press("C")
        await until(lambda: isinstance(app.screen, Choose))
        await pilot.press("space")
        await pilot.click("#take")
        await until(lambda: len(app.bench.desk.trending.own) == 1)


async def test_the_card_of_the_refrigerant_opens_on_its_key() -> None:
    async with bench() as (app, pilot):
        await pilot.press("T")
        await until(lambda: isinstance(app.screen, Page))
        await pilot.press("escape")
        await until(lambda: app.screen is app.bench)

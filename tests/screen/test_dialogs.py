"""Dialogs at any height, and what they say of a guarded switch; the last line of a part with choices."""

from __future__ import annotations

import pytest
from textual.widgets import OptionList

from tests.screen.test_bench_screen import bench, setting, text_of, until
from tests.tui.fake_bench import ROLES, FakeBench, fake_chart, steady_bench
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.screens.dialogs import Ask


def said(dialog: Ask) -> str:
    return "\n".join(dialog.lines)


@pytest.mark.parametrize("size", [(80, 24), (80, 20), (60, 14), (40, 10)])
async def test_the_answers_of_a_caution_are_in_sight_at_any_height(size: tuple[int, int]) -> None:
    async with bench(cautions=True, size=size) as (app, pilot):
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.pause(0.1)
        answers = app.screen.query_one(OptionList).region
        assert answers.height >= 2
        assert app.screen.region.contains_region(answers)


async def test_the_text_of_a_caution_scrolls_where_rows_are_few() -> None:
    async with bench(cautions=True, size=(80, 14)) as (app, pilot):
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.pause(0.1)
        text = app.screen.query_one("VerticalScroll")
        assert text.max_scroll_y > 0
        for _ in range(20):
            await pilot.press("pagedown")
        await pilot.pause(0.1)
        assert text.scroll_offset.y == text.max_scroll_y, "the last line can be read"
        await pilot.press("enter")
        await until(lambda: app.screen is app.bench)


@pytest.mark.parametrize("runs", [False, True])
async def test_a_guarded_selector_says_why(runs: bool) -> None:
    def opener(begin: Begin, progress: Progress) -> Opened:
        plant = steady_bench() if runs else FakeBench()
        return Opened(plant, fake_chart(), guarded=frozenset(("HS-5",)), roles=ROLES)

    async with bench(opener=opener) as (app, pilot):
        app.bench.desk.selected = "HS-5"
        await pilot.press("enter")
        await until(lambda: isinstance(app.screen, Ask))
        assert isinstance(app.screen, Ask)
        words = said(app.screen)
        assert "reverses the cycle" in words
        assert ("Stop the compressor first" in words) is runs
        assert ("this is the moment for it" in words) is not runs
        answers = [label for _, label in app.screen.answers]
        assert any("all the same" in label for label in answers) is runs
        assert any("ift the guard and turn HS-5" in label for label in answers)
        assert ("running now" in words) == ("DANGER" in words) == runs
        await pilot.press("enter")
        assert setting(app, "HS-5") == "cooling"


async def test_a_switch_with_choices_says_that_enter_chooses() -> None:
    async with bench() as (app, pilot):
        for tag, words in (("HS-2", "off   enter: choose"), ("HS-4", "off   enter: on")):
            app.bench.desk.selected = tag
            app.bench.changed()
            await pilot.pause(0.05)
            assert words in text_of(app), tag

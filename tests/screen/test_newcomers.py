"""What newcomers stumbled over: the last line and the wheel by mouse, letters and clicks, the list of commands, the trend beside the plant, leaving with notes."""

from __future__ import annotations

from functools import partial

import pytest

from sim import watching
from tests.screen.test_bench_screen import bench, setting, text_of, until
from tui.app import BenchApp
from tui.draw.layout import View
from tui.orders import Begin
from tui.runner import Stage
from tui.screens.dialogs import Ask
from tui.screens.every_command import EveryCommand
from tui.seen import SLIDE_THERE
from tui.views.board_view import BoardView


def column_of(app: BenchApp, words: str) -> tuple[int, int]:
    """Where words first stand on the screen: (x, y)."""
    rows = text_of(app).splitlines()
    return next((row.index(words), y) for y, row in enumerate(rows) if words in row)


def _moved(app: BenchApp, before: object) -> bool:
    return setting(app, "HCV-22") != before


async def test_plus_and_minus_on_the_last_line_turn_either_way() -> None:
    async with bench("steady") as (app, pilot):
        app.bench.desk.selected = "HCV-22"
        app.bench.changed()
        x, y = column_of(app, " + -  turn")
        seen = []
        for sign in (3, 1, 1):
            before = setting(app, "HCV-22")
            await pilot.click("BoardView", offset=(x + sign, y))
            await until(partial(_moved, app, before))
            seen.append(setting(app, "HCV-22"))
        assert seen == [0.3, 0.35, 0.4]


async def test_a_click_on_the_clock_asks_what_to_wait_for() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.click("BoardView", offset=(2, 0))
        await until(lambda: isinstance(app.screen, Ask))
        assert isinstance(app.screen, Ask)
        assert app.screen.topic == "until"


async def test_the_wheel_turns_no_switch() -> None:
    async with bench() as (app, _):
        app.bench.desk.selected = "HS-1"
        app.bench.changed()
        x, y = column_of(app, "HS-1 main")
        app.bench.view.post_message(BoardView.Scrolled(x, y, 1))
        await until(lambda: "HS-1 has positions" in text_of(app))
        assert setting(app, "HS-1") == "off"


async def test_while_letters_stand_there_a_click_only_chooses() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "HS-1"
        app.bench.changed()
        x, y = column_of(app, "HS-1 main")
        await pilot.press("g")
        await pilot.click("BoardView", offset=(x, y))
        await pilot.pause(0.2)
        assert app.bench.desk.letters == {}
        assert setting(app, "HS-1") == "off"
        await pilot.click("BoardView", offset=(x, y))
        await until(lambda: setting(app, "HS-1") == "on")


async def test_after_an_emergency_stop_a_hold_ends_at_pace_one() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("full_stop", "0")
        await until(lambda: app.bench.report.pace == 1)
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.RUNNING)
        assert app.bench.report.pace == 1


async def test_beside_the_plant_the_trend_is_of_now_wherever_its_cursor_stands() -> None:
    async with bench("steady") as (app, _):
        app.bench.desk.trending.cursor_s = 0.0
        app.bench.desk.show(View.TREND)
        app.bench.changed()
        assert "min ago" not in text_of(app)
        app.bench.desk.show(View.PLANT)
        app.bench.changed()
        assert "5 min ago" in text_of(app)


@pytest.mark.parametrize(("typed", "first"), [("events", "View log"), ("until", "Go on until"), ("leave the bench", "Quit"), ("hv12", "HV-12")])  # fmt: skip
async def test_the_list_of_commands_is_found_by_words_of_what_they_do(typed: str, first: str) -> None:  # fmt: skip
    async with bench("steady") as (app, pilot):
        provider = EveryCommand(app.screen)
        found = [hit async for hit in provider.search(typed)]
        most = max(hit.score for hit in found)
        assert any(str(hit.prompt).startswith(first) for hit in found if hit.score == most)
        assert len(found) < 5
        assert [hit async for hit in provider.search("no such thing")] == []
        await pilot.pause(0.0)


async def test_a_notebook_that_is_not_saved_is_not_left_behind_unasked() -> None:
    async with bench() as (app, pilot):
        app.bench.kept.notebook.write(1.0, "the fan hums")
        await pilot.press("q")
        await until(lambda: isinstance(app.screen, Ask))
        assert isinstance(app.screen, Ask)
        assert app.screen.heading == "Leave the notebook behind?"
        assert app.screen.lines == ["The notebook holds 1 note, not all of them saved."]
        await pilot.press("down", "enter")
        await until(lambda: app.return_value == 0)


def test_screen_and_log_agree_on_when_the_slide_is_there() -> None:
    assert SLIDE_THERE == watching.SLIDE_THERE


async def test_a_bench_that_begins_again_is_no_slide_that_has_moved() -> None:
    async with bench("steady") as (app, _):
        app.bench._heats = True  # it was left in heating
        app.bench.open_anew(Begin())
        await until(lambda: app.bench.report.applied >= app.bench.begun)
        painted = app.bench.frames_painted
        await until(lambda: app.bench.frames_painted > painted + 3)
        assert app.bench._heats is False
        assert "slide has moved" not in text_of(app)

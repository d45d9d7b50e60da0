"""Keys that arrive all at once, as over a slow line: each means what it would have meant one by one, and none answers a question that was not yet on the screen."""

from __future__ import annotations

from textual.events import Key
from textual.pilot import Pilot

from tests.screen.test_bench_screen import bench, setting
from tests.tui.conftest import snapshot_of
from tui.app import BenchApp
from tui.draw.layout import View
from tui.screens.dialogs import Ask


async def burst(app: BenchApp, pilot: Pilot[int], *keys: str) -> None:
    """Post keys without giving the screen time between them."""
    for key in keys:
        app.post_message(Key(key, key if len(key) == 1 else None))
    await pilot.pause(0.1)


async def test_letters_after_the_jump_select_a_part_and_are_no_commands() -> None:
    async with bench("steady") as (app, pilot):
        drawing = app.bench.board.drawing
        assert drawing is not None
        letters = app.bench.desk.label_letters(drawing)
        app.bench.desk.letters = {}
        wanted = next(tag for tag, letter in letters.items() if letter.startswith("b"))
        await burst(app, pilot, "g", *letters[wanted])
        assert app.screen is app.bench
        assert app.bench.desk.selected == wanted


async def test_words_of_a_search_are_no_commands_and_its_enter_works_no_part() -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        before = dict(snapshot_of(app.bench.report).commands)
        await burst(app, pilot, "8", "slash", "f", "a", "n", "enter")
        assert app.bench.faults.query == "fan"
        assert app.bench.desk.view is View.BOARD
        assert app.bench.report.fork is None
        assert app.bench.report.ahead is None
        assert snapshot_of(app.bench.report).commands == before


async def test_an_enter_typed_ahead_neither_answers_a_question_nor_works_a_part() -> None:
    async with bench("steady") as (app, pilot):
        await burst(app, pilot, "b", "down", "enter", "enter")
        assert isinstance(app.screen, Ask)
        assert setting(app, "HS-1") == "on"


async def test_the_emergency_stop_is_pressed_out_of_any_burst() -> None:
    async with bench("steady") as (app, pilot):
        await burst(app, pilot, "b", "enter", "0")
        await pilot.pause(0.2)
        assert setting(app, "HS-0") == "pressed"

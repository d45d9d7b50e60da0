"""A page key moves a page: what stood at one edge of the list stands at the other, or the list ends."""

from __future__ import annotations

from itertools import pairwise

import pytest

from tests.screen.test_bench_screen import bench, text_of, until
from tui.app import BenchApp
from tui.draw.layout import View
from tui.draw.scrolled import Scrolled

SIZES = [(80, 24), (120, 40)]


def listed(lines: list[str], room: int) -> Scrolled:
    found = Scrolled()
    found.lines, found.room = lines, room
    return found


def test_a_page_is_what_has_room_and_lands_on_what_can_be_chosen() -> None:
    lines = ["", "a", "a", "b", "", "c", "d", "d", "e", ""]
    page = listed(lines, 4)
    assert page.paged("a", 1) == "c"
    assert page.paged("c", 1) == "e"
    assert page.paged("e", 1) == "e"
    assert page.paged("e", -1) == "c"
    assert page.paged("b", -1) == "a"
    assert page.paged("nothing", 1) == "a"


@pytest.mark.parametrize("key", ["M", "s"])
async def test_the_first_page_key_turns_a_page_although_the_cursor_had_room_to_move(key: str) -> None:  # fmt: skip
    async with bench("steady", (80, 24)) as (app, pilot):
        await pilot.press(key)
        page = {"M": app.bench.board.working, "s": app.bench.board.senses}[key]
        await until(lambda: len(page.lines) > page.room)
        await pilot.press(*["pageup"] * 6)
        app.bench.paint()
        assert page.top == 0
        await pilot.press("pagedown")
        app.bench.paint()
        assert page.top >= min(page.room // 2, len(page.lines) - page.room) > 0


@pytest.mark.parametrize("size", SIZES)
async def test_pages_go_through_readings_and_working_and_back(size: tuple[int, int]) -> None:
    async with bench("steady", size) as (app, pilot):
        await pilot.press("M")
        await until(lambda: app.bench.desk.view is View.WORKING and bool(app.bench.board.working.lines))  # fmt: skip
        await pilot.press("home", *["pageup"] * 8)
        page = app.bench.board.working
        app.bench.paint()
        tops = [page.top]
        for _ in range(12):
            await pilot.press("pagedown")
            app.bench.paint()
            tops.append(page.top)
        end = max(0, len(page.lines) - page.room)
        steps = [b - a for a, b in pairwise(tops)]
        assert tops[-1] >= end - 2
        assert max(steps) > page.room // 2
        assert sum(step > 0 for step in steps) <= 2 + end // (page.room // 2)
        await pilot.press(*["pageup"] * 12)
        app.bench.paint()
        assert page.top == 0


async def test_a_page_of_the_table_is_as_many_rows_as_it_has() -> None:
    async with bench("steady", (80, 24), instructor=True) as (app, pilot):
        await pilot.press("5")
        rows = [row[3:9] for row in text_of(app).splitlines()]
        await pilot.press("pagedown")
        assert app.bench.desk.scroll == next(pane.inside.height - 1 for pane in app.bench.board.arrangement.panes)  # fmt: skip
        assert rows != [row[3:9] for row in text_of(app).splitlines()]


@pytest.mark.parametrize(("key", "there", "back"), [("6", "pageup", "pagedown"), ("5", "pagedown", "pageup")])  # fmt: skip
async def test_who_has_paged_to_the_end_is_one_page_from_it(key: str, there: str, back: str) -> None:  # fmt: skip
    async with bench("steady", (80, 24), instructor=True) as (app, pilot):
        await pilot.press(*["plus", "minus"] * 20, key)
        await until(lambda: len(app.bench.scene.events) > 30)
        seen = [listed_rows(app)]
        for _ in range(12):
            await pilot.press(there)
            seen.append(listed_rows(app))
        assert seen[-1] == seen[-2], "the end was reached"
        await pilot.press(back)
        assert listed_rows(app) != seen[-1]


def listed_rows(app: BenchApp) -> str:
    """The pane without its numbers, which change by themselves."""
    return "\n".join(row[:36] for row in text_of(app).splitlines()[2:21])

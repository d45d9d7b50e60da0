"""An assessed session at the screen: what is not offered, what stays assessed, and what becomes of one that breaks off."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import OptionList

from sim.bench import Bench
from sim.session import open_bench
from tests.screen.session_child import Saving
from tests.screen.test_bench_screen import bench, text_of, until
from tests.tui.fake_bench import open_fake
from tui.opening import mark_assessed
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.screens.dialogs import Ask
from tui.session.autosave import Keeper, Left, left_behind
from tui.session.kept import Kept
from tui.session.notebook import Notebook


def open_assessed(begin: Begin, progress: Progress) -> Opened:
    """As if the bench's save had said so."""
    return open_fake(begin, progress)._replace(assessed=True)


def answers_of(screen: object) -> list[str]:
    assert isinstance(screen, Ask)
    return [str(option.id) for option in screen.query_one(OptionList).options]


@pytest.mark.parametrize("assessed", [False, True])
async def test_a_question_offers_to_look_ahead_only_where_one_may(assessed: bool) -> None:
    async with bench("steady", assessed=assessed) as (app, pilot):
        app.bench.desk.selected = "HS-5"
        await pilot.press("enter")
        await until(lambda: isinstance(app.screen, Ask))
        assert "do" in answers_of(app.screen)
        assert ("ahead" in answers_of(app.screen)) is not assessed


async def test_an_assessed_session_is_not_begun_again() -> None:
    async with bench("steady", assessed=True) as (app, pilot):
        await pilot.press("b")
        await pilot.pause(0.1)
        assert app.screen is app.bench
        assert "from its beginning to its end" in text_of(app)


@pytest.mark.parametrize("assessed", [False, True])
async def test_a_chart_to_write_has_the_cycle_only_where_there_is_one(assessed: bool) -> None:
    async with bench("steady", assessed=assessed) as (app, pilot):
        await pilot.press("E")
        await until(lambda: isinstance(app.screen, Ask))
        said = [str(option.prompt) for option in app.screen.query_one(OptionList).options]
        assert any("with the cycle" in words for words in said) is not assessed
        assert any(words.startswith("Chart of states") for words in said)


async def test_a_bench_that_its_save_calls_assessed_is_so_on_the_screen() -> None:
    async with bench("steady", opener=open_assessed) as (app, pilot):
        await until(lambda: "ASSESSED" in text_of(app))
        assert app.bench.scene.own_work
        await pilot.press("backspace")
        assert app.screen is app.bench


async def test_an_instructor_may_look_at_an_assessed_bench() -> None:
    async with bench("steady", opener=open_assessed, instructor=True) as (app, _):
        assert not app.bench.assessed


def test_the_mark_is_in_the_save_and_an_instructors_look_on_the_record(tmp_path: Path) -> None:
    plant = open_bench("fennick_bench", "off")
    mark_assessed(plant, Begin(assessed=True))
    plant.save(tmp_path / "a.rime")
    again = Bench.load(tmp_path / "a.rime")
    mark_assessed(again, Begin())
    assert again.assessed
    assert again.events == plant.events
    mark_assessed(again, Begin(instructor=True))
    assert again.assessed
    assert again.fork().assessed
    assert again.events[-1].kind == "record"


def broken_off(state: Path) -> Left:
    """What an assessed session leaves that is killed."""
    plant = Saving()
    plant.assessed = True  # type: ignore[attr-defined]
    keeper = Keeper(state, Notebook())
    keeper.keep(plant)
    assert keeper.trouble == ""
    assert keeper._lock is not None
    keeper._lock.release()
    return next(left_behind(state))


async def test_a_broken_assessed_session_is_not_offered_to_the_instructor_and_is_kept(tmp_path: Path) -> None:  # fmt: skip
    kept = Kept(left=broken_off(tmp_path), keeper=Keeper(tmp_path, Notebook()))
    async with bench("steady", kept=kept, instructor=True) as (app, pilot):
        await pilot.pause(0.1)
        assert not isinstance(app.screen, Ask)
        assert "without --instructor" in text_of(app)
    left = next(left_behind(tmp_path))
    assert left.assessed
    left.lock.release()


async def test_a_broken_assessed_session_says_that_it_goes_on_assessed(tmp_path: Path) -> None:
    kept = Kept(left=broken_off(tmp_path), keeper=Keeper(tmp_path, Notebook()))
    async with bench("steady", kept=kept) as (app, _):
        await until(lambda: isinstance(app.screen, Ask))
        assert isinstance(app.screen, Ask)
        assert any("goes on so" in line for line in app.screen.lines)

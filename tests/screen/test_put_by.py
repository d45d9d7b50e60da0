"""Plants put by under a name: kept, listed, taken up beside the bench or in its place, forgotten. The plant is the stand-in."""

from __future__ import annotations

import pytest
from textual.pilot import Pilot
from textual.widgets import OptionList

from tests.screen.test_bench_screen import bench, until
from tests.tui.fake_bench import FakeBench
from tui.app import BenchApp
from tui.beside import MOST_KEPT, Beside
from tui.orders import Fork
from tui.screens.dialogs import Ask, AskText


async def _choose(pilot: Pilot[int], app: BenchApp, *ids: str) -> None:
    """Answers of the dialogs that follow each other."""
    for one in ids:
        await until(lambda: isinstance(app.screen, Ask))
        answers = app.screen.query_one(OptionList)
        answers.highlighted = answers.get_option_index(one)
        await pilot.press("enter")


async def test_a_plant_put_by_is_listed_and_taken_up_beside_the_bench_and_in_its_place() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("B")
        await _choose(pilot, app, "keep")
        await until(lambda: isinstance(app.screen, AskText))
        await pilot.press("enter")
        await until(lambda: [name for name, _ in app.bench.report.kept] == ["plant 1"])
        kept_s = app.bench.report.kept[0][1]
        app.bench.desk.selected = "HCV-22"
        await pilot.press("minus")
        await until(lambda: app.bench.scene.setting("HCV-22") != 0.35)
        await pilot.press("B")
        await _choose(pilot, app, "of:plant 1", "take")
        await until(lambda: app.bench.report.fork is not None)
        assert app.bench.report.fork is not None
        assert app.bench.report.fork.commands["HCV-22"] == 0.35
        await pilot.press("B")
        await _choose(pilot, app, "of:plant 1", "adopt")
        await until(lambda: app.bench.scene.setting("HCV-22") == 0.35)
        assert app.bench.report.pace == 0
        assert app.bench.report.snapshot is not None
        assert app.bench.report.snapshot.time_s == pytest.approx(kept_s)
        assert [name.startswith("bench of") for name, _ in app.bench.report.kept] == [True]
        await pilot.press("B")
        await _choose(pilot, app, f"of:{app.bench.report.kept[0][0]}", "drop")
        await until(lambda: not app.bench.report.kept)


async def test_an_assessed_session_puts_nothing_by() -> None:
    async with bench("steady") as (app, pilot):
        app.bench.assessed = True
        await pilot.press("B")
        assert not isinstance(app.screen, Ask)


def test_going_on_with_a_plant_put_by_is_on_the_record_with_what_it_takes_back() -> None:
    beside, plant = Beside(), FakeBench()
    beside.obey(plant, Fork(what="keep", name="before"))
    plant.advance(60.0)
    plant.note("M1", "slug", "Liquid has entered the cylinder.")
    found = beside.obey(plant, Fork(what="adopt", name="before"))
    assert found.time_s == 0.0
    assert (
        found.events[-1].text
        == "Went on with before, put by at 0 s, in the place of the bench at 60 s. That takes back: slug at M1. A real plant has no way back."
    )
    assert list(beside.kept) == ["bench of 60 s"]


def test_names_are_there_once_and_memory_is_bounded() -> None:
    beside, plant = Beside(), FakeBench()
    for number in range(MOST_KEPT):
        beside.obey(plant, Fork(what="keep", name=f"{number}"))
    for name, word in (("0", "taken"), ("", "needs a name"), ("one more", f"{MOST_KEPT} plants")):
        with pytest.raises(ValueError, match=word):
            beside.obey(plant, Fork(what="keep", name=name))
    with pytest.raises(ValueError, match="nothing is put by"):
        beside.obey(plant, Fork(what="take", name="never"))

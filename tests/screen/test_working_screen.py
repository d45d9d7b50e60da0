"""A person who works readings out, by key and by mouse, and one who is assessed."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from textual.pilot import Pilot
from textual.widgets import Input

from tests.screen.test_bench_screen import bench, text_of, until
from tui.app import BenchApp
from tui.draw.layout import View
from tui.marking import Place
from tui.screens.at_working import NO_SETS, OPEN_ALREADY, READ, STANDS
from tui.screens.dialogs import AskText
from tui.session.notebook import Notebook

SUPERHEAT = "superheat_at_outlet_k"


def result(app: BenchApp, key: str) -> float:
    """What the page computes."""
    held, fluid = app.bench._held, app.bench.report.fluid
    assert held is not None
    assert fluid is not None
    return app.bench.working.sheet(held, app.bench.report.scales, fluid).number(key)


async def give(app: BenchApp, pilot: Pilot[int], text: str) -> None:
    """Type a result of one's own where the cursor stands."""
    await pilot.press("enter")
    await until(lambda: isinstance(app.screen, AskText))
    app.screen.query_one(Input).value = text
    await pilot.press("enter")
    await until(lambda: app.screen is app.bench)


async def test_the_page_holds_its_numbers_while_the_plant_runs_on() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("M")
        assert app.bench.desk.view is View.WORKING
        await until(lambda: "readings and working: held at" in text_of(app))
        held = app.bench.working.now
        assert held is not None
        await until(lambda: (app.bench.report.snapshot or held).time_s > held.time_s + 0.5)
        assert app.bench.working.now is held
        await pilot.press("escape")
        assert app.bench.working.now is not held
        assert app.bench.working.now is not None
        assert app.bench.working.now.time_s > held.time_s


async def test_a_step_shows_formula_numbers_result_and_where_they_come_from() -> None:
    async with bench("steady", size=(200, 60)) as (app, pilot):
        await pilot.press("M")
        await until(lambda: "SH = tE − t0" in text_of(app))
        line = next(line for line in text_of(app).split("\n") if "SH = tE − t0" in line)
        assert re.search(r"= \(?-?\d+\.\d °C\)? − \(-\d+\.\d °C\)   from TI-4, t0 \(PI-1\) +\d+\.\d K ± \d", line)  # fmt: skip


async def test_all_is_in_the_learners_units() -> None:
    async with bench("steady", size=(200, 60)) as (app, pilot):
        await pilot.press("u", "M")
        await until(lambda: "psia" in text_of(app))
        for unit in ("psig", "°F", "Btu/lb", "lb/ft³", "gal/h"):
            assert unit in text_of(app), unit
        assert re.search(r"\d Btu/lb \(\d+\.\d kJ/kg\) ± \d\.\d+ Btu/lb", text_of(app)), (
            "SI stands beside"
        )


async def test_covered_results_open_one_by_one() -> None:
    async with bench("steady", size=(120, 40)) as (app, pilot):
        await pilot.press("M", "enter", "enter")
        await until(lambda: OPEN_ALREADY in text_of(app))
        await pilot.press("Z")
        await until(lambda: "your result, in bar" in text_of(app))
        assert "p0 = p(PI-1)" not in text_of(app)
        await give(app, pilot, f"{result(app, 'suction_absolute_pa') / 1e5:.2f}")
        await until(lambda: "p0 = p(PI-1)" in text_of(app))
        assert "your result, in bar" in text_of(app), "the next one is still covered"
        await pilot.press("Z")
        await until(lambda: "your result" not in text_of(app))


async def test_an_own_result_does_not_give_away_those_that_it_stands_on() -> None:
    async with bench("steady", size=(120, 40), assessed=True) as (app, pilot):
        await pilot.press("M")
        app.bench.working.cursor = SUPERHEAT
        await give(app, pilot, "1")
        await until(lambda: "− t0" in text_of(app))
        frame = app.bench.working_frame()
        assert frame is not None
        (row,) = [one for one in frame.rows if one.key == SUPERHEAT]
        assert any("− t0" in line for line in row.below), (
            "the evaporating temperature is still covered"
        )


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
async def test_an_assessed_learner_sees_no_result_anywhere_until_there_is_an_own_one(size: tuple[int, int]) -> None:  # fmt: skip
    async with bench("steady", size=size, assessed=True) as (app, pilot):
        for key in ("1", "4", "3", "2", "up", "A", "right", "down"):
            await pilot.press(key)
            await pilot.pause(0.15)
            assert not re.search(r"(superheat|SH|subcooling|evaporating|quality) +-?\d", text_of(app)), key  # fmt: skip
        await pilot.press("M", "Z", "enter")
        await until(lambda: "your result" in text_of(app))
        assert " = " not in text_of(app)
        app.bench.working.cursor = SUPERHEAT
        computed = result(app, SUPERHEAT)
        await give(app, pilot, f"{computed:.1f}".replace(".", ","))
        await until(lambda: "agrees" in text_of(app))
        kept = app.bench.kept.notebook.sets[0]
        assert kept.answers[0].own == pytest.approx(computed, abs=0.051)
        assert kept.answers[0].place is Place.AGREES
        assert f"computed {computed:.1f} K" in " ".join(text_of(app).split())
        await pilot.press("enter")
        await until(lambda: STANDS in text_of(app))


async def test_gauge_pressures_in_a_ratio_are_recognised() -> None:
    async with bench("steady", assessed=True) as (app, pilot):
        await pilot.press("M")
        app.bench.working.cursor = "compression_ratio"
        await give(app, pilot, f"{result(app, 'discharge_gauge_pa') / result(app, 'suction_gauge_pa'):.2f}")  # fmt: skip
        await until(lambda: "differs" in text_of(app))
        assert "gauge pressures give" in text_of(app)


async def test_a_standing_plant_has_no_superheat_and_none_is_right() -> None:
    async with bench(assessed=True) as (app, pilot):
        await pilot.press("M")
        app.bench.working.cursor = SUPERHEAT
        await give(app, pilot, "none")
        await until(lambda: "right: there is none" in text_of(app))
        assert "the compressor stands" in text_of(app)


async def test_what_is_no_number_is_told() -> None:
    async with bench("steady", assessed=True) as (app, pilot):
        await pilot.press("M", "enter", "enter")
        await until(lambda: isinstance(app.screen, AskText))
        await pilot.press(*"warm", "enter")
        await pilot.pause(0.1)
        assert "Type a number" in str(app.screen.query_one("#wrong").render())
        await pilot.press("escape")
        await until(lambda: app.screen is app.bench)
        assert not app.bench.kept.notebook.sets


async def test_a_recorded_set_can_be_worked_on_later() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("M", "n")
        await until(lambda: NO_SETS in text_of(app))
        await pilot.press("R")
        then = app.bench.kept.notebook.sets[0].held
        await pilot.pause(0.6)
        await pilot.press("R", "n")
        await until(lambda: "set 1 of 2" in text_of(app))
        assert app.bench._held is then
        await pilot.press("n", "n")
        await until(lambda: "held at" in text_of(app))


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
async def test_a_click_selects_and_a_second_one_asks(size: tuple[int, int]) -> None:
    async with bench("steady", size=size, assessed=True) as (app, pilot):
        await pilot.press("M", *["enter"], *["down"] * 7)
        await until(lambda: "compression ratio" in text_of(app))
        row = next(y for y, line in enumerate(text_of(app).split("\n")) if "condensing temperature" in line)  # fmt: skip
        await pilot.click(offset=(6, row))
        await until(lambda: app.bench.working.cursor == "condensing_point_k")
        row = next(y for y, line in enumerate(text_of(app).split("\n")) if "condensing temperature" in line)  # fmt: skip
        await pilot.click(offset=(6, row))
        await until(lambda: isinstance(app.screen, AskText))


async def test_own_results_outlast_the_session_and_are_in_report_and_notebook(tmp_path: Path) -> None:  # fmt: skip
    async with bench("steady", assessed=True) as (app, pilot):
        await pilot.press("M", "enter")
        await give(app, pilot, "2.5")
        book = app.bench.kept.notebook
        book.save(tmp_path / "x.notes.json")
        other = Notebook()
        assert other.load(tmp_path / "x.notes.json")
        assert other.sets == [replace(one, held=one.held) for one in book.sets]
        page = app.bench._content("report").decode()
        assert "worked out from" in page
        assert re.search(
            r"<td[^>]*>suction pressure, absolute</td><td[^>]*>2\.50 bar abs</td>", page
        )
        await pilot.press("L")
        await until(lambda: app.screen is not app.bench)
        assert any("Own results from set 1" in line for line in app.screen.lines)  # type: ignore[attr-defined]


async def test_the_palette_has_the_pages() -> None:
    async with bench("steady") as (app, _):
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert {"Working (M)", "Projector (D)", "Cover results (Z)"} <= set(titles)


async def test_every_row_can_be_brought_into_sight_on_a_small_screen() -> None:
    async with bench("steady", size=(80, 24)) as (app, pilot):
        await pilot.press("M", *["pageup"] * 6)
        await until(lambda: "measured, and given" in text_of(app))
        await pilot.press(*["pagedown"] * 12)
        await until(lambda: "no barometer" in text_of(app))


async def test_the_page_opens_at_the_gauges_and_enter_there_leads_to_the_first_result() -> None:
    async with bench("steady", size=(80, 24)) as (app, pilot):
        await pilot.press("M")
        await until(lambda: "PI-1" in text_of(app) and "PI-2" in text_of(app))
        await pilot.press("enter")
        await until(lambda: READ in text_of(app))
        assert app.bench.working.cursor == "suction_absolute_pa"


async def test_a_new_set_is_read_from_its_top() -> None:
    async with bench("steady", size=(80, 24)) as (app, pilot):
        await pilot.press("R", "M")
        for key in ("escape", "n", "n"):
            await pilot.press("pagedown", "pagedown")
            await until(lambda: app.bench.board.working.top > 0)
            await pilot.press(key)
            await until(lambda: app.bench.board.working.top == 0)
        await pilot.press("pagedown", "pagedown")
        await until(lambda: app.bench.board.working.top > 0)
        app.bench.open_anew(app.bench.begin)
        await until(lambda: app.bench.board.working.top == 0)

"""Time by key and by mouse: a step, going on until, going back, an assessed session."""

from __future__ import annotations

from textual.pilot import Pilot
from textual.widgets import OptionList

from tests.screen.test_bench_screen import bench, setting, text_of, until
from tests.tui.conftest import snapshot_of
from tui.app import BenchApp
from tui.goal import Goal
from tui.report import Stage
from tui.screens.dialogs import Ask, AskNumber


async def test_a_held_plant_lives_a_second_a_step() -> None:
    async with bench() as (app, pilot):
        await pilot.press("semicolon")
        assert "for a held plant" in text_of(app)
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        before = snapshot_of(app.bench.report).time_s
        await pilot.press("semicolon")
        await until(lambda: snapshot_of(app.bench.report).time_s == before + 1.0)


async def choose(app: BenchApp, pilot: Pilot[int], name: str) -> None:
    """The answer of an id, by keys."""
    await until(lambda: isinstance(app.screen, Ask))
    answers = app.screen.query_one(OptionList)
    await pilot.press(*["down"] * answers.get_option_index(name), "enter")


async def test_going_on_for_a_time_ends_held_and_says_so() -> None:
    async with bench() as (app, pilot):
        await pilot.press("W")
        await choose(app, pilot, "time:1")
        await until(lambda: app.bench.report.met == "1 min passed")
        assert app.bench.report.stage is Stage.HELD
        await until(lambda: "HELD: 1 min passed" in text_of(app))
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.RUNNING)
        assert app.bench.report.met == ""


async def test_space_ends_the_waiting() -> None:
    async with bench() as (app, pilot):
        await pilot.press("W")
        await choose(app, pilot, "trip")
        await until(lambda: app.bench.report.goal == "a trip")
        await until(lambda: "until a trip" in text_of(app))
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        assert app.bench.report.goal == ""


async def test_until_a_reading_crosses_a_value() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("W")
        await choose(app, pilot, "crossing")
        await choose(app, pilot, "suction_pressure_pa")
        await until(lambda: isinstance(app.screen, AskNumber))
        await pilot.press(*"2", "enter")
        await pilot.pause()
        app.bench.put("HS-4", "off")
        await until(lambda: app.bench.report.met != "")
        assert "suction" in app.bench.report.met


async def test_going_back_takes_back_what_was_done() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "HV-12"
        await pilot.press("full_stop", "full_stop", "full_stop")
        await until(lambda: snapshot_of(app.bench.report).time_s > 15.0)
        app.bench.put("HV-12", 0.0)
        await until(lambda: setting(app, "HV-12") == 0.0)
        await pilot.press("backspace")
        await choose(app, pilot, "0.0")
        await until(lambda: setting(app, "HV-12") == 1.0)
        assert app.bench.report.stage is Stage.HELD
        assert app.bench.history.now_s <= 0.1


async def test_an_assessed_session_has_no_way_back_no_truth_and_no_race() -> None:
    async with bench(assessed=True, instructor=True) as (app, pilot):
        assert not app.bench.desk.instructor
        await pilot.press("i")
        assert not app.bench.desk.instructor
        await pilot.press("backspace")
        assert app.screen is app.bench
        assert "no way back" in text_of(app)
        await pilot.press(*["full_stop"] * 8)
        await until(lambda: app.bench.report.pace == 10)
        assert "ASSESSED" in text_of(app)


async def test_begin_again_goes_straight_to_steady_running() -> None:
    async with bench() as (app, pilot):
        await pilot.press("b")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "down", "down", "enter")
        await until(lambda: app.bench.report.snapshot is not None and app.bench.report.snapshot.running)  # fmt: skip


async def test_begin_again_can_mean_the_same_again() -> None:
    async with bench("steady") as (app, pilot):
        app.bench.put("HS-4", "off")
        await until(lambda: setting(app, "HS-4") == "off")
        await pilot.press("b")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "enter")
        await until(lambda: setting(app, "HS-4") == "on")


async def test_after_a_waiting_space_goes_on_at_the_pace_before_it() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("full_stop", "full_stop")  # x1, x2, x5
        await until(lambda: app.bench.report.pace == 5)
        app.bench.wait_for(Goal("time", seconds=5.0, words="5 s passed"))
        await until(lambda: app.bench.report.stage is Stage.HELD and bool(app.bench.report.met))
        await pilot.press("space")
        await until(lambda: app.bench.report.pace == 5)


async def test_a_waiting_that_is_held_leaves_the_pace_before_it() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("full_stop")
        await until(lambda: app.bench.report.pace == 2)
        app.bench.wait_for(Goal("trip", seconds=7200.0, words="a trip"))
        await until(lambda: app.bench.report.pace > 2)
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        await pilot.press("space")
        await until(lambda: app.bench.report.pace == 2)


async def test_while_held_slower_and_faster_choose_the_pace_that_space_goes_on_with() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("full_stop", "full_stop", "full_stop", "space")  # x10, held
        await until(lambda: app.bench.report.stage is Stage.HELD)
        await pilot.press("comma", "comma", "comma")
        assert "held; goes on at x1" in text_of(app)
        assert app.bench.report.stage is Stage.HELD, "choosing a pace lets nothing run"
        await pilot.press("comma")
        assert "held; goes on at x1" in text_of(app), "the slowest pace is not held again"
        await pilot.press("space")
        await until(lambda: app.bench.report.pace == 1)
        await pilot.press("space", "full_stop")
        assert "held; goes on at x2" in text_of(app)
        await pilot.press("space")
        await until(lambda: app.bench.report.pace == 2)


async def test_a_command_to_a_held_plant_is_confirmed_where_the_reason_of_holding_stood() -> None:
    async with bench("steady") as (app, _pilot):
        app.bench.wait_for(Goal("time", seconds=5.0, words="5 s passed"))
        await until(lambda: bool(app.bench.report.met))
        app.bench.notice("")
        await until(lambda: "HELD: 5 s passed" in text_of(app))
        app.bench.put("HV-12", 0.0)
        await until(lambda: setting(app, "HV-12") == 0.0)
        await until(lambda: "HELD: 5 s passed" not in text_of(app))
        assert "HV-12" in text_of(app).splitlines()[-2], "the event line is the last but one"
        assert app.bench.report.stage is Stage.HELD


async def test_after_an_emergency_stop_the_clock_goes_as_a_wall_clock_does() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("full_stop", "full_stop")
        await until(lambda: app.bench.report.pace > 1)
        await pilot.press("0")
        await until(lambda: app.bench.report.pace == 1 and setting(app, "HS-0") == "pressed")

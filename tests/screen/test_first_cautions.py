"""What is read before the first start of a session, and that nothing happens until then."""

from __future__ import annotations

from tests.screen.test_bench_screen import bench, until
from tui.orders import Begin
from tui.report import Stage
from tui.screens.dialogs import Ask


async def test_the_first_thing_is_a_caution_and_one_can_leave_there() -> None:
    async with bench(cautions=True) as (app, pilot):
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "enter")
        await until(lambda: app.return_value is not None)
        assert app.return_value == 0


async def test_after_reading_the_caution_one_stands_at_the_bench() -> None:
    async with bench(cautions=True) as (app, pilot):
        await until(lambda: isinstance(app.screen, Ask) and app.bench.report.stage is Stage.HELD)
        assert app.bench.report.snapshot is not None
        assert app.bench.report.snapshot.time_s == 0.0  # no time passes while one reads
        await pilot.press("enter")
        await until(lambda: app.screen is app.bench and app.bench.report.stage is Stage.RUNNING)
        assert app.bench.report.pace == 1


async def test_no_command_reaches_the_bench_past_the_first_cautions() -> None:
    async with bench("steady", cautions=True) as (app, pilot):
        await until(lambda: isinstance(app.screen, Ask) and app.bench.report.stage is Stage.HELD)
        await pilot.press("ctrl+p", "space", "full_stop")
        await pilot.pause(0.3)
        assert isinstance(app.screen, Ask)
        assert app.bench.report.stage is Stage.HELD
        app.bench.open_anew(Begin())  # as after an opening that failed
        await until(lambda: app.bench.report.applied >= app.bench.begun)
        assert app.bench.report.stage is Stage.HELD
        await pilot.press("enter")
        await until(lambda: app.bench.report.stage is Stage.RUNNING)

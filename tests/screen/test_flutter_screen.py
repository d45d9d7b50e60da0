"""Flutter on the screen: from the plant's state, gone with the compressor, off with reduced motion."""

from __future__ import annotations

from sim.flutter import Tap
from tests.screen.test_bench_screen import bench, until
from tests.tui.fake_bench import open_fake
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.session.settings import following

UNDAMPED = Tap("discharge_pressure_pa", "head", 5e-6, 0.15, 0.0, 0.0)
"""A gauge without damping on a very small space: one whose needle would be seen to flutter."""


def open_undamped(begin: Begin, progress: Progress) -> Opened:
    return open_fake(begin, progress)._replace(taps=(UNDAMPED,))


async def test_a_running_compressor_shakes_an_undamped_gauge_and_a_stopped_one_does_not() -> None:
    async with bench("steady", opener=open_undamped) as (app, pilot):
        await until(lambda: app.bench.scene.trembling.get(UNDAMPED.reading, 0.0) > 1e4)
        await pilot.press("0")
        await until(lambda: app.bench.scene.trembling.get(UNDAMPED.reading) == 0.0)


async def test_reduced_motion_lets_the_needle_rest() -> None:
    async with bench("steady", opener=open_undamped) as (app, _):
        await until(lambda: bool(app.bench.scene.trembling))
        app.bench.use_settings(following(app.bench.kept.settings, "screen", "reduced_motion"))
        await until(lambda: not app.bench.scene.trembling)


async def test_no_reading_knows_of_it() -> None:
    async with bench("steady", opener=open_undamped) as (app, _):
        await until(lambda: bool(app.bench.scene.trembling))
        snapshot = app.bench.report.snapshot
        assert snapshot is not None
        shown = snapshot.readings[f"{UNDAMPED.reading}_shown"]
        assert app.bench.scene.reading(UNDAMPED.reading, snapshot) == shown


async def test_a_held_bench_is_painted_once_however_long_one_looks() -> None:
    async with bench("steady", opener=open_undamped) as (app, pilot):
        for key in ("4", "M", "D"):
            await pilot.press(key)
        await pilot.press("4", "space")
        await until(lambda: app.bench.report.pace == 0)
        await pilot.pause(0.5)
        rows = app.bench.view.rows_painted
        await pilot.pause(5.0)
        assert app.bench.view.rows_painted - rows <= 1, "the notice may go meanwhile"

"""What has happened to the plant brings its caution: a lift and a burst at once, a trip on its card, a look ahead at its end."""

from __future__ import annotations

from sim.cautions import all_cautions
from tests.screen.test_bench_screen import bench, until
from tests.tui.fake_bench import open_fake
from tui.cautions import lines_of
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.screens.dialogs import Page


async def test_a_lift_is_read_about_once() -> None:
    async with bench("steady") as (app, pilot):
        plant = app.runner._bench
        assert plant is not None
        plant.note("PSV-1", "lift", "PSV-1 has lifted.")
        await until(lambda: isinstance(app.screen, Page))
        assert isinstance(app.screen, Page)
        said = "\n".join(app.screen.lines)
        assert all_cautions()["relief"].text in said
        assert all_cautions()["gas"].text in said
        await pilot.press("escape")
        await until(lambda: app.screen is app.bench)
        plant.note("PSV-1", "lift", "PSV-1 has lifted.")
        await pilot.pause(0.4)
        await until(lambda: app.screen is app.bench, 0.01)


async def test_what_a_loaded_bench_did_before_is_no_news() -> None:
    def opener(begin: Begin, progress: Progress) -> Opened:
        opened = open_fake(begin, progress)
        for _ in range(9 if begin.load else 0):
            opened.bench.note("PSV-1", "lift", "PSV-1 has lifted.")
        return opened

    async with bench("steady", opener=opener) as (app, pilot):
        await until(lambda: app.bench.events_heard >= 0)
        app.bench.open_anew(Begin(load="monday.rime"))
        await until(lambda: app.bench.events_heard >= 9)
        await pilot.pause(0.3)
        assert app.screen is app.bench
        plant = app.runner._bench
        assert plant is not None
        plant.note("PSV-1", "lift", "PSV-1 has lifted.")
        await until(lambda: isinstance(app.screen, Page))


async def test_what_would_happen_ends_with_the_cautions_of_what_happens_there_and_no_other() -> (
    None
):
    async with bench("steady") as (app, pilot):
        await pilot.press("a")
        await until(lambda: isinstance(app.screen, Page))
        assert isinstance(app.screen, Page)
        assert [line for line in app.screen.lines if line.startswith("[")] == lines_of(
            ("protective",)
        )

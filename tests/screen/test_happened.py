"""What has happened to the plant brings its caution: a lift and a burst at once, a trip on its card, a look ahead at its end."""

from __future__ import annotations

from sim.cautions import all_cautions
from tests.screen.test_bench_screen import bench, until
from tui.cautions import lines_of
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

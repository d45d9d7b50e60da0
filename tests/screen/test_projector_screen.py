"""A person at the back of the room: five readings, chosen by key and by mouse, remembered."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import SelectionList

from tests.screen.test_bench_screen import bench, text_of, until
from tui.draw.layout import View
from tui.projecting import FIVE, chosen
from tui.screens.choose import Choose
from tui.session.kept import Kept
from tui.session.settings import ProjectorSettings, Settings, SettingsFile, read_settings


async def test_one_key_puts_five_on_the_wall_and_a_digit_takes_them_off() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("D")
        assert app.bench.desk.view is View.PROJECTOR
        await until(lambda: "██████" in text_of(app))
        frame = app.bench.projector_frame()
        assert frame is not None
        assert tuple(shown.key for shown in frame.shown) == FIVE
        await pilot.press("1")
        await until(lambda: app.bench.desk.view is View.PLANT)
        assert app.bench.projector_frame() is None


async def test_the_choice_is_kept_for_the_next_session(tmp_path: Path) -> None:
    kept = Kept(file=SettingsFile(tmp_path / "settings.toml"))
    async with bench("steady", kept=kept) as (app, pilot):
        await pilot.press("D", "C")
        await until(lambda: isinstance(app.screen, Choose))
        rows = app.screen.query_one(SelectionList)
        assert set(rows.selected) == set(FIVE)
        rows.deselect("power_w")
        rows.select("current_a")
        await pilot.press("ctrl+s")
        await until(lambda: app.screen is app.bench)
        assert "current_a" in chosen(kept.settings.projector.readings)
        assert "power_w" not in chosen(kept.settings.projector.readings)
        again = read_settings(tmp_path / "settings.toml")
        assert set(again.projector.readings) == set(kept.settings.projector.readings)


async def test_the_mouse_chooses_too() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("D")
        await until(lambda: " C " in text_of(app).split("\n")[-1])
        x = text_of(app).split("\n")[-1].index("choose")
        await pilot.click(offset=(x, 39))
        await until(lambda: isinstance(app.screen, Choose))


async def test_in_assessed_work_nothing_worked_out_is_on_the_wall_or_in_the_list() -> None:
    settings = Settings(projector=ProjectorSettings(readings=("gauge_superheat_k",)))
    async with bench("steady", assessed=True, kept=Kept(settings=settings)) as (app, pilot):
        await pilot.press("D")
        frame = app.bench.projector_frame()
        assert frame is not None
        assert "gauge_superheat_k" not in {shown.key for shown in frame.shown}
        await pilot.press("C")
        await until(lambda: isinstance(app.screen, Choose))
        assert isinstance(app.screen, Choose)
        assert not any("worked out" in words for _, words in app.screen.choices)


async def test_a_name_that_is_no_reading_leaves_the_page_standing() -> None:
    settings = Settings(projector=ProjectorSettings(readings=("nothing_of_that_name_k",)))
    async with bench("steady", kept=Kept(settings=settings)) as (app, pilot):
        await pilot.press("D")
        await until(lambda: "projector" in text_of(app))
        frame = app.bench.projector_frame()
        assert frame is not None
        assert frame.shown[0].number == "—"


async def test_the_mouse_goes_from_a_dial_to_meters_working_and_projector() -> None:
    async with bench("steady") as (app, pilot):
        for word, view in (("working", View.WORKING), ("projector", View.PROJECTOR)):
            await pilot.press("1")
            await until(lambda: "suction PI-1" in text_of(app))
            row = next(y for y, line in enumerate(text_of(app).split("\n")) if "suction PI-1" in line)  # fmt: skip
            await pilot.click(offset=(90, row + 3))
            await until(lambda: app.bench.desk.view is View.METERS)
            await until(lambda: "peak" in text_of(app).split("\n")[-1])
            last = text_of(app).split("\n")[-1]
            await pilot.click(offset=(last.index(word), 39))
            await until(lambda view=view: app.bench.desk.view is view)  # type: ignore[misc]

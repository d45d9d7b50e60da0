"""Settings, notes, reading sets, exports and saves at the keyboard and the mouse."""

from __future__ import annotations

import csv
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from types import SimpleNamespace

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from tests.screen.session_child import opener
from tests.screen.test_bench_screen import bench, text_of, until
from tests.tui.fake_bench import FakeBench, fake_chart
from tui.app import BenchApp
from tui.orders import Begin
from tui.runner import Opened, Progress
from tui.screens.dialogs import Ask, AskText, Page
from tui.screens.session_dialogs import REPLACE, AskFile, SettingsDialog
from tui.session.kept import Kept
from tui.session.settings import Settings, SettingsFile, UnitSettings, following, read_settings


async def test_a_setting_holds_at_once_and_is_kept(tmp_path: Path) -> None:
    kept = Kept(file=SettingsFile(tmp_path / "settings.toml"))
    async with bench("steady", kept=kept) as (app, pilot):
        await pilot.press("S")
        await until(lambda: isinstance(app.screen, SettingsDialog))
        await pilot.press("enter", "enter")
        await pilot.press("escape")
        await until(lambda: "psig" in text_of(app))
        assert read_settings(tmp_path / "settings.toml").units.system == "us"


async def test_a_click_changes_a_setting_too(tmp_path: Path) -> None:
    kept = Kept(file=SettingsFile(tmp_path / "settings.toml"))
    async with bench(kept=kept) as (app, pilot):
        await pilot.press("S")
        await until(lambda: isinstance(app.screen, SettingsDialog))
        await pilot.pause(0.1)
        await pilot.click(OptionList, offset=(3, 1))
        await until(lambda: kept.settings.units.beside)


@pytest.mark.parametrize("size", [(80, 24), (120, 40)])
async def test_every_setting_is_in_sight(size: tuple[int, int]) -> None:
    async with bench(size=size) as (app, pilot):
        await pilot.press("S")
        await until(lambda: isinstance(app.screen, SettingsDialog))
        await pilot.pause(0.1)
        rows = app.screen.query_one(OptionList)
        assert rows.max_scroll_y == 0
        assert app.screen.region.contains_region(rows.region)


async def test_mistakes_in_the_settings_are_told_at_the_start(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text("[units]\nsystem = 'metric'\n")
    file = SettingsFile(path)
    async with bench(kept=Kept(settings=file.read(), file=file)) as (app, _):
        await until(lambda: isinstance(app.screen, Page))
        assert isinstance(app.screen, Page)
        assert "settings.toml:2:" in app.screen.lines[0]


async def test_reduced_motion_lets_the_flow_marks_stand() -> None:
    kept = Kept()
    async with bench("steady", kept=kept) as (app, pilot):
        app.bench.use_settings(following(kept.settings, "screen", "reduced_motion"))
        assert kept.settings.screen.reduced_motion
        before = dict(app.bench.scene.drift.cells)
        time_s = app.bench.scene.snapshot.time_s if app.bench.scene.snapshot else 0.0
        await until(lambda: app.bench.scene.snapshot is not None and app.bench.scene.snapshot.time_s > time_s + 0.5)  # fmt: skip
        assert app.bench.scene.drift.cells == before
        await pilot.pause()


async def test_a_note_and_two_reading_sets_are_in_the_notebook() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("N")
        await until(lambda: isinstance(app.screen, AskText))
        await pilot.press(*"warm", "enter")
        await pilot.press("R", "R", "L")
        await until(lambda: isinstance(app.screen, Page))
        assert isinstance(app.screen, Page)
        page = "\n".join(app.screen.lines)
        assert "warm" in page
        assert re.search(r"suction +1\.\d\d bar g +1\.\d\d bar g", page)


async def export(app: BenchApp, pilot: Pilot[int], kind: str, path: Path) -> None:
    await pilot.press("E")
    await until(lambda: isinstance(app.screen, Ask))
    app.screen.query_one(OptionList).highlighted = app.screen.query_one(OptionList).get_option_index(kind)  # fmt: skip
    await pilot.press("enter")
    await until(lambda: isinstance(app.screen, AskFile))
    app.screen.query_one(Input).value = str(path)
    await pilot.press("enter")


@pytest.mark.parametrize("kind", ["chart", "trend", "screen"])
async def test_a_picture_is_well_formed_and_asks_for_nothing_from_outside(kind: str, tmp_path: Path) -> None:  # fmt: skip
    path = tmp_path / "a.svg"
    async with bench("steady") as (app, pilot):
        await export(app, pilot, kind, path)
        await until(path.exists)
    assert ET.parse(path).getroot().tag.endswith("svg")
    assert "http" not in path.read_text().replace('xmlns="http://www.w3.org/2000/svg"', "")


async def test_the_report_holds_readings_chart_notes_and_cautions(tmp_path: Path) -> None:
    path = tmp_path / "report.html"
    async with bench("steady") as (app, pilot):
        app.bench.kept.notebook.write(1.0, "a <script> of mine")
        app.bench.take_readings()
        await export(app, pilot, "report", path)
        await until(path.exists)
    page = path.read_text()
    for words in ("Practice only.", "a &lt;script&gt; of mine", "<svg", "1 suction", "Reading sets", "bar g"):  # fmt: skip
        assert words in page, words
    assert "src=" not in page
    assert "href=" not in page


async def test_the_log_is_written_as_csv(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    async with bench("steady") as (app, pilot):
        await until(lambda: len(app.bench.kept.log) > 1)
        await export(app, pilot, "csv", path)
        await until(path.exists)
    rows = list(csv.reader(path.read_text().splitlines()))
    assert rows[0][0] == "time_s"
    assert len(rows) > 2


async def test_a_file_is_replaced_only_after_a_second_enter(tmp_path: Path) -> None:
    path = tmp_path / "report.html"
    path.write_text("mine")
    async with bench("steady") as (app, pilot):
        await export(app, pilot, "report", path)
        await pilot.pause(0.1)
        assert REPLACE in str(app.screen.query_one("#wrong").render())
        assert path.read_text() == "mine"
        await pilot.press("enter")
        await until(lambda: path.read_text() != "mine")


async def test_a_file_that_cannot_be_written_is_a_sentence(tmp_path: Path) -> None:
    async with bench("steady") as (app, pilot):
        await export(app, pilot, "report", tmp_path / "no" / "x.html")
        await pilot.pause(0.1)
        assert "There is no folder" in str(app.screen.query_one("#wrong").render())
        await pilot.press("escape")


async def test_a_save_has_its_notes_beside_it(tmp_path: Path) -> None:
    async with bench(opener=opener) as (app, pilot):
        app.bench.kept.notebook.write(1.0, "kept")
        await pilot.press("w")
        await until(lambda: isinstance(app.screen, AskFile))
        app.screen.query_one(Input).value = str(tmp_path / "b.rime")
        await pilot.press("enter")
        await until(lambda: "saved to" in text_of(app))
    assert (tmp_path / "b.rime").exists()
    assert "kept" in (tmp_path / "b.notes.json").read_text()


async def test_a_rigs_units_hold_for_who_has_not_chosen() -> None:
    def american(begin: Begin, progress: Progress) -> Opened:
        return Opened(FakeBench(rig=SimpleNamespace(units="us")), fake_chart())

    async with bench(opener=american) as (app, _):
        await until(lambda: "psig" in text_of(app))
    chosen = Kept(settings=Settings(units=UnitSettings(system="si")))
    async with bench(opener=american, kept=chosen) as (app, _):
        await until(lambda: "bar g" in text_of(app))
        assert "psig" not in text_of(app)

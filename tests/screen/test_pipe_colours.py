"""What the pipes' colours say is changed by key, by mouse and in the settings, and a click on the legend is enough."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.screen.test_bench_screen import bench, text_of, until
from tui.draw.plant_legend import scale_room
from tui.session.kept import Kept
from tui.session.settings import SettingsFile, read_settings


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
async def test_a_key_and_a_click_on_the_legend_change_what_colours_say(size: tuple[int, int]) -> None:  # fmt: skip
    async with bench("steady", size=size) as (app, pilot):
        await pilot.press("Y")
        await until(lambda: "─H high" in text_of(app))
        board = app.bench.board
        pane = next(pane for pane in board.arrangement.panes if pane.kind == "plant")
        left, top = board._plant_origin(pane)
        assert board.drawing is not None
        room = scale_room(board.drawing.sheet)
        assert room is not None
        await pilot.click(offset=(left + room.x + 2, top + room.y))
        await until(lambda: "─H high" not in text_of(app))


async def test_the_setting_holds_at_once_and_at_the_next_start(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    path.write_text('[screen]\npipes = "side"\n')
    file = SettingsFile(path)
    async with bench("steady", kept=Kept(settings=file.read(), file=file)) as (app, _):
        await until(lambda: "─L low side" in text_of(app))
        app.bench.use_settings(read_settings(path).__class__())
        await until(lambda: "─L low side" not in text_of(app))

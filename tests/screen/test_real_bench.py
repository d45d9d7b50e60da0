"""The screen on the real plant: it opens, it can be started by hand, and every name on the drawing means something there."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.screen.test_bench_screen import bench, setting, text_of, until
from tests.tui.fake_wiring import on_the_ladder
from tui.draw.drawing import load_drawing
from tui.draw.lint import faults
from tui.opening import open_plant
from tui.orders import Begin
from tui.runner import Opened
from tui.words import label_of

FIRST_START_S = 300.0
"""A machine that has never run the plant compiles its equations first."""
AT_THE_WIRING = ("lead", "jumper", "press")
"""Kinds of tags that belong on the wiring's own picture."""
DRAWINGS = sorted((Path(__file__).parents[2] / "rigs" / "fennick_bench").glob("drawing_*.toml"))


@pytest.fixture(scope="module")
def opened() -> Opened:
    return open_plant(Begin(), print)


def test_every_pipe_is_bound_to_a_flow_and_a_node_of_the_plant(opened: Opened) -> None:
    snapshot = opened.bench.snapshot()
    for path in DRAWINGS:
        assert faults(load_drawing(path), nodes=list(snapshot.places), links=list(snapshot.flows)) == []  # fmt: skip


def test_every_tag_that_a_hand_can_move_is_drawn_or_belongs_to_a_drawn_part(opened: Opened) -> None:
    assert opened.plan is not None
    for path in DRAWINGS:
        drawn = {symbol.tag for symbol in load_drawing(path).symbols} | on_the_ladder(opened.plan)
        by_hand = [info for info in opened.bench.tags() if info.kind not in AT_THE_WIRING]
        assert {info.tag.partition(".")[0] for info in by_hand} <= drawn, path.name


def test_every_reading_of_the_plant_has_a_plain_name(opened: Opened) -> None:
    assert not [key for key in opened.bench.snapshot().readings if "_" in label_of(key).strip()]


async def test_a_person_starts_the_plant_by_hand_and_the_suction_falls() -> None:
    async with bench(opener=open_plant, patience_s=FIRST_START_S) as (app, pilot):
        assert app.bench.report.failure == ""
        standing = app.bench.scene.number("suction_pressure_pa")
        for tag in ("HS-1", "HS-6", "HS-4"):
            app.bench.desk.selected = tag
            await pilot.press("enter")
        for tag in ("HS-2", "HS-3"):
            app.bench.desk.selected = tag
            await pilot.press("plus")
        await until(lambda: setting(app, "HS-3") == "low")
        await pilot.press("full_stop", "full_stop", "full_stop")
        await until(lambda: app.bench.scene.number("suction_pressure_pa") < standing - 2e5, 30.0)
        assert "runs" in text_of(app)

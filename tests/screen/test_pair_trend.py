"""Bench and copy over time: two curves of one reading on one axis."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from tests.screen.test_bench_screen import bench, text_of, until
from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench, fake_chart, steady_bench
from tui.draw.canvas import Canvas
from tui.draw.ink import INK_MASK
from tui.draw.layout import View
from tui.draw.pair_trend import Both, PairTrend, pair_trend_title
from tui.draw.side_by_side import PairFrame
from tui.draw.trend import AXIS_WIDTH, CURVE_INKS
from tui.history import History
from tui.trending import PAIR_KEYS, Trending


async def test_both_curves_stand_below_the_table_and_n_goes_to_the_next_reading() -> None:
    async with bench("steady", (80, 24)) as (app, pilot):
        await pilot.press("f")
        await until(lambda: app.bench.report.fork is not None)
        assert app.bench.desk.view is View.PAIR
        await until(lambda: "trend of both: suction" in text_of(app))
        assert "1█ bench" in text_of(app)
        await until(lambda: "2█ copy" in text_of(app))
        await pilot.press("n")
        await until(lambda: "trend of both: discharge" in text_of(app))
        await pilot.press("f")
        await until(lambda: app.bench.report.fork is None)
        await until(lambda: "2█ copy" not in text_of(app))
        assert app.bench.copy_past.keys == ()


async def test_the_copys_trend_is_the_copys() -> None:
    async with bench("steady", (120, 40)) as (app, pilot):
        await pilot.press("full_stop", "full_stop", "full_stop")
        await until(lambda: app.bench.history.now_s > app.bench.history.start_s + 10.0, 20.0)
        await pilot.press("f")
        await until(lambda: app.bench.report.fork is not None)
        app.bench.desk.on_fork = True
        app.bench.take_hand()
        app.bench.put("HCV-22", 0.05)
        await until(lambda: app.bench.history.now_s > app.bench.report.fork_begun_s + 30.0, 20.0)
        end, key = app.bench.history.now_s, ("suction_pressure_pa",)
        _, here, _ = app.bench.history.window(key, end - 5.0, end, False)
        _, there, _ = app.bench.copy_past.window(key, end - 5.0, end, False)
        assert float(np.nanmean(there[0])) < float(np.nanmean(here[0])) - 1e4
        times, low, high = Both(app.bench.history, app.bench.copy_past, 0.0).window(2 * key, 0.0, end, False)  # fmt: skip
        begun = times < app.bench.report.fork_begun_s - 1.0
        assert np.isnan(low[1][begun]).all()
        assert np.isfinite(low[0][begun]).any()
        assert len(low) == len(high) == 2


def test_a_plant_put_by_is_laid_on_the_benchs_clock() -> None:
    plant, old = FakeBench(), FakeBench()
    here, there = History(), History()
    plant.advance(1000.0)
    for _ in range(5):
        plant.advance(1.0)
        old.advance(1.0)
        here.add(plant.snapshot(), fake_chart())
        there.add(old.snapshot(), fake_chart())
    times, low, _ = Both(here, there, 1000.0).window(
        2 * ("suction_pressure_pa",), 0.0, 2000.0, False
    )
    assert times == pytest.approx([1001.0, 1002.0, 1003.0, 1004.0, 1005.0])
    assert np.isfinite(low[1]).all()


@pytest.mark.parametrize("number", range(len(PAIR_KEYS)))
def test_every_reading_of_a_trend_can_be_looked_at(number: int) -> None:
    """Both curves, with what they show now, below a title of its own."""
    plant, here, there = steady_bench(), History(), History()
    for _ in range(30):
        plant.advance(1.0)
        now = plant.snapshot()
        copy = replace(now, readings={key: 1.02 * value + 0.02 if isinstance(value, float) else value for key, value in now.readings.items()})  # fmt: skip
        here.add(now, fake_chart())
        there.add(copy, fake_chart())
    trending, scene = Trending(pair=number), scene_of(plant)
    pair = PairFrame(now, copy, 0.0, past=there, key=trending.pair_key)
    canvas = Canvas.blank(100, 14)
    PairTrend().paint_both(canvas, scene, pair, here, trending)
    assert re.search(r"1█ bench -?\d[^—]* 2█ copy -?\d", canvas.row_text(0))
    inked = {int(ink) & INK_MASK for ink in canvas.inks[1:-1, AXIS_WIDTH:].ravel()}
    assert {int(ink) & INK_MASK for ink in CURVE_INKS[:2]} <= inked
    titles = [pair_trend_title(scene, key) for key in PAIR_KEYS]
    assert titles.count(titles[number]) == 1

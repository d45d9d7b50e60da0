"""Window, zoom and cursor of the trends."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench, fake_chart, steady_bench
from tui.draw.canvas import Canvas
from tui.draw.lists import clock_words
from tui.draw.trend import AXIS_WIDTH, Trend, ago_words, by_unit, converted
from tui.draw.trend_names import fitted
from tui.history import History
from tui.trending import (
    LEAST_SPAN_S,
    MOST_READINGS,
    PAIR_KEYS,
    SPANS_S,
    TREND_SETS,
    Trending,
    TrendSet,
)
from tui.words import UNIT_CHOICES, Units


def test_sets_and_spans_go_round() -> None:
    trending = Trending()
    for _ in TREND_SETS:
        trending.next_set()
    assert trending.panes == [0, 1]
    seen = []
    for _ in SPANS_S:
        seen.append(trending.span_s)
        trending.next_span()
    assert tuple(seen) == SPANS_S
    assert trending.span_s == SPANS_S[0]


def test_the_window_follows_now_until_it_is_moved() -> None:
    trending = Trending()
    assert trending.window(0.0, 1000.0) == (700.0, 1000.0)
    trending.pan(-0.5, 0.0, 1000.0)
    assert trending.window(0.0, 1000.0) == (550.0, 850.0)
    assert trending.window(0.0, 2000.0) == (550.0, 850.0), "what is looked at stays"
    trending.live()
    assert trending.window(0.0, 2000.0) == (1700.0, 2000.0)


def test_the_window_stays_in_the_session() -> None:
    trending = Trending()
    for _ in range(50):
        trending.pan(-0.5, 100.0, 1000.0)
    assert trending.window(100.0, 1000.0)[0] == pytest.approx(100.0)
    for _ in range(50):
        trending.pan(0.5, 100.0, 1000.0)
    assert trending.end_s is None


def test_zooming_keeps_the_cursor_where_it_stands() -> None:
    trending = Trending(span_s=600.0, cursor_s=500.0)
    begin, end = trending.window(0.0, 1000.0)
    share = (500.0 - begin) / (end - begin)
    trending.zoom(1, 0.0, 1000.0)
    begin, end = trending.window(0.0, 1000.0)
    assert end - begin == pytest.approx(300.0)
    assert (500.0 - begin) / (end - begin) == pytest.approx(share)
    for _ in range(20):
        trending.zoom(1, 0.0, 1000.0)
    assert trending.span_s == LEAST_SPAN_S


def test_a_whole_session_grows_with_it() -> None:
    trending = Trending(span_s=math.inf)
    assert trending.window(50.0, 5000.0) == (50.0, 5000.0)


def test_the_cursor_takes_the_window_along() -> None:
    trending = Trending()
    for _ in range(80):
        trending.move_cursor(-1, 0.0, 1000.0)
    assert trending.cursor_s is not None
    begin, end = trending.window(0.0, 1000.0)
    assert begin <= trending.cursor_s <= end < 1000.0


def test_an_own_choice_has_at_most_four_readings() -> None:
    trending = Trending()
    trending.choose(tuple("abcdefg"))
    assert trending.shown(0).keys == tuple("abcd")
    assert len(trending.own) == MOST_READINGS
    trending.choose(())
    assert trending.shown(0) is TREND_SETS[0]


def test_each_unit_has_its_own_axis() -> None:
    scene = scene_of(steady_bench())
    groups = by_unit(("power_w", "suction_pressure_pa", "discharge_pressure_pa", "room_temperature_k"), scene)  # fmt: skip
    assert [(unit, len(keys)) for unit, keys in groups] == [("W", 1), ("bar g", 2), ("°C", 1)]


def test_at_the_cursor_stand_the_numbers_of_its_instant_and_what_happened() -> None:
    bench, history = steady_bench(), History()
    for _ in range(60):
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    then = scene_of(bench).words("suction_pressure_pa")
    at_s = bench.time_s
    bench.suction_pa *= 2.0
    bench.set("HV-12", 0.0)
    for _ in range(60):
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    canvas, trend = Canvas.blank(110, 14), Trend()
    trending = Trending(cursor_s=at_s)
    trend.paint(canvas, scene_of(bench), history, TREND_SETS[0], trending)
    assert then in canvas.row_text(0)
    assert "HV-12" in canvas.row_text(13)
    assert trend.at_column(trend._column(at_s)) == pytest.approx(at_s, abs=300 / 100)


@pytest.mark.parametrize("units", UNIT_CHOICES)
@pytest.mark.parametrize("key", [*PAIR_KEYS, "flowmeter", "atmospheric_pressure_pa", "evaporator_air_in_humidity_ratio", "mass_flow_kg_s"])  # fmt: skip
def test_a_curves_axis_counts_as_its_name_does(key: str, units: Units) -> None:
    """What stands beside a curve's name is what its axis says."""
    scene = scene_of(steady_bench(), units=units)
    value = {"pa": 3e5, "k": 291.0, "ratio": 0.0093, "flowmeter": 8.7}.get(key.rpartition("_")[2], 0.5)  # fmt: skip
    ((unit, _),) = by_unit((key,), scene)
    number, _, said = scene.quantity(key, value).partition(" ")
    on_axis = converted(key, np.array([value]), scene)[0]
    digits = len(number.partition(".")[2])
    assert f"{on_axis:.{digits}f}" == number
    assert unit == said


def _past(seconds: int = 120, *, stop_at: int = -1) -> tuple[FakeBench, History]:
    bench, history = steady_bench(), History()
    for k in range(seconds):
        if k == stop_at:
            bench.set("HS-4", "off")
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    return bench, history


def _painted(bench: FakeBench, history: History, trending: Trending, width: int = 71, keys: TrendSet = TREND_SETS[2]) -> Canvas:  # fmt: skip
    canvas = Canvas.blank(width, 14)
    Trend().paint(canvas, scene_of(bench), history, keys, trending)
    return canvas


@pytest.mark.parametrize("width", [40, 56, 71])
@pytest.mark.parametrize("cursor", [None, 100.0])
def test_the_numbers_stand_and_the_names_give_way(width: int, cursor: float | None) -> None:
    bench, history = _past()
    begun = history.start_s
    row = _painted(bench, history, Trending(cursor_s=None if cursor is None else begun + cursor), width).row_text(0)  # fmt: skip
    assert len(re.findall(r"[123]█[^█]*?-?\d+\.\d( °C| |$)", row)) == 3, row


def test_longest_names_are_cut_first() -> None:
    """The unit, which stands at the axis too, goes before any name."""
    marks, names, words = ["1█", "2█"], ["room", "behind the device"], ["20 °C", "35 °C"]
    shown = {room: "  ".join(fitted(marks, names, words, "°C", room)) for room in (41, 40, 32, 12)}
    assert shown[41] == "1█ room 20 °C  2█ behind the device 35 °C"
    assert shown[40] == "1█ room 20  2█ behind the device 35"
    assert shown[32] == "1█ room 20  2█ behind the de… 35"
    assert shown[12] == "1█ 20  2█ 35"
    assert all(len(text) <= room for room, text in shown.items())


def test_at_a_cursor_in_a_standstill_it_says_that_nothing_flowed() -> None:
    bench, history = _past(stop_at=60)
    begun = history.start_s
    still, running = (_painted(bench, history, Trending(cursor_s=begun + at), keys=TREND_SETS[1]).row_text(0) for at in (100.0, 30.0))  # fmt: skip
    assert still.count("no flow") == 2
    assert "no flow" not in running


@pytest.mark.parametrize(("seconds", "words"), [(300.0, "5 min ago"), (1910.556, "31 min 51 s ago"), (20.0, "20 s ago"), (3600.0, "60 min ago")])  # fmt: skip
def test_the_axis_speaks_of_whole_minutes_and_seconds(seconds: float, words: str) -> None:
    assert ago_words(seconds) == words


@pytest.mark.parametrize("column", range(0, 64))
def test_the_axis_has_one_manner_and_no_half_a_time_beside_the_cursors(column: int) -> None:
    bench, history = _past(400)
    trend, trending = Trend(), Trending()
    canvas = Canvas.blank(71, 14)
    trend.paint(canvas, scene_of(bench), history, TREND_SETS[0], trending)
    assert re.fullmatch(r" {7}5 min ago +now", canvas.row_text(13).rstrip())
    trending.cursor_s = trend.at_column(AXIS_WIDTH + column)
    row = _painted(bench, history, trending, keys=TREND_SETS[0]).row_text(13)
    assert re.fullmatch(r"(\d\d:\d\d:\d\d +){1,3}", row.strip() + " "), row
    assert clock_words(trending.cursor_s) in row


def test_before_the_clocks_beginning_there_is_no_time() -> None:
    bench, history = FakeBench(), History()
    for _ in range(60):
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    row = _painted(bench, history, Trending(span_s=100.0, cursor_s=10.0)).row_text(13)
    assert "-" not in row
    assert row.rstrip().endswith("00:01:00")

"""Valves, vessels and machines."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench, steady_bench
from tui.draw.canvas import Canvas
from tui.draw.drawing import Symbol
from tui.draw.glyphs import SETS
from tui.draw.ink import Ink
from tui.draw.scene import Scene
from tui.draw.symbols import PAINTERS
from tui.glasses import drawn_glass


def drawn(symbol: Symbol, scene: Scene, width: int = 20, height: int = 8) -> list[str]:
    canvas = Canvas.blank(width, height)
    PAINTERS[symbol.shape](canvas, symbol, scene)
    return [canvas.row_text(y).rstrip() for y in range(height)]


@pytest.mark.parametrize(
    ("way", "share", "middle"),
    [("across", 1.0, "─"), ("across", 0.0, "┃"), ("down", 1.0, "│"), ("down", 0.0, "━"), ("across", 0.4, "╱")],
)  # fmt: skip
def test_the_handle_lies_along_the_pipe_when_open_and_across_when_shut(way: str, share: float, middle: str) -> None:  # fmt: skip
    bench = FakeBench()
    bench.set("HV-12", share)
    symbol = Symbol(tag="HV-12", shape="valve", way=way, at=(2, 0))  # type: ignore[arg-type]
    assert drawn(symbol, scene_of(bench))[0].strip() == f"►{middle}◄"


def test_the_selected_part_is_marked_by_more_than_colour() -> None:
    scene = scene_of(FakeBench(), selected="HV-12")
    canvas = Canvas.blank(12, 2)
    PAINTERS["valve"](canvas, Symbol(tag="HV-12", shape="valve", at=(2, 0), label=(1, 1)), scene)
    assert set(canvas.inks[0, 1:4]) == {Ink.CURSOR}
    assert set(canvas.inks[1, 1:6]) == {Ink.CURSOR}


@pytest.mark.parametrize(("level", "full_rows"), [(0.0, 0), (0.5, 2), (1.0, 4)])
def test_a_vessel_is_filled_to_its_level(level: float, full_rows: int) -> None:
    bench = FakeBench()
    snapshot = bench.snapshot()
    readings = {**snapshot.readings, "receiver_level": level, "receiver_level_shown": level}
    scene = scene_of(bench, snapshot=replace(snapshot, readings=readings))
    symbol = Symbol(tag="receiver", shape="vessel", at=(0, 0), size=(8, 6), level="receiver_level")
    rows = drawn(symbol, scene)
    assert sum("██████" in row for row in rows) == full_rows


def test_passages_of_the_reversing_valve_run_side_by_side_and_cross_after_the_shift() -> None:
    symbol = Symbol(tag="XV-2", shape="reversing", at=(0, 0), size=(7, 5))
    bench = steady_bench()
    cooling = drawn(symbol, scene_of(bench))
    bench.slide = 1.0
    heating = drawn(symbol, scene_of(bench))
    assert not any("┼" in row for row in cooling)
    assert any("┼" in row for row in heating)


def test_a_slide_that_stalls_midway_is_shown_where_it_stands() -> None:
    symbol = Symbol(tag="XV-2", shape="reversing", at=(0, 0), size=(7, 5))
    bench = steady_bench()
    bench.slide = 0.5
    assert "■" in drawn(symbol, scene_of(bench))[2]


def test_a_compressor_says_in_words_whether_it_runs() -> None:
    symbol = Symbol(tag="M1", shape="compressor", at=(0, 0), size=(10, 5))
    assert any("stopped" in row for row in drawn(symbol, scene_of(FakeBench())))
    assert any("runs" in row for row in drawn(symbol, scene_of(steady_bench())))


def test_a_glass_full_of_liquid_looks_like_one_full_of_vapour() -> None:
    bench = steady_bench()
    snapshot = bench.snapshot()
    symbol = Symbol(tag="FG-1", shape="glass", at=(2, 0))
    looks = []
    for seen in ("clear", "empty"):
        shown = "clear" if seen == "empty" else seen  # the instrument shows an empty glass as clear
        scene = scene_of(bench, snapshot=replace(snapshot, readings={**snapshot.readings, "sight_glass": seen, "sight_glass_shown": shown}))  # fmt: skip
        looks.append(drawn(symbol, scene)[0])
    assert looks[0] == looks[1]


@pytest.mark.parametrize("name", SETS)
def test_what_is_seen_in_a_glass_has_signs_that_mean_nothing_else_on_the_sheet(name: str) -> None:
    glyphs = SETS[name]
    others = {*"".join(glyphs.lines), *glyphs.arrows, *glyphs.valve, *glyphs.along, *glyphs.athwart, *glyphs.frame, *glyphs.heavy_frame}  # fmt: skip
    others |= {*glyphs.spinner, glyphs.throttled, glyphs.bubble, glyphs.drop, glyphs.frost, glyphs.mark, glyphs.dot, glyphs.caution}  # fmt: skip
    inside = [drawn_glass(state, glyphs)[1] for state in ("bubbles", "foam", "wet")]
    assert len(set(inside)) == 3
    assert others.isdisjoint(inside)
    assert name != "ascii" or all(sign.isascii() for sign in inside)

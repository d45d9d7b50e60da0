"""Meters, tables, log."""

from __future__ import annotations

import pytest

from tests.tui.conftest import scene_of, snapshot_of
from tests.tui.fake_bench import FakeEvent, steady_bench
from tui.draw.canvas import Canvas
from tui.draw.ink import Ink
from tui.draw.lists import WORKED_OUT, clock_words, event_ink, paint_log, paint_meters, paint_table
from tui.draw.scene import Scene
from tui.draw.symbols import fitted
from tui.words import UNIT_CHOICES, Units


def rows(canvas: Canvas) -> list[str]:
    return [canvas.row_text(y).rstrip() for y in range(canvas.height)]


@pytest.mark.parametrize("width", [16, 20, 38, 80])
@pytest.mark.parametrize("units", UNIT_CHOICES)
def test_no_number_of_the_meters_loses_its_unit_at_any_width(width: int, units: object) -> None:
    scene = scene_of(steady_bench(), units=units)
    canvas = Canvas.blank(width, 14)
    paint_meters(canvas, scene)
    text = "\n".join(rows(canvas))
    for key in ("voltage_v", "current_a", "power_w", "gauge_superheat_k", "flowmeter", "room_temperature_k"):  # fmt: skip
        assert scene.words(key) in text, key


def test_the_truth_is_in_the_instructors_meters_only(running: Scene) -> None:
    learner, instructor = Canvas.blank(40, 30), Canvas.blank(40, 30)
    paint_meters(learner, running)
    running.instructor = True
    paint_meters(instructor, running)
    assert not any("winding" in row for row in rows(learner))
    assert any("winding" in row for row in rows(instructor))


def test_the_learners_table_lists_instruments_only(running: Scene) -> None:
    canvas = Canvas.blank(80, 60)
    paint_table(canvas, running, 0)
    text = "\n".join(rows(canvas))
    assert "discharge gas" in text
    assert "motor winding" not in text
    assert "COP" not in text


def test_the_table_scrolls_to_its_end_and_no_further(running: Scene) -> None:
    running.instructor = True
    first, last = Canvas.blank(80, 12), Canvas.blank(80, 12)
    paint_table(first, running, 10_000)
    paint_table(last, running, 20_000)
    assert rows(first) == rows(last)
    assert len([row for row in rows(first) if row]) == 12


def test_the_log_shows_the_newest_at_the_bottom_and_scrolls_back() -> None:
    bench = steady_bench()
    bench.events += [FakeEvent(float(i), f"T{i}", "note", "x") for i in range(50)]
    now, back = Canvas.blank(60, 5), Canvas.blank(60, 5)
    paint_log(now, scene_of(bench), 0)
    paint_log(back, scene_of(bench), 10)
    assert "T49" in rows(now)[-1]
    assert "T39" in rows(back)[-1]


def test_the_log_tells_set_points_in_the_persons_units() -> None:
    bench, log = steady_bench(), Canvas.blank(80, 5)
    bench.events.append(FakeEvent(1.0, "PSL-1", "command", "low-pressure control: 0.3 bar g."))
    scene = scene_of(bench)
    scene.units = Units("us", True)
    paint_log(log, scene, 0)
    assert rows(log)[-1].endswith("low-pressure control: 4.4 psig.")  # 0.3 * 14.5038 (NIST SP 811)


def test_faults_are_no_news_for_a_learner() -> None:
    bench = steady_bench()
    bench.events.append(FakeEvent(1.0, "M1", "fault", "pumping-worn"))
    assert not any(event.kind == "fault" for event in scene_of(bench).events)
    assert any(event.kind == "fault" for event in scene_of(bench, instructor=True).events)


def test_a_trip_stands_out_and_a_command_does_not() -> None:
    assert event_ink(FakeEvent(0.0, "PSHH-1", "trip", "")) == Ink.ALARM
    assert event_ink(FakeEvent(0.0, "HS-1", "command", "")) == Ink.TEXT


def test_plant_time_is_written_as_a_clock() -> None:
    assert clock_words(3 * 3600 + 25 * 60 + 7.9) == "03:25:07"


@pytest.mark.parametrize(("width", "words"), [(8, "127.4 °F"), (7, "127 °F"), (3, "127 °F")])
def test_a_number_without_room_loses_decimals_never_its_head(width: int, words: str) -> None:
    assert fitted("127.4 °F", width) == words


def test_a_wide_pane_with_few_rows_still_has_all_that_is_worked_out(running: Scene) -> None:
    for width, height in ((76, 8), (76, 12), (34, 20)):
        canvas = Canvas.blank(width, height)
        paint_meters(canvas, running)
        text = "\n".join(canvas.row_text(y) for y in range(height))
        for name, _, key in WORKED_OUT:
            assert f"{name} " in text
            assert running.words(key) in text, (width, name)


def test_every_glass_stands_in_the_table_as_it_looks(running: Scene) -> None:
    assert running.snapshot is not None
    running.dials = {**running.dials, "FG-2": "sight_glass_FG-2"}
    for holds, looks in (("wet", "wet"), ("empty", "clear")):
        snapshot_of(running).readings["sight_glass_FG-2"] = holds
        canvas = Canvas.blank(76, 40)
        paint_table(canvas, running, 0)
        (row,) = (canvas.row_text(y) for y in range(40) if canvas.row_text(y).startswith("FG-2"))
        assert row.split()[-1] == looks

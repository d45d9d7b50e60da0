"""What is put on paper says what the screen says, and keeps every peak."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench, FakeEvent, FakeSnapshot, fake_chart, steady_bench
from tui.assessed import CYCLE, refused
from tui.charting import Axes
from tui.draw.cycle import cycle_of_nodes, cycle_seen
from tui.draw.scene import Scene
from tui.history import History
from tui.session.paper import CURVES, HIGH, KEPT, LOW, WIDTH
from tui.session.state_picture import KEPT_DASH, state_chart
from tui.session.trend_picture import MOST_NAMED, PANEL, sets_up, trends
from tui.trending import TREND_SETS, Trending, TrendSet

PEAK_A, PEAK_S = 13.7, 1234.0
"""README, step 3: the current of a start, gone in a third of a second."""
AMPS = TrendSet("amps", ("current_a",))


def lived(peak_s: float = PEAK_S, seconds: int = 3000) -> tuple[Scene, History]:
    """An hour and more at 2.9 A, half a second a span, but for one instant."""
    bench, history = steady_bench(), History()
    plain = bench.snapshot()
    for k in range(2 * seconds):
        time_s = plain.time_s + k / 2
        amps = PEAK_A if time_s - plain.time_s == peak_s else 2.9
        history.add(replace(plain, time_s=time_s, readings=plain.readings | {"current_a": amps, "current_a_shown": amps}), None)  # fmt: skip
    return scene_of(bench), history


def strokes(text: str, colour: str) -> list[list[tuple[float, float]]]:
    """Points of every line of a colour."""
    found = re.findall(rf'<polyline points="([^"]+)" fill="none" stroke="{colour}"[^>]*/>', text)
    return [[(float(x), float(y)) for x, y in (pair.split(",") for pair in points.split())] for points in found]  # fmt: skip


def value_at(text: str, y: float) -> float:
    """The number of a height, from two of the axis's own ticks."""
    ticks = re.findall(r'<text x="64.0" y="([\d.]+)"[^>]*text-anchor="end"[^>]*>([\d.]+)</text>', text)  # fmt: skip
    (y0, v0), (y1, v1) = ((float(a) - 4, float(b)) for a, b in (ticks[0], ticks[-1]))
    return v0 + (y - y0) * (v1 - v0) / (y1 - y0)


@pytest.mark.parametrize("peak_s", [0.5, PEAK_S, 1234.5, 2999.0])
def test_a_start_of_half_a_second_stands_on_paper_in_full_however_long_the_session(peak_s: float) -> None:  # fmt: skip
    scene, history = lived(peak_s)
    text = trends(scene, history, Trending(span_s=float("inf")), [AMPS])
    curve = [y for stroke in strokes(text, CURVES[0][0]) for _, y in stroke if y > 30]
    assert value_at(text, min(curve)) == pytest.approx(PEAK_A, abs=0.1)


def test_a_peak_is_a_solid_stroke_so_that_no_gap_of_a_dashed_curve_hides_it() -> None:
    scene, history = lived()
    text = trends(scene, history, Trending(span_s=float("inf")), [TrendSet("two", ("voltage_v", "current_a"))])  # fmt: skip
    colour, dash = CURVES[1]
    drawn = [line for line in text.splitlines() if f'stroke="{colour}"' in line]
    assert dash
    assert any(f'stroke-dasharray="{dash}"' in line for line in drawn), "the curve itself is dashed"
    solid = strokes("\n".join(line for line in drawn if "dasharray" not in line), colour)
    tall = [stroke for stroke in solid if len(stroke) == 2 and abs(stroke[0][1] - stroke[1][1]) > 100]  # fmt: skip
    assert tall


def test_the_curve_keeps_to_as_many_points_as_the_page_can_show() -> None:
    scene, history = lived()
    text = trends(scene, history, Trending(span_s=float("inf")), [AMPS])
    assert max(len(stroke) for stroke in strokes(text, CURVES[0][0])) <= 4 * WIDTH


def test_all_that_is_up_is_on_paper_each_unit_with_its_own_axis() -> None:
    scene, history = lived(seconds=60)
    trending = Trending(panes=[0, 4])
    height = ET.fromstring(trends(scene, history, trending, sets_up(trending))).get("height")
    assert [one.title for one in sets_up(trending)] == [TREND_SETS[0].title, TREND_SETS[4].title]
    assert float(height or 0) >= 4 * PANEL, "pressures; watts, amps, volts"
    assert len(sets_up(Trending(panes=[2, 2]))) == 1


def events_of(scene: Scene, *events: FakeEvent) -> Scene:
    assert isinstance(scene.snapshot, FakeSnapshot)
    scene.snapshot = replace(scene.snapshot, events=events)
    return scene


def test_what_happened_is_marked_and_told_and_alarms_come_first() -> None:
    scene, history = lived(seconds=600)
    now = history.now_s
    many = [FakeEvent(now - 30 + k, "HV-12", "command", f"step {k}") for k in range(MOST_NAMED + 5)]
    trip = FakeEvent(now - 200, "PSHH-1", "trip", "High-pressure trip <opens>.")
    text = trends(events_of(scene, trip, *many), history, Trending(), [AMPS])
    assert "1!  " in text
    assert "PSHH-1 High-pressure trip &lt;opens&gt;." in text
    assert "step 0" not in text
    assert f"step {MOST_NAMED + 4}" in text
    assert "and 6 more" in text


def test_what_a_learner_may_not_know_is_no_mark() -> None:
    scene, history = lived(seconds=600)
    hidden = FakeEvent(history.now_s - 100, "condenser-air-low", "fault", "Condenser air low.")
    assert "Condenser air low" not in trends(events_of(scene, hidden), history, Trending(), [AMPS])
    scene.instructor = True
    assert "Condenser air low" in trends(scene, history, Trending(), [AMPS])


def trailing() -> History:
    """Two minutes after a start."""
    bench, history = FakeBench(), History()
    for tag, value in (("HS-1", "on"), ("HS-4", "on")):
        bench.set(tag, value)
    for _ in range(120):
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    return history


@pytest.mark.parametrize(("axes", "words"), [(Axes.PRESSURE_ENTHALPY, "specific enthalpy in kJ/kg"), (Axes.TEMPERATURE_ENTROPY, "specific entropy in kJ/(kg K)")])  # fmt: skip
def test_the_axes_that_are_up_are_those_on_paper(running: Scene, axes: Axes, words: str) -> None:
    running.charting.axes = axes
    text = state_chart(running, History())
    assert words in text
    assert f"{axes.value} chart of R134a with the cycle" in text
    ET.fromstring(text)


@pytest.mark.parametrize("axes", Axes)
def test_a_kept_cycle_and_where_the_corners_have_been_are_on_paper(running: Scene, axes: Axes) -> None:  # fmt: skip
    running.charting.axes = axes
    assert KEPT not in state_chart(running, History())
    running.charting.store(cycle_seen(running), 754.0)
    text = state_chart(running, trailing())
    assert f'stroke-dasharray="{KEPT_DASH}"' in text
    assert "the cycle kept at 00:12:34" in text
    assert text.count("<circle") > 10
    assert "the last two minutes" in text


def test_corners_lie_where_the_charts_axes_put_them(running: Scene) -> None:
    """Temperature falls down the page as it does on the axis: corner 2 is the hottest, 1 and 4 on the low side."""
    running.charting.axes = Axes.TEMPERATURE_ENTROPY
    text = state_chart(running, History())
    at = {number: float(y) for y, number in re.findall(r'y="([\d.]+)"[^>]*font-size="14"[^>]*>(\d)<', text)}  # fmt: skip
    corners = cycle_seen(running)
    by_height = sorted(at, key=lambda number: -at[number])
    by_heat = sorted(at, key=lambda number: corners[int(number) - 1].temperature)
    assert by_height == by_heat


def test_the_instructor_has_every_node_and_a_learner_the_four_corners(running: Scene) -> None:
    paths = (("discharge", "a1", "a8", "header", "b1", "b8"), ())
    learner = state_chart(running, History(), paths)
    running.instructor = True
    seen = state_chart(running, History(), paths)
    nodes = cycle_of_nodes(running, paths[0])
    edges_of = {name: sum(len(strokes(text, colour)) for colour in (HIGH, LOW)) for name, text in (("learner", learner), ("instructor", seen))}  # fmt: skip
    assert len(nodes) > 4
    assert edges_of == {"learner": 4, "instructor": len(nodes) - 1}


def test_in_assessed_work_the_cycle_is_the_learners_to_draw(running: Scene) -> None:
    running.own_work = True
    text = state_chart(running, trailing())
    assert refused(CYCLE) in text
    assert "with the cycle" not in text
    assert "1 suction" not in text
    assert "<circle" not in text

"""The chart of states: what its axes, cursor, kept cycle and trail do."""

from __future__ import annotations

import re

import pytest

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench, fake_chart, steady_bench
from tui.charting import STEP, Axes, Charting
from tui.draw.canvas import Canvas
from tui.draw.cycle import closed, cycle_seen, edge, trail
from tui.draw.ink import INK_MASK, Ink
from tui.draw.state_chart import AXIS_WIDTH, CORNERS, StateChart
from tui.history import History
from tui.opening import chart_of

WIDTH, HEIGHT = 100, 30


def text_of(canvas: Canvas) -> str:
    return "\n".join(canvas.row_text(y) for y in range(canvas.height))


def test_arrows_move_the_cursor_by_steps_and_not_off_the_chart() -> None:
    charting = Charting()
    charting.move("left")
    assert charting.cursor == (0.5, 0.5)
    charting.move("right")
    charting.move("down")
    assert charting.cursor == pytest.approx((0.5 + STEP, 0.5 - STEP))
    charting.point(2.0, -1.0)
    assert charting.cursor == (1.0, 0.0)


def test_a_kept_cycle_stays_until_it_is_taken_away() -> None:
    charting, corners = Charting(), cycle_seen(scene_of(steady_bench()))
    assert charting.store(corners, 10.0)
    assert list(charting.ghost) == corners
    assert not charting.store([], 20.0)
    assert charting.ghost == ()


@pytest.mark.parametrize("axes", list(Axes))
def test_the_cursor_reads_the_state_it_stands_on(axes: Axes) -> None:
    """On the corner of a cycle it reads that corner."""
    scene = scene_of(steady_bench())
    scene.fluid = chart_of("R134a")
    scene.charting = Charting(axes)
    chart, canvas = StateChart((), ()), Canvas.blank(WIDTH, HEIGHT)
    chart.paint(canvas, scene)
    for corner in cycle_seen(scene)[:2]:
        x, y = chart._place(corner, scene)
        scene.charting.point(x / (chart._live.across - 1), 1.0 - y / (chart._live.down - 1))
        found = chart.state_under(scene.charting, scene.fluid)
        assert found is not None
        assert found.temperature == pytest.approx(corner.temperature, abs=0.3)
        assert found.pressure == pytest.approx(corner.pressure, rel=0.01)
        assert found.enthalpy == pytest.approx(corner.enthalpy, abs=500.0)


def test_the_mouse_puts_the_cursor_on_the_cell_that_it_clicked() -> None:
    scene = scene_of(steady_bench())
    chart, canvas = StateChart((), ()), Canvas.blank(WIDTH, HEIGHT)
    chart.paint(canvas, scene)
    scene.charting.point(*chart.share_at(AXIS_WIDTH + 40, 12))
    chart.paint(canvas, scene)
    assert canvas.row_text(12)[AXIS_WIDTH + 40] == "+"
    assert int(canvas.inks[12, AXIS_WIDTH + 40]) & INK_MASK == Ink.CURSOR


def test_the_cursor_says_superheat_quality_or_subcooling() -> None:
    scene = scene_of(steady_bench())
    chart, canvas = StateChart((), ()), Canvas.blank(WIDTH, HEIGHT)
    for x, word in ((0.02, "subcooling"), (0.5, "x 0."), (0.95, "superheat")):
        scene.charting.point(x, 0.55)
        canvas.clear()
        chart.paint(canvas, scene)
        assert word in canvas.row_text(0)


def test_the_isobar_of_a_condenser_bends_at_the_dome() -> None:
    """From superheated gas to subcooled liquid: the temperature falls, stands, and falls again."""
    fluid = chart_of("R134a")
    line = edge(fluid, fluid.state(9e5, fluid.enthalpy(9e5, 1.3)), fluid.state(9e5, fluid.enthalpy(9e5, -0.2)))  # fmt: skip
    inside = [state.temperature for state in line if 0.0 < state.quality < 1.0]
    assert max(inside) - min(inside) < 0.01
    assert line[0].temperature > inside[0] + 5.0
    assert line[-1].temperature < inside[0] - 5.0


def test_the_trail_follows_the_corners() -> None:
    bench, history, chart = FakeBench(), History(), fake_chart()
    for tag, value in (("HS-1", "on"), ("HS-4", "on")):
        bench.set(tag, value)
    for _ in range(60):
        bench.advance(1.0)
        history.add(bench.snapshot(), chart)
    scene = scene_of(bench)
    pressures = [state.pressure for state in trail(scene, history)]
    assert min(pressures) == pytest.approx(scene.number("suction_pressure_pa"), rel=0.05)
    assert max(pressures) == pytest.approx(scene.number("discharge_pressure_pa"), rel=0.05)


def test_temperature_over_entropy_has_its_own_axes() -> None:
    scene = scene_of(steady_bench())
    scene.charting.next_axes()
    chart, canvas = StateChart((), ()), Canvas.blank(WIDTH, HEIGHT)
    chart.paint(canvas, scene)
    assert "entropy" in text_of(canvas)
    assert len(closed(cycle_seen(scene))) == 5


@pytest.mark.parametrize("width", [78, 118])
def test_the_chart_says_what_its_numbers_are_and_names_what_the_cursor_reads(width: int) -> None:
    scene = scene_of(steady_bench())
    chart, canvas = StateChart((), ()), Canvas.blank(width, HEIGHT)
    scene.charting.point(0.5, 0.55)
    chart.paint(canvas, scene)
    assert canvas.row_text(HEIGHT - 1).endswith("  ".join(CORNERS))
    assert " in kJ/kg " in canvas.row_text(HEIGHT - 1)
    assert re.search(r"  h \d+\.\d kJ/kg  s \d\.\d+ kJ/\(kg K\)  x 0\.\d\d", canvas.row_text(0))


def test_a_standing_plant_has_no_corners_to_name() -> None:
    canvas = Canvas.blank(WIDTH, HEIGHT)
    StateChart((), ()).paint(canvas, scene_of(FakeBench()))
    assert CORNERS[0] not in canvas.row_text(HEIGHT - 1)

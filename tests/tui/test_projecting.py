"""The projector's page: whether a display moves, which five, and that they can be read from afar."""

from __future__ import annotations

from dataclasses import replace
from math import isnan

import numpy as np
import pytest

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench, fake_chart, steady_bench
from tests.tui.fake_scales import fake_scales
from tui.draw.block_font import HEIGHT, paint_blocks, rows_of, squares, width_of
from tui.draw.canvas import Canvas
from tui.draw.glyphs import FULL
from tui.draw.projector import NUMBER_SHARE, ProjectorFrame, fitting, paint_projector
from tui.history import History
from tui.projecting import FIVE, FIVE_OWN_WORK, Moving, Shown, chosen, five, moving, slope
from tui.words import LABELS

SUCTION, STEP_PA = "suction_pressure_pa", 5000.0


def history_of(pascals_a_minute: float, seconds: int = 90) -> History:
    """PI-1 on a straight line."""
    bench, history = steady_bench(), History()
    for second in range(seconds):
        snapshot = bench.snapshot()
        shown = {f"{SUCTION}_shown": 2.3e5 + pascals_a_minute * second / 60.0}
        history.add(replace(snapshot, time_s=600.0 + second, readings={**snapshot.readings, **shown}), fake_chart())  # fmt: skip
    return history


def test_a_slope_is_that_of_a_straight_line() -> None:
    assert slope([0.0, 10.0, 20.0], [1.0, 2.0, 3.0]) == pytest.approx(0.1)
    assert isnan(slope([0.0, 1.0, 2.0], [1.0, 2.0, 3.0])), "two seconds tell nothing"
    assert isnan(slope([0.0, 10.0, 20.0], [1.0, np.nan, 3.0]))


@pytest.mark.parametrize(
    ("steps_a_minute", "word"),
    [(0.0, "STEADY"), (0.8, "STEADY"), (1.3, "RISING"), (-1.3, "FALLING")],
)
def test_a_step_of_the_scale_in_a_minute_is_a_movement(steps_a_minute: float, word: str) -> None:
    history = history_of(steps_a_minute * STEP_PA)
    assert moving(history, SUCTION, fake_scales()[SUCTION]) is Moving[word]


def test_at_the_start_nobody_knows() -> None:
    assert moving(history_of(0.0, 3), SUCTION, fake_scales()[SUCTION]) is Moving.UNKNOWN
    assert moving(History(), SUCTION, None) is Moving.UNKNOWN


def test_there_are_always_five_and_never_six() -> None:
    assert chosen(()) == FIVE
    assert chosen(("current_a",)) == ("current_a", *FIVE[:4])
    assert chosen(("a", "b", "c", "d", "e", "f")) == ("a", "b", "c", "d", "e")
    assert chosen(("gauge_superheat_k",), own_work=True) == FIVE_OWN_WORK


def test_the_instructors_view_does_not_put_the_truth_on_the_wall() -> None:
    bench = FakeBench()
    snapshot = bench.snapshot()
    wrong = replace(snapshot, readings={**snapshot.readings, f"{SUCTION}_shown": 9.0e5})
    scene = scene_of(bench, snapshot=wrong, instructor=True)
    assert five(scene, History(), (), fake_scales())[0].number == "7.99"


def test_every_letter_of_names_and_units_can_be_written() -> None:
    blank = squares(" ")
    needed = set("".join(LABELS.values()).upper()) | set("0123456789.,-—°/%") | set("bar g kPa psig inHg °C °F K g/s kg/h lb/h W kW Btu/h V A L/h gal/h")  # fmt: skip
    for char in needed - {" "}:
        assert squares(char).any(), char
        assert squares(char).shape[0] == HEIGHT
    assert not blank.any()


@pytest.mark.parametrize(("size", "rows"), [((80, 24), 2.5), ((120, 40), 5.0), ((200, 60), 10.0)])
def test_digits_are_as_large_as_a_fifth_of_the_screen_allows(size: tuple[int, int], rows: float) -> None:  # fmt: skip
    # ISO 9241-303, from memory: 22 minutes of arc are 51 mm at 8 m; a row of 40 in an image of 1.5 m is 37.5 mm
    width, height = size
    band = (height - 5) // 5
    found = fitting("123.1", max(band - 1, 3), int((width - 4) * NUMBER_SHARE)) * HEIGHT / 2
    assert found == rows
    if height == 40:
        assert found * 1500.0 / height > 51.0


@pytest.mark.parametrize(("size", "large"), [((76, 19), 1), ((116, 35), 2), ((196, 55), 4)])
def test_all_five_stand_whole_on_the_page(size: tuple[int, int], large: int) -> None:
    numbers = ["1.29", "123.1", "-6.5", "3400", "0.64"]
    canvas = Canvas.blank(*size)
    paint_projector(canvas, ProjectorFrame([Shown("x", "superheat", one, "bar g", Moving.FALLING) for one in numbers]), FULL)  # fmt: skip
    for index, number in enumerate(numbers):
        alone = Canvas.blank(width_of(number, large), rows_of(large))
        paint_blocks(alone, 0, 0, number, large, 0, FULL)
        top = size[1] * index // 5
        for y in range(alone.height):
            assert alone.row_text(y) in canvas.row_text(top + y), (number, y)


def test_a_number_that_is_too_wide_is_written_plain_and_not_cut() -> None:
    canvas = Canvas.blank(60, 15)
    shown = Shown("x", "watts", "-123456.78", "W", Moving.RISING)
    paint_projector(canvas, ProjectorFrame([shown] * 5), FULL)
    assert width_of("-123456.78", 1) > int(60 * NUMBER_SHARE)
    assert "-123456.78" in canvas.row_text(0)


@pytest.mark.parametrize(("litres_a_minute", "word"), [(0.2, "STEADY"), (1.5, "RISING")])
def test_the_flowmeters_step_is_read_in_its_own_unit(litres_a_minute: float, word: str) -> None:
    bench, history = steady_bench(), History()
    for second in range(90):
        snapshot = bench.snapshot()
        shown = {"flowmeter_shown": 9.5 + litres_a_minute * second / 60.0}
        history.add(replace(snapshot, time_s=600.0 + second, readings={**snapshot.readings, **shown}), fake_chart())  # fmt: skip
    scale = replace(fake_scales()[SUCTION], reading="flowmeter", unit="L/h", step=0.5)
    assert moving(history, "flowmeter", scale) is Moving[word]


def test_what_has_no_value_moves_nowhere() -> None:
    """Superheat has none while nothing flows, however the gauges ran before."""
    history, bench = History(), steady_bench()
    for k in range(30):
        bench.advance(1.0)
        taken = bench.snapshot()
        taken.readings["suction_temperature_k_shown"] = 280.0 + k
        taken.readings["evaporator_outlet_temperature_k_shown"] = 280.0 + k
        history.add(taken, fake_chart())
    moved = {one.key: one.moving for one in five(scene_of(bench), history, (), fake_scales())}
    assert moved["gauge_superheat_k"] is Moving.RISING
    scene = scene_of(bench)
    scene.snapshot = replace(bench.snapshot(), running=False)
    still = {one.key: one for one in five(scene, history, (), fake_scales())}
    assert still["gauge_superheat_k"].unit == "no flow"
    assert still["gauge_superheat_k"].moving is Moving.UNKNOWN

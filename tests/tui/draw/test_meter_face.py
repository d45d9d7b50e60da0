"""The hand meter's face."""

from __future__ import annotations

import pytest

from tests.tui.fake_wiring import FakeMeasured
from tui.draw.canvas import Canvas
from tui.draw.digits import ROWS, large, rows_of
from tui.draw.glyphs import ASCII, SETS
from tui.draw.meter_face import REST, MeterFrame, paint_meter
from tui.meter import MeterDesk
from tui.metering import Meters

DESK = MeterDesk(cursor="L.1", probes=["L.1", "N.1"])


def face(measured: FakeMeasured | None, width: int = 34, height: int = 35, desk: MeterDesk = DESK, glyphs: str = "full", cautions: tuple[str, ...] = (), **more: object) -> str:  # fmt: skip
    canvas = Canvas.blank(width, height)
    meters = Meters(desk.use, measured, **more)  # type: ignore[arg-type]
    paint_meter(canvas, MeterFrame(desk, meters, ("L.1",), cautions), SETS[glyphs])
    return "\n".join(canvas.row_text(y).rstrip() for y in range(height))


@pytest.mark.parametrize("glyphs", SETS.values(), ids=SETS)
def test_the_ten_digits_look_different_and_are_equally_wide(glyphs: object) -> None:
    shapes = [tuple(rows_of(digit, glyphs)) for digit in "0123456789"]  # type: ignore[arg-type]
    assert len(set(shapes)) == 10
    assert {len(row) for shape in shapes for row in shape} == {3}
    assert all(len(shape) == ROWS for shape in shapes)


def test_what_a_meter_can_show_can_be_written_large() -> None:
    assert all(large(text) for text in ("119.2", "-0.05", "OL"))
    assert not any(large(text) for text in ("", "LIVE"))


def test_unit_and_buzzer_stand_beside_the_digits() -> None:
    assert "Ω beep" in face(FakeMeasured(0.2, "0.2 Ω beep"))
    assert "ohm beep" in face(FakeMeasured(0.2, "0.2 Ω beep"), glyphs="ascii")
    assert ASCII.name == "ascii"


def test_a_refusal_stands_in_place_of_a_number_with_what_would_have_happened() -> None:
    text = face(FakeMeasured(float("inf"), "LIVE", "LIVE", "Its fuse goes."))
    assert "LIVE" in text
    assert "Its fuse goes." in text


def test_a_reading_of_another_use_is_not_shown() -> None:
    canvas = Canvas.blank(34, 35)
    stale = Meters(MeterDesk(probes=["L.1", "PE.1"]).use, FakeMeasured(77.0, "77.0 V"))
    paint_meter(canvas, MeterFrame(DESK, stale), SETS["full"])
    assert "V" not in canvas.row_text(ROWS).split()


def test_a_text_that_finds_no_room_says_that_there_is_more() -> None:
    long = ("word " * 200,)
    assert REST in face(FakeMeasured(1.0, "1.0 V"), width=76, height=6, cautions=long)
    assert REST not in face(FakeMeasured(1.0, "1.0 V"), width=76, height=6, cautions=("short",))


def test_the_peak_stands_beside_the_reading_while_it_is_held() -> None:
    desk = MeterDesk(cursor="L.1", probes=["L.1", "N.1"], holding=True)
    assert "peak 13.2 A" in face(FakeMeasured(3.0, "3.00 A"), desk=desk, largest=FakeMeasured(13.2, "13.2 A"))  # fmt: skip

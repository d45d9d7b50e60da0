"""What has happened on the copy only."""

from __future__ import annotations

import pytest

from tests.screen.stored import stored
from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench
from tui.draw.canvas import Canvas
from tui.draw.lists import table_keys
from tui.draw.scene import Scene
from tui.draw.side_by_side import COLUMNS, PairFrame, only_on_copy, paint_pair
from tui.seen import instrument_label


def test_the_same_event_a_moment_apart_is_not_the_copys_own_and_a_second_one_is() -> None:
    bench = FakeBench()
    bench.note("PSHH-1", "trip", "opened")
    bench.advance(10.0)
    copy = bench.fork()
    parted_s = bench.time_s
    bench.advance(5.0)
    bench.note("K1", "contact", "closes")
    bench.note("", "note", "a word of mine")
    for seconds, text in ((5.3, "closes"), (1.0, "opens"), (1.0, "closes")):
        copy.advance(seconds)
        copy.note("K1", "contact", text)
    copy.note("TSL-1", "contact", "closes")
    copy.note("PSHH-1", "trip", "opened")  # as once before they parted
    own = only_on_copy(scene_of(bench), PairFrame(bench.snapshot(), copy.snapshot(), parted_s))
    assert [(event.tag, event.text, round(event.time_s - parted_s, 1)) for event in own] == [
        ("K1", "opens", 6.3),
        ("K1", "closes", 7.3),
        ("TSL-1", "closes", 7.3),
        ("PSHH-1", "opened", 7.3),
    ]


@pytest.mark.parametrize("state", ["cooling", "heating", "off", "tripped"])
def test_every_name_has_room_beside_its_numbers_and_no_pressure_of_the_air_is_a_gauges(state: str) -> None:  # fmt: skip
    found = stored(state)
    scene = Scene(snapshot=found.snapshot, tags=found.tags, instructor=True)
    keys = table_keys(scene)
    canvas = Canvas.blank(80, len(keys) + 1)
    paint_pair(canvas, scene, PairFrame(found.snapshot, found.snapshot), 0)
    for row, key in enumerate(keys, start=1):
        name = instrument_label(found.snapshot, key)
        assert canvas.row_text(row)[: COLUMNS[0]].rstrip() == name
        assert len(name) < COLUMNS[0]
    text = "\n".join(canvas.row_text(y) for y in range(canvas.height))
    assert " bar abs " in text
    assert "0.00 bar g" not in text

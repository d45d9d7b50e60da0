"""What has happened on the copy only."""

from __future__ import annotations

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import FakeBench
from tui.draw.side_by_side import PairFrame, only_on_copy


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

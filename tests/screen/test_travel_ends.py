"""+ and - at the end of a part's travel, on the screen and in words."""

from __future__ import annotations

import pytest

from tests.screen.test_bench_screen import bench, text_of
from tests.tui.fake_tags import TAGS
from tui.desk import by_tag, nudged
from tui.words import UNIT_CHOICES, end_words


@pytest.mark.parametrize(
    ("tag", "key", "said"),
    [
        ("HV-12", "plus", "HV-12 is fully open already"),
        ("HV-21", "minus", "HV-21 is shut already"),
        ("HS-6", "plus", "HS-6 is on already"),
        ("HS-2", "minus", "HS-2 is at off already: its first position"),
        ("HS-7", "minus", "HS-7 is at open already: its first position"),
    ],
)
async def test_a_step_beyond_the_end_of_the_travel_is_answered(tag: str, key: str, said: str) -> None:  # fmt: skip
    async with bench() as (app, pilot):
        app.bench.desk.selected = tag
        before = app.bench.aimed(tag)
        await pilot.press(key)
        assert said in text_of(app)
        assert app.bench.aimed(tag) == before


@pytest.mark.parametrize(
    ("tag", "value", "steps", "said"),
    [
        ("TCV-23.spring", 8.0, 1, "TCV-23.spring is at its highest already: +8 quarter turns"),
        ("HS-7.watts", 0.0, -1, "HS-7.watts is at its lowest already: 0 W"),
        ("TS-1.set", 303.15, 1, "TS-1.set is at its highest already: 30.0 °C"),
        ("PSHH-1.reset", "", 1, "PSHH-1.reset has no steps to turn; enter works it"),
    ],
)
def test_every_kind_of_end_has_its_words(tag: str, value: float | str, steps: int, said: str) -> None:  # fmt: skip
    info = by_tag(TAGS)[tag]
    assert nudged(info, value, steps) in (value, None)
    assert end_words(info, value, steps, UNIT_CHOICES[0]) == said

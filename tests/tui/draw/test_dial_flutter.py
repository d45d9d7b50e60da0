"""A needle's flutter is drawn when a dot can show it, and never otherwise."""

from __future__ import annotations

import numpy as np
import pytest

from tests.tui.conftest import scene_of
from tests.tui.fake_bench import steady_bench
from tui.draw.canvas import Canvas
from tui.draw.dial import Dial, standard_dials
from tui.draw.ink import Ink

DISCHARGE = standard_dials()[1]
STEADY_PA = 54.4
"""Half swing of PI-2 on the default rig, running steady: see tests/sim/test_flutter.py and the report of sim.flutter for 2.8 g/s."""


def painted(swing_pa: float, size: tuple[int, int] = (80, 40)) -> Canvas:
    canvas = Canvas.blank(*size)
    Dial(DISCHARGE).paint(canvas, scene_of(steady_bench(), trembling={DISCHARGE.reading: swing_pa}))
    return canvas


@pytest.mark.parametrize("size", [(20, 11), (40, 21), (80, 40)])
def test_what_the_default_rigs_gauge_does_is_far_below_a_dot(size: tuple[int, int]) -> None:
    still, moved = painted(0.0, size), painted(STEADY_PA, size)
    assert np.array_equal(still.chars, moved.chars)
    assert np.array_equal(still.inks, moved.inks)


def test_a_swing_of_some_dots_is_a_band_at_the_tip() -> None:
    still, moved = painted(0.0), painted(1.0e5)
    assert (moved.chars != still.chars).any()
    changed = moved.chars != still.chars
    assert set(moved.inks[changed].tolist()) & {int(Ink.FAINT), int(Ink.HIGH)}


def test_the_number_below_knows_nothing_of_it() -> None:
    still, moved = painted(0.0), painted(1.0e5)
    for y in range(still.height):
        if "bar g" in still.row_text(y):
            assert moved.row_text(y) == still.row_text(y)
            return
    raise AssertionError

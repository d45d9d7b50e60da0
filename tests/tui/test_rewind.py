"""Going back in time on the real plant: the same bytes as if one had never gone on."""

from __future__ import annotations

from typing import cast

import numpy as np
import pytest

from sim.bench import Bench
from sim.session import open_bench
from tui.orders import SetTag, obey
from tui.rewind import FIRST_STEP_S, Keeper

START = (("HS-1", "on"), ("HS-2", "low"), ("HS-3", "high"), ("HS-6", "on"), ("HS-4", "on"))


class Bench2:
    """A bench and its keeper, worked as the plant's thread works them."""

    def __init__(self) -> None:
        self.bench = open_bench("fennick_bench", "off")
        self.keeper = Keeper(self.bench, most=6)

    def set(self, tag: str, value: float | str) -> None:
        order = SetTag(tag=tag, value=value)
        assert obey(order, self.bench) is None
        self.keeper.note(order, self.bench)

    def run(self, seconds: float, step: float = 0.7) -> None:
        end = self.bench.time_s + seconds
        while self.bench.time_s < end - 1e-9:
            self.bench.advance(min(step, end - self.bench.time_s))
            self.keeper.look(self.bench)

    def back(self, time_s: float) -> None:
        self.bench = cast(Bench, self.keeper.back(self.bench, time_s))


@pytest.fixture
def driven() -> tuple[Bench2, Bench]:
    """A start with orders between kept moments, and a copy of the plant as it stood at 47.3 s."""
    desk = Bench2()
    for tag, value in START:
        desk.set(tag, value)
    desk.run(20.0)
    desk.set("HCV-22", 0.3)
    desk.run(27.3)
    then = desk.bench.fork()
    desk.run(1.0)
    desk.set("HV-12", 0.0)
    desk.run(60.0)
    return desk, then


def test_any_moment_comes_back_bit_for_bit(driven: tuple[Bench2, Bench]) -> None:
    desk, then = driven
    desk.back(47.3)
    found = desk.bench
    assert found.time_s == then.time_s
    found.advance(30.0)
    then.advance(30.0)
    found.look()
    then.look()
    assert np.array_equal(found.watch.y, then.watch.y)
    assert found.readings() == then.readings()


def test_what_came_later_is_forgotten_and_the_record_says_so(driven: tuple[Bench2, Bench]) -> None:
    desk, _ = driven
    desk.back(min(desk.bench.time_s, 40.0))
    assert desk.bench.commands["HV-12"] == 1.0
    assert all(done.time_s <= 40.0 for done in desk.keeper.done)
    assert "Went back" in desk.bench.events[-1].text


def test_memory_is_bounded_and_the_beginning_stays() -> None:
    desk = Bench2()
    desk.run(40 * FIRST_STEP_S, step=5.0)
    assert len(desk.keeper.moments) <= 6
    assert desk.keeper.first_s == 0.0
    desk.back(1.0)
    assert desk.bench.time_s == 1.0


def test_going_back_over_a_mishap_is_told(driven: tuple[Bench2, Bench]) -> None:
    desk = Bench2()
    desk.run(5.0)
    desk.bench.note("M1", "slug", "Liquid in the cylinder.")
    desk.back(2.0)
    assert "A real plant has no way back" in desk.bench.events[-1].text


def test_a_time_outside_the_record_is_refused() -> None:
    desk = Bench2()
    desk.run(3.0)
    with pytest.raises(ValueError, match="no way back"):
        desk.keeper.back(desk.bench, 99.0)

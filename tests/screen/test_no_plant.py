"""While a plant is being prepared, and after one that could not be opened: nothing that can be opened ends the program."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import pytest
from textual.app import App
from textual.pilot import Pilot

import tui.app
from sim.errors import InputError
from tests.screen.test_bench_screen import until
from tests.tui.fake_bench import open_fake
from tui.app import BenchApp
from tui.draw.board import Board
from tui.draw.layout import View
from tui.orders import Begin
from tui.runner import Opened, Progress, Stage
from tui.session.kept import Kept
from tui.view_commands import NUMBERED

SIZES = [(80, 24), (200, 60)]


@pytest.fixture
def gate() -> Iterator[threading.Event]:
    """Shut, plants stay in preparation; opened at the end, so that their threads end."""
    found = threading.Event()
    yield found
    found.set()


async def every_view(app: BenchApp, pilot: Pilot[int]) -> None:
    """Each view by itself, its readings to choose from and their trends, and its cursor moved."""
    for view in View:
        app.bench.desk.show(view)
        app.bench.changed()
        app.bench.choose_readings()
        await pilot.press("n", "down", "right", "pagedown", "enter")
        while app.screen is not app.bench:
            await pilot.press("escape")
        assert app.return_code is None, view
    await pilot.press(*(str(key) for key in range(1, NUMBERED + 1)))


@pytest.mark.parametrize("size", SIZES)
async def test_every_view_can_be_opened_while_the_plant_is_prepared(size: tuple[int, int], gate: threading.Event) -> None:  # fmt: skip
    def opener(begin: Begin, progress: Progress) -> Opened:
        gate.wait(60.0)
        return open_fake(begin, progress)

    app = BenchApp(Begin(), opener, cautions=False)
    async with app.run_test(size=size) as pilot:
        await every_view(app, pilot)
        assert app.bench.report.stage is Stage.PREPARING
        gate.set()


@pytest.mark.parametrize("size", SIZES)
async def test_every_view_can_be_opened_after_a_failed_opening(size: tuple[int, int]) -> None:
    def opener(begin: Begin, progress: Progress) -> Opened:
        raise InputError("no such rig")

    app = BenchApp(Begin(), opener, cautions=False)
    async with app.run_test(size=size) as pilot:
        await until(lambda: app.bench.report.stage is Stage.FAILED)
        await pilot.press("escape")
        await every_view(app, pilot)


async def test_another_plant_is_begun_at_the_view_of_bench_and_copy() -> None:
    app = BenchApp(Begin(), open_fake, cautions=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await until(lambda: app.bench.report.snapshot is not None)
        await pilot.press("9")
        for _ in range(3):
            await pilot.press("b", "down", "enter")
            await until(lambda: app.bench.report.snapshot is not None)
        assert app.return_code is None


def test_an_app_that_breaks_off_tells_the_shell(monkeypatch: pytest.MonkeyPatch) -> None:
    """As after any error in painting: Textual shows it, and ``run`` comes back without a result."""

    def broken(*_: object) -> None:
        raise IndexError

    def headless(app: BenchApp) -> int | None:
        return App.run(app, headless=True, size=(80, 24))

    monkeypatch.setattr(Board, "paint", broken)
    monkeypatch.setattr(BenchApp, "run", headless)
    monkeypatch.setattr(tui.app, "opened", Kept)
    assert tui.app.run() != 0

"""The tour on the screen: by key, by mouse, offered once, in nobody's way."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.pilot import Pilot

from tests.screen.test_bench_screen import Session, bench, setting, text_of, until
from tests.tui.conftest import snapshot_of
from tui.app import BenchApp
from tui.assessed import PRACTICE, refused
from tui.draw.layout import View
from tui.runner import Stage
from tui.screens.at_help import NO_TOUR
from tui.screens.dialogs import Ask
from tui.screens.helping import HelpPage
from tui.session.kept import Kept
from tui.session.settings import SettingsFile, read_settings
from tui.tour import OFFER
from tui.tour import Stage as TourStage

SIZES = [(80, 24), (120, 40), (200, 60)]
STEPS = 6


def first_start(path: Path) -> Kept:
    return Kept(file=SettingsFile(path), offers_tour=True)


def at(app: BenchApp, step: int) -> bool:
    return f"tour, step {step} of {STEPS}" in text_of(app)


def ended(app: BenchApp) -> bool:
    return "tour: the end" in text_of(app)


async def choose(session: Session, tag: str) -> None:
    app, pilot = session
    await pilot.press("g")
    await pilot.press(*app.bench.desk.letters[tag])


async def click_word(session: Session, word: str) -> None:
    """Click a key of the tour's box."""
    app, pilot = session
    boxed = app.bench.board.boxed
    assert boxed is not None
    row = boxed.rect.y + boxed.rect.height - 1
    x = text_of(app).splitlines()[row].index(word)
    await pilot.click("BoardView", offset=(x, row))


@pytest.mark.parametrize("size", SIZES)
async def test_a_person_takes_the_tour_by_keys(size: tuple[int, int]) -> None:
    async with bench(size=size) as (app, pilot):
        await pilot.press("H")
        assert at(app, 1)
        await choose((app, pilot), "HV-32")
        assert at(app, 2)
        await pilot.press("enter")
        await until(lambda: setting(app, "HV-32") == 0.0)
        assert at(app, 2)
        await pilot.press("enter")
        await until(lambda: at(app, 3))
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        await pilot.press("space")
        await until(lambda: app.bench.report.pace == 1)
        await pilot.press("full_stop")
        await until(lambda: at(app, 4))
        await pilot.press("4")
        assert app.bench.scene.words("suction_pressure_pa") in text_of(app)
        await pilot.press("1")
        await until(lambda: at(app, 5))
        await pilot.press("0")
        await until(lambda: setting(app, "HS-0") == "pressed")
        await choose((app, pilot), "HS-0")
        await pilot.press("enter")
        await until(lambda: at(app, 6))
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, HelpPage))
        await pilot.press("escape")
        await until(lambda: ended(app))
        assert "the pace is" not in text_of(app)  # the emergency stop has made it what it was
        assert setting(app, "HS-0") == "released"
        assert setting(app, "HV-32") == 1.0
        await pilot.press("X")
        assert not app.bench.tour.shown


@pytest.mark.parametrize("size", SIZES)
async def test_a_person_takes_the_tour_by_mouse_alone(size: tuple[int, int], tmp_path: Path) -> None:  # fmt: skip
    path = tmp_path / "settings.toml"
    async with bench(size=size, kept=first_start(path)) as session:
        app, pilot = session
        await until(lambda: OFFER.title in text_of(app))
        await click_word(session, "show me")
        await click_part(session, "HV-32")
        await until(lambda: at(app, 2))
        await click_part(session, "HV-32")
        await until(lambda: setting(app, "HV-32") == 0.0)
        await click_word(session, "enter")
        await until(lambda: at(app, 3))
        await click_word(session, "space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        await click_word(session, "space")
        await until(lambda: app.bench.report.pace == 1)
        await click_word(session, "faster")
        await until(lambda: at(app, 4))
        await click_word(session, "gauges")
        await until(lambda: app.bench.desk.view is View.METERS)
        await click_word(session, "plant")
        await until(lambda: at(app, 5))
        await click_word(session, "STOP")
        await until(lambda: setting(app, "HS-0") == "pressed")
        await click_part(session, "HS-0")
        await click_word(session, "enter")
        await until(lambda: at(app, 6))
        await click_word(session, "help")
        await until(lambda: isinstance(app.screen, HelpPage))
        await pilot.pause(0.1)
        await pilot.click("OptionList", offset=(3, 0))
        await until(lambda: ended(app))
        await click_word(session, "close")
        assert not app.bench.tour.shown
        assert read_settings(path).screen.tour == "over"


async def click_part(session: Session, tag: str) -> None:
    app, pilot = session
    await pilot.pause(0.05)
    board = app.bench.board
    pane = next(pane for pane in board.arrangement.panes if pane.kind == "plant")
    rect = board._parts(pane, [tag])[0].rect
    await pilot.click("BoardView", offset=(rect.x, rect.y))


async def skip_through(pilot: Pilot[int], steps: int) -> None:
    for _ in range(steps):
        await pilot.press("H")


@pytest.mark.parametrize("glyphs", ["full", "ascii"])
@pytest.mark.parametrize("size", [*SIZES, (100, 30)])
@pytest.mark.parametrize("start", ["off", "steady"])
async def test_no_step_hides_what_it_speaks_of(start: str, size: tuple[int, int], glyphs: str) -> None:  # fmt: skip
    async with bench(start, size, glyphs=glyphs) as (app, pilot):
        board = app.bench.board
        await pilot.press("H")
        for step in range(1, STEPS + 1):
            assert at(app, step)
            for view in ("4", "1"):
                await pilot.press(view)
                said, boxed = app.bench.tour.said(), board.boxed
                assert said is not None
                assert boxed is not None
                targets = board.targets(said.pointer, size[0])
                assert targets or view == "4" or step == 4, "something is pointed at"
                assert not any(boxed.rect.cells() & target.rect.cells() for target in targets)
                bars = {(x, y) for y in (0, size[1] - 2, size[1] - 1) for x in range(size[0])}
                assert not boxed.rect.cells() & bars, "pace, events and keys stay in sight"
                if said.do:
                    shown = " ".join(" ".join(text_of(app).split("\n")).split())
                    assert said.do.split()[-1] in shown, "the box has room for all of its text"
            if at(app, step):
                await pilot.press("H")
            elif step < STEPS:
                assert at(app, step + 1)


async def test_the_offer_comes_after_the_cautions_and_once(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    async with bench(cautions=True, kept=first_start(path)) as (app, pilot):
        await until(lambda: isinstance(app.screen, Ask))
        assert not app.bench.tour.shown
        await pilot.press("enter")
        await until(lambda: OFFER.title in text_of(app))
        assert app.screen is app.bench, "it is no dialog: the bench can be worked behind it"
        await pilot.press("X")
        await until(lambda: OFFER.title not in text_of(app))
        assert read_settings(path).screen.tour == "over"
    file = SettingsFile(path)
    async with bench(kept=Kept(settings=file.read(), file=file, offers_tour=True)) as (app, pilot):
        await pilot.pause(0.3)
        assert not app.bench.tour.shown
        await pilot.press("H")
        assert at(app, 1), "it can be had at any time"


async def test_a_tour_that_was_taken_is_not_offered_again(tmp_path: Path) -> None:
    path = tmp_path / "settings.toml"
    async with bench(kept=first_start(path)) as (app, pilot):
        await until(lambda: OFFER.title in text_of(app))
        await pilot.press("H")
        assert not path.exists(), "begun is not taken"
        await skip_through(pilot, STEPS)
        await until(lambda: ended(app))
        assert read_settings(path).screen.tour == "over"


async def test_nobody_is_offered_a_tour_who_did_not_start_the_program_as_a_person(tmp_path: Path) -> None:  # fmt: skip
    path = tmp_path / "s.toml"
    for kept, assessed in ((Kept(), False), (Kept(file=SettingsFile(path)), False), (first_start(path), True)):  # fmt: skip
        async with bench(kept=kept, assessed=assessed) as (app, pilot):
            await pilot.pause(0.2)
            assert not app.bench.tour.shown
            await pilot.press("X")
            said = refused(PRACTICE) if assessed else NO_TOUR
            assert said in text_of(app)


async def test_settings_with_a_mistake_are_left_alone_and_nothing_is_offered(tmp_path: Path) -> None:  # fmt: skip
    path = tmp_path / "settings.toml"
    path.write_text("[screen]\ntour = 'often'\n")
    file = SettingsFile(path)
    async with bench(kept=Kept(settings=file.read(), file=file, offers_tour=True)) as (app, pilot):
        await pilot.press("escape")
        await until(lambda: app.screen is app.bench)
        assert not app.bench.tour.shown
    assert path.read_text() == "[screen]\ntour = 'often'\n"


@pytest.mark.parametrize("key", ["0", "exclamation_mark"])
async def test_the_emergency_stop_works_through_the_tour(key: str, tmp_path: Path) -> None:
    async with bench("steady", kept=first_start(tmp_path / "s.toml")) as (app, pilot):
        await until(lambda: OFFER.title in text_of(app))
        await pilot.press(key)
        await until(lambda: setting(app, "HS-0") == "pressed")
        app.bench.put("HS-0", "released")
        await until(lambda: setting(app, "HS-0") == "released")
        await pilot.press("H", "g")
        assert app.bench.desk.letters
        await pilot.press(key)
        await until(lambda: setting(app, "HS-0") == "pressed")


async def test_a_click_on_the_box_does_nothing_to_what_lies_behind_it() -> None:
    async with bench(size=(80, 24)) as (app, pilot):
        await pilot.press("H")
        before, selected = dict(snapshot_of(app.bench.report).commands), app.bench.desk.selected
        boxed = app.bench.board.boxed
        assert boxed is not None
        for y in range(boxed.rect.y + 1, boxed.rect.y + boxed.rect.height - 1):
            for x in range(boxed.rect.x + 1, boxed.rect.x + boxed.rect.width, 9):
                await pilot.click("BoardView", offset=(x, y))
        await pilot.pause(0.2)
        assert app.bench.desk.selected == selected
        assert dict(snapshot_of(app.bench.report).commands) == before


async def test_help_and_palette_lead_to_the_tour() -> None:
    async with bench() as (app, pilot):
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, HelpPage))
        await pilot.press("H")
        await until(lambda: at(app, 1))
        assert app.bench.tour.stage is TourStage.UNDER_WAY


async def test_a_tour_that_is_under_way_is_not_skipped_by_asking_for_it_from_help() -> None:
    async with bench() as (app, pilot):
        await pilot.press("H", "g", "question_mark")
        await until(lambda: isinstance(app.screen, HelpPage))
        await pilot.press("H")
        await until(lambda: app.screen is app.bench)
        assert at(app, 1)


async def test_a_rig_that_nobody_has_drawn_has_a_tour_too() -> None:
    async with bench(size=(80, 24), drawings={}) as (app, pilot):
        await pilot.press("H")
        await choose((app, pilot), "HV-32")
        assert at(app, 2)
        await skip_through(pilot, STEPS - 1)
        assert ended(app)
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, HelpPage))
        assert isinstance(app.screen, HelpPage)
        assert "Nobody has drawn this rig" in " ".join(app.screen.lines)


async def test_quick_keys_all_count() -> None:
    async with bench() as (app, pilot):
        await pilot.press("H", "H", "H")
        assert at(app, 3)
        await pilot.press("space", "space", "full_stop")
        await until(lambda: at(app, 4))


async def test_without_colour_the_part_is_still_pointed_at(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with bench(size=(80, 24), glyphs="ascii") as (app, pilot):
        await pilot.press("H")
        await pilot.pause(0.1)
        strips = app.screen._compositor.render_strips()
        reversed_text = [segment.text for strip in strips for segment in strip if segment.style and segment.style.reverse]  # fmt: skip
        assert "HV-32" in " ".join(reversed_text)
        assert ">HV-32<" in text_of(app)

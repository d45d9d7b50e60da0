"""A person at the keyboard and the mouse: one test for each thing that they do. The plant is the stand-in; what is tested is the screen."""

from __future__ import annotations

import asyncio
import re
import time
from collections.abc import AsyncIterator, Callable
from contextlib import asynccontextmanager

import pytest
from textual.pilot import Pilot
from textual.widgets import Input, OptionList

from tests.tui.fake_bench import FakeBench, fake_chart, open_fake
from tui.app import BenchApp
from tui.draw.layout import View
from tui.draw.palette import PALETTES
from tui.orders import Begin
from tui.runner import Opened, Opener, Progress, Stage
from tui.screens.dialogs import Ask
from tui.screens.errands import LETTERS_HINT
from tui.screens.helping import HelpPage
from tui.view_commands import NUMBERED

Session = tuple[BenchApp, Pilot[int]]


async def until(true: Callable[[], bool], seconds: float = 5.0) -> None:
    """Wait for something that the plant's thread brings about."""
    end = time.monotonic() + seconds
    while not true():
        assert time.monotonic() < end, "nothing happened in time"
        await asyncio.sleep(0.01)


@asynccontextmanager
async def bench(start: str = "off", size: tuple[int, int] = (120, 40), opener: Opener = open_fake, patience_s: float = 5.0, **options: object) -> AsyncIterator[Session]:  # fmt: skip
    """A bench on the screen, with the first cautions read."""
    options.setdefault("cautions", False)
    app = BenchApp(Begin(start=start), opener, **options)  # type: ignore[arg-type]
    async with app.run_test(size=size) as pilot:
        await until(lambda: app.bench.report.stage is not Stage.PREPARING, patience_s)
        yield app, pilot


def text_of(app: BenchApp) -> str:
    canvas = app.bench.view.canvas
    return "\n".join(canvas.row_text(y) for y in range(canvas.height))


def setting(app: BenchApp, tag: str) -> object:
    return app.bench.scene.setting(tag)


async def test_the_plant_is_drawn_with_its_tags_and_readings() -> None:
    async with bench("steady") as (app, _):
        await until(lambda: "PI-2 8.4" in text_of(app))
        for words in ("HV-12", "receiver", "coil A condenser", "runs", "superheat", "bar g", "R134a A1"):  # fmt: skip
            assert words in text_of(app), words


async def test_enter_shuts_and_opens_a_valve() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "HV-32"
        await pilot.press("enter")
        await until(lambda: setting(app, "HV-32") == 0.0)
        await pilot.press("enter")
        await until(lambda: setting(app, "HV-32") == 1.0)


async def test_plus_and_minus_throttle_the_needle() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "HCV-22"
        await pilot.press("plus")
        await until(lambda: setting(app, "HCV-22") == pytest.approx(0.40))
        await pilot.press("minus", "minus")
        await until(lambda: setting(app, "HCV-22") == pytest.approx(0.30))


async def test_arrows_and_tab_move_the_cursor() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "HV-21"
        await pilot.press("right")
        assert app.bench.desk.selected == "HV-22"
        before = app.bench.desk.selected
        await pilot.press("tab", "shift+tab")
        assert app.bench.desk.selected == before


async def test_letters_jump_to_a_part() -> None:
    async with bench() as (app, pilot):
        await pilot.press("g")
        assert LETTERS_HINT in text_of(app)
        letters = dict(app.bench.desk.letters)
        await pilot.press(*letters["HV-31"])
        assert app.bench.desk.selected == "HV-31"
        assert not app.bench.desk.letters
        assert LETTERS_HINT not in text_of(app), "the hint goes with the letters"
        assert setting(app, "HS-0") == "released", "a letter is no command while letters are shown"


async def test_escape_leaves_the_letters() -> None:
    async with bench() as (app, pilot):
        await pilot.press("g", "escape")
        assert not app.bench.desk.letters


async def test_a_click_selects_and_a_second_click_works_the_part() -> None:
    async with bench() as (app, pilot):
        await pilot.pause()
        rows = text_of(app).splitlines()
        y = next(i for i, row in enumerate(rows) if "HS-4 compr" in row)
        x = rows[y].index("HS-4 compr")
        await pilot.click("BoardView", offset=(x + 2, y))
        assert app.bench.desk.selected == "HS-4"
        await pilot.click("BoardView", offset=(x + 2, y))
        await until(lambda: setting(app, "HS-4") == "on")


async def test_a_click_on_the_last_line_runs_its_command() -> None:
    async with bench() as (app, pilot):
        await pilot.pause()
        row = text_of(app).splitlines()[-1]
        await pilot.click("BoardView", offset=(row.index("go to"), 39))
        assert "HV-12" in app.bench.desk.letters


@pytest.mark.parametrize("key", ["0", "exclamation_mark"])
async def test_one_key_presses_the_emergency_stop_without_a_question(key: str) -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press(key)
        await until(lambda: setting(app, "HS-0") == "pressed")
        assert app.screen is app.bench
        await until(lambda: "HS-0 pressed" in text_of(app).splitlines()[0])


async def test_the_emergency_stop_works_from_inside_a_dialog_and_while_typing() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("w")
        await until(lambda: len(app.screen_stack) > 2)
        app.screen.query_one(Input).focus()
        await pilot.press("exclamation_mark")
        await until(lambda: app.bench.report.snapshot.commands["HS-0"] == "pressed")  # type: ignore[union-attr]


async def test_pace_keys_and_hold() -> None:
    async with bench() as (app, pilot):
        await pilot.press("full_stop")
        await until(lambda: app.bench.report.pace == 2)
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        assert "HELD" in text_of(app)
        await pilot.press("space")
        await until(lambda: app.bench.report.pace == 2)
        await pilot.press("comma")
        await until(lambda: app.bench.report.pace == 1)


async def test_a_held_plant_paints_nothing() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        app.bench._notice = ("", 0.0)
        await pilot.pause(0.4)
        painted = app.bench.view.rows_painted
        await pilot.pause(0.6)
        assert app.bench.view.rows_painted == painted


async def test_a_held_screen_looks_at_nothing_until_a_hand_moves() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.HELD)
        app.bench._notice = ("", 0.0)
        await pilot.pause(0.4)
        looked = app.runner._taken_at
        await pilot.pause(0.5)
        assert app.runner._taken_at == looked
        app.bench.desk.selected = "HV-32"
        await pilot.press("enter")
        await until(lambda: setting(app, "HV-32") == 0.0, 1.0)
        await pilot.press("space")
        await until(lambda: app.bench.report.stage is Stage.RUNNING, 1.0)


async def test_a_running_plant_repaints_few_rows_a_frame() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.pause(0.3)
        frames, rows = app.bench.frames_painted, app.bench.view.rows_painted
        await pilot.pause(1.0)
        frames, rows = app.bench.frames_painted - frames, app.bench.view.rows_painted - rows
        assert 3 <= frames <= 12
        assert rows <= 32 * frames


@pytest.mark.parametrize("view", list(View)[:NUMBERED])
async def test_a_number_key_fills_the_screen_with_a_view(view: View) -> None:
    async with bench("steady", (80, 24)) as (app, pilot):
        await pilot.press(str(list(View).index(view) + 1))
        await until(lambda: app.bench.board.arrangement.panes[0].kind in ("plant", "chart", "trend", "dial", "table", "log", "wiring", "board", "pair"))  # fmt: skip
        assert app.bench.desk.view is view


async def test_the_learner_sees_no_truth_and_the_instructor_does() -> None:
    async with bench("steady", (200, 60), instructor=True) as (app, pilot):
        await pilot.press("i")
        await until(lambda: "quality" not in text_of(app) and "learner" in text_of(app))
        await pilot.press("i")
        assert "quality" in text_of(app)
        assert "INSTRUCTOR" in text_of(app)


async def test_a_session_that_was_not_opened_as_the_instructors_stays_the_learners() -> None:
    async with bench("steady", (200, 60)) as (app, pilot):
        await pilot.press("i")
        assert "rimebench --instructor" in text_of(app)
        assert "quality" not in text_of(app)


async def test_units_go_round_on_the_whole_screen() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("u")
        us = text_of(app)
        await pilot.press("u")
        both = text_of(app)
        await pilot.press("u")
        si = text_of(app)
        edge = r"╰─+ \(([\d.]+) bar g\) ─+╯╰─+ \(([\d.]+) bar g\) ─+╯"
        edges = re.search(edge, us)
        assert edges is not None
        low, high = edges.groups()
        for words in (f"PI-1 {low} bar g", f"PI-2 {high} bar g"):
            assert words in both
            assert words in si
        psig = [float(one) / 0.0689476 for one in (low, high)]  # NIST SP 811: 1 psi = 6894.757 Pa
        shown = re.search(r"PI-1 ([\d.]+) psig +PI-2 ([\d.]+) psig", us)
        assert shown is not None
        assert [float(one) for one in shown.groups()] == pytest.approx(psig, abs=0.08)
        assert "psig" not in si
        assert " bar g) " not in si


async def test_a_hazardous_act_is_asked_about_and_leaving_changes_nothing() -> None:
    async with bench("steady") as (app, pilot):
        app.bench.desk.selected = "HV-42"
        await pilot.press("enter")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("enter")
        await until(lambda: app.screen is app.bench)
        assert setting(app, "HV-42") == 1.0


async def test_a_hazardous_act_is_done_after_reading() -> None:
    async with bench("steady") as (app, pilot):
        app.bench.desk.selected = "HV-42"
        await pilot.press("enter")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "enter")
        await until(lambda: setting(app, "HV-42") == 0.0)


async def test_a_card_offers_every_setting_of_a_part() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "HS-7"
        await pilot.press("enter")
        await until(lambda: isinstance(app.screen, Ask))
        options = app.screen.query_one(OptionList)
        ids = [options.get_option_at_index(i).id for i in range(options.option_count)]
        assert ids == ["", "HS-7=open", "HS-7=closed", "HS-7=heated", "HS-7.watts=number", "look"]
        assert "as it stands" in str(options.get_option_at_index(1).prompt)
        await pilot.press("down", "enter")
        assert setting(app, "HS-7") == "open"
        await pilot.press("enter")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "down", "enter")
        await until(lambda: setting(app, "HS-7") == "closed")


async def test_a_number_is_typed_in_the_units_on_the_screen() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "TS-1"
        await pilot.press("u", "o")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "enter")
        await until(lambda: bool(app.screen.query(Input)))
        field = app.screen.query_one(Input)
        assert field.value == "50"  # 10 °C
        field.value = "59"  # 15 °C
        await pilot.press("enter")
        await until(lambda: setting(app, "TS-1.set") == pytest.approx(288.15))


async def test_help_says_what_one_stands_at_and_closes() -> None:
    async with bench() as (app, pilot):
        await pilot.press("question_mark")
        await until(lambda: isinstance(app.screen, HelpPage))
        await pilot.press("escape")
        await until(lambda: app.screen is app.bench)


async def test_repair_reaches_the_bench_and_its_event_the_last_line() -> None:
    async with bench() as (app, pilot):
        app.bench.desk.selected = "M1"
        await pilot.press("r")
        await until(lambda: "M1 repaired" in text_of(app))


async def test_an_engine_failure_is_shown_and_one_can_begin_again() -> None:
    benches = iter([FakeBench(fail_at_s=0.3), FakeBench()])

    def opener(begin: Begin, progress: Progress) -> Opened:
        return Opened(next(benches), fake_chart())

    async with bench(opener=opener) as (app, pilot):
        await until(lambda: isinstance(app.screen, Ask))
        assert isinstance(app.screen, Ask)
        assert app.screen.lines == ["the step size fell below its limit"]
        await pilot.press("enter")
        await until(lambda: app.bench.report.stage is Stage.RUNNING)


async def test_what_the_bench_refuses_is_said_on_the_event_line() -> None:
    async with bench() as (app, pilot):
        await pilot.press("w")
        await until(lambda: bool(app.screen.query(Input)))
        await pilot.press("enter")
        await until(lambda: "save" in text_of(app).splitlines()[-2])


async def test_a_screen_that_is_too_small_says_which_size_is_needed() -> None:
    async with bench(size=(70, 20)) as (app, pilot):
        await until(lambda: "80x24" in text_of(app))
        await pilot.resize_terminal(80, 24)
        await until(lambda: "HV-12" in text_of(app))


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
async def test_the_screen_is_made_of_few_widgets(size: tuple[int, int]) -> None:
    async with bench(size=size) as (app, _):
        assert len(app.bench.query("*")) < 10
        assert len(app.stylesheet.source) < 30


async def test_themes_go_round_and_come_back() -> None:
    async with bench() as (app, pilot):
        first = app.palette.name
        for _ in PALETTES:
            await pilot.press("t")
        assert app.palette.name == first
        assert app.theme == first


async def test_palette_offers_every_command_and_every_part() -> None:
    async with bench() as (app, _):
        titles = [command.title for command in app.get_system_commands(app.screen)]
        assert any(title.startswith("Emergency stop") for title in titles)
        assert any(title.startswith("HV-12") for title in titles)


async def test_quick_pace_keys_all_count() -> None:
    async with bench() as (app, pilot):
        await pilot.press("full_stop", "full_stop", "full_stop")
        await until(lambda: app.bench.report.pace == 10)


async def test_without_colour_everything_is_still_there(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with bench("steady") as (app, pilot):
        await pilot.press("right", "question_mark", "escape", "t")
        await until(lambda: "HV-12" in text_of(app))
        strips = app.screen._compositor.render_strips()
        colours = {segment.style.color.triplet for strip in strips for segment in strip if segment.style and segment.style.color and segment.style.color.triplet}  # fmt: skip
        assert colours
        assert all(max(triplet) - min(triplet) <= 1 for triplet in colours), "greys only"


async def test_a_rig_without_a_drawing_is_worked_from_a_list_of_its_parts() -> None:
    async with bench(size=(80, 24), drawings={}) as (app, pilot):
        await until(lambda: "receiver outlet valve" in text_of(app))
        app.bench.desk.selected = "HV-32"
        await pilot.press("enter")
        await until(lambda: setting(app, "HV-32") == 0.0)
        await pilot.press("tab", "down", "g", "escape")


async def test_a_guarded_switch_asks_to_lift_its_guard() -> None:
    def opener(begin: Begin, progress: Progress) -> Opened:
        return Opened(FakeBench(), fake_chart(), guarded=frozenset(("HS-5",)))

    async with bench(opener=opener) as (app, pilot):
        app.bench.desk.selected = "HS-5"
        await pilot.press("enter")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("down", "enter")
        await until(lambda: setting(app, "HS-5") == "heating")

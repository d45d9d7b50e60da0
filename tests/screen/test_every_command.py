"""Every command by key and by mouse, from the list of commands itself: a new one is in here at once."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from functools import partial

import pytest
from textual.command import CommandPalette
from textual.containers import VerticalScroll
from textual.events import MouseScrollDown
from textual.pilot import Pilot
from textual.widgets import Input, Label, OptionList

from tests.screen.test_bench_screen import bench, setting, text_of, until
from tui.app import BenchApp
from tui.board_commands import BOARD_GROUP
from tui.command import Command
from tui.commands import COMMANDS
from tui.desk import Desk
from tui.draw.canvas import Canvas
from tui.draw.holds import choices_of
from tui.draw.layout import View
from tui.screens.dialogs import Ask, Dialog, Page
from tui.screens.helping import GlossaryDialog, HelpPage
from tui.screens.says import footer_keys

SMALL = (80, 24)
"""The least screen, on which most has to be reached through the list."""


@contextmanager
def recorded(monkeypatch: pytest.MonkeyPatch, *, but: str = "") -> Iterator[list[str]]:
    """Commands say their name instead of doing something."""
    heard: list[str] = []
    with monkeypatch.context() as patch:
        for command in COMMANDS:
            if command.name != but:
                patch.setattr(command, "run", lambda _, name=command.name: heard.append(name))
        yield heard


async def test_every_key_runs_its_command(monkeypatch: pytest.MonkeyPatch) -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        with recorded(monkeypatch) as heard:
            await pilot.press(*(key for command in COMMANDS for key in command.keys))
        assert heard == [command.name for command in COMMANDS for _ in command.keys]
        assert app.screen is app.bench


def footers() -> dict[str, View]:
    """Command -> a view on whose last line it stands."""
    found: dict[str, View] = {}
    for view in View:
        found |= {key.command: view for key in footer_keys(view)}
    return found


async def test_every_word_of_a_last_line_runs_its_command(monkeypatch: pytest.MonkeyPatch) -> None:
    async with bench("steady", (200, 60), instructor=True) as (app, pilot):
        clicked: list[str] = []
        with recorded(monkeypatch) as heard:
            for view in View:
                app.bench.desk.show(view)
                app.bench.changed()
                spots = list(app.bench.board._footer_spots)
                assert {name for _, _, name in spots} == {key.command for key in footer_keys(view)}
                for left, _, name in spots:
                    if name not in clicked:
                        clicked.append(name)
                        await pilot.click("BoardView", offset=(left + 1, 59))
        assert heard == clicked


async def open_list(app: BenchApp, pilot: Pilot[int]) -> OptionList:
    """Click on the word that leads to all commands, and wait until they are listed."""
    left = next(left for left, _, name in app.bench.board._footer_spots if name == "all_commands")
    await pilot.click("BoardView", offset=(left + 1, app.size.height - 1))
    await until(lambda: isinstance(app.screen, CommandPalette))
    listed = app.screen.query_one(OptionList)
    await until(lambda: listed.option_count > len(COMMANDS) and listed.region.height > 2)
    return listed


def one_more(heard: list[str], than: int) -> bool:
    return len(heard) > than


async def click_option(pilot: Pilot[int], listed: OptionList, index: int) -> None:
    """Bring an option into sight, as the wheel does, and click it."""
    listed.highlighted = index
    listed.scroll_to_highlight()
    await pilot.pause()
    row = next(y for y in range(listed.region.height) if listed.get_style_at(1, y).meta.get("option") == index)  # fmt: skip
    await pilot.click(listed, offset=(3, row))


IN_NO_FOOTER = [command for command in COMMANDS if command.name not in footers()]


async def test_what_is_on_no_last_line_is_reached_by_the_mouse_through_the_list(monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    async with bench("steady", SMALL, instructor=True) as (app, pilot):
        with recorded(monkeypatch, but="all_commands") as heard:
            for done, command in enumerate(IN_NO_FOOTER):
                listed = await open_list(app, pilot)
                prompts = [str(listed.get_option_at_index(i).prompt) for i in range(listed.option_count)]  # fmt: skip
                here = [i for i, words in enumerate(prompts) if words.startswith(f"{command.title} (")]  # fmt: skip
                assert len(here) == 1, command.title
                await click_option(pilot, listed, here[0])
                await until(lambda: app.screen is app.bench)
                await until(partial(one_more, heard, done))
        assert heard == [command.name for command in IN_NO_FOOTER]


def test_every_last_line_leads_to_all_commands() -> None:
    assert all(footer_keys(view)[-1].command == "all_commands" for view in View)


async def test_the_list_has_every_command_of_this_person_and_every_part() -> None:
    async with bench("steady") as (app, _):
        titles = [one.title for one in app.get_system_commands(app.screen)]
        for command in COMMANDS:
            shown = f"{command.title} ({command.shown_key})" in titles
            assert shown is (command.group != BOARD_GROUP), command.name
        assert app.bench.board.drawing is not None
        drawn = {hold.tag for hold in choices_of(app.bench.board.drawing)}
        assert all(any(title.startswith(f"{tag} ") for title in titles) or any(title.startswith(f"{tag}.") for title in titles) for tag in {*app.bench.scene.tags, *drawn})  # fmt: skip


def fingerprint(app: BenchApp) -> tuple[object, ...]:
    """All that a command can change before a person's eyes."""
    canvas: Canvas = app.bench.view.canvas
    return (
        canvas.chars.tobytes(),
        canvas.inks.tobytes(),
        len(app.screen_stack),
        app.palette.name,
        app._exit,
    )


async def answers(app: BenchApp, pilot: Pilot[int], command: Command, view: View) -> bool:
    """Does the screen answer to this command at this view?"""
    app.bench.desk = Desk(view=view, instructor=app.bench.desk.instructor, selected="HCV-22")
    app.bench._notice = ("", 0.0)
    app.bench.paint()
    before = fingerprint(app)
    app.bench.action_command(command.name)
    await pilot.pause()
    changed = fingerprint(app) != before
    while app.screen is not app.bench:
        app.pop_screen()
        await pilot.pause()
    return changed


async def test_every_command_answers_at_some_view(monkeypatch: pytest.MonkeyPatch) -> None:
    """A picture that changes, a dialog, a word on the event line: no command falls silent everywhere."""
    async with bench("steady", SMALL, instructor=True) as (app, pilot):
        await pilot.press("space")  # so that nothing but the command changes the picture
        left: list[int] = []
        monkeypatch.setattr(app, "exit", lambda *_: left.append(1))
        for command in COMMANDS:
            before, answered = len(left), False
            for view in View:
                answered = answered or await answers(app, pilot, command, view) or len(left) > before  # fmt: skip
            assert answered, command.name


# Dialogs by mouse alone, and by keys alone.


async def click_words(pilot: Pilot[int], app: BenchApp, words: str) -> None:
    """Click on words of a dialog."""
    for label in app.screen.query(Label):
        text = str(label.render())
        if words in text:
            await pilot.click(label, offset=(text.index(words) + 1, 0))
            return
    raise AssertionError(f"no {words}")


@pytest.mark.parametrize("name", ["glossary", "cautions", "notebook", "note", "save", "settings", "own_trend", "saturation_card"])  # fmt: skip
async def test_what_a_command_opens_is_left_with_the_mouse(name: str) -> None:
    async with bench("steady") as (app, pilot):
        app.bench.action_command(name)
        await until(lambda: isinstance(app.screen, Dialog))
        await pilot.pause()
        await click_words(pilot, app, "esc")
        await until(lambda: app.screen is app.bench)


async def test_help_is_left_and_goes_on_with_the_mouse() -> None:
    async with bench("steady") as (app, pilot):
        for row, opened in ((0, None), (2, GlossaryDialog)):
            app.bench.action_command("help")
            await until(lambda: isinstance(app.screen, HelpPage))
            await pilot.pause()
            await pilot.click(app.screen.query_one(OptionList), offset=(2, row))
            await until(lambda: not isinstance(app.screen, HelpPage))
            assert (app.screen is app.bench) if opened is None else isinstance(app.screen, opened)


async def test_a_number_is_taken_with_the_mouse() -> None:
    async with bench() as (app, pilot):
        app.bench._ask_number(app.bench.scene.tags["HCV-22"])
        await until(lambda: bool(app.screen.query(Input)))
        app.screen.query_one(Input).value = "0.5"
        await pilot.pause()
        await click_words(pilot, app, "enter")
        await until(lambda: setting(app, "HCV-22") == pytest.approx(0.5))


async def test_a_click_takes_the_letters_away() -> None:
    async with bench() as (app, pilot):
        await pilot.press("g")
        await pilot.click("BoardView", offset=(40, 12))
        assert not app.bench.desk.letters


async def test_a_search_at_the_board_is_ended_and_cleared_with_the_mouse() -> None:
    async with bench("steady", instructor=True) as (app, pilot):
        await pilot.press("8", "slash", "o", "i", "l")
        y = next(i for i, row in enumerate(text_of(app).splitlines()) if "/ oil" in row)
        await pilot.click("BoardView", offset=(4, y))
        assert (app.bench.faults.query, app.bench.faults.searching) == ("", False)


async def test_a_page_is_scrolled_by_wheel_and_by_keys() -> None:
    async with bench(size=(80, 24)) as (app, pilot):
        app.bench.action_command("cautions")
        await until(lambda: isinstance(app.screen, Page))
        await pilot.pause()
        text = app.screen.query_one(VerticalScroll)
        await pilot.press("pagedown")
        await until(lambda: text.scroll_y > 0)
        await pilot.press("home")
        await until(lambda: text.scroll_y == 0)
        x, y = text.region.offset
        text._on_mouse_scroll_down(MouseScrollDown(text, 3, 3, 0, 1, 0, False, False, False, screen_x=x + 3, screen_y=y + 3))  # fmt: skip
        await until(lambda: text.scroll_y > 0)


@pytest.mark.parametrize("key", ["q", "ctrl+q"])
async def test_leaving_by_any_key_leaves_no_autosave_behind(key: str) -> None:
    async with bench() as (app, pilot):
        await pilot.press(key)
        await until(lambda: app.left and app.return_value == 0)


async def test_leaving_while_the_compressor_runs_is_asked_about() -> None:
    async with bench("steady") as (app, pilot):
        await pilot.press("q")
        await until(lambda: isinstance(app.screen, Ask))
        await pilot.press("enter")  # the careful answer stays
        await until(lambda: app.screen is app.bench)
        assert not app.left
        await pilot.press("q", "down", "enter")
        await until(lambda: app.left and app.return_value == 0)

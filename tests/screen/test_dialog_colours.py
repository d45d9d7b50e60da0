"""Dialogs are drawn by the terminal library out of our themes and frames: every letter that reaches the terminal is measured, in every theme.

WCAG 2.1, 1.4.3: 4.5:1 for text; words of something that cannot be done now are exempt there.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from rich.color import Color as Shade
from textual.command import CommandPalette
from textual.containers import Vertical
from textual.strip import Strip
from textual.widgets import OptionList

from tests.screen.test_bench_screen import bench, until
from tests.tui.draw.test_palette import contrast
from tui.app import BenchApp, run
from tui.draw.palette import PALETTES
from tui.screens.dialogs import Dialog

OPENED_BY = ("help", "settings", "own_trend", "save", "card", "go_on_until", "all_commands")


def code(shade: Shade | None) -> str:
    assert shade is not None
    assert shade.triplet is not None
    return shade.triplet.hex


def in_front(app: BenchApp) -> list[Strip]:
    """The box of the dialog; what it dims behind it waits, and is exempt."""
    x, y, width, height = app.screen.query_one(Vertical).region
    return [strip.crop(x, x + width) for strip in app.screen._compositor.render_strips()[y : y + height]]  # fmt: skip


def poor_letters(app: BenchApp) -> dict[tuple[str, str], str]:
    """(ink, ground) -> words, where the two are too near to each other."""
    found: dict[tuple[str, str], str] = {}
    for strip in in_front(app):
        for segment in strip:
            style = segment.style
            if style is None or style.dim or not any(char.isalnum() for char in segment.text):  # fmt: skip
                continue
            pair = code(style.color), code(style.bgcolor)
            if contrast(*pair) < 4.5:
                found[pair] = found.get(pair, "") + segment.text
    return found


@pytest.mark.parametrize("theme", PALETTES)
async def test_every_letter_of_a_dialog_reaches_4_5_to_1(theme: str) -> None:
    async with bench("steady", palette=PALETTES[theme]) as (app, pilot):
        for name in OPENED_BY:
            app.bench.action_command(name)
            await until(lambda: isinstance(app.screen, Dialog | CommandPalette))
            await pilot.pause()
            if isinstance(app.screen, CommandPalette):
                await until(lambda: app.screen.query_one(OptionList).option_count > 5)
                await pilot.pause(0.2)
            assert poor_letters(app) == {}, name
            await pilot.press("escape")
            await until(lambda: app.screen is app.bench)


async def test_dialogs_keep_to_ascii_where_the_board_does() -> None:
    async with bench("steady", (80, 24), glyphs="ascii") as (app, pilot):
        for name in OPENED_BY:
            app.bench.action_command(name)
            await until(lambda: isinstance(app.screen, Dialog | CommandPalette))
            await pilot.pause(0.2)
            strips = app.screen._compositor.render_strips()
            assert [strip.text for strip in strips if not strip.text.isascii()] == [], name
            assert {strip.cell_length for strip in strips} == {80}
            await pilot.press("escape")
            await until(lambda: app.screen is app.bench)


@pytest.mark.parametrize("theme", [name for name, palette in PALETTES.items() if not palette.coloured])  # fmt: skip
async def test_without_colour_the_chosen_answer_is_reversed(theme: str) -> None:
    async with bench("steady", palette=PALETTES[theme]) as (app, pilot):
        app.bench.action_command("card")
        await until(lambda: isinstance(app.screen, Dialog))
        await pilot.pause()
        styles = [segment.style for strip in in_front(app) for segment in strip if "Leave" in segment.text]  # fmt: skip
        assert [style is not None and contrast(code(style.bgcolor), "#000000") > contrast(code(style.color), "#000000") for style in styles] == [True]  # fmt: skip
        shades = {code(shade) for strip in in_front(app) for segment in strip if segment.style for shade in (segment.style.color, segment.style.bgcolor) if shade}  # fmt: skip
        assert all(len({shade[i : i + 2] for i in (1, 3, 5)}) == 1 for shade in shades)


async def test_a_row_has_a_tick_when_it_is_ticked_and_none_otherwise() -> None:
    async with bench("steady") as (app, pilot):
        app.bench.action_command("own_trend")
        await until(lambda: isinstance(app.screen, Dialog))
        await pilot.press("enter", "down", "down")
        await pilot.pause()
        boxes = [segment.text for strip in in_front(app) for segment in strip if segment.text == "X"]  # fmt: skip
        assert boxes == ["X"]
        await pilot.press("up", "up", "enter")
        await pilot.pause()
        assert not any(segment.text == "X" for strip in in_front(app) for segment in strip)


@pytest.mark.parametrize(("variable", "theme"), [("1", "rime-mono"), ("", "rime-dark")])
def test_a_terminal_that_wants_no_colour_gets_none(monkeypatch: pytest.MonkeyPatch, tmp_path: Path, variable: str, theme: str) -> None:  # fmt: skip
    """https://no-color.org: set and not empty."""
    for name in ("CONFIG", "STATE"):
        monkeypatch.setenv(f"RIMEBENCH_{name}", str(tmp_path / name))
    monkeypatch.setenv("NO_COLOR", variable)
    opened: list[BenchApp] = []
    monkeypatch.setattr(BenchApp, "run", lambda self: opened.append(self))
    assert run() == 0
    assert opened[0].palette.name == theme

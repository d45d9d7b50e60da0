"""The app: palettes, the runner, the bench's screen. ``run`` is the way in."""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Literal

from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.screen import Screen

from sim.rig_find import find_rig
from tui.board_commands import BOARD_GROUP
from tui.commands import COMMANDS
from tui.draw.drawing import Drawing, load_drawings
from tui.draw.glyphs import FULL, SETS
from tui.draw.palette import DARK, PALETTES, Palette
from tui.opening import open_plant
from tui.orders import Begin
from tui.runner import Opener, Runner, Stage
from tui.screens.bench import BenchScreen
from tui.screens.dialogs import DIALOG_CSS
from tui.themes import THEMES


class BenchApp(App[int]):
    """One bench on one terminal."""

    TITLE = "Rimebench"
    CSS = DIALOG_CSS
    BINDINGS: list[BindingType] = [Binding("exclamation_mark", "emergency_stop", "Emergency stop HS-0", show=False, priority=True)]  # type: ignore[misc] # noqa: RUF012  # fmt: skip

    def __init__(self, begin: Begin, opener: Opener = open_plant, *, drawings: Mapping[str, Drawing] | None = None, instructor: bool = False, palette: Palette = DARK, cautions: bool = True, glyphs: str = "", assessed: bool = False) -> None:  # fmt: skip
        super().__init__()
        self.palette = palette
        begin = replace(begin, instructor=instructor)
        self.runner = Runner(opener, begin)
        self._cautions = cautions
        chosen = SETS.get(glyphs or os.environ.get("RIMEBENCH_GLYPHS", ""), FULL)
        if drawings is None:
            drawings = load_drawings(find_rig(begin.rig).folder)
        self.bench = BenchScreen(
            self.runner,
            drawings,
            begin,
            instructor=instructor and not assessed,
            glyphs=chosen,
            assessed=assessed,
        )
        for theme in THEMES:
            self.register_theme(theme)
        self.theme = palette.name

    def on_mount(self) -> None:
        """Show the bench at once; the plant gets ready behind it."""
        self.push_screen(self.bench)
        if self._cautions:
            self.call_after_refresh(self.bench.first_cautions)

    def on_unmount(self) -> None:
        """Let the thread end."""
        self.runner.stop()

    def next_palette(self) -> Palette:
        """Go to the next palette."""
        names = list(PALETTES)
        self.palette = PALETTES[names[(names.index(self.palette.name) + 1) % len(names)]]
        self.theme = self.palette.name
        return self.palette

    def action_emergency_stop(self) -> None:
        """From any dialog."""
        self.bench.emergency_stop()

    def on_app_focus(self) -> None:
        """Somebody looks again."""
        self.bench.clock.away = False

    def on_app_blur(self) -> None:
        """Nobody looks: fewer frames."""
        self.bench.clock.away = True

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """The command palette: every command, then every part."""
        shown = [one for one in COMMANDS if one.group != BOARD_GROUP or self.bench.begin.instructor]
        for command in shown:
            yield SystemCommand(f"{command.title} ({command.shown_key})", command.help, lambda name=command.name: self.bench.action_command(name))  # fmt: skip
        for tag, info in self.bench.scene.tags.items():
            yield SystemCommand(f"{tag} {info.what}", "Select this part and open its card.", lambda tag=tag: self._to_part(tag))  # fmt: skip

    def _to_part(self, tag: str) -> None:
        self.bench.desk.selected = tag.partition(".")[0]
        self.bench.action_command("card")


def run(
    rig: str = "fennick_bench",
    start: Literal["off", "steady"] = "off",
    device: str | None = None,
    room_c: float | None = None,
    load: str | None = None,
    instructor: bool = False,
    assessed: bool = False,
) -> int:
    """Open the bench on this terminal; returns the exit code. A rig that cannot be read raises InputError."""
    begin = Begin(rig=rig, start=start, device=device, room_c=room_c, load=load)
    app = BenchApp(begin, instructor=instructor, assessed=assessed)
    code = app.run()
    if app.runner.latest.stage is Stage.FAILED:
        return 3
    return code or 0

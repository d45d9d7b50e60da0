"""The app: palettes, the runner, the bench's screen. ``run`` is the way in."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import ClassVar, Literal

from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.command import Provider
from textual.filter import ANSIToTruecolor, LineFilter
from textual.screen import Screen

from sim.rig_find import find_rig
from tui.board_commands import BOARD_GROUP
from tui.commands import COMMANDS
from tui.draw.drawing import Drawing, load_drawings
from tui.draw.glyphs import ASCII, FULL, SETS
from tui.draw.holds import choices_of
from tui.draw.palette import DARK, MONO, PALETTES, Palette
from tui.draw.symbols import STOP_TAG
from tui.opening import open_plant
from tui.orders import Begin
from tui.part_card import what_is
from tui.runner import Opener, Runner, Stage
from tui.screens.bench import BenchScreen
from tui.screens.dialogs import DIALOG_CSS
from tui.screens.every_command import OF_EVERY_PART, EveryCommand
from tui.session.endings import Endings
from tui.session.kept import Kept, opened
from tui.session.stray_bytes import survive
from tui.themes import THEMES
from tui.views.plain_letters import PlainLetters

PLAIN_LETTERS = PlainLetters()


class BenchApp(App[int]):
    """One bench on one terminal."""

    TITLE = "Rimebench"
    CSS = DIALOG_CSS
    BINDINGS: list[BindingType] = [Binding("exclamation_mark", "emergency_stop", f"Emergency stop {STOP_TAG}", show=False, priority=True)]  # type: ignore[misc] # noqa: RUF012  # fmt: skip

    def __init__(self, begin: Begin, opener: Opener = open_plant, *, drawings: Mapping[str, Drawing] | None = None, instructor: bool = False, palette: Palette = DARK, cautions: bool = True, glyphs: str = "", kept: Kept | None = None, assessed: bool = False) -> None:  # fmt: skip
        survive()
        super().__init__()
        self.palette = palette
        begin = replace(begin, instructor=instructor and not assessed, assessed=assessed)
        self.runner = Runner(opener, replace(begin, first_pace=0) if cautions else begin)
        self._cautions = cautions
        self.kept = kept if kept is not None else Kept()
        self.left = False
        """The person has left: nothing needs to be kept any more."""
        chosen = SETS.get(glyphs or os.environ.get("RIMEBENCH_GLYPHS", ""), FULL)
        if drawings is None:
            drawings = load_drawings(find_rig(begin.rig).folder)
        self.bench = BenchScreen(
            self.runner,
            drawings,
            begin,
            instructor=instructor and not assessed,
            glyphs=chosen,
            kept=self.kept,
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
        else:
            self.call_after_refresh(self.bench.begin_session)
        self.use_motion(self.kept.settings.screen.reduced_motion)
        if self.kept.keeper is not None:
            Endings(self).watch()

    def on_unmount(self) -> None:
        """Let the thread end; a clean end leaves no autosave."""
        self.runner.stop()
        if self.left and self.kept.keeper is not None:
            self.kept.keeper.close()

    def use_motion(self, reduced: bool) -> None:
        """Dialogs slide, or do not."""
        self.animation_level = "none" if reduced else "full"

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Dialogs keep to ASCII where the board does. The board's own inks are true colours; looking for others in them costs a twentieth of a frame."""
        filters = super().get_line_filters()
        if self.screen is self.bench:
            filters = [one for one in filters if not isinstance(one, ANSIToTruecolor)]
        return [*filters, PLAIN_LETTERS] if self.bench.board.glyphs is ASCII else filters

    def next_palette(self) -> Palette:
        """Go to the next palette."""
        names = list(PALETTES)
        return self.use_palette(PALETTES[names[(names.index(self.palette.name) + 1) % len(names)]])

    def use_palette(self, palette: Palette) -> Palette:
        """A palette, for board and dialogs."""
        self.palette, self.theme = palette, palette.name
        return palette

    def action_emergency_stop(self) -> None:
        """From any dialog."""
        self.bench.action_command("emergency_stop")

    async def action_quit(self) -> None:
        """Ctrl+Q, from any dialog: leaving as with q, so that no autosave stays behind."""
        self.bench.action_command("quit")

    def action_command_palette(self) -> None:
        """The list of all commands and parts, at the bench only: a dialog wants its answer first."""
        if self.screen is self.bench:
            super().action_command_palette()

    def on_app_focus(self) -> None:
        """Somebody looks again."""
        self.bench.clock.away = False

    def on_app_blur(self) -> None:
        """Nobody looks: fewer frames."""
        self.bench.clock.away = True

    COMMANDS: ClassVar[set[type[Provider] | Callable[[], type[Provider]]]] = {EveryCommand}

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """The command palette: every command, then every part."""
        shown = [one for one in COMMANDS if one.group != BOARD_GROUP or self.bench.begin.instructor]
        for command in shown:
            yield SystemCommand(f"{command.title} ({command.shown_key})", command.help, lambda name=command.name: self.bench.action_command(name))  # fmt: skip
        for tag, info in self.bench.scene.tags.items():
            yield SystemCommand(f"{tag} {info.what}", OF_EVERY_PART, lambda tag=tag: self._to_part(tag))  # fmt: skip
        drawing = self.bench.board.drawing
        moved = {tag.partition(".")[0] for tag in self.bench.scene.tags}
        for hold in choices_of(drawing) if drawing is not None else ():
            if hold.tag not in moved:
                what = what_is(self.bench.scene, drawing, hold.tag)
                yield SystemCommand(f"{hold.tag} {what}", "Select it and open its card.", lambda tag=hold.tag: self._to_part(tag))  # fmt: skip

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
    """Open the bench on this terminal; returns the exit code, not 0 when the app itself broke off. A rig that cannot be read raises InputError."""
    begin = Begin(rig=rig, start=start, device=device, room_c=room_c, load=load)
    kept = opened()
    kept.offers_tour = True
    screen = kept.settings.screen
    glyphs = os.environ.get("RIMEBENCH_GLYPHS") or screen.characters
    palette = MONO if os.environ.get("NO_COLOR") else PALETTES[screen.theme]
    app = BenchApp(begin, instructor=instructor, palette=palette, glyphs=glyphs, kept=kept, assessed=assessed)  # fmt: skip
    if load is not None:
        kept.notebook.open(Path(load))
    code = app.run()
    if app.runner.latest.stage is Stage.FAILED:
        return 3
    return code or app.return_code or 0

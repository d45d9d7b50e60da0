"""What the bench's screen does about what lasts: notes, reading sets, exports, settings, autosave, going on after a session that broke off."""

from __future__ import annotations

import time
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from sim.units import Family
from tui.draw.lists import clock_words
from tui.draw.palette import PALETTES
from tui.orders import Keep
from tui.runner import Report, Stage
from tui.screens.dialogs import Ask, AskText, Page
from tui.screens.session_dialogs import AskFile, SettingsDialog
from tui.session.autosave import NEWEST, OF_ANOTHER, Left
from tui.session.kept import Kept, units_of
from tui.session.log import as_csv, as_parquet
from tui.session.notebook import beside, unwritten_words
from tui.session.settings import Settings
from tui.session.writing import NotWrittenError, free_name, put_in_place
from tui.working import answer_cells, held_of

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

COLUMNS = 3
"""Reading sets side by side in the notebook's dialog."""
WITH_CYCLE = " with the cycle"
EXPORTS = {
    "report": ("Bench report: one HTML file to read and print", "report.html"),
    "csv": ("Log of this session: CSV, SI units", "log.csv"),
    "parquet": ("Log of this session: Parquet, SI units", "log.parquet"),
    "chart": (f"Chart of states{WITH_CYCLE}, p-h or T-s as it is up: SVG", "chart.svg"),
    "trend": ("Trends, all that are up, with marks of events: SVG", "trend.svg"),
    "screen": ("The screen as it stands: SVG", "screen.svg"),
}
"""Kind -> (words, proposed name)."""
NO_PARQUET = "Parquet needs the optional part: pip install 'rimebench[parquet]'. CSV works without."


LEAVING = "Bench, trend and log end with the session. On a real plant one would stop it first."


class AtSession:
    """Mixed into ``BenchScreen``."""

    kept: Kept
    _kept_stamp: tuple[object, ...] = ()
    _told_trouble = False
    _preset: Family = "si"
    _saving: tuple[int, str] = (0, "")
    _taking_up: Left | None = None

    def _mine(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    # The beginning.

    def begin_session(self) -> None:
        """After the first cautions: mistakes in the settings, then what an earlier session has left."""
        me, file = self._mine(), self.kept.file
        if self.kept.keeper is not None:
            me.set_interval(self.kept.keeper.every_s, self.autosave)
        if file is not None and file.told:
            lines = [*file.told, "", "The defaults hold until that is mended; the file is left as it is."]  # fmt: skip
            me.app.push_screen(Page("The settings have mistakes", lines), lambda _: self._offer_left())  # fmt: skip
        else:
            self._offer_left()

    def _offer_left(self) -> None:
        me, left, keeper = self._mine(), self.kept.left, self.kept.keeper
        if left is not None and left.assessed and me.begin.instructor:
            left.lock.release()
            self.kept.left = left = None
            me.notice(OF_ANOTHER)
        if left is None or keeper is None:
            me.all_read()
            me.offer_tour()
            return
        answers = (("go", "Go on where it broke off"), ("later", "Not now: ask again at the next start"), ("no", "No: remove what was kept"))  # fmt: skip

        def answered(answer: str | None) -> None:
            self.kept.left = None
            if answer == "go":
                self._take_up(left)
            elif answer == "no":
                left.remove()
            else:
                left.lock.release()
            me.all_read()
            me.offer_tour()

        me.app.push_screen(Ask("A session broke off", [left.words], answers, topic="left"), answered)  # fmt: skip

    def _take_up(self, left: Left) -> None:
        me = self._mine()
        me.unread = False
        me.open_anew(replace(me.begin, load=str(left.bench)))
        self._taking_up = left

    def _taken_up(self, report: Report) -> None:
        """What was left is this session's only when it has opened: a damaged save gives way to the one before it, and nothing is removed."""
        me, left, keeper = self._mine(), self._taking_up, self.kept.keeper
        if left is None or keeper is None or report.applied < me.begun or report.stage is Stage.PREPARING:  # fmt: skip
            return
        self._taking_up = None
        if report.stage is not Stage.FAILED:
            keeper.adopt(left)
            self.kept.notebook.load(beside(left.folder / NEWEST))
        elif left.older is not None:
            me.failure_shown = report.detail
            self._take_up(replace(left, bench=left.older))
            me.notice("the newest save is damaged: going on from the one before it")
        else:
            me.failure_shown = ""
            left.lock.release()

    # Settings.

    def use_settings(self, settings: Settings) -> str:
        """Let them hold from now on, and keep them. Returns a sentence when they could not be kept."""
        me, old = self._mine(), self.kept.settings
        self.kept.settings = settings
        me.desk.units = units_of(settings.units, me.report.units)
        me.clock.chosen = float(settings.screen.frames_per_s)
        if settings.screen.theme != old.screen.theme:
            me.view.use(me.bench_app.use_palette(PALETTES[settings.screen.theme]))
        if settings.screen.characters != old.screen.characters:
            me.use_glyphs(settings.screen.characters)
        if settings.screen.pipes != old.screen.pipes:
            me.scene.by_side = settings.screen.pipes == "side"
        me.bench_app.use_motion(settings.screen.reduced_motion)
        me.changed()
        return self.kept.file.write(settings) if self.kept.file is not None else ""

    def next_pipe_colours(self) -> None:
        """What the pipes' colours say: temperature, or side; for this session."""
        me = self._mine()
        me.scene.by_side = not me.scene.by_side
        me.notice(f"pipes coloured by {'side: high or low pressure' if me.scene.by_side else 'temperature'}")  # fmt: skip

    def use_preset(self, family: Family) -> None:
        """A rig's own units, for who has not chosen; a key pressed since then stays."""
        units = self.kept.settings.units
        if units.system == "rig" and family != self._preset:
            self._preset = family
            self._mine().desk.units = units_of(units, family)

    def show_settings(self) -> None:
        """The dialog."""
        file = self.kept.file
        where = f"Kept in {file.path}" if file is not None else ""
        self._mine().app.push_screen(SettingsDialog(self.kept.settings, self.use_settings, where))

    # Notebook.

    def write_note(self) -> None:
        """Ask for a line and keep it."""
        me = self._mine()
        time_s = me.report.snapshot.time_s if me.report.snapshot is not None else 0.0

        def answered(text: str | None) -> None:
            if text:
                note = self.kept.notebook.write(time_s, text)
                me.notice(f"noted: {note.text}")

        me.app.push_screen(AskText(f"Note at {clock_words(time_s)}", [], ""), answered)

    def take_readings(self) -> None:
        """Keep what the instruments show."""
        me = self._mine()
        if me.report.snapshot is not None:
            from tui.session.report import shown_readings

            taken = self.kept.notebook.take(me.report.snapshot.time_s, shown_readings(me.scene), held_of(me.report.snapshot, me.scene.atmosphere_pa))  # fmt: skip
            me.notice(f"reading set {len(self.kept.notebook.sets)} taken: {len(taken.values)} values; L shows it")  # fmt: skip

    def show_notebook(self) -> None:
        """Notes, then the newest reading sets side by side, then own results."""
        me, book = self._mine(), self.kept.notebook
        lines = [f"{clock_words(note.time_s)}  {note.text}" for note in book.notes] or ["no notes yet (N)"]  # fmt: skip
        rows = book.compared(COLUMNS) if book.sets else []
        lines += ["", f"The newest of {len(book.sets)} reading sets" if len(book.sets) > COLUMNS else "Reading sets"]  # fmt: skip
        lines += [f"{row[0][:25]:<26}" + "".join(f"{cell:>15}" for cell in row[1:]) for row in rows] or ["none yet (R)"]  # fmt: skip
        for number, one in enumerate(book.sets, start=1):
            if one.answers and one.held is not None:
                lines += ["", f"Own results from set {number}, {clock_words(one.time_s)}"]
                lines += ["  ".join(filter(None, answer_cells(answer, one.held, me.desk.units))) for answer in one.answers]  # fmt: skip
        me.app.push_screen(Page("Notebook", lines))

    # Files.

    def save(self) -> None:
        """Ask where to, and save bench and notes."""
        me = self._mine()

        def answered(typed: str | None) -> None:
            if not typed:
                return
            path = Path(typed)

            def keep(bench: Any) -> None:
                bench.save(path)
                self.kept.notebook.save(beside(path))
                self.kept.notebook.mark_written()

            self._saving = (me.runner.send(Keep(keep=keep)), typed)

        lines = ["File to write; open it again with --load. Notes go into a file beside it."]
        me.app.push_screen(AskFile("Save the bench", lines, str(free_name(Path("bench.rime"))), topic="save"), answered)  # fmt: skip

    def export(self) -> None:
        """Ask what, then where to."""
        answers = [("", "Leave"), *((kind, self._file_words(kind)) for kind in EXPORTS)]
        self._mine().app.push_screen(Ask("Export", [], answers, topic="export"), self._export_chosen)  # fmt: skip

    def _file_words(self, kind: str) -> str:
        """What a file holds; an assessed session's chart has no cycle."""
        words, _ = EXPORTS[kind]
        return words.replace(WITH_CYCLE, "") if self._mine().assessed else words

    def _export_chosen(self, kind: str | None) -> None:
        me = self._mine()
        if not kind:
            return
        words, name = self._file_words(kind), EXPORTS[kind][1]
        try:
            content = self._content(kind)
        except ImportError:
            me.notice(NO_PARQUET)
            return

        def answered(typed: str | None) -> None:
            if typed:
                try:
                    put_in_place(Path(typed), content)
                    if kind == "report":
                        self.kept.notebook.mark_written()
                    me.notice(f"written: {typed}")
                except NotWrittenError as error:
                    me.notice(str(error))

        me.app.push_screen(AskFile("Export", [words], str(free_name(Path(name)))), answered)

    def _content(self, kind: str) -> bytes:
        """The file's bytes. Raises ImportError when Parquet is not installed. What draws on paper is loaded when somebody wants it: the first picture waits for nothing else."""
        me = self._mine()
        if kind in ("csv", "parquet"):
            table = self.kept.log.table(me.desk.instructor)
            return as_csv(table) if kind == "csv" else as_parquet(table)
        from tui.session import report, screen_picture, state_picture, trend_picture

        trending, paths = me.trending_shown, me.board.chart.paths
        if kind == "chart":
            return state_picture.state_chart(me.scene, me.history, paths).encode()
        if kind == "trend":
            chosen = trend_picture.sets_up(trending)
            return trend_picture.trends(me.scene, me.history, trending, chosen).encode()
        if kind == "screen":
            return screen_picture.screen(me.view.canvas, me.bench_app.palette).encode()
        written_on = time.strftime("Written on %Y-%m-%d at %H:%M")
        return report.report(me.scene, me.history, self.kept.notebook, me.begin.rig, trending, written_on, paths).encode()  # fmt: skip

    # Autosave.

    def autosave(self) -> int:
        """Keep the bench if something has changed. Returns the order's number, 0 for none."""
        me, keeper, report = self._mine(), self.kept.keeper, self._mine().runner.latest
        if keeper is None or report.snapshot is None or report.stage not in (Stage.RUNNING, Stage.HELD):  # fmt: skip
            return 0
        stamp = (report.snapshot.time_s, dict(report.snapshot.commands), self.kept.notebook.changes)
        if stamp == self._kept_stamp:
            return 0
        self._kept_stamp = stamp
        return me.runner.send(Keep(keep=keeper.keep))

    def tell_session(self, report: Report) -> None:
        """What became of a save; an autosave that fails is told once."""
        me, keeper = self._mine(), self.kept.keeper
        self._taken_up(report)
        number, path = self._saving
        if number and report.applied >= number:
            self._saving = (0, "")
            if report.refused is None or report.refused.number != number:
                me.notice(f"saved to {path}")
        if keeper is not None and keeper.trouble and not self._told_trouble:
            self._told_trouble = True
            me.notice(keeper.words)

    # Leaving.

    def ask_leave(self) -> None:
        """Leave the program; while the compressor runs, or with notes that are not saved, only after a question."""
        me, noted = self._mine(), self.kept.notebook.unwritten
        running = me.report.snapshot is not None and me.report.snapshot.running
        if not running and not noted:
            self.leave()
            return
        lines = [LEAVING] if running else []
        lines += [unwritten_words(noted)] if noted else []
        heading = "Leave while the compressor runs?" if running else "Leave the notebook behind?"
        answers = (("", "Stay"), ("leave", "Leave; nothing of this is kept"), ("save", "Save the bench, with its notebook, first (w)"))  # fmt: skip
        me.app.push_screen(Ask(heading, lines, answers, topic="leave"), self._leave_answered)

    def _leave_answered(self, answer: str | None) -> None:
        if answer == "leave":
            self.leave()
        elif answer == "save":
            self._mine().action_command("save")

    def leave(self) -> None:
        """Leave the program."""
        me = self._mine()
        me.bench_app.left = True
        me.app.exit(1 if me.report.stage is Stage.FAILED else 0)

"""What the bench's screen does for a command when it has to ask, warn or explain first. A little over 300 lines: one errand after the other, none long."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from sim.units import from_si, screen_unit, to_si
from tui.assessed import ONE_BENCH, refused
from tui.cautions import all_lines, asked_before, first_run_lines, of_events
from tui.desk import Direction, nudged, pressed_stop, toggled, turned
from tui.draw.layout import View
from tui.draw.symbols import STOP_TAG
from tui.orders import Begin, Pace, Repair, SetTag
from tui.part_card import card_of
from tui.plant import Setting, TagInfo
from tui.runner import Report, Stage
from tui.screens.answers import LOOK, STARTS, setting_answers
from tui.screens.dialogs import Ask, AskNumber, Page
from tui.screens.says import alarm_words
from tui.words import end_words, quantity_of, setting_words

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

NO_ALARM = "nothing has tripped"
LETTERS_HINT = "type the letters of a part; escape leaves"


class Errands:
    """Mixed into ``BenchScreen``."""

    def _me(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def _class(self) -> str:
        fluid = self._me().report.fluid
        return fluid.safety_class if fluid is not None else ""

    # Parts.

    def move(self, direction: Direction) -> None:
        """Select the nearest part in a direction."""
        me = self._me()
        if me.at_board:
            me.move_at_board(direction)
        elif me.at_wiring:
            me.move_at_wiring(direction)
        elif me.at_working:
            me.step_at_working({"up": -1, "down": 1}.get(direction, 0))
        elif me.at_chart:
            me.desk.charting.move(direction)
        elif me.at_trend:
            me.move_at_trend(direction)
        elif me.board.drawing is not None:
            me.desk.selected = me.desk.neighbour(me.board.drawing, direction)

    def step_part(self, step: int) -> None:
        """Select the next or the previous part."""
        me = self._me()
        if me.at_board:
            me.faults.searching = False
            me.faults.next_field(me.faults.entry(me.report.entries), step)
        elif me.at_wiring:
            me.step_at_wiring(step)
        elif me.board.drawing is not None:
            me.desk.selected = me.desk.following(me.board.drawing, step)

    def jump(self) -> None:
        """Show letters, or take them away."""
        me = self._me()
        if me.desk.letters:
            me.desk.letters = {}
            me.notice("")
        elif me.board.drawing is not None:
            me.desk.label_letters(me.board.drawing)
            me.notice(LETTERS_HINT)

    def take_letter(self, key: str) -> None:
        """A key while letters are shown."""
        me = self._me()
        found = [tag for tag, letter in me.desk.letters.items() if letter.startswith(key)]
        if len(found) > 1:
            me.desk.letters = {tag: me.desk.letters[tag][len(key) :] for tag in found}
            me.changed()
            return
        me.desk.letters = {}
        if found:
            me.desk.selected = found[0]
        me.notice("")

    def act(self) -> None:
        """Work the selected part, or open its card when there is something to choose."""
        me = self._me()
        if me.at_board:
            me.insert_fault()
            return
        if me.at_working:
            me.ask_own()
            return
        tag = me.desk.selected
        info = me.scene.tags.get(tag)
        value = toggled(info, me.aimed(tag)) if info is not None else None
        if value is None:
            self.open_card()
        else:
            self.set_tag(tag, value)

    def nudge(self, steps: int) -> None:
        """A step up or down on the selected part; at the trends the time is stretched."""
        me = self._me()
        if me.at_board:
            me.change_at_board(steps)
            return
        if me.at_trend:
            me.zoom(steps)
            return
        tag = me.desk.selected
        info = turned(tag, me.scene.tags)
        if info is None:
            me.notice(f"{tag} has nothing to turn")
            return
        now = me.aimed(info.tag)
        value = nudged(info, now, steps)
        if value is None or value == now:
            me.notice(end_words(info, now, steps, me.desk.units))
        else:
            self.set_tag(info.tag, value)

    def set_tag(self, tag: str, value: Setting) -> None:
        """Set a tag; read the cautions first where an act needs them."""
        me = self._me()
        snapshot = me.report.snapshot
        if snapshot is None:
            return
        guarded = tag in me.report.guarded
        asked = asked_before(tag, value, snapshot, me.report, guarded=guarded, safety_class=self._class, units=me.desk.units)  # fmt: skip
        if not asked.lines:
            self._do(tag, value)
            return

        def answered(answer: str | None) -> None:
            if answer == "do":
                self._do(tag, value)
            elif answer == "ahead":
                me.look_ahead((tag, value), asked.against)

        act = f"lift the guard and turn {tag}" if guarded else f"set {tag}"
        act = f"I have read this: {act} all the same" if asked.warns else f"{act[0].upper()}{act[1:]}"  # fmt: skip
        answers = [("leave", "Leave it as it is"), ("do", act)]
        answers += [] if me.assessed else [("ahead", "Look ten minutes ahead on a copy first")]
        me.app.push_screen(Ask(f"Before you set {tag}", asked.lines, answers, danger=asked.warns, topic="before"), answered)  # fmt: skip

    def _do(self, tag: str, value: Setting) -> None:
        me = self._me()
        me.put(tag, value)
        if me.report.stage is Stage.HELD:
            words = setting_words(me.scene.tags.get(tag), tag, value, me.desk.units)
            me.notice(
                f"held: {tag} {words} is set; what follows shows when the plant goes on (space)"
            )

    def open_card(self, happened: str = "") -> None:
        """The card of the selected part: settings, cautions; those too of the kind of event that leads there."""
        me = self._me()
        if me.at_board:
            me.fault_card()
            return
        tag = me.desk.selected
        card = card_of(tag, me.scene, me.board.drawing, me.report, self._class)
        answers = [("", "Leave")]
        for info in card.settings:
            answers += setting_answers(info, me.scene.setting(info.tag))
        answers.append((LOOK, "Look, listen, touch"))
        also = [line for line in of_events([happened]) if line not in card.lines]
        me.app.push_screen(Ask(card.title, [*card.lines, *also], answers, topic="card"), self._card_answered)  # fmt: skip

    def show_alarm(self, tag: str = "") -> None:
        """The card of what has tripped: what it is, what to look at first, its reset."""
        me = self._me()
        tags = [words.partition(" ")[0] for words in alarm_words(me.report)]
        if not tags:
            me.notice(NO_ALARM)
            return
        me.desk.show(View.PLANT)
        me.desk.selected = tag or tags[0]
        self.open_card("trip")

    def _card_answered(self, answer: str | None) -> None:
        me = self._me()
        if not answer:
            return
        tag, _, choice = answer.partition("=")
        info = me.scene.tags[tag]
        if choice == "number":
            self._ask_number(info)
        elif choice == "choose":
            answers = [("", "Leave"), *((f"{tag}={name}", name.replace("_", " ")) for name in info.choices)]  # fmt: skip
            me.app.push_screen(Ask(info.tag, [info.what], answers, topic="choices"), self._card_answered)  # fmt: skip
        elif choice in info.choices:
            if choice == me.scene.setting(tag):
                me.notice(f"{tag} stands at {choice} already")
            else:
                self.set_tag(tag, choice)
        else:
            self.set_tag(tag, float(choice))

    def _ask_number(self, info: TagInfo) -> None:
        me = self._me()
        quantity = quantity_of(info)
        atmosphere = me.scene.atmosphere_pa
        unit = screen_unit(quantity, me.desk.units.system)
        low, high, now = (
            from_si(float(limit), unit, atmosphere) if quantity else float(limit)
            for limit in (
                info.low or 0.0,
                info.high or 0.0,
                float(me.scene.setting(info.tag) or 0.0),
            )
        )

        def answered(number: float | None) -> None:
            if number is not None:
                self.set_tag(info.tag, to_si(number, unit, atmosphere) if quantity else number)

        what = info.what.rpartition(", ")[0] if quantity else info.what  # its unit is the screen's
        words = f"{what}, from {low:g} to {high:g} {unit.symbol if quantity else ''}".rstrip()
        me.app.push_screen(AskNumber(info.tag, [words], round(now, 4), round(low, 4), round(high, 4)), answered)  # fmt: skip

    # The plant as a whole.

    def emergency_stop(self) -> None:
        """Press it. Never asks."""
        me = self._me()
        info = me.scene.tags.get(STOP_TAG)
        if info is None:
            me.notice("the plant is not ready; nothing turns yet")
            return
        value = pressed_stop(info)
        if me.desk.on_fork:
            me.order(SetTag(tag=STOP_TAG, value=value))
        me.put(STOP_TAG, value)
        if me.aimed_pace() > 1:  # what follows wants to be seen
            me.send(Pace(pace=1))
            me.pace_is(1)
        me.pace_before = 1
        me.notice(f"{STOP_TAG} pressed. Find the cause; fans may start when it is released.")

    def repair(self) -> None:
        """Mend the selected part."""
        me = self._me()
        me.send(Repair(tag=me.desk.selected))

    def begin_again(self) -> None:
        """Ask how, and begin again."""
        me = self._me()
        if me.assessed and me.report.stage is not Stage.FAILED:
            me.notice(refused(ONE_BENCH))
            return

        def answered(answer: str | None) -> None:
            if answer == "again":
                me.open_anew(me.begin)
            elif answer:
                start, _, device = answer.partition(":")
                me.open_anew(Begin(rig=me.begin.rig, start=start, device=device or None, room_c=me.begin.room_c))  # type: ignore[arg-type]  # fmt: skip

        answers = [("", "Leave it running"), *STARTS]
        me.app.push_screen(Ask("Begin again", ["What runs now is given up; save it first (w) if you need it."], answers, topic="begin"), answered)  # fmt: skip

    # Views and texts.

    def next_units(self) -> None:
        """The next choice of units."""
        me = self._me()
        me.notice(f"units: {me.desk.next_units().words}")

    def next_theme(self) -> None:
        """The next palette."""
        me = self._me()
        palette = me.bench_app.next_palette()
        me.view.use(palette)
        me.notice(f"colours: {palette.name}")

    def show_cautions(self) -> None:
        """All cautions."""
        self.show_page("Cautions", all_lines(self._class))

    def show_page(self, title: str, lines: Sequence[str]) -> None:
        """A page to read."""
        self._me().app.push_screen(Page(title, lines))

    def first_cautions(self) -> None:
        """What has to be read before the first start of a session; the plant's time begins after that."""
        me = self._me()
        me.unread = True
        answers = (("agree", "I have read this: to the bench"), ("leave", "Leave the program"))

        def answered(answer: str | None) -> None:
            if answer != "agree":
                self._me().leave()
            else:
                me.begin_session()

        me.app.push_screen(Ask("Before the first start of this session", first_run_lines(), answers, danger=True, topic="first"), answered)  # fmt: skip

    def _tell(self, report: Report) -> None:
        """Refusals and failures reach the person once."""
        me = self._me()
        me.tell_session(report)
        refused = report.refused
        if refused is not None and refused.number not in me.told:
            me.told.add(refused.number)
            me.notice(f"{refused.tag}: {refused.reason}".lstrip(": "))
        if report.stage is Stage.FAILED and report.detail != me.failure_shown:
            me.failure_shown = report.detail
            heading = "The bench could not be opened" if report.snapshot is None else "The plant could not be computed"  # fmt: skip
            answers = (("off", "Begin again, cold"), ("detail", "Show what the program says"), ("leave", "Leave the program"))  # fmt: skip
            me.app.push_screen(Ask(heading, [report.failure], answers, danger=True, topic="failure"), self._after_failure)  # fmt: skip

    def _after_failure(self, answer: str | None) -> None:
        me = self._me()
        if answer == "detail":
            me.app.push_screen(Page("What the program says", me.report.detail.splitlines()))
        elif answer == "off":
            me.open_anew(Begin(rig=me.begin.rig, room_c=me.begin.room_c))
        elif answer == "leave":
            self._me().leave()

"""What the bench's screen does at the fault board: search, choose, put in, take out, undo, hide."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual import events

from tui.assessed import NO_TRUTH, refused
from tui.cautions import lines_of
from tui.desk import Direction
from tui.draw.fault_board import HIDDEN, LEARNER, PIN_WORDS, FaultFrame, real_rig_words
from tui.draw.layout import View
from tui.faults import Entry
from tui.orders import RemoveFault
from tui.screens.dialogs import AskText, Page

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

ELSEWHERE = "this is done at the fault board: view 8"
NOT_OPENED = "the instructor's view opens with: rimebench --instructor"
STOP_KEYS = ("0", "exclamation_mark")
"""Press the emergency stop also while words are typed."""
HELP_KEYS = ("question_mark", "f1")
NO_WORDS = (*STOP_KEYS, *HELP_KEYS)
"""Work while faults are searched and while letters stand at the parts: none of them is part of a name."""


class AtBoard:
    """Mixed into ``BenchScreen``."""

    def _board(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    @property
    def at_board(self) -> bool:
        """True when the fault board is open before the instructor."""
        me = self._board()
        return me.desk.view is View.BOARD and me.desk.instructor and bool(me.report.entries)

    @property
    def _entry(self) -> Entry | None:
        me = self._board()
        return me.faults.entry(me.report.entries)

    def faults_frame(self) -> FaultFrame:
        """The board for this frame; nothing of it before a learner."""
        me = self._board()
        if not me.desk.instructor or not me.report.entries:
            return FaultFrame(me.faults, shut=HIDDEN if me.report.entries else LEARNER)
        entry = self._entry
        cautions = lines_of(entry.cautions) if entry is not None else []
        return FaultFrame(me.faults, me.report.entries, me.report.faults, cautions)

    # Choosing.

    def move_at_board(self, direction: Direction) -> None:
        """Up and down go through the list, or from one choice to the next; left and right change what has the focus."""
        me = self._board()
        if direction in ("left", "right"):
            self.change_at_board(1 if direction == "right" else -1)
        elif me.faults.focus == "fault":
            me.faults.step(me.report.entries, 1 if direction == "down" else -1)
        else:
            me.faults.next_field(self._entry, 1 if direction == "down" else -1)

    def change_at_board(self, steps: int, name: str = "") -> None:
        """A step on what has the focus; in the list on the severity."""
        me, entry = self._board(), self._entry
        if entry is not None:
            me.faults.change(entry, name or me.faults.focus, steps)

    def turn_at_board(self, rows: int) -> None:
        """The wheel goes through the list, or turns what has the focus."""
        me = self._board()
        if not self.at_board:
            return
        if me.faults.focus == "fault":
            me.faults.step(me.report.entries, rows)
        else:
            self.change_at_board(-rows)
        me.changed()

    def search_faults(self) -> None:
        """Letters go into the search from now on."""
        me = self._board()
        if self._elsewhere():
            return
        me.faults.searching, me.faults.focus = True, "fault"

    def type_search(self, event: events.Key) -> bool:
        """A key while searching. False: it is not for the search."""
        me, desk = self._board(), self._board().faults
        key, sign = event.key, event.character or ""
        if key in NO_WORDS:
            return False
        if key == "escape":
            desk.query, desk.searching = "", False
        elif key in ("enter", "tab"):
            desk.searching = False
        elif key == "backspace":
            desk.query = desk.query[:-1]
        elif key in ("up", "down"):
            desk.step(me.report.entries, 1 if key == "down" else -1)
        elif len(sign) == 1 and sign.isprintable():
            desk.query += sign
        else:
            return False
        return True

    def click_at_board(self, act: str) -> None:
        """What a word of the board does when clicked."""
        me = self._board()
        kind, _, rest = act.partition(":")
        was_searching, me.faults.searching = me.faults.searching, False
        if kind == "search" and was_searching:
            me.faults.query = ""
        elif kind == "choose":
            me.faults.choose(rest)
            me.faults.focus = "fault"
        elif kind == "in":
            self._choose_present(rest)
        elif kind == "field":
            me.faults.focus = rest
        elif kind == "severity":
            me.faults.focus, me.faults.severity = "severity", float(rest)
        elif kind in ("less", "more"):
            me.faults.focus = rest
            self.change_at_board(1 if kind == "more" else -1, rest)
        else:
            me.action_command({"insert": "act", "remove": "remove_fault", "undo": "undo_fault", "search": "search_faults", "pin": "hide_board"}.get(kind, kind))  # fmt: skip
        me.changed()

    def _choose_present(self, named: str) -> None:
        """Choose a fault that is in, at its place."""
        me = self._board()
        name, _, place = named.partition("@")
        me.faults.query = ""
        me.faults.choose(name)
        entry = self._entry
        if entry is not None and place in entry.places:
            me.faults.place = entry.places.index(place)

    # Putting in and taking out.

    def insert_fault(self) -> None:
        """Put the chosen fault in."""
        me, entry = self._board(), self._entry
        if entry is None:
            return
        if me.faults.there(entry, me.report.faults) is not None:
            me.notice(f"{entry.name} is in already; take it out first (del)")
            return
        order = me.faults.order(entry)
        me.send(order)
        me.faults.put_in.append((order.name, order.place or ""))
        me.notice(f"put in: {entry.name}")

    def remove_fault(self) -> None:
        """Take the chosen fault out."""
        me, entry = self._board(), self._entry
        if self._elsewhere() or entry is None:
            return
        there = me.faults.there(entry, me.report.faults)
        if there is None:
            me.notice(f"{entry.name} is not in")
            return
        self._take_out(there.name, there.place, f"taken out; way back: {entry.removal}")

    def undo_fault(self) -> None:
        """Take out what was put in last and is still there."""
        me = self._board()
        if self._elsewhere():
            return
        present = {(one.name, one.place) for one in me.report.faults}
        while me.faults.put_in:
            name, place = me.faults.put_in.pop()
            if (name, place) in present:
                self._take_out(name, place, f"undone: {name}")
                return
        me.notice("nothing was put in from here that is still in")

    def _take_out(self, name: str, place: str, words: str) -> None:
        me = self._board()
        me.send(RemoveFault(name=name, place=place or None))
        if (name, place) in me.faults.put_in:
            me.faults.put_in.remove((name, place))
        me.notice(words)

    def fault_card(self) -> None:
        """Everything about the chosen fault."""
        me, entry = self._board(), self._entry
        if entry is None:
            return
        facts = [f"Severity: {entry.severity}", f"Way back: {entry.removal}", f"It leaves: {entry.trace}"]  # fmt: skip
        me.app.push_screen(Page(entry.name, [entry.what, "", real_rig_words(entry), "", *facts, "", *lines_of(entry.cautions)]))  # fmt: skip

    # Hiding.

    def switch_view(self) -> None:
        """Learner or instructor."""
        me = self._board()
        if not me.desk.instructor:
            self.to_instructor()
            return
        me.desk.instructor = False
        me.notice("learner's view: what the instruments show")

    def hide_board(self) -> None:
        """Ask for a PIN and show the learner's view until it is given again."""
        me = self._board()
        if self._elsewhere():
            return

        def answered(pin: str | None) -> None:
            if pin:
                me.faults.pin = pin
                me.desk.instructor = False
                me.notice("hidden; i brings it back with the PIN")

        me.app.push_screen(AskText("Hide the board behind a PIN", [PIN_WORDS], "", secret=True, topic="pin"), answered)  # fmt: skip

    def to_instructor(self) -> None:
        """The instructor's view, when this session was opened as one and the PIN is right."""
        me = self._board()
        if me.assessed:
            me.notice(refused(NO_TRUTH))
            return
        if not me.begin.instructor:
            me.notice(NOT_OPENED)
            return
        if not me.faults.pin:
            self._show_truth()
            return

        def answered(pin: str | None) -> None:
            if pin == me.faults.pin:
                me.faults.pin = ""
                self._show_truth()
            elif pin:
                me.notice("that is another PIN")

        me.app.push_screen(AskText("PIN", [PIN_WORDS], "", secret=True, topic="pin"), answered)  # fmt: skip

    def _show_truth(self) -> None:
        me = self._board()
        me.desk.instructor = True
        me.notice("instructor's view: truth beside instruments")

    def _elsewhere(self) -> bool:
        """Says so and returns True when the board is not open."""
        if self.at_board:
            return False
        me = self._board()
        me.notice(ELSEWHERE if me.begin.instructor else NOT_OPENED)
        return True

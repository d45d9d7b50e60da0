"""What the bench's screen does with copies of the bench: one that runs ahead, and one that runs beside it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from tui.assessed import ONE_BENCH, refused
from tui.beside import AheadReport
from tui.cautions import of_events
from tui.draw.layout import View
from tui.draw.lists import clock_words
from tui.draw.side_by_side import PairFrame
from tui.orders import Fork, LookAhead
from tui.plant import Event, Setting, TagInfo
from tui.runner import Report
from tui.screens.dialogs import Ask, AskText
from tui.words import UNIT_CHOICES, setting_words

if TYPE_CHECKING:
    from tui.screens.bench import BenchScreen

DANGER = ("violation", "burst", "slug", "damage", "stall")
"""Kinds of events after which looking ahead is offered."""
READ_AT_ONCE = ("lift", "burst")
PUT_BY = "A plant put by stands still, with all that is in it, until the session ends. A real plant cannot be put by."
OFFER = "a: what would happen in the next ten minutes"
NOT_LOOKED = "So nothing was looked at. The bench stands as you left it."
AGAINST = "Against {act} speaks still, however it ends:"
BACK = "The bench stands as you left it; this is on its record. A plant has no rewind."


class Copies:
    """Mixed into ``BenchScreen``."""

    def _mine(self) -> BenchScreen:
        return self  # type: ignore[return-value]

    def look_ahead(self, first: tuple[str, Setting] | None = None, against: Sequence[str] = ()) -> None:  # fmt: skip
        """Let a copy run ahead in the background, with an act on it; ``against``: what was read before that."""
        me = self._mine()
        if self._not_when_assessed():
            return
        words = act_words(first, me.scene.tags)
        me.ahead_asked = me.order(LookAhead(first=first, words=words, to_fork=me.desk.on_fork))
        me.ahead_with, me.ahead_against = words, tuple(against)
        me.notice(f"a copy{f' with {words}' if words else ''} runs ten minutes ahead; the bench goes on")  # fmt: skip

    def _not_when_assessed(self) -> bool:
        """Says so and returns True when this session knows no copies."""
        me = self._mine()
        if me.assessed:
            me.notice(refused(ONE_BENCH))
        return me.assessed

    def tell_ahead(self, report: Report) -> None:
        """Show what was seen, once, when the copy has come to its end; offer to look after a dangerous act."""
        me = self._mine()
        ahead, refused = report.ahead, report.refused
        if refused is not None and refused.number == me.ahead_asked:
            me.ahead_asked = 0
            if me.ahead_with:
                me.show_page(ahead_title(me.ahead_with), [f"This cannot be done on the copy: {refused.reason}", "", NOT_LOOKED])  # fmt: skip
        if ahead is not None and ahead.seen is not None and ahead.number == me.ahead_asked and ahead.seen.ended:  # fmt: skip
            me.ahead_asked = 0
            lines = ahead_lines(ahead, me.scene.in_units)
            against = [line for line in me.ahead_against if line not in lines]
            if against:
                act = me.scene.in_units(ahead.what)
                lines += [*([""] if lines[-1] else []), AGAINST.format(act=act), *against]
            me.show_page(ahead_title(me.scene.in_units(ahead.what)), lines)
        self._offer(report)

    def _offer(self, report: Report) -> None:
        me = self._mine()
        if report.snapshot is None or report.applied < me.begun:
            me.events_heard = -1  # what a loaded bench did before is no news
            return
        events = report.snapshot.events
        heard, me.events_heard = me.events_heard, len(events)
        if 0 <= heard <= len(events):
            self._warn(events[heard:])
        if me.assessed:
            return
        if 0 <= heard <= len(events) and any(event.kind in DANGER for event in events[heard:]):
            me.notice(OFFER)

    def _warn(self, events: Sequence[Event]) -> None:
        """The cautions of a relief valve that lifts and of a burst, read once a bench; those of a trip stand on its card."""
        me = self._mine()
        new = [event for event in events if event.kind in READ_AT_ONCE and event.kind not in me.warned]  # fmt: skip
        if new:
            me.warned |= {event.kind for event in new}
            lines = [f"{event.tag}: {me.scene.told(event)}" for event in new]
            me.show_page("This has happened", [*lines, "", *of_events([event.kind for event in new])])  # fmt: skip

    def fork_bench(self) -> None:
        """Make the copy beside the bench and show both, or end it."""
        me = self._mine()
        if self._not_when_assessed():
            return
        begin = me.report.fork is None
        me.order(Fork(what="begin" if begin else "end"))
        me.desk.on_fork = False
        if begin:
            me.desk.show(View.PAIR)
        me.notice("a copy runs beside the bench; F: work on it" if begin else "the copy is gone; the bench is as it was")  # fmt: skip

    def switch_hand(self) -> None:
        """Work on the other one."""
        me = self._mine()
        if me.report.fork is None:
            me.notice("there is no copy; f makes one")
            return
        me.desk.on_fork = not me.desk.on_fork
        me.take_hand()
        me.notice("your hand is on the COPY" if me.desk.on_fork else "your hand is on the bench")

    # Plants put by.

    def ask_put_by(self) -> None:
        """Put the plant at hand by, or choose one that was."""
        me = self._mine()
        if self._not_when_assessed() or me.report.snapshot is None:
            return
        which = "copy" if me.desk.on_fork else "bench"
        answers = [("", "Leave"), ("keep", f"put the {which} by as it is now, at {clock_words(me.report.snapshot.time_s)}")]  # fmt: skip
        answers += [(f"of:{name}", f"{name}, stands at {clock_words(at_s)}") for name, at_s in me.report.kept]  # fmt: skip
        me.app.push_screen(
            Ask("Plants put by", [PUT_BY], answers, topic="put by"), self._put_by_answered
        )

    def _put_by_answered(self, answer: str | None) -> None:
        me = self._mine()
        kind, _, name = (answer or "").partition(":")
        if kind == "keep":
            number = 1 + len(me.report.kept)
            me.app.push_screen(AskText("Put by", ["Under which name?"], f"plant {number}", topic="put by"), self._keep_named)  # fmt: skip
        elif kind == "of":
            answers = [("", "Leave"), ("take", "let it run beside the bench"), ("adopt", "go on with it as the bench; the bench of now is put by"), ("drop", "forget it")]  # fmt: skip
            me.app.push_screen(
                Ask(name, [], answers, topic="put by"), lambda what: self._with_kept(what, name)
            )

    def _keep_named(self, name: str | None) -> None:
        me = self._mine()
        if name and any(name == known for known, _ in me.report.kept):
            me.notice(f"{name} is there already: give another name")
        elif name:
            me.send(Fork(what="keep", name=name))
            me.notice(f"{name} is put by for this session; w writes a bench to a file")

    def _with_kept(self, what: str | None, name: str) -> None:
        me = self._mine()
        if what == "take":
            me.desk.on_fork = False
            me.order(Fork(what="take", name=name))
            me.desk.show(View.PAIR)
        elif what == "adopt":
            me.desk.on_fork = False
            me.order(Fork(what="adopt", name=name, pace=0))
            me.pace_is(0)
            me.notice(f"the bench is {name} now, held; space goes on")
        elif what == "drop":
            me.order(Fork(what="drop", name=name))
            me.notice(f"{name} is forgotten")

    def at_hand(self, report: Report) -> Report:
        """The report with the plant that the hand works on in the place of the bench."""
        me = self._mine()
        me.live = report.snapshot
        if report.fork is None:
            me.desk.on_fork = False
        return replace(report, snapshot=report.fork, faults=report.fork_faults) if me.desk.on_fork else report  # fmt: skip

    def remember_copy(self, report: Report) -> None:
        """The copy's own trend, from the instant at which it came to stand beside the bench."""
        me, copy = self._mine(), report.fork
        if copy is None or me.report.fork is None or report.fork_begun_s != me.report.fork_begun_s:
            me.copy_past.clear()
        if copy is not None:
            inside = report.charts(copy.charged_with) if report.charts and me.begin.instructor else None  # fmt: skip
            me.copy_past.add(copy, report.fluid, inside)

    def pair_frame(self) -> PairFrame:
        """Both plants for this frame."""
        me = self._mine()
        return PairFrame(
            me.live,
            me.report.fork,
            me.report.fork_begun_s,
            me.desk.on_fork,
            me.copy_past,
            me.desk.trending.pair_key,
        )


def act_words(first: tuple[str, Setting] | None, tags: Mapping[str, TagInfo]) -> str:
    """``HS-4 on``, ``HV-42 shut``: what is done on the copy, in the units of the plant's own list; '' for nothing."""
    return f"{first[0]} {setting_words(tags.get(first[0]), *first, UNIT_CHOICES[0])}" if first else ""  # fmt: skip


def ahead_title(act: str) -> str:
    """The page's heading."""
    return f"What would happen{f' with {act}' if act else ''}"


def ahead_lines(ahead: AheadReport, told: Callable[[str], str] = str) -> list[str]:
    """What was done on the copy; the table: when, what, in the order of time; the compressor, the winding; cautions of what happens there."""
    seen: Any = ahead.seen
    first = seen.first_limit
    source = "A copy of the copy beside the bench, made" if ahead.of_fork else "A copy of the bench, made"  # fmt: skip
    done = f"{told(ahead.what)} was set on it, and then it" if ahead.what else "It"
    lines = [f"{source} at {clock_words(ahead.begun_s)}. {done} ran on for {seen.seen_s / 60:.0f} minutes with nobody's hand on it.", ""]  # fmt: skip
    for one in seen.coming:
        mark = "first limit" if one is first else "limit" if one.limit else ""
        lines.append(f"+{clock_words(one.after_s)[3:]}  {one.tag:<8}{told(one.text)}{f'  ({mark})' if mark else ''}")  # fmt: skip
    if not seen.coming:
        lines.append("Nothing trips, lifts, bursts or passes a limit.")
    if ahead.runs is not None:
        lines += ["", f"At the end the compressor {'runs' if ahead.runs else 'stands'}."]
    if seen.unable:
        lines.append(f"Then it could not be computed: {seen.unable}")
    if seen.warmest_k:
        lines += ["", f"Motor winding at most {seen.warmest_k - 273.15:.0f} °C, {clock_words(seen.warmest_s)[3:]} after that."]  # fmt: skip
    lines += ["", "A model's forecast, no permission.", BACK, ""]
    return lines + of_events(one.kind for one in seen.coming)

"""Dialogs: a caution to agree to, a question, the card of a part, a page of text, a new beginning. Each returns a value, explains itself (``?``, or F1 where words are typed) and knows nothing of the plant."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from textwrap import wrap
from typing import ClassVar, Generic, TypeVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical, VerticalScroll
from textual.screen import ModalScreen
from textual.widgets import Input, Label, OptionList, Static
from textual.widgets.option_list import Option

from tui.help_dialogs import CHOOSE_HOW, NUMBER_HOW, TEXT_HOW, about

T = TypeVar("T")
TAKE_OR_LEAVE = "[@click=screen.take]enter: take it[/]   [@click=screen.leave]esc: leave[/]"
"""Words that can be clicked."""

DIALOG_CSS = """
Dialog { align: center middle; }
Dialog > Vertical { width: 76; max-width: 100%; height: auto; max-height: 100%; background: $surface; border: heavy $primary; padding: 0 1; }
Dialog.danger > Vertical { border: heavy $warning; }
Dialog .title { text-style: bold; color: $foreground; width: 100%; margin-bottom: 1; }
Dialog .text { width: 100%; height: auto; margin-bottom: 1; }
Dialog VerticalScroll { height: auto; max-height: 18; }
Dialog OptionList { height: auto; max-height: 14; border: none; background: $surface; }
Dialog Field { margin-bottom: 1; }
Dialog Label { link-style: none; link-style-hover: reverse; link-color: $foreground; link-background: $panel; link-color-hover: $foreground; link-background-hover: $panel; }
"""


HUGE = 1e6
"""A limit beyond this is none; guess: no dial on a bench shows such a number."""
FRAME_ROWS = 3
"""Two of the frame, one below the heading."""
LEAST_ANSWER_ROWS, MOST_ANSWER_ROWS, MOST_TEXT_ROWS = 2, 14, 18
TEXT_WIDTH = 70
"""Columns of a dialog's text, a few less than there are."""
CLOSE = "[@click=screen.leave]esc: close[/]   arrows, wheel: scroll"
MORE = "page up, page down: all of the text"
MORE_ANSWERS = "arrows: more answers"


class Dialog(ModalScreen[T], Generic[T]):
    """A framed box in the middle. Escape leaves it; its lower edge names the key that explains it, and takes a click."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape", "leave", "Leave"), ("question_mark,f1", "explain", "Help")]  # fmt: skip
    topic = ""
    """What it is about, for ``tui.help_dialogs``."""
    heading = ""
    how: ClassVar[str] = CHOOSE_HOW
    help_key: ClassVar[str] = "?"
    """'' for what is help itself."""

    def on_mount(self) -> None:
        """Name the key."""
        self.foot("")

    def foot(self, words: str) -> None:
        """The words on the lower edge, before the key of the help."""
        key = f"[@click=screen.explain]{self.help_key}: help[/]" if self.help_key else ""
        said = "   ".join(one for one in (words, key) if one)
        self.query_one(Vertical).border_subtitle = f" {said} " if said else ""

    def explained(self) -> list[str]:
        """What the help says."""
        return about(self.topic, self.how)

    def action_explain(self) -> None:
        """Say what this dialog is."""
        self.app.push_screen(Page(f"Help: {self.heading}", spaced(self.explained())))

    def action_leave(self) -> None:
        """Leave without a value."""
        self.dismiss(None)

    async def action_take(self) -> None:
        """Take what was typed, as enter does."""
        await self.query_one(Input).action_submit()


def spaced(lines: Sequence[str]) -> list[str]:
    """Paragraphs with a blank line between them."""
    return [piece for line in lines for piece in (line, "")][:-1]


class Ask(Dialog[str]):
    """Lines of text and a list of answers; returns the chosen answer's id. The answers are always in sight: where rows are few, the text scrolls."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("pagedown", "scroll_text(1)", "More", priority=True),
        Binding("pageup", "scroll_text(-1)", "Back", priority=True),
    ]

    def __init__(self, title: str, lines: Sequence[str], answers: Sequence[tuple[str, str]], *, danger: bool = False, topic: str = "") -> None:  # fmt: skip
        super().__init__(classes="danger" if danger else None)
        self.topic = topic
        self.heading, self.lines, self.answers = title, lines, answers

    def compose(self) -> ComposeResult:
        """Title, text, answers."""
        with Vertical():
            yield Label(self.heading, classes="title", markup=False)
            if self.lines:
                with VerticalScroll(can_focus=False):
                    for line in self.lines:
                        yield Static(line, classes="text", markup=False)
            yield OptionList(*(Option(words, id=name) for name, words in self.answers), markup=False)  # fmt: skip

    def on_mount(self) -> None:
        """The first answer is the careful one."""
        answers = self.query_one(OptionList)
        answers.focus()
        answers.highlighted = 0

    def on_resize(self, event: events.Resize) -> None:
        """Leave the text what answers and heading do not need."""
        title = self.query_one(".title").region.height or 1
        room = event.size.height - FRAME_ROWS - title
        text_rows = sum(1 + len(wrap(line, TEXT_WIDTH)) for line in self.lines)
        answers = min(MOST_ANSWER_ROWS, len(self.answers), max(LEAST_ANSWER_ROWS, room // 2, room - text_rows))  # fmt: skip
        self.query_one(OptionList).styles.max_height = answers
        for text in self.query(VerticalScroll):
            text.styles.max_height = max(1, min(MOST_TEXT_ROWS, room - answers))
        self.call_after_refresh(self._say_whether_there_is_more)

    def _say_whether_there_is_more(self) -> None:
        told = [MORE for text in self.query(VerticalScroll) if text.max_scroll_y]
        told += [MORE_ANSWERS] if self.query_one(OptionList).max_scroll_y else []
        self.foot("   ".join(told))

    def action_scroll_text(self, pages: int) -> None:
        """A page of the text further down or up."""
        for text in self.query(VerticalScroll):
            text.scroll_relative(y=pages * max(1, text.size.height - 1), animate=False)

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """An answer was chosen."""
        self.dismiss(event.option.id)


class Field(Input):
    """A field that lets the emergency stop's key through: no number and no file needs it. F1 explains; ``?`` is text."""

    no_text: ClassVar[str] = "!"
    """Keys that are no text here."""

    def check_consume_key(self, key: str, character: str | None) -> bool:
        """Every printable key is text, but these."""
        return character not in [*self.no_text] and super().check_consume_key(key, character)

    def on_key(self, event: events.Key) -> None:
        """Those go on to whoever has bound them."""
        if event.character and event.character in self.no_text:
            event.prevent_default()


class NumberField(Field):
    """A field for a number, which needs no ``?`` either: that explains."""

    no_text: ClassVar[str] = "!?"


class AskNumber(Dialog[float]):
    """A number within limits, in the unit that is said; returns it in that unit."""

    how: ClassVar[str] = NUMBER_HOW

    def __init__(self, title: str, lines: Sequence[str], value: float, low: float, high: float, *, topic: str = "number") -> None:  # fmt: skip
        super().__init__()
        self.topic = topic
        self.heading, self.lines = title, lines
        self.value, self.low, self.high = value, low, high

    def explained(self) -> list[str]:
        """With the limits."""
        limits = f"It may be from {self.low:g} to {self.high:g}." if abs(self.high) < HUGE else ""
        return [one for one in (*self.lines, limits, *super().explained()) if one]

    def compose(self) -> ComposeResult:
        """Title, text, a field."""
        with Vertical():
            yield Label(self.heading, classes="title", markup=False)
            for line in self.lines:
                yield Static(line, classes="text", markup=False)
            yield NumberField(f"{self.value:g}", select_on_focus=True)
            yield Label("", id="wrong")
            yield Label(TAKE_OR_LEAVE)

    def on_mount(self) -> None:
        """Type at once."""
        self.query_one(Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the number, or say what is wrong with it."""
        try:
            number = float(event.value.replace(",", "."))
        except ValueError:
            self.query_one("#wrong", Label).update("This is not a number.")
            return
        if self.low <= number <= self.high:
            self.dismiss(number)
        else:
            self.query_one("#wrong", Label).update(f"Give a number from {self.low:g} to {self.high:g}.")  # fmt: skip


class AskText(Dialog[str]):
    """One line of text. ``wrong`` says what speaks against a text, '' for nothing."""

    how: ClassVar[str] = TEXT_HOW
    help_key: ClassVar[str] = "F1"

    def __init__(self, title: str, lines: Sequence[str], value: str, *, secret: bool = False, topic: str = "note", wrong: Callable[[str], str] | None = None) -> None:  # fmt: skip
        super().__init__()
        self.topic = topic
        self.heading, self.lines, self.value, self.secret = title, lines, value, secret
        self.wrong = wrong

    def compose(self) -> ComposeResult:
        """Title, text, a field."""
        with Vertical():
            yield Label(self.heading, classes="title", markup=False)
            for line in self.lines:
                yield Static(line, classes="text", markup=False)
            yield Field(self.value, password=self.secret)
            if self.wrong is not None:
                yield Label("", id="wrong", markup=False)
            yield Label(TAKE_OR_LEAVE)

    def on_mount(self) -> None:
        """Type at once."""
        self.query_one(Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take what was typed, or say what is wrong with it."""
        said = self.wrong(event.value) if self.wrong is not None else ""
        if said:
            self.query_one("#wrong", Label).update(said)
            return
        self.dismiss(event.value.strip() or None)


class Page(Dialog[None]):
    """A page of text to read; any of escape, enter, q closes it."""

    BINDINGS: ClassVar[list[BindingType]] = [("escape,enter,q,question_mark,f1", "leave", "Close")]
    help_key: ClassVar[str] = ""

    def __init__(self, title: str, lines: Sequence[str]) -> None:
        super().__init__()
        self.heading, self.lines = title, lines

    def compose(self) -> ComposeResult:
        """Title and text that scrolls."""
        with Vertical():
            yield Label(self.heading, classes="title", markup=False)
            with VerticalScroll():
                yield Static("\n".join(self.lines), classes="text", markup=False)
            yield Label(CLOSE, id="place")

    def on_mount(self) -> None:
        """Arrows scroll at once; a page that is closed as it opens has no text yet."""
        for text in self.query(VerticalScroll):
            text.focus()
            for attribute in ("scroll_y", "virtual_size"):
                self.watch(text, attribute, self._tell_place, init=False)

    def on_resize(self) -> None:
        """More or fewer lines are in sight."""
        self.call_after_refresh(self._tell_place)

    def _tell_place(self) -> None:
        """Which lines are in sight, of how many, where that is not all of them."""
        for text, label in zip(self.query(VerticalScroll), self.query("#place").results(Label), strict=False):  # fmt: skip
            whole = text.virtual_size.height
            first, room = round(text.scroll_y), text.scrollable_content_region.height
            last = min(first + room, whole)
            way = "pgdn" if last < whole else "pgup"
            label.update(f"{CLOSE}   {first + 1}-{last} of {whole} {way}" if room < whole else CLOSE)  # fmt: skip

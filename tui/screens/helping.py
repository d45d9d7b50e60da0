"""Help on the screen: what one stands at, with ways on to keys, glossary and tour; and the glossary itself."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, Label, OptionList, Static
from textual.widgets.option_list import Option

from tui.draw.scene import Scene
from tui.glossary import Term, entry_lines, found_by, glossary
from tui.screens.dialogs import Ask, Dialog, Field, spaced

KEYS, GLOSSARY, TOUR, TERM = "keys", "glossary", "tour", "term:"
WAYS_ON = (
    (KEYS, "All keys, and how to read the drawing (?)"),
    (GLOSSARY, "Glossary of trade terms (/)"),
    (TOUR, "A tour in six steps on this bench (H)"),
)
"""Where the help leads: (answer, words with the key)."""


class HelpPage(Ask):
    """What one stands at. ``?`` once more: all keys; ``/`` the glossary; ``H`` the tour."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("question_mark,f1", f"go('{KEYS}')", "All keys"),
        Binding("slash,G", f"go('{GLOSSARY}')", "Glossary"),
        Binding("H", f"go('{TOUR}')", "Tour"),
        Binding("q", "leave", "Close"),
    ]
    help_key: ClassVar[str] = ""

    def __init__(self, title: str, lines: Sequence[str], terms: Sequence[str]) -> None:
        ways = [(f"{TERM}{name}", f"What is: {name}") for name in terms if name in glossary()]
        super().__init__(f"Help: {title}", lines, [("", "Close (esc)"), *WAYS_ON, *ways])

    def action_go(self, answer: str) -> None:
        """Leave with an answer, as if it had been chosen."""
        self.dismiss(answer)


class SearchField(Field):
    """What is searched for; no term has these characters."""

    no_text: ClassVar[str] = "!?/"


class GlossaryDialog(Dialog[None]):
    """Type to filter, up and down choose a term, tab goes to the related ones, enter follows. A click does all of it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("slash", "search", "Search"),
        Binding("pagedown", "scroll_text(1)", "More", priority=True),
        Binding("pageup", "scroll_text(-1)", "Back", priority=True),
    ]
    CSS = """
    GlossaryDialog > Vertical { height: 100%; max-height: 34; }
    GlossaryDialog SearchField { border: none; height: 1; padding: 0 1; margin-bottom: 1; }
    GlossaryDialog .columns { height: 1fr; }
    GlossaryDialog OptionList#terms { width: 26; height: 1fr; max-height: 100%; }
    GlossaryDialog .entry { width: 1fr; height: 1fr; padding-left: 1; }
    GlossaryDialog .entry VerticalScroll { height: 1fr; max-height: 100%; }
    GlossaryDialog OptionList#related { height: auto; max-height: 7; }
    """
    topic, heading = "glossary", "Glossary of trade terms"

    def __init__(self, scene: Scene, first: str = "") -> None:
        super().__init__()
        self.scene, self.first = scene, first
        self.found: list[Term] = []
        self.came_by: list[str] = []
        """Terms that were left by a link, the last at the end."""

    def compose(self) -> ComposeResult:
        """Search, list, entry, related terms."""
        with Vertical():
            yield Label(self.heading, classes="title", markup=False)
            yield SearchField(placeholder="type to search", select_on_focus=False)
            with Horizontal(classes="columns"):
                yield OptionList(id="terms", markup=False)
                with Vertical(classes="entry"):
                    with VerticalScroll(can_focus=False):
                        yield Static("", id="entry", classes="text", markup=False)
                    yield OptionList(id="related", markup=False)
            yield Label("[@click=screen.leave]esc: leave[/]")

    def on_mount(self) -> None:
        """Type at once; a term that was asked for is shown first."""
        self.query_one(Input).focus()
        self._fill("", self.first)

    # What is shown.

    def _fill(self, query: str, wanted: str = "") -> None:
        """List what the search finds; ``wanted`` is put under the cursor."""
        self.found = found_by(query)
        terms = self.query_one("#terms", OptionList)
        terms.clear_options()
        terms.add_options([Option(term.name, id=term.name) for term in self.found])
        names = [term.name for term in self.found]
        terms.highlighted = (names.index(wanted) if wanted in names else 0) if names else None
        if not names:
            self.query_one("#entry", Static).update(f"Nothing speaks of {query!r}. Take away letters to see more.")  # fmt: skip
            self.query_one("#related", OptionList).clear_options()

    def on_option_list_option_highlighted(self, event: OptionList.OptionHighlighted) -> None:
        """Show the term under the cursor of the list."""
        if event.option_list.id != "terms" or event.option.id is None:
            return
        term = glossary()[event.option.id]
        first, *rest = entry_lines(term, self.scene)
        self.query_one("#entry", Static).update("\n".join(spaced([f"{term.name}: {first}", *rest])))
        self.query_one(VerticalScroll).scroll_home(animate=False)
        related = self.query_one("#related", OptionList)
        related.clear_options()
        if self.came_by and self.came_by[-1] != term.name:
            related.add_option(Option(f"back to: {self.came_by[-1]}", id="back"))
        related.add_options([Option(f"see: {name}", id=name) for name in term.related])
        related.highlighted = 0 if related.option_count else None

    # What is done.

    def on_input_changed(self, event: Input.Changed) -> None:
        """Every letter filters anew."""
        self.came_by = []
        self._fill(event.value)

    def on_input_submitted(self) -> None:
        """On to the related terms."""
        self.query_one("#related", OptionList).focus()

    def on_key(self, event: events.Key) -> None:
        """Up and down go through the list while one types; letters typed elsewhere go into the search."""
        field = self.query_one(SearchField)
        if event.key in ("up", "down") and self.focused is field:
            terms = self.query_one("#terms", OptionList)
            terms.action_cursor_up() if event.key == "up" else terms.action_cursor_down()
        elif self.focused is not field and (event.character or "").isalpha() and len(event.key) == 1:  # fmt: skip
            field.focus()
            field.value += event.character or ""
            field.cursor_position = len(field.value)
        else:
            return
        event.stop()
        event.prevent_default()

    def on_option_list_option_selected(self, event: OptionList.OptionSelected) -> None:
        """A related term is followed, or the way back."""
        if event.option_list.id == "terms":
            self.query_one("#related", OptionList).focus()
        elif event.option.id == "back":
            self._show(self.came_by.pop())
        elif event.option.id is not None:
            self.came_by.append(self._shown)
            self._show(event.option.id)

    @property
    def _shown(self) -> str:
        terms = self.query_one("#terms", OptionList)
        return self.found[terms.highlighted].name if terms.highlighted is not None else ""

    def _show(self, name: str) -> None:
        """A term that the search need not have found."""
        field = self.query_one(SearchField)
        with field.prevent(Input.Changed):
            field.value = ""
        self._fill("", name)
        self.query_one("#related", OptionList).focus()

    def action_search(self) -> None:
        """Back to the search."""
        self.query_one(SearchField).focus()

    def action_scroll_text(self, pages: int) -> None:
        """A page of the entry further down or up."""
        text = self.query_one(VerticalScroll)
        text.scroll_relative(y=pages * max(1, text.size.height - 1), animate=False)

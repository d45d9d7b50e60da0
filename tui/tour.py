"""The tour: six steps on the bench that runs, each judged done by what the bench and the screen show. No Textual here.

The tour moves nothing by itself. What it asks for is harmless as the bench stands at that moment, and its last words name what stands otherwise than it was found.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from enum import Enum
from typing import NamedTuple

from tui.draw.drawing import Drawing
from tui.draw.layout import View
from tui.draw.scene import Scene
from tui.plant import Setting

Harmless = Callable[[str, Setting], bool]
"""May a tag be set so without a caution to be read first?"""


class Pointer(NamedTuple):
    """What a step points at: parts by their tags, panes by their kind, words of the top and the last line."""

    tags: tuple[str, ...] = ()
    pane: str = ""
    top: bool = False
    command: str = ""
    """A key on the last line."""


@dataclass(frozen=True)
class Sight:
    """What the tour looks at."""

    scene: Scene
    drawing: Drawing | None
    view: View
    selected: str
    letters: bool
    """Letters are shown at the parts."""
    pace: int
    """What was last asked for, so that quick keys all count; 0: held."""
    helping: bool
    """A page of help is open."""
    harmless: Harmless
    """May a tag be set so without a caution to be read first?"""
    starters: tuple[str, ...] = ()
    """Switches that start the compressor."""


@dataclass
class Notes:
    """What a step remembers of what it has seen."""

    flags: set[str] = field(default_factory=set)
    at_first: dict[str, Setting | None] = field(default_factory=dict)
    paces: list[int] = field(default_factory=list)


class Saying(NamedTuple):
    """What a step says at this moment."""

    words: str
    """What it is, in two or three sentences."""
    do: str
    """The one thing to do next."""
    pointer: Pointer
    done: str = ""
    """What came of it, when it has been done."""
    command: str = ""
    """Does the same by mouse, from the box; '' where the thing itself is to be clicked."""


Step = Callable[[Sight, Notes, str], Saying]
"""(what there is to see, what the step remembers, the part that the tour has chosen) -> what it says now."""


class Stage(Enum):
    """Where a tour stands."""

    OFFERED = "offered"
    UNDER_WAY = "under way"
    ENDED = "ended"
    """Its last words are on the screen."""


class Said(NamedTuple):
    """What is painted: heading, paragraphs, what to do, the keys, what is pointed at."""

    title: str
    lines: list[str]
    do: str
    keys: tuple[tuple[str, str, str], ...]
    """(key, words, command)."""
    pointer: Pointer = Pointer()


NEXT, LEAVE = ("H", "skip this step", "tour"), ("X", "end the tour", "end_tour")
BUTTONS = {
    "jump": ("g", "letters"),
    "act": ("enter", "act"),
    "hold": ("space", "hold, go on"),
    "faster": (".", "faster"),
    "view_meters": ("4", "gauges"),
    "view_plant": ("1", "plant"),
    "emergency_stop": ("0", "STOP"),
    "help": ("?", "help"),
}
"""Command that a step asks for -> its key and a word, in the box."""
BY_BUTTON = " By mouse: {0} {1}, on this box's lower edge."
MOUSE = {
    "act": " By mouse: click it once more.",
    "jump": "",
    "help": " By mouse: {0} {1} below; the first answer closes it.",
}
"""How the mouse does what a step asks for, where its button in the box is not the nearest way."""
OFFER = Said(
    "first time at this bench?",
    ["A tour shows in six short steps how the bench is worked, on the bench itself. It takes about three minutes and can be left at any time."],
    "H begins it. X: no, thank you; H finds it later. Or click either, on this box's lower edge.",
    (("H", "show me round", "tour"), ("X", "no, thank you", "end_tour")),
)  # fmt: skip
MEANT_FOR_LATER = "Next: the first lesson in the README. ? explains whatever you stand at, G is the glossary, H is this tour again."


class Tour:
    """The state of a tour. ``look`` is told what there is to see after every change; ``said`` says what is painted."""

    def __init__(self, steps: tuple[tuple[str, Step], ...], choose: Callable[[Sight], str], name: str = "tour", later: str = MEANT_FOR_LATER) -> None:  # fmt: skip
        self.steps, self._choose, self.name, self._later = steps, choose, name, later
        self.stage: Stage | None = None
        self.number = 0
        self._notes = Notes()
        self._part = ""
        self._done = ""
        self._found: dict[str, Setting | None] = {}
        self._left: list[str] = []
        self._saying: Saying | None = None

    @property
    def shown(self) -> bool:
        """Is anything of it on the screen?"""
        return self.stage is not None

    def offer(self) -> None:
        """Ask whether it is wanted."""
        self.stage = Stage.OFFERED

    def begin(self, sight: Sight) -> None:
        """From the first step on."""
        self.stage, self.number, self._done = Stage.UNDER_WAY, 0, ""
        self._part = self._choose(sight)
        snapshot = sight.scene.snapshot
        self._found = dict(snapshot.commands) if snapshot is not None else {}
        self._notes = Notes()
        self.look(sight)

    def skip(self, sight: Sight) -> None:
        """To the next step, this one undone."""
        self._done = ""
        self._go_on(sight)

    def end(self) -> None:
        """Away with it."""
        self.stage, self._saying = None, None

    def look(self, sight: Sight) -> bool:
        """See whether the step has been done. True when the tour has just come to its end."""
        if self.stage is not Stage.UNDER_WAY:
            return False
        self._saying = self.steps[self.number][1](sight, self._notes, self._part)
        if not self._saying.done:
            return False
        self._done = self._saying.done
        return self._go_on(sight)

    def _go_on(self, sight: Sight) -> bool:
        """To the next step. True when there is none."""
        self.number += 1
        self._notes = Notes()
        if self.number < len(self.steps):
            self._saying = self.steps[self.number][1](sight, self._notes, self._part)
            return False
        self.stage, self._saying = Stage.ENDED, None
        self._left = self._otherwise(sight)
        return True

    def _otherwise(self, sight: Sight) -> list[str]:
        """What stands otherwise than the tour found it, in words; what a hand has done besides the tour is among it."""
        scene, now = sight.scene, sight.scene.snapshot
        changed = [tag for tag, value in self._found.items() if now is not None and now.commands.get(tag) != value]  # fmt: skip
        words = [f"{tag} is {scene.setting_words(tag)}" for tag in changed]
        return [*words, *(["the plant is held (space)"] if sight.pace == 0 else [f"the pace is {sight.pace} (comma slows it)"] if sight.pace > 1 else [])]  # fmt: skip

    def said(self) -> Said | None:
        """What is on the screen of it now."""
        if self.stage is None:
            return None
        if self.stage is Stage.OFFERED:
            return OFFER
        done = [f"Done: {self._done}"] if self._done else []
        if self.stage is Stage.ENDED or self._saying is None:
            left = f"Otherwise than when the {self.name} began: {', '.join(self._left)}." if self._left else f"Everything stands as it did when the {self.name} began."  # fmt: skip
            return Said(f"{self.name}: the end", [*done, left, self._later], "", (("X", "close", "end_tour"),))  # fmt: skip
        title = f"{self.name}, step {self.number + 1} of {len(self.steps)}: {self.steps[self.number][0]}"
        own = BUTTONS.get(self._saying.command)
        do = self._saying.do + (MOUSE.get(self._saying.command, BY_BUTTON).format(*own) if own else "")  # fmt: skip
        keys = (*([(*own, self._saying.command)] if own else []), NEXT, LEAVE)
        return Said(title, [*done, self._saying.words], do, keys, self._saying.pointer)

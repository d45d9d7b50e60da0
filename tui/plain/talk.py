"""One conversation with a bench: the plant, what the person has chosen, what has been told already."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from typing import Any

from sim.errors import PlantError, RimebenchError, UsageError
from tui.desk import by_tag
from tui.draw.scene import Scene
from tui.orders import Begin, Order, obey, reason_of
from tui.plain.aloud import event_words
from tui.plain.voice import Voice
from tui.plant import Event, Snapshot
from tui.runner import Opened, Opener, Progress

NO_FURTHER = "The plant could not be computed any further"
AGAIN = "Type begin, or load and a file."


class CutShortError(Exception):
    """A command has done what it could and this was not what was asked: a trip before the end of a wait."""


@dataclass
class Talk:
    """The state of a conversation. The bench is looked at after every act; ``scene`` holds what came of it."""

    voice: Voice
    begin: Begin
    opener: Opener
    progress: Progress
    scene: Scene = field(default_factory=Scene)
    opened: Opened | None = None
    told: int = 0
    """Events that have been told or passed over."""
    unsaved: bool = False
    wrong: int = 0
    """Commands that were not understood or not carried out."""
    failure: str = ""
    """Why the plant cannot be computed any further."""
    over: bool = False
    assessed: bool = False

    # The bench.

    def open(self, begin: Begin) -> None:
        """Open a bench; the present one stays when that fails. Raises InputError or PlantError."""
        try:
            opened = self.opener(begin, self.progress)
            tags, snapshot = by_tag(opened.bench.tags()), opened.bench.snapshot()
        except (RimebenchError, OSError):
            raise
        except Exception as error:  # a rig that cannot be opened is told, not thrown
            raise PlantError("not-opened", f"the bench could not be opened ({reason_of(error)}).") from error  # fmt: skip
        self.opened, self.begin = opened, replace(begin, load=None)
        self.unsaved, self.failure, self.told = False, "", len(snapshot.events)
        scene = self.scene
        scene.tags, scene.fluid, scene.plan, scene.snapshot = tags, opened.fluid, opened.plan, snapshot  # fmt: skip

    @property
    def bench(self) -> Any:
        """The bench. Raises UsageError when there is none to work at."""
        if self.opened is None or self.failure:
            raise UsageError(f"{NO_FURTHER}. {AGAIN}")
        return self.opened.bench

    @property
    def now(self) -> Snapshot:
        """The plant as it stood when it was last looked at."""
        return self.scene.snapshot if self.scene.snapshot is not None else self.look()

    @property
    def safety_class(self) -> str:
        """Of the refrigerant, for cautions."""
        return self.scene.fluid.safety_class if self.scene.fluid is not None else ""

    def look(self) -> Snapshot:
        """Look at the plant."""
        bench = self.bench
        with self.computing():
            self.scene.snapshot = bench.snapshot()
        return self.now

    def advance(self, seconds: float) -> None:
        """Let time pass."""
        bench = self.bench
        with self.computing():
            bench.advance(seconds)
        self.unsaved = True

    @contextmanager
    def computing(self) -> Iterator[None]:
        """Whatever the engine raises ends the bench and not the conversation. Raises CutShortError then."""
        try:
            yield
        except Exception as error:  # the engine may raise anything
            self.failure = reason_of(error)
            raise CutShortError(f"{NO_FURTHER}: {self.failure} {AGAIN}") from error

    def order(self, order: Order, said: str = "") -> None:
        """Have the bench do something, and tell what came of it; ``said`` stands for the event of the act itself. Raises UsageError with its reason when it refuses."""
        refused = obey(order, self.bench)
        if refused is not None:
            raise UsageError(refused.reason)
        self.unsaved = True
        if said:
            self.voice.say(said)
        self.tell(without=getattr(order, "tag", "") if said else "")

    def tell(self, without: str = "") -> list[Event]:
        """Say what has happened since the last time, the command on the tag ``without`` aside; returns it. Faults are the instructor's."""
        new = list(self.look().events)[self.told :]
        self.told += len(new)
        heard = [event for event in new if self.scene.instructor or event.kind != "fault"]
        heard = [event for event in heard if not (event.kind == "command" and event.tag == without)]
        self.voice.say_all(event_words(event) for event in heard)
        return heard

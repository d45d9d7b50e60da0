"""One conversation with a bench: the plant, what the person has chosen, what has been told already."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from sim.errors import PlantError, RimebenchError, UsageError
from tui.beside import Beside
from tui.cautions import of_events
from tui.desk import by_tag
from tui.draw.drawing import Drawing, load_drawings
from tui.draw.scene import Scene
from tui.history import History
from tui.meter import Use
from tui.metering import Metering
from tui.mishaps import carry_over, on_record
from tui.orders import Begin, Order, SetTag, changes_plant, obey, reason_of
from tui.plain.alongside import Alongside, CutShortError
from tui.plain.aloud import event_words
from tui.plain.keeping import Keeping
from tui.plain.voice import Voice
from tui.plant import Event, Snapshot
from tui.report import Report
from tui.rewind import Keeper
from tui.runner import Opened, Opener, Progress
from tui.senses import Touched, name_of, sign_words
from tui.session.kept import Kept, units_of
from tui.session.log import SessionLog
from tui.session.notebook import Notebook
from tui.tour import Tour
from tui.words import Units
from tui.working import WorkingDesk

NO_FURTHER = "The plant could not be computed any further"
AGAIN = "Type begin, or load and a file."
MOMENT_S = 0.5
"""What an act of a hand takes of the bench's time; guess: from one handle to the next. Relays follow within it, so that what an act sets going is told with it."""


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
    moments_s: float = 0.0
    """What acts have taken since the last wait, which counts it in."""
    line: str = ""
    """What was typed last."""
    heard: int = 0
    """Lines that have been carried out."""
    saved: str = ""
    """What was saved last, and where, in words."""
    warned: set[str] = field(default_factory=set)
    """Cautions of events that have been said of this bench."""
    own_files: set[Path] = field(default_factory=set)
    """Written in this conversation, so that saving there again asks nothing."""
    notebook: Notebook = field(default_factory=Notebook)
    working: WorkingDesk = field(default_factory=WorkingDesk)
    touched: dict[str, Touched] = field(default_factory=dict)
    """What a hand has found, place by place."""
    slide: str = ""
    """Where the reversing valve's slide was seen last."""
    use: Use | None = None
    """Of the hand meter, the last time."""
    metering: Metering = field(default_factory=lambda: Metering(None))
    """Its peak."""
    tour: Tour | None = None
    history: History = field(default_factory=History)
    log: SessionLog = field(default_factory=SessionLog)
    keeper: Keeper | None = None
    """The way back."""
    put_by: Beside = field(default_factory=Beside)
    """Plants put by under a name."""
    keeping: Keeping = field(default_factory=Keeping)
    """The autosave."""
    kept: Kept = field(default_factory=Kept)
    """Settings and their file."""
    alongside: Alongside = field(default_factory=Alongside)
    """The other of bench and copy."""
    _drawing: tuple[Drawing | None, ...] = ()
    """Once it was asked for."""
    units_typed: bool = False
    """Units were chosen by a command; they stay on another bench."""
    system_typed: bool = False
    """A system of units was among them."""

    # The bench.

    def open(self, begin: Begin) -> None:
        """Open a bench; the present one stays when that fails. Raises InputError or PlantError."""
        begin = replace(begin, assessed=begin.assessed or (self.assessed and not begin.instructor))
        try:
            opened = self.opener(begin, self.progress)
            tags, snapshot = by_tag(opened.bench.tags()), opened.bench.snapshot()
        except (RimebenchError, OSError):
            raise
        except Exception as error:  # a rig that cannot be opened is told, not thrown
            raise PlantError("not-opened", f"the bench could not be opened ({reason_of(error)}).") from error  # fmt: skip
        if self.opened is not None:
            carry_over(on_record(self.opened.bench.events), opened.bench)
            snapshot = opened.bench.snapshot()
        if opened.assessed and not begin.instructor:
            self.assessed, self.scene.own_work, self.scene.instructor = True, True, False
        self.opened, self.begin = opened, replace(begin, load=None)
        self.unsaved, self.failure, self.saved, self.use = False, "", "", None
        scene = self.scene
        scene.tags, scene.fluid, scene.plan = tags, opened.fluid, opened.plan
        scene.dials, scene.scales, scene.charts = opened.dials, opened.scales, opened.charts
        scene.lines, self._drawing = opened.lines, ()
        self.metering = Metering(opened.ask)
        scene.kinds, scene.roles = opened.kinds, opened.roles
        self.keeper, self.working = Keeper(opened.bench), WorkingDesk()
        if not self.units_typed:
            self.use_units(self.units_of_settings)
        self.warned.clear()
        for record in (self.notebook, self.history, self.log, self.touched):
            record.clear()
        self.passed_over(snapshot)

    @property
    def drawing(self) -> Drawing | None:
        """The rig's largest drawing: it knows which coil is what, and what hangs at a vessel."""
        if not self._drawing:
            drawings = load_drawings(self.bench.rig.folder)
            self._drawing = (*drawings.values(), None)[len(drawings) - 1 :] or (None,)
        return self._drawing[0]

    @property
    def about(self) -> Report:
        """What is said of this bench once."""
        one = self.opened
        return Report(kinds=one.kinds, dials=one.dials, lines=one.lines, springs=one.springs) if one is not None else Report()  # fmt: skip

    @property
    def units_of_settings(self) -> Units:
        """What the settings say; the rig's own units where they say nothing."""
        rig = self.opened.bench.rig if self.opened is not None else None
        return units_of(self.kept.settings.units, getattr(rig, "units", "si"))

    def use_units(self, units: Units) -> None:
        """All that is said from now on is said in these."""
        self.scene.units, self.voice.comma = units, units.comma

    def event_words(self, event: Event) -> str:
        """What happened, in this person's units."""
        return event_words(event, self.scene.told(event))

    def passed_over(self, snapshot: Snapshot) -> None:
        """Another bench, or another moment of this one: what has happened up to it is not told."""
        self.scene.snapshot = snapshot
        self.told, self.moments_s, self.slide = len(snapshot.events), 0.0, slide_words(snapshot)
        if self.metering.holding:
            self.metering.hold_anew()
        if self.alongside.left():
            self.voice.say("The copy was of the plant from before, and is gone.")
        self._record(snapshot)

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
        self._record(self.now)
        return self.now

    def _record(self, snapshot: Snapshot) -> None:
        """For trend and log."""
        self.history.add(snapshot, self.scene.fluid, self.scene.charted)
        self.log.add(snapshot)

    def advance(self, seconds: float) -> None:
        """Let time pass, on bench and copy alike."""
        self.run(seconds)
        self.alongside.run(seconds)
        self.keeping.look(self.bench)

    def run(self, seconds: float) -> None:
        """Let time pass here only. Raises CutShortError when it cannot be computed."""
        bench = self.bench
        with self.computing():
            self.metering.advance(bench, seconds)
            if self.keeper is not None:
                self.keeper.look(bench)
        self.unsaved = True

    @contextmanager
    def computing(self) -> Iterator[None]:
        """Whatever the engine raises ends the bench and not the conversation. Raises CutShortError then."""
        try:
            yield
        except Exception as error:  # the engine may raise anything
            self.failure = reason_of(error)
            raise CutShortError(f"{NO_FURTHER}: {self.failure} {AGAIN}") from error

    def order(self, order: Order, said: str = "", instead_of: str = "command") -> None:
        """Have the bench do something, and tell what came of it; ``said`` stands for the act's own event, of kind ``instead_of``. Raises UsageError with its reason when it refuses."""
        bench = self.bench
        refused = obey(order, bench)
        if refused is not None:
            raise UsageError(refused.reason)
        self.unsaved = True
        if self.keeper is not None and changes_plant(order):
            self.keeper.note(order, bench)
        if said:
            self.voice.say(said)
        if isinstance(order, SetTag):
            self.advance(MOMENT_S)
            for one in (self, self.alongside.partner):
                if one is not None:
                    one.moments_s += MOMENT_S
        at = str(getattr(order, "tag", getattr(order, "place", "")))
        self.tell((at, instead_of) if said else ("", ""))

    def tell(self, without: tuple[str, str] = ("", "")) -> list[Event]:
        """Say what has happened since the last time, the event of tag and kind ``without`` aside; returns it. Faults are the instructor's."""
        heard = [event for event in self.heard_anew() if (event.tag, event.kind) != without]
        self.voice.say_all(map(self.event_words, heard))
        self.warn(heard)
        self.alongside.tell()
        slide = slide_words(self.now)
        if slide != self.slide:
            self.slide = slide
            self.voice.say(f"{slide} now.")
        return heard

    def heard_anew(self) -> list[Event]:
        """What has happened since the last time. Faults are the instructor's."""
        new = list(self.look().events)[self.told :]
        self.told += len(new)
        return [event for event in new if self.scene.instructor or event.kind != "fault"]

    def warn(self, events: Sequence[Event]) -> None:
        """The cautions of what has happened, each once a bench."""
        lines = [line for line in of_events([event.kind for event in events], safety_class=self.safety_class) if line not in self.warned]  # fmt: skip
        self.warned.update(lines)
        self.voice.say_all(lines)


def slide_words(snapshot: Snapshot) -> str:
    """Where the slide of the reversing valve is seen; '' on a plant without one."""
    found = [(spot, sign) for spot in snapshot.senses.spots for sign in spot.signs if sign.what == "slide"]  # fmt: skip
    return ". ".join(f"{name_of(spot)}: {sign_words(sign)}" for spot, sign in found)

"""The bench and its copy side by side: dials and readings of both, and how far they are apart."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from tui.draw.canvas import Canvas
from tui.draw.ink import BOLD, Ink
from tui.draw.lists import clock_words, event_ink, event_words, table_keys
from tui.draw.scene import Scene
from tui.history import History
from tui.plant import Event, Snapshot
from tui.seen import instrument_label, seen
from tui.words import in_words

COLUMNS = (30, 46, 62)
"""Where the bench, the copy and the difference stand."""
NONE = ("There is no copy.", "f makes one of this instant: both then run on one clock, and F says which of the two your hand works on.", "f again ends it; the bench itself is never touched.")  # fmt: skip


@dataclass(frozen=True)
class PairFrame:
    """Both plants at one instant."""

    live: Snapshot | None = None
    fork: Snapshot | None = None
    begun_s: float = 0.0
    on_fork: bool = False
    """The hand works on the copy."""
    past: History | None = None
    """Of the copy, since it is there."""
    key: str = "suction_pressure_pa"
    """The reading whose trend stands below."""


NO_PAIR = PairFrame()


def pair_title(frame: PairFrame) -> str:
    """What stands on the frame."""
    if frame.fork is None:
        return "bench and copy"
    hand = "copy" if frame.on_fork else "bench"
    if frame.live is not None and abs(frame.live.time_s - frame.fork.time_s) > 1.0:
        return f"bench at {clock_words(frame.live.time_s)} and copy at {clock_words(frame.fork.time_s)}; your hand is on the {hand} (F)"
    return f"bench and copy, parted at {clock_words(frame.begun_s)}; your hand is on the {hand} (F)"


def paint_pair(canvas: Canvas, scene: Scene, frame: PairFrame, first: int) -> int:
    """One row a reading, of what this person may see. Returns the first, as far down as there are rows."""
    if frame.live is None or frame.fork is None:
        for row, line in enumerate(NONE):
            canvas.text(0, row, line[: canvas.width])
        return 0
    for x, head in zip((0, *COLUMNS), ("reading", "bench", "copy", "copy - bench"), strict=True):
        canvas.text(x, 0, head, Ink.FAINT)
    keys = table_keys(scene)
    events = only_on_copy(scene, frame)[-(canvas.height // 4) :]
    rows = max(1, canvas.height - 1 - len(events))
    first = max(0, min(first, len(keys) - rows))
    for y, key in enumerate(keys[first : first + rows], start=1):
        _row(canvas, y, scene, frame, key)
    for k, event in enumerate(events):
        canvas.text(0, canvas.height - len(events) + k, f"copy: {event_words(scene, event)}"[: canvas.width], event_ink(event))  # fmt: skip
    return first


def _row(canvas: Canvas, y: int, scene: Scene, frame: PairFrame, key: str) -> None:
    assert frame.live is not None
    assert frame.fork is not None
    canvas.text(0, y, instrument_label(frame.live, key)[: COLUMNS[0] - 1])
    live, fork = both(scene, (frame.live, frame.fork), key)
    canvas.text(COLUMNS[0], y, live[:15], Ink.STRONG)
    canvas.text(COLUMNS[1], y, fork[:15], Ink.STRONG)
    canvas.text(COLUMNS[2], y, apart_words(live, fork), Ink.CAUTION | BOLD)


def both(scene: Scene, plants: tuple[Snapshot, Snapshot], key: str) -> tuple[str, str]:
    """What this person may see of a reading on bench and copy."""
    live, fork = (in_words(key, seen(one, key, scene.instructor), scene.units, scene.atmosphere_pa, short=True) for one in plants)  # fmt: skip
    return live, fork


def apart_words(live: str, fork: str) -> str:
    """The difference of two numbers as they are printed, so that a person can check it; '' when there is none to see."""
    if live == fork:
        return ""
    comma = "," in live + fork
    (one, unit), (other, _) = (
        words.replace(",", ".").partition(" ")[::2] for words in (live, fork)
    )
    try:
        apart = float(other) - float(one)
    except ValueError:  # what a sight glass shows, or a reading that is missing
        return "differs"
    digits = len(one.partition(".")[2])
    # a difference of two gauge pressures is neither gauge nor absolute, one of temperatures in kelvin
    unit = {"°C": "K", "psig": "psi"}.get(unit, unit.removesuffix(" g"))
    said = f"{apart:+.{digits}f} {unit}".rstrip()
    return said.replace(".", ",") if comma else said


def only_on_copy(scene: Scene, frame: PairFrame) -> list[Event]:
    """What has happened there since they parted, and not as often on the bench; an instant sooner or later is the same."""
    assert frame.live is not None
    assert frame.fork is not None
    here = Counter(_what(event) for event in frame.live.events if event.time_s >= frame.begun_s)
    own = []
    for event in frame.fork.events:
        if event.time_s < frame.begun_s or (event.kind == "fault" and not scene.instructor):
            continue
        if here[_what(event)]:
            here[_what(event)] -= 1
        else:
            own.append(event)
    return own


def _what(event: Event) -> tuple[str, str, str]:
    return event.tag, event.kind, event.text

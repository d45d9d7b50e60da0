"""The fault board: the catalogue at the left, the chosen fault at the right, what is in now below it. Every word that can be clicked is noted with what it does."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from tui.draw.canvas import Canvas
from tui.draw.glyphs import Glyphs
from tui.draw.ink import BOLD, Ink
from tui.fault_desk import ONSETS, TIMES_S, FaultDesk
from tui.faults import Entry, Faults, InNow

LIST_WIDTH = 36
"""The longest name with its mark."""
BAR = 20
LEAST_IN_NOW = 3
NEVER = "never"
PIN_WORDS = "A PIN only hides this board from somebody who passes by. It is no lock: whoever has this terminal or its files can get round it."
HIDDEN = ("The board is hidden.", "i: the instructor's view again, with the PIN.", "", PIN_WORDS)
LEARNER = ("This view is the instructor's.", "It opens with: rimebench --instructor")
NOTHING_FOUND = "nothing is called like that"


@dataclass(frozen=True)
class FaultFrame:
    """What the board shows. ``shut``: lines that stand in its place."""

    desk: FaultDesk
    entries: tuple[Entry, ...] = ()
    faults: Faults = ()
    cautions: Sequence[str] = ()
    """Of the chosen fault, in full."""
    shut: tuple[str, ...] = ()


class Area(NamedTuple):
    """Cells of a row that do something when clicked."""

    left: int
    right: int
    y: int
    act: str


class _Pen:
    """Writes line after line into a window and notes what can be clicked; ``left`` is the window's column on the board."""

    def __init__(self, canvas: Canvas, left: int, areas: list[Area]) -> None:
        self.canvas, self.left, self.areas, self.y = canvas, left, areas, 0

    def line(self, text: str, ink: int = Ink.TEXT, act: str = "") -> None:
        if act and self.y < self.canvas.height:
            self.areas.append(Area(self.left, self.left + len(text), self.y, act))
        self.canvas.text(0, self.y, text[: self.canvas.width], ink)
        self.y += 1

    def wrapped(self, text: str, ink: int = Ink.TEXT, most: int = 99) -> None:
        for piece in textwrap.wrap(text, self.canvas.width)[:most]:
            self.line(piece, ink)

    def words(self, x: int, text: str, ink: int, act: str = "") -> int:
        """On the present line; returns the column after it."""
        if act and self.y < self.canvas.height:
            self.areas.append(Area(self.left + x, self.left + x + len(text), self.y, act))
        return self.canvas.text(x, self.y, text, ink)


def paint_fault_board(canvas: Canvas, frame: FaultFrame, glyphs: Glyphs) -> list[Area]:
    """Paint; returns what can be clicked."""
    areas: list[Area] = []
    if frame.shut:
        pen = _Pen(canvas, 0, areas)
        for line in frame.shut:
            for piece in textwrap.wrap(line, canvas.width) or [""]:
                pen.line(piece)
        return areas
    _paint_list(canvas.window(0, 0, LIST_WIDTH, canvas.height), frame, glyphs, areas)
    left = LIST_WIDTH + 1
    pen = _Pen(canvas.window(left, 0, canvas.width - left, canvas.height), left, areas)
    entry = frame.desk.entry(frame.entries)
    if entry is None:
        pen.line(NOTHING_FOUND, Ink.CAUTION)
    else:
        _paint_chosen(pen, frame, entry, glyphs)
    _paint_in_now(pen, frame, glyphs)
    if entry is not None:
        _paint_cautions(pen, frame, entry, glyphs)
    return areas


# The list.


def _paint_list(canvas: Canvas, frame: FaultFrame, glyphs: Glyphs, areas: list[Area]) -> None:
    desk, found = frame.desk, frame.desk.found(frame.entries)
    pen = _Pen(canvas, 0, areas)
    cursor = "_" if desk.searching else ""
    search = f"/ {desk.query}{cursor}" if desk.query or desk.searching else "/ search"
    pen.line(search.ljust(canvas.width - 8), Ink.CURSOR if desk.searching else Ink.FAINT, "search")
    canvas.text_right(canvas.width, 0, f"{len(found)} of {len(frame.entries)}", Ink.FAINT)
    chosen = desk.entry(frame.entries)
    rows = _rows(found)
    here = next((k for k, row in enumerate(rows) if row is chosen), 0)
    room = canvas.height - 1
    first = max(0, min(here - room // 2, len(rows) - room))
    there = {one.name for one in frame.faults}
    for row in rows[first : first + room]:
        if isinstance(row, str):
            pen.line(row, Ink.TITLE)
            continue
        mark = glyphs.caution if row.name in there else " "
        here_now = row is chosen and desk.focus == "fault"
        marked = Ink.CURSOR if here_now else Ink.KEY
        ink = marked if row is chosen else Ink.STRONG if row.name in there else Ink.TEXT
        pointer = glyphs.arrows[1] if here_now else " "
        pen.line(f"{mark}{pointer}{row.name}".ljust(canvas.width), ink, f"choose:{row.name}")


def _rows(found: list[Entry]) -> list[Entry | str]:
    """Entries with their family's name before the first of each."""
    rows: list[Entry | str] = []
    family = ""
    for entry in found:
        if entry.family != family:
            family = entry.family
            rows.append(family)
        rows.append(entry)
    return rows


# The chosen fault.


def real_rig_words(entry: Entry) -> str:
    """May one stage it on a real rig?"""
    if entry.on_a_real_rig == NEVER:
        return "on a real rig: NEVER"
    return f"on a real rig: {entry.on_a_real_rig}"


def _paint_chosen(pen: _Pen, frame: FaultFrame, entry: Entry, glyphs: Glyphs) -> None:
    desk = frame.desk
    pen.line(entry.name, Ink.STRONG | BOLD)
    pen.wrapped(entry.what, most=3)
    never = entry.on_a_real_rig == NEVER
    mark = f"{glyphs.caution} " if never else ""
    pen.line(f"{mark}{real_rig_words(entry)}", Ink.ALARM if never else Ink.CAUTION)
    _paint_slider(pen, desk, entry, glyphs)
    pen.wrapped(severity_words(desk, entry), Ink.FAINT, most=4)
    if entry.places:
        many = f" ({1 + desk.place % len(entry.places)} of {len(entry.places)})" if len(entry.places) > 1 else ""  # fmt: skip
        _chooser(
            pen, desk, glyphs, "place", "place", f"{desk.place_of(entry)}{many}", turning=bool(many)
        )
    _chooser(pen, desk, glyphs, "onset", "onset", ONSETS[desk.onset])
    names = desk.fields(entry)
    if "time" in names:
        label = {1: "over", 2: "in", 4: "every"}[desk.onset]
        _chooser(pen, desk, glyphs, "time", label, f"{TIMES_S[desk.time]:.0f} s")
    if "event" in names:
        _chooser(pen, desk, glyphs, "event", "when", desk.events[desk.awaited])
    if "duty" in names:
        _chooser(pen, desk, glyphs, "duty", "there", f"{100 * desk.duty:.0f} % of the time")
    there = desk.there(entry, frame.faults)
    x = pen.words(0, "[enter insert]" if there is None else "[del remove]", Ink.KEY, "insert" if there is None else "remove") + 1  # fmt: skip
    x = pen.words(x, "[ctrl+z undo]", Ink.KEY if desk.put_in else Ink.FAINT, "undo") + 1
    pen.words(x, "[PIN]", Ink.KEY, "pin")
    pen.y += 1


def severity_words(desk: FaultDesk, entry: Entry) -> str:
    """What this severity means: the catalogue's words, and grams where charge is moved."""
    if not entry.grams:
        return entry.severity
    way = "out" if entry.grams > 0 else "in"
    return f"{abs(entry.grams) * desk.severity:.0f} g {way}: {entry.severity}"


def _paint_slider(pen: _Pen, desk: FaultDesk, entry: Entry, glyphs: Glyphs) -> None:
    focused = desk.focus == "severity"
    _label(pen, "severity", "severity", focused, glyphs)
    filled = BAR if entry.yes_or_no else round(BAR * desk.severity)
    for k in range(BAR):
        inside = k < filled
        pen.words(9 + k, glyphs.full if inside else glyphs.dot, Ink.LIQUID if inside else Ink.GRID, f"severity:{(k + 1) / BAR:.2f}")  # fmt: skip
    pen.words(
        10 + BAR, "is there" if entry.yes_or_no else f"{desk.severity:.2f}", Ink.STRONG | BOLD
    )
    pen.y += 1


def _label(pen: _Pen, name: str, label: str, focused: bool, glyphs: Glyphs) -> None:
    """What a row is about; the focus has an arrow too."""
    pen.words(0, label, Ink.CURSOR if focused else Ink.FAINT, f"field:{name}")
    if focused:
        pen.words(8, glyphs.arrows[1], Ink.STRONG)


def _chooser(pen: _Pen, desk: FaultDesk, glyphs: Glyphs, name: str, label: str, value: str, *, turning: bool = True) -> None:  # fmt: skip
    """A label and a value between two arrows that can be clicked."""
    _label(pen, name, label, desk.focus == name, glyphs)
    x = 9
    if turning:
        x = pen.words(x, "<", Ink.KEY, f"less:{name}") + 1
    x = pen.words(x, value, Ink.STRONG | BOLD, f"more:{name}" if turning else "") + 1
    if turning:
        pen.words(x, ">", Ink.KEY, f"more:{name}")
    pen.y += 1


# What is in, and what to heed.


def in_now_words(one: InNow, yes_or_no: bool = False) -> str:
    """A fault that is in: how much of it is there, or whether it is."""
    at = f" at {one.place}" if one.place else ""
    state = f"waits, {one.severity:.2f}" if one.waiting else f"{one.present:.2f}/{one.severity:.2f}"
    if yes_or_no:
        state = "waits" if one.waiting else "is there" if one.present else "away"
    return f"{state} {one.name}{at}"


def _paint_in_now(pen: _Pen, frame: FaultFrame, glyphs: Glyphs) -> None:
    pen.line(f"in now: {len(frame.faults)}" if frame.faults else "in now: nothing", Ink.TITLE)
    room = max(LEAST_IN_NOW, (pen.canvas.height - pen.y) // 2)
    shown = frame.faults if len(frame.faults) <= room else frame.faults[-(room - 1) :]
    whole = {entry.name for entry in frame.entries if entry.yes_or_no}
    for one in shown:
        pen.line(
            f"{glyphs.caution} {in_now_words(one, one.name in whole)}",
            Ink.STRONG,
            f"in:{one.name}@{one.place}",
        )
    if len(shown) < len(frame.faults):
        pen.line(f"  and {len(frame.faults) - len(shown)} before these", Ink.FAINT)


def _paint_cautions(pen: _Pen, frame: FaultFrame, entry: Entry, glyphs: Glyphs) -> None:
    """As many whole texts as there is room for; what is left out is named, with the key that shows it."""
    way_back = f"way back: {entry.removal}; it leaves: {entry.trace}"
    texts = [textwrap.wrap(text, pen.canvas.width) for text in (*frame.cautions, way_back)]
    whole = sum(map(len, texts)) <= pen.canvas.height - pen.y
    for k, lines in enumerate(texts):
        if not whole and len(lines) >= pen.canvas.height - pen.y:
            pen.y = min(pen.y, pen.canvas.height - 1)
            left = ", ".join((*entry.cautions, "way back")[k:])
            pen.line(f"{glyphs.caution} {left}  [o read all]", Ink.CAUTION, "card")
            return
        for line in lines:
            pen.line(line, Ink.CAUTION)

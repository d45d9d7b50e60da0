"""The hand meter beside the ladder: knob, reading in large digits, where probes and clamp are, why it refuses, and what the cursor stands on."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass

from tui.draw.canvas import Canvas
from tui.draw.digits import ROWS, large, paint_digits
from tui.draw.glyphs import Glyphs
from tui.draw.ink import BOLD, Ink
from tui.draw.ladder import legend
from tui.meter import MODES, MeterDesk
from tui.metering import Meters
from tui.plant import Measured

REST = "more: a wider screen; all cautions: c"
BY_EYE = ("assessed: the ladder", "shows what one sees;", "live or dead: measure")
"""Instead of the legend of conductors."""
NARROW = 60
"""From here on the face lies beside its text instead of above it."""


@dataclass(frozen=True)
class MeterFrame:
    """What the wiring view needs besides the scene."""

    desk: MeterDesk
    meters: Meters
    here: Sequence[str] = ()
    """What the cursor stands on, in words."""
    cautions: Sequence[str] = ()
    """Lines that hold for this use of the meter."""
    by_eye: bool = False
    """Assessed: the ladder tells nothing that takes a meter."""


def paint_meter(canvas: Canvas, frame: MeterFrame, glyphs: Glyphs) -> None:
    """The face, then the words; side by side on a strip."""
    if canvas.width >= NARROW:
        _face(canvas.window(0, 0, 29, canvas.height), frame, glyphs)
        beside = canvas.window(30, 0, canvas.width - 30, canvas.height)
        _lines(beside, [*_refusal(frame), *_here(frame), *_cautions(frame)])
        return
    used = _face(canvas, frame, glyphs)
    legend_rows = 4
    rest = canvas.window(0, used + 1, canvas.width, canvas.height - used - 1 - legend_rows)
    _lines(rest, [*_refusal(frame), *_here(frame), *_cautions(frame)])
    if frame.by_eye:
        for row, words in enumerate(BY_EYE):
            canvas.text(0, canvas.height - len(BY_EYE) + row, words[: canvas.width], Ink.FAINT)
        return
    for row, (stroke, words, ink) in enumerate(legend(glyphs)):
        y = canvas.height - legend_rows + 1 + row
        canvas.text(canvas.text(0, y, stroke, ink) + 1, y, words, Ink.FAINT)


def _face(canvas: Canvas, frame: MeterFrame, glyphs: Glyphs) -> int:
    """Knob, digits, leads; returns the rows used."""
    desk = frame.desk
    canvas.text(0, 0, f"{MODES[desk.knob][1]}"[: canvas.width], Ink.TITLE)
    _reading(canvas, frame, glyphs)
    y = 1 + ROWS
    ends = [end or "-" for end in desk.probes]
    if desk.mode != "amps":
        canvas.text(0, y, f"1 {ends[0]}  2 {ends[1]}"[: canvas.width], Ink.TEXT)
    jaws = " ".join(frame.meters.use.around) if frame.meters.use.mode == desk.mode else ""
    if desk.use.around or desk.mode in ("amps", "watts", "power-factor"):
        row = y if desk.mode == "amps" else y + 1
        canvas.text(0, row, f"clamp {jaws or '-'}"[: canvas.width], Ink.TEXT)
        y = row
    held = _held(frame)
    if held:
        y += canvas.width < NARROW and canvas.height > y + 2
        canvas.text_right(canvas.width, y, held, Ink.CAUTION | BOLD)
    return y + 1


def _held(frame: MeterFrame) -> str:
    if not frame.desk.holding:
        return "leads zeroed" if frame.desk.zeroed and frame.desk.mode in ("ohms", "continuity") else ""  # fmt: skip
    largest = frame.meters.largest
    return f"peak {largest.shown}" if largest is not None else "peak -"


def _reading(canvas: Canvas, frame: MeterFrame, glyphs: Glyphs) -> None:
    measured = frame.meters.measured
    if measured is None or frame.meters.use != frame.desk.use:
        words = frame.desk.use.missing or ("no reading" if frame.meters.unread else "")
        canvas.text(1, 2, words, Ink.FAINT)
        return
    if measured.refusal:
        canvas.text(1, 2, f" {glyphs.caution} {measured.refusal} ", Ink.ALARM)
        return
    number, _, unit = measured.shown.partition(" ")
    if glyphs.name == "ascii":
        unit = unit.replace("Ω", "ohm")
    if large(number):
        x = paint_digits(canvas, 1, 1, number, Ink.STRONG | BOLD, glyphs)
        canvas.text(x + 1, ROWS, unit, Ink.STRONG | BOLD)
    else:
        canvas.text(1, 2, measured.shown, Ink.STRONG | BOLD)


Words = tuple[str, int]


def _refusal(frame: MeterFrame) -> list[Words]:
    """Why there is no reading, and what would have happened."""
    measured: Measured | None = frame.meters.measured
    if frame.meters.unread:
        return [(frame.meters.unread, Ink.CAUTION | BOLD)]
    if measured is None or not measured.refusal or frame.meters.use != frame.desk.use:
        return []
    return [(measured.would_have, Ink.CAUTION)]


def _here(frame: MeterFrame) -> list[Words]:
    return [(line, Ink.STRONG | BOLD if i == 0 else Ink.TEXT) for i, line in enumerate(frame.here)]


def _cautions(frame: MeterFrame) -> list[Words]:
    return [(line, Ink.CAUTION) for line in frame.cautions]


def _lines(canvas: Canvas, texts: Sequence[Words]) -> None:
    """Paragraphs, cut into rows; when the room is used up the last row says where the rest is."""
    rows = [(row, ink) for text, ink in texts for row in textwrap.wrap(text, max(10, canvas.width))]
    for y, (row, ink) in enumerate(rows[: canvas.height]):
        canvas.text(0, y, row, ink)
    if len(rows) > canvas.height > 0:
        canvas.text(0, canvas.height - 1, REST.ljust(canvas.width), Ink.CAUTION | BOLD)

"""The lines at the top and the bottom of the screen, and the box that says what is being prepared."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tui.draw.canvas import Canvas
from tui.draw.glyphs import Glyphs
from tui.draw.ink import BOLD, Ink
from tui.draw.lists import clock_words, event_ink, event_words, shortened
from tui.draw.scene import Scene
from tui.seen import NO_FLOW


class FooterKey(NamedTuple):
    """A key on the last line."""

    key: str
    words: str
    command: str
    alarm: bool = False


class Progress(NamedTuple):
    """What is being prepared; ``phase`` moves the bar while nobody knows the share."""

    text: str
    share: float | None
    phase: float
    seconds: float


WIDE = 116
"""Columns from which the status line names its readings in full; guess: with less the two that are worked out would not fit beside both gauges."""
STAGE_WIDE = 140
"""Columns from which it also says what for the plant is held or runs; with less that would push superheat off it."""


def stage_alone(stage: str) -> str:
    """Running or held, without what for: the line below the plant has that."""
    return stage.partition(": ")[0].partition(" until ")[0]


def left_over(stage: str, width: int) -> str:
    """What the status line has no room for; '' when it says all."""
    return stage if width < STAGE_WIDE and stage_alone(stage) != stage else ""


def paint_status(canvas: Canvas, scene: Scene, stage: str, status: str, alarms: Sequence[str]) -> tuple[list[tuple[int, int, str]], int]:  # fmt: skip
    """Pace and clock, refrigerant with its safety class, the numbers that matter most, alarms; returns where each alarm stands (left, right, tag), and where the clock ends."""
    canvas.clear(Ink.STATUS)
    if canvas.width < STAGE_WIDE:
        stage = stage_alone(stage)
    x = canvas.text(0, 0, f" {stage} ", Ink.KEY if stage.startswith("RUN") else Ink.CURSOR) + 1
    if scene.snapshot is not None:
        x = canvas.text(x, 0, clock_words(scene.snapshot.time_s), Ink.STATUS) + 2
    clock_ends, right, spots = x, canvas.width, []
    for alarm in alarms:
        text = f" {scene.glyphs.caution} {alarm} "
        right -= len(text)
        canvas.text(right, 0, text, Ink.ALARM)
        spots.append((right, right + len(text), alarm.partition(" ")[0]))
    pieces = _pieces(scene, canvas.width)
    shown = _fitting(pieces, right - len(status) - 2 - x)
    if canvas.width < WIDE and len(shown) < len(pieces) - 1 and NO_FLOW not in str(shown):
        status = status.rpartition("  ")[0] or status  # units stand beside every number
        shown = _fitting(pieces, right - len(status) - 2 - x)
    canvas.text(right - len(status) - 1, 0, status, Ink.STATUS)
    for piece in shown:
        x = canvas.text(x, 0, piece, Ink.STATUS) + 2
    return spots, clock_ends


def _fitting(pieces: Sequence[str | tuple[str, ...]], room: int) -> list[str]:
    """Pieces in their order, each in the longest form that there is room for, up to the first that has none."""
    shown: list[str] = []
    for piece in pieces:
        forms = (piece,) if isinstance(piece, str) else piece
        form = next((form for form in forms if len(form) <= room), "")
        if not form:
            break
        shown.append(form)
        room -= len(form) + 2
    return shown


def _pieces(scene: Scene, width: int) -> list[str | tuple[str, ...]]:
    pieces: list[str | tuple[str, ...]] = []
    if "current_a" in scene.peaks:
        pieces.append(
            f"{scene.dial('current_a', 'current')} peak {scene.quantity('current_a', scene.peaks['current_a'])}"
        )
    if scene.fluid is not None:
        inside = scene.charted
        held = f", holds {inside.name} {inside.safety_class}" if inside and inside is not scene.fluid else ""  # fmt: skip
        pieces.append(f"{scene.fluid.name} {scene.fluid.safety_class}{held}")
    if scene.snapshot is None:
        return pieces
    if width < WIDE:
        return [*pieces, *_narrow_pieces(scene)]
    short = width < 140
    pieces.append(scene.mode)
    pieces.append(
        f"{scene.dial('suction_pressure_pa', 'suction')} {scene.words('suction_pressure_pa', short=short)}"
    )
    pieces.append(
        f"{scene.dial('discharge_pressure_pa', 'discharge')} {scene.words('discharge_pressure_pa', short=short)}"
    )
    pieces.append(_superheat_and_subcooling(scene, short))
    pieces.append(f"room {scene.words('room_temperature_k', short=short)}")
    return pieces


def _superheat_and_subcooling(scene: Scene, short: bool) -> tuple[str, ...]:
    """Both in one piece, in full down to numbers alone, so that neither goes without the other."""
    heat, cool = (scene.words(key, short=short) for key in (scene.superheat, "gauge_subcooling_k"))
    if heat == NO_FLOW:
        return (*(() if short else (f"superheat, subcooling: {NO_FLOW}",)), f"SH, SC: {NO_FLOW}")
    name, brief = ("superheat at compr.", "SH comp.") if scene.heating else ("superheat", "SH")
    heat_short, cool_short = (scene.words(key) for key in (scene.superheat, "gauge_subcooling_k"))
    bare, unit, *said = [*heat_short.split(), ""][:3]
    state = said[0] if said and said[0] else ""
    lower = cool_short.partition(" ")[0]
    return (
        f"{name} {heat}  subcooling {cool}",
        f"{brief} {heat_short}  SC {cool_short}",
        *((f"{brief} {state}  SC {cool_short}",) if state else ()),
        *((f"{brief}/SC {bare}/{lower} {unit}",) if not state and not scene.heating else ()),
        f"{brief} {state or bare}  SC {lower}",
    )


def _narrow_pieces(scene: Scene) -> list[str | tuple[str, ...]]:
    """The same for 80 columns: both gauges under one unit, and the trade's short names."""
    low, high = (scene.words(key) for key in ("suction_pressure_pa", "discharge_pressure_pa"))
    return [
        f"PI {low.partition(' ')[0]}/{high}",
        _superheat_and_subcooling(scene, True),
        scene.mode,
    ]


def paint_event_line(canvas: Canvas, scene: Scene, notice: str) -> None:
    """The newest event, or what the program has to say."""
    if notice:
        canvas.text(1, 0, shortened(notice, canvas.width - 1), Ink.CAUTION | BOLD)
    elif scene.events:
        event = scene.events[-1]
        canvas.text(1, 0, shortened(event_words(scene, event), canvas.width - 1), event_ink(event))


def paint_footer(canvas: Canvas, keys: Sequence[FooterKey]) -> list[tuple[int, int, str]]:
    """Keys with what they do; returns where each stands: (left, right, command). The last one, which leads to all others, stands at the right edge."""
    if not keys:
        return []
    *first, last = keys
    right = canvas.width - _footer_width(last)
    spots, x = [_footer_key(canvas, right, last)], 0
    for one, follows in zip(first, [*first[1:], None], strict=True):
        whole = (
            0 if one.words or follows is None else _footer_width(follows)
        )  # its words stand behind the next key
        if x + _footer_width(one) + whole >= right:
            break
        spots.append(_footer_key(canvas, x, one))
        x += _footer_width(one) + (2 if one.words else 0)
    return spots


def _footer_width(one: FooterKey) -> int:
    return len(one.key) + (3 + len(one.words) if one.words else 1)


def _footer_key(canvas: Canvas, x: int, one: FooterKey) -> tuple[int, int, str]:
    canvas.text(x, 0, f" {one.key} ", Ink.STOP if one.alarm else Ink.KEY)
    canvas.text(x + len(one.key) + 3, 0, one.words, Ink.TEXT)
    return x, x + _footer_width(one) + 1, one.command


def paint_preparing(canvas: Canvas, progress: Progress, glyphs: Glyphs) -> None:
    """A box in the middle: what is being done, for how long, and a bar that moves."""
    width, height = min(60, canvas.width - 4), 6
    x, y = (canvas.width - width) // 2, (canvas.height - height) // 2
    box = canvas.window(x, y, width, height)
    box.clear()
    box.box(0, 0, width, height, glyphs.heavy_frame, Ink.TITLE)
    box.text(2, 0, " getting ready ", Ink.STRONG | BOLD)
    box.text(3, 1, progress.text[: width - 6], Ink.TEXT)
    room = width - 6
    box.text(3, 2, glyphs.dot * room, Ink.GRID)
    if progress.share is None:
        length = room // 5
        start = round((room - length) * (1 - abs(1 - progress.phase * 2)))
        box.text(3 + start, 2, glyphs.full * length, Ink.LIQUID)
    else:
        box.text(3, 2, glyphs.full * round(room * max(0.0, min(1.0, progress.share))), Ink.LIQUID)
    box.text(3, 4, f"{progress.seconds:.0f} s; the first start on a machine takes longest", Ink.FAINT)  # fmt: skip

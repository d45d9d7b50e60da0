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


WIDE = 100
"""Columns from which the status line names its readings in full; guess: five of them fit."""
STAGE_WIDE = 140
"""Columns from which it also says what for the plant is held or runs; with less that would push superheat off it."""


def stage_alone(stage: str) -> str:
    """Running or held, without what for: the line below the plant has that."""
    return stage.partition(": ")[0].partition(" until ")[0]


def left_over(stage: str, width: int) -> str:
    """What the status line has no room for; '' when it says all."""
    return stage if width < STAGE_WIDE and stage_alone(stage) != stage else ""


def paint_status(canvas: Canvas, scene: Scene, stage: str, status: str, alarms: Sequence[str]) -> list[tuple[int, int, str]]:  # fmt: skip
    """Pace and clock, refrigerant with its safety class, the numbers that matter most, alarms; returns where each alarm stands: (left, right, tag)."""
    canvas.clear(Ink.STATUS)
    if canvas.width < STAGE_WIDE:
        stage = stage_alone(stage)
    x = canvas.text(0, 0, f" {stage} ", Ink.KEY if stage.startswith("RUN") else Ink.CURSOR) + 1
    if scene.snapshot is not None:
        x = canvas.text(x, 0, clock_words(scene.snapshot.time_s), Ink.STATUS) + 2
    right, spots = canvas.width, []
    for alarm in alarms:
        text = f" {scene.glyphs.caution} {alarm} "
        right -= len(text)
        canvas.text(right, 0, text, Ink.ALARM)
        spots.append((right, right + len(text), alarm.partition(" ")[0]))
    canvas.text(right - len(status) - 1, 0, status, Ink.STATUS)
    room = right - len(status) - 2
    for piece in _pieces(scene, canvas.width):
        if x + len(piece) > room:
            break
        x = canvas.text(x, 0, piece, Ink.STATUS) + 2
    return spots


def _pieces(scene: Scene, width: int) -> list[str]:
    pieces = []
    if "current_a" in scene.peaks:
        pieces.append(f"II-1 peak {scene.quantity('current_a', scene.peaks['current_a'])}")
    if scene.fluid is not None:
        inside = scene.charted
        held = f", holds {inside.name} {inside.safety_class}" if inside and inside is not scene.fluid else ""  # fmt: skip
        pieces.append(f"{scene.fluid.name} {scene.fluid.safety_class}{held}")
    if scene.snapshot is None:
        return pieces
    if width < WIDE:
        return [*pieces, *_narrow_pieces(scene)]
    short = width < 140
    pieces.append(str(scene.setting("HS-5") or ""))
    pieces.append(f"PI-1 {scene.words('suction_pressure_pa', short=short)}")
    pieces.append(f"PI-2 {scene.words('discharge_pressure_pa', short=short)}")
    if scene.words("gauge_superheat_k") == NO_FLOW:
        pieces.append(f"{'SH, SC' if short else 'superheat, subcooling'}: {NO_FLOW}")
    else:
        pieces.append(f"{'superheat at compr.' if scene.heating else 'superheat'} {scene.words('gauge_superheat_k', short=short)}")  # fmt: skip
        pieces.append(f"subcooling {scene.words('gauge_subcooling_k', short=short)}")
    pieces.append(f"room {scene.words('room_temperature_k', short=short)}")
    return pieces


def _narrow_pieces(scene: Scene) -> list[str]:
    """The same for 80 columns: both gauges under one unit, and the trade's short names."""
    low, high = (scene.words(key) for key in ("suction_pressure_pa", "discharge_pressure_pa"))
    worked = [
        f"{'SH comp.' if scene.heating else 'SH'} {scene.words('gauge_superheat_k')}",
        f"SC {scene.words('gauge_subcooling_k')}",
    ]
    if scene.words("gauge_superheat_k") == NO_FLOW:
        worked = [f"SH, SC: {NO_FLOW}"]
    return [
        f"PI {low.partition(' ')[0]}/{high}",
        *worked,
        str(scene.setting("HS-5") or ""),
    ]


def paint_event_line(canvas: Canvas, scene: Scene, notice: str) -> None:
    """The newest event, or what the program has to say."""
    if notice:
        canvas.text(1, 0, shortened(notice, canvas.width - 1), Ink.CAUTION | BOLD)
    elif scene.events:
        event = scene.events[-1]
        canvas.text(1, 0, shortened(event_words(event), canvas.width - 1), event_ink(event))


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
    return len(one.key) + 2 + (1 + len(one.words) if one.words else 0)


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

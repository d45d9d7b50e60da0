"""Five readings for the back of a room: number, name, unit, and an arrow, as large as five bands of the screen allow.

A letter should be at least a two-hundredth of the distance high, better a hundred-and-fiftieth (ISO 9241-303 asks for 16 to 22 minutes of arc; from memory): 40 to 53 mm at 8 m. Of
an image 1.5 m high a row of 40 is 37 mm, so digits of five rows (187 mm) and names and units of two and a half (94 mm) are read from there; plain text is not.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from textwrap import wrap

from tui.draw.block_font import HEIGHT, paint_blocks, rows_of, width_of
from tui.draw.canvas import Canvas
from tui.draw.glyphs import Glyphs
from tui.draw.ink import BOLD, Ink
from tui.projecting import Moving, Shown

NUMBER_SHARE, UNIT_SHARE = 0.40, 0.27
"""Of the width, at most; names have what the widest number leaves."""
ARROWS = {Moving.RISING: "↑", Moving.FALLING: "↓", Moving.STEADY: "→"}
LOWS = ("suction", "evapor", "superheat")
HIGHS = ("discharge", "condens", "liquid", "subcool")


@dataclass(frozen=True)
class ProjectorFrame:
    """What the page shows."""

    shown: Sequence[Shown] = ()


def paint_projector(canvas: Canvas, frame: ProjectorFrame, glyphs: Glyphs) -> None:
    """A band a reading; numbers end in one column."""
    count = max(1, len(frame.shown))
    rows, most = max(canvas.height // count - 1, 3), int(canvas.width * NUMBER_SHARE)
    sizes = [fitting(shown.number, rows, most) for shown in frame.shown]
    widest = max((width_of(one.number, size) if size else len(one.number) for one, size in zip(frame.shown, sizes, strict=True)), default=0)  # fmt: skip
    columns = canvas.width - widest - int(canvas.width * UNIT_SHARE) - 2, widest
    for index, (shown, size) in enumerate(zip(frame.shown, sizes, strict=True)):
        top, end = (canvas.height * k // count for k in (index, index + 1))
        _band(canvas.window(0, top, canvas.width, end - top), shown, size, columns, glyphs)


def fitting(text: str, rows: int, columns: int) -> int:
    """The largest size that has room; 0 when none has."""
    size = 2 * rows // HEIGHT
    while size > 0 and (width_of(text, size) > columns or rows_of(size) > rows):
        size -= 1
    return size


def _band(canvas: Canvas, shown: Shown, size: int, columns: tuple[int, int], glyphs: Glyphs) -> None:  # fmt: skip
    ink = _ink(shown.name) | BOLD
    name, number = columns
    if size:
        paint_blocks(canvas, name + number - width_of(shown.number, size), 0, shown.number, size, ink, glyphs)  # fmt: skip
    else:
        canvas.text_right(name + number, 0, shown.number, ink)
    _name(canvas.window(0, 0, name - 2, canvas.height), shown, size // 2, glyphs)
    right = canvas.window(name + number + 2, 0, canvas.width - name - number - 2, canvas.height)
    _unit(right, shown, size // 2, glyphs)


def _name(canvas: Canvas, shown: Shown, size: int, glyphs: Glyphs) -> None:
    """The name in block capitals, which are easier to read so, on as many lines as there are; plain where it has no room so."""
    while size:
        lines = _lines(shown.name.upper(), size, canvas.width)
        if lines and len(lines) * rows_of(size) <= canvas.height:
            for k, line in enumerate(lines):
                paint_blocks(canvas, 0, k * rows_of(size), line, size, Ink.STRONG, glyphs)
            return
        size -= 1
    for y, line in enumerate([shown.tag, *wrap(shown.name, max(8, canvas.width))]):
        canvas.text(0, y, line, Ink.FAINT if not y else Ink.STRONG | BOLD)


def _lines(name: str, size: int, columns: int) -> list[str]:
    """Words on lines of ``columns``; empty when one word is too long."""
    lines: list[str] = []
    for word in name.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width_of(longer, size) <= columns:
            lines[-1] = longer
        elif width_of(word, size) > columns:
            return []
        else:
            lines.append(word)
    return lines


def _unit(canvas: Canvas, shown: Shown, size: int, glyphs: Glyphs) -> None:
    """Unit above, arrow and word below."""
    ink = Ink.STRONG | BOLD if shown.moving in (Moving.STEADY, Moving.UNKNOWN) else Ink.CAUTION | BOLD  # fmt: skip
    arrow = ARROWS.get(shown.moving, "")
    size = fitting(shown.unit, canvas.height // 2, canvas.width) if size and shown.unit else size
    if not size:
        canvas.text(0, 0, shown.unit, Ink.STRONG)
        canvas.text(0, 1, f"{_plain(arrow, glyphs)} {shown.moving.value}".strip(), ink)
        return
    paint_blocks(canvas, 0, 0, shown.unit, size, Ink.STRONG, glyphs)
    below = rows_of(size)
    size = min(fitting(arrow or "↑", canvas.height - below, canvas.width), size)
    if size and arrow:
        paint_blocks(canvas, 0, below, arrow, size, ink, glyphs)
        word = fitting(shown.moving.value, canvas.height - below, canvas.width - width_of(arrow, size) - 3)  # fmt: skip
        x = width_of(arrow, size) + 3
        if word:
            paint_blocks(canvas, x, below, shown.moving.value, min(word, size), ink, glyphs)
        else:
            canvas.text(x, below + rows_of(size) // 2, shown.moving.value, ink)


def _plain(arrow: str, glyphs: Glyphs) -> str:
    return {"↑": "^", "↓": "v", "→": "="}.get(arrow, "") if glyphs.name == "ascii" else arrow


def _ink(name: str) -> int:
    """Low side and high side keep their colours."""
    if name.startswith(LOWS):
        return Ink.LOW
    return Ink.HIGH if name.startswith(HIGHS) else Ink.STRONG

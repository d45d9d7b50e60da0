"""The curves of a rehearsal card: in a terminal as dots, in a page as SVG. A letter at each curve's end, so that no meaning hangs on colour."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from tui.draw.canvas import Canvas
from tui.draw.dots import Dots
from tui.draw.glyphs import Glyphs
from tui.draw.ink import Ink
from tui.draw.scale import Scale, tick_text, ticks, widen

if TYPE_CHECKING:
    from sim.study.card import Card

LETTERS = "ABCD"
WIDTH, HEIGHT, AXIS = 76, 14, 7  # cells; fits 80 columns
LEAST_PERCENT = 5.0
SVG_WIDTH, SVG_HEIGHT, SVG_MARGIN = 640, 260, 44
DASHES = ("", "8 4", "3 3", "10 3 2 3")


def _range(card: Card) -> tuple[float, float]:
    every = [value for curve in card.curves.values() for value in (*curve, 0.0)]
    return widen(min(every), max(every), LEAST_PERCENT)


def legend(card: Card) -> list[str]:
    """Letter, tag and what it shows."""
    what = {move.tag: move.what for move in card.moves}
    return [f"{letter} {tag} {what.get(tag, '')}".rstrip() for letter, tag in zip(LETTERS, card.curves, strict=False)]  # fmt: skip


def in_dots(card: Card, glyphs: Glyphs) -> str:
    """Lines of text, at most 80 columns."""
    low, high = _range(card)
    canvas = Canvas.blank(WIDTH, HEIGHT + 1)
    dots = Dots(WIDTH - AXIS - 2, HEIGHT)
    across = Scale(0.0, card.times_s[-1], 0, dots.across - 1)
    upward = Scale(low, high, dots.down - 1, 0)
    dots.curve([0, dots.across - 1], [upward.at(0.0)] * 2, Ink.GRID)
    for curve in card.curves.values():
        dots.curve(across(card.times_s), upward(curve), Ink.TEXT)
    dots.lay(canvas, AXIS, 0, glyphs.dotting)
    for value in ticks(low, high, 5):
        row = min(int(upward.at(value)) // 4, HEIGHT - 1)
        canvas.text_right(AXIS - 1, row, tick_text(value))
    taken: set[int] = set()
    for letter, curve in zip(LETTERS, card.curves.values(), strict=False):
        row = min(max(int(upward.at(curve[-1])) // 4, 0), HEIGHT - 1)
        while row in taken and row < HEIGHT - 1:
            row += 1
        taken.add(row)
        canvas.text(WIDTH - 1, row, letter)
    canvas.text(AXIS, HEIGHT, "0 s")
    canvas.text_right(WIDTH - 2, HEIGHT, f"{card.times_s[-1]:.0f} s")
    lines = [canvas.row_text(row).rstrip() for row in range(canvas.height)]
    return "\n".join([*lines, *legend(card)])


def in_svg(card: Card) -> str:
    """One SVG element with a title for screen readers."""
    low, high = _range(card)
    across = Scale(0.0, card.times_s[-1], SVG_MARGIN, SVG_WIDTH - SVG_MARGIN)
    upward = Scale(low, high, SVG_HEIGHT - SVG_MARGIN, 10.0)
    label = escape("Distance of displays from the healthy bench in percent of the dial: " + "; ".join(legend(card)))  # fmt: skip
    parts = [f'<svg viewBox="0 0 {SVG_WIDTH} {SVG_HEIGHT}" role="img" aria-label="{label}" xmlns="http://www.w3.org/2000/svg" font-family="sans-serif" font-size="11">']  # fmt: skip
    for value in ticks(low, high, 6):
        y = upward.at(value)
        parts.append(f'<path d="M{SVG_MARGIN} {y:.1f}H{SVG_WIDTH - SVG_MARGIN}" stroke="#bbb" fill="none"/>')  # fmt: skip
        parts.append(f'<text x="{SVG_MARGIN - 4}" y="{y + 4:.1f}" text-anchor="end">{tick_text(value)}</text>')  # fmt: skip
    for value in ticks(0.0, card.times_s[-1], 6):
        parts.append(f'<text x="{across.at(value):.1f}" y="{SVG_HEIGHT - SVG_MARGIN + 16}" text-anchor="middle">{tick_text(value)} s</text>')  # fmt: skip
    for letter, dash, curve in zip(LETTERS, DASHES, card.curves.values(), strict=False):
        points = " ".join(f"{x:.1f},{y:.1f}" for x, y in zip(across(card.times_s), upward(curve), strict=True))  # fmt: skip
        parts.append(f'<polyline points="{points}" fill="none" stroke="#000" stroke-width="1.5" stroke-dasharray="{dash}"/>')  # fmt: skip
        parts.append(f'<text x="{SVG_WIDTH - SVG_MARGIN + 4}" y="{upward.at(curve[-1]) + 4:.1f}" font-weight="bold">{letter}</text>')  # fmt: skip
    return "".join([*parts, "</svg>"])

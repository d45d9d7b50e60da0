"""The curves of a rehearsal card: in a terminal as dots, in a page as SVG. A letter at each curve's end, so that no meaning hangs on colour."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape
from itertools import pairwise
from textwrap import wrap
from typing import TYPE_CHECKING

from tui.draw.canvas import Canvas
from tui.draw.dots import Dots
from tui.draw.glyphs import Glyphs
from tui.draw.ink import Ink
from tui.draw.scale import Scale, tick_text, ticks, widen

if TYPE_CHECKING:
    from sim.cautions import Caution
    from sim.study.card import Card

LETTERS = "ABCD"
WIDTH, HEIGHT, AXIS = 76, 14, 7  # cells; fits 80 columns
LEAST_PERCENT = 5.0
SVG_WIDTH, SVG_HEIGHT, SVG_LEFT, LINE = 640, 260, 44, 15
CAUTION_LETTERS = 104  # so many letters of this size are as wide as the picture
CLOCKS = ((7200.0, 3600.0, "h"), (300.0, 60.0, "min"), (0.0, 1.0, "s"))
"""(from so many seconds on, seconds a unit, unit) of the axis of time."""
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


def in_svg(card: Card, *, alone: bool = False) -> str:
    """One SVG element: axes with their units, a letter at each curve's end, a legend below; a title for screen readers. When it stands alone the card's cautions are in it."""
    title = "Distance of displays from the healthy bench in percent of the dial"
    cautions = card.cautions if alone else []
    if not card.curves:
        said = f'<text x="{SVG_LEFT}" y="24">{escape(card.case.name)}: no display moves.</text>'
        return _with_cautions(40, title, [said], cautions)
    low, high = _range(card)
    end_s = card.times_s[-1]
    size, unit = next((size, unit) for least, size, unit in CLOCKS if end_s >= least)
    right, bottom = SVG_WIDTH - 30, SVG_HEIGHT - 34
    across = Scale(0.0, end_s / size, SVG_LEFT, right)
    upward = Scale(low, high, bottom, 26.0)
    parts = [f'<text x="4" y="14">distance from the healthy bench, % of the dial — {escape(card.case.name)}</text>']  # fmt: skip
    for value in ticks(low, high, 6):
        y, ink = upward.at(value), "#000" if value == 0.0 else "#bbb"
        parts.append(f'<path d="M{SVG_LEFT} {y:.1f}H{right}" stroke="{ink}" fill="none"/>')
        parts.append(f'<text x="{SVG_LEFT - 5}" y="{y + 4:.1f}" text-anchor="end">{tick_text(value)}</text>')  # fmt: skip
    for value in ticks(0.0, end_s / size, 6):
        x = across.at(value)
        parts.append(f'<path d="M{x:.1f} {bottom}v5" stroke="#000" fill="none"/>')
        parts.append(f'<text x="{x:.1f}" y="{bottom + 17}" text-anchor="middle">{tick_text(value)}</text>')  # fmt: skip
    parts.append(f'<text x="{right}" y="{SVG_HEIGHT - 4}" text-anchor="end">time after the first fault, {unit}</text>')  # fmt: skip
    free_y = _apart([upward.at(curve[-1]) + 4.0 for curve in card.curves.values()])
    for letter, dash, y, curve in zip(LETTERS, DASHES, free_y, card.curves.values(), strict=False):
        seconds = [at_s / size for at_s in card.times_s]
        points = " ".join(f"{x:.1f},{up:.1f}" for x, up in zip(across(seconds), upward(curve), strict=True))  # fmt: skip
        parts.append(f'<polyline points="{points}" fill="none" stroke="#000" stroke-width="1.5" stroke-dasharray="{dash}"/>')  # fmt: skip
        parts.append(f'<text x="{right + 6}" y="{y:.1f}" font-weight="bold">{letter}</text>')
    parts += _svg_legend(card)
    return _with_cautions(SVG_HEIGHT + 6 + LINE * len(card.curves), f"{title}: {'; '.join(legend(card))}", parts, cautions)  # fmt: skip


def _with_cautions(height: int, label: str, parts: list[str], cautions: Sequence[Caution]) -> str:
    """The picture, with the cautions as lines below it."""
    lines = [line for one in cautions for line in wrap(one.line(), CAUTION_LETTERS)]
    said = [f'<text x="4" y="{height + LINE * (row + 1) - 3}">{escape(line)}</text>' for row, line in enumerate(lines)]  # fmt: skip
    return _svg(height + (6 + LINE * len(lines)) * bool(lines), label, [*parts, *said])


def _svg_legend(card: Card) -> list[str]:
    """A line a curve: its stroke, its letter, what it shows."""
    parts = []
    for row, (line, dash) in enumerate(zip(legend(card), DASHES, strict=False)):
        y = SVG_HEIGHT + LINE * (row + 1) - 2
        parts.append(f'<path d="M{SVG_LEFT} {y - 4}h50" stroke="#000" stroke-width="1.5" stroke-dasharray="{dash}"/>')  # fmt: skip
        parts.append(f'<text x="{SVG_LEFT + 60}" y="{y}">{escape(line)}</text>')
    return parts


def _svg(height: int, label: str, parts: list[str]) -> str:
    head = f'<svg viewBox="0 0 {SVG_WIDTH} {height}" role="img" aria-label="{escape(label)}" xmlns="http://www.w3.org/2000/svg" font-family="sans-serif" font-size="11">'  # fmt: skip
    return "".join([head, f'<rect width="{SVG_WIDTH}" height="{height}" fill="#fff"/>', *parts, "</svg>"])  # fmt: skip


def _apart(heights: list[float]) -> list[float]:
    """Heights of letters, moved down where two would lie on each other."""
    moved = list(heights)
    order = sorted(range(len(moved)), key=moved.__getitem__)
    for above, below in pairwise(order):
        moved[below] = max(moved[below], moved[above] + LINE - 3)
    return moved

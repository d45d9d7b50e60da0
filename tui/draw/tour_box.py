"""The tour on the canvas: a box that stands clear of what it speaks of, and marks on that. Marks are reversed cells with arrowheads beside them, so they need neither colour nor a wide set of characters."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from typing import Literal, NamedTuple

import numpy as np

from tui.draw.canvas import Canvas
from tui.draw.drawing import Rect
from tui.draw.glyphs import Glyphs
from tui.draw.ink import BOLD, INK_MASK, REVERSE, Ink
from tui.tour import Said

WIDEST, NARROW, SLIM = 76, 58, 44
"""Columns of the box with its frame: the first that stands clear."""


class Target(NamedTuple):
    """Cells that are pointed at. ``edge``: only their edge is marked, since what is inside is to be read; ``bare``: nothing is marked, but the box keeps clear of them."""

    rect: Rect
    how: Literal["words", "edge", "bare"] = "words"


class Button(NamedTuple):
    """Cells that run a command when clicked."""

    left: int
    right: int
    y: int
    command: str


class Boxed(NamedTuple):
    """Where the box stands, and what in it can be clicked."""

    rect: Rect
    buttons: tuple[Button, ...] = ()
    corner: int = 0
    """Which of the places it took; it stays there while that is clear."""


def paint_tour(canvas: Canvas, said: Said, room: Rect, targets: Sequence[Target], keep_clear: Sequence[Rect], glyphs: Glyphs, corner: int = 0) -> Boxed:  # fmt: skip
    """Marks, then the box inside ``room``; ``corner``: where it stood before."""
    for target in targets:
        mark(canvas, target, glyphs)
    clear = [*keep_clear, *(target.rect for target in targets)]
    rect, lines, corner = place(said, room, clear, corner)
    box = canvas.window(*rect)
    box.clear()
    box.box(0, 0, rect.width, rect.height, glyphs.heavy_frame, Ink.TITLE)
    box.text(2, 0, f" {said.title} ", Ink.STRONG | BOLD)
    for y, (text, ink) in enumerate(lines, start=1):
        box.text(2, y, text, ink)
    x, buttons = 2, []
    for key, words, command in said.keys:
        end = box.text(x, rect.height - 1, f" {key} ", Ink.KEY)
        end = box.text(end, rect.height - 1, f" {words} ", Ink.TEXT)
        buttons.append(Button(rect.x + x, rect.x + end, rect.y + rect.height - 1, command))
        x = end + 1
    return Boxed(rect, tuple(buttons), corner)


def place(said: Said, room: Rect, clear: Sequence[Rect], corner: int = 0) -> tuple[Rect, list[tuple[str, int]], int]:  # fmt: skip
    """The first place that covers nothing of ``clear``, the widest box first; when there is none, the one that covers least of it."""
    taken = {cell for rect in clear for cell in rect.cells()}
    tried = []
    for width in (WIDEST, NARROW, SLIM):
        width = min(width, room.width)
        lines = wrapped(said, width - 4)
        corners = list(enumerate(_corners(room, width, min(room.height, len(lines) + 2))))
        for index, rect in sorted(corners, key=lambda one: one[0] != corner):
            covered = len(taken.intersection(rect.cells()))
            if not covered:
                return rect, lines, index
            tried.append((covered, rect, lines, index))
    _, rect, lines, index = min(tried, key=lambda one: one[0])
    return rect, lines, index


def _corners(room: Rect, width: int, height: int) -> Iterator[Rect]:
    """Below before above, the middle last; left before right."""
    right, foot = room.x + room.width - width, room.y + room.height - height
    for y in (foot, room.y, room.y + (room.height - height) // 2):
        for x in (room.x, right):
            yield Rect(x, y, width, height)


def wrapped(said: Said, width: int) -> list[tuple[str, int]]:
    """Lines with their inks."""
    lines = [(piece, int(Ink.TEXT)) for text in said.lines for piece in textwrap.wrap(text, width)]
    return lines + [(piece, Ink.STRONG | BOLD) for piece in textwrap.wrap(said.do, width)]


def mark(canvas: Canvas, target: Target, glyphs: Glyphs) -> None:
    """Make it stand out."""
    x, y, width, height = target.rect
    if target.how == "bare":
        return
    if target.how == "edge":
        edge = canvas.window(x, y, width, 1).chars
        title = edge.copy()
        canvas.box(x, y, width, height, glyphs.heavy_frame, Ink.CURSOR)
        words = ~np.isin(title, [ord(char) for char in glyphs.frame])
        edge[words] = title[words]
        return
    inks = canvas.window(x, y, width, height).inks
    inks[inks & INK_MASK != Ink.STOP] |= REVERSE  # the red of a stop stays red
    for at, head in ((x - 1, glyphs.arrows[1]), (x + width, glyphs.arrows[3])):
        inside = 0 <= at < canvas.width and 0 <= y < canvas.height
        if (
            inside and not chr(canvas.chars[y, at]).isalnum()
        ):  # over a blank or a pipe, never over a word
            canvas.text(at, y, head, Ink.CURSOR)

"""Pipes and serpentines as arrays of cells, ready to be painted in one stroke a frame.

Which character a cell gets depends on the sides on which the line goes on, on the phase inside, and on nothing else; its colour comes from ``pipe_inks``. Arrows
and bubbles move along the line with the computed flow.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor

import numpy as np
from numpy.typing import NDArray

from tui.draw.canvas import Canvas, Codes
from tui.draw.drawing import BOXES, Coil, Drawing
from tui.draw.glyphs import EAST, NORTH, SOUTH, WEST, Glyphs, Phase
from tui.draw.ink import BOLD
from tui.draw.pipe_inks import middle_pressure, pipe_ink, side_of, sided
from tui.draw.scene import Scene
from tui.plant import Place
from tui.seen import STILL_KG_S

Cell = tuple[int, int]
ARROW_EVERY = 11
BUBBLE_EVERY = 5
LETTER_EVERY, LEAST_LETTERED = 16, 4
"""Cells from one letter of a side to the next, and of the shortest piece that has one."""
_SIDES = {(0, -1): (NORTH, SOUTH), (1, 0): (EAST, WEST), (0, 1): (SOUTH, NORTH), (-1, 0): (WEST, EAST)}  # fmt: skip
_ARROW_INDEX = {(0, -1): 0, (1, 0): 1, (0, 1): 2, (-1, 0): 3}


def walk(points: Sequence[Sequence[int]]) -> list[Cell]:
    """Every cell of a polyline of straight strokes, ends included, none twice in a row."""
    cells: list[Cell] = [(points[0][0], points[0][1])]
    for x1, y1 in ((point[0], point[1]) for point in points[1:]):
        x, y = cells[-1]
        step = ((x1 > x) - (x1 < x), (y1 > y) - (y1 < y))
        while (x, y) != (x1, y1):
            x, y = x + step[0], y + step[1]
            cells.append((x, y))
            if len(cells) > 10_000 or (step[0] and step[1]):
                break
    return cells


def serpentine(coil: Coil) -> list[Cell]:
    """The line inside a coil's frame, from its left port to its right port."""
    x, y, width, height = coil.rect
    left, right, top, bottom = x, x + width - 1, y + 1, y + height - 2
    if not coil.turns or height < 4:
        return walk(((left, coil.port_row), (right, coil.port_row)))
    points: list[Cell] = [(left, coil.port_row), (left + 2, coil.port_row)]
    column, row = left + 2, coil.port_row
    while column + coil.pitch // 2 <= right - 2:
        row = top if row != top else bottom
        points.append((column, row))
        column += coil.pitch // 2
        points.append((column, row))
    points += [(column, coil.port_row), (right, coil.port_row)]
    return walk(points)


@dataclass(frozen=True)
class Line:
    """One piece of pipe: all its cells belong to one node."""

    node: str
    flow: str
    height: str
    xs: NDArray[np.intp]
    ys: NDArray[np.intp]
    shapes: tuple[Codes, Codes, Codes]
    """By phase."""
    forth: Codes
    back: Codes
    index: NDArray[np.intp]
    """Place of each cell along the whole pipe, so that marks pass from piece to piece."""
    lettered: NDArray[np.intp]
    """Which of its cells carry the letter of a side."""


def _pieces(drawing: Drawing) -> Iterable[tuple[str, str, str, list[Cell], int]]:
    """(node, flow, height, cells, first index) of every piece of line on the sheet."""
    reached: dict[tuple[str, Cell], int] = {}
    for pipe in drawing.pipes:
        cells = walk(pipe.points)
        first = reached.get((pipe.node, cells[0]), 0)
        reached[pipe.node, cells[-1]] = first + len(cells) - 1
        yield pipe.node, pipe.flow, pipe.height, cells, first
    for coil in drawing.coils:
        cells = serpentine(coil)
        cuts = [round(i * len(cells) / len(coil.nodes)) for i in range(len(coil.nodes) + 1)]
        for node, start, end in zip(coil.nodes, cuts, cuts[1:], strict=False):
            yield node, coil.flow, "mixed", cells[start:end], start


def _joined_sides(drawing: Drawing) -> dict[Cell, int]:
    """Which sides of each cell the lines go on at. Lines that only cross keep their own direction."""
    sides: dict[Cell, int] = defaultdict(int)
    crossings = {(crossing.at[0], crossing.at[1]) for crossing in drawing.crossings}
    lines = [walk(pipe.points) for pipe in drawing.pipes]
    lines += [serpentine(coil) for coil in drawing.coils]
    for cells in lines:
        for (x, y), (u, v) in pairwise(cells):
            here, there = _SIDES[u - x, v - y]
            for cell, side in (((x, y), here), ((u, v), there)):
                if cell not in crossings or side in (NORTH, SOUTH):
                    sides[cell] |= side
    for end, side in _into_symbols(drawing):
        if end not in crossings:
            sides[end] |= side
    return sides


def _into_symbols(drawing: Drawing) -> Iterable[tuple[Cell, int]]:
    """(cell, side) where a line goes on into a symbol or a coil."""
    for symbol in drawing.symbols:
        body = symbol.rect.cells()
        wanted = drawing.box_ends if symbol.shape in BOXES else set(symbol.ports)
        for x, y in wanted.intersection(symbol.ports):
            yield from (((x, y), side) for step, (side, _) in _SIDES.items() if (x + step[0], y + step[1]) in body)  # fmt: skip
    for coil in drawing.coils:
        x, y, width, _ = coil.rect
        yield (x - 1, coil.port_row), EAST
        yield (x + width, coil.port_row), WEST


def _directions(cells: list[Cell]) -> list[int]:
    steps = [(u - x, v - y) for (x, y), (u, v) in pairwise(cells)]
    steps.append(steps[-1] if steps else (1, 0))
    return [_ARROW_INDEX.get(step, 1) for step in steps]


def _codes(chars: Iterable[str]) -> Codes:
    return np.array([ord(char) for char in chars], np.uint32)


def _written(drawing: Drawing) -> set[Cell]:
    """Cells with words or symbols: a letter beside one would read as part of it."""
    rects = [symbol.rect for symbol in drawing.symbols] + [text.rect for text in drawing.texts]
    rects += [symbol.label_rect for symbol in drawing.symbols if symbol.label_rect is not None]
    return {cell for rect in rects for cell in rect.cells()}


def _lettered(cells: Sequence[Cell], masks: Sequence[int], written: set[Cell], crossed: set[Cell]) -> NDArray[np.intp]:  # fmt: skip
    """About the middle of a piece, and on either side of it at equal distances; straight cells only, so that corners stay corners, and none where another pipe crosses."""
    if len(masks) < LEAST_LETTERED:
        return np.empty(0, np.intp)
    straight = [k for k, mask in enumerate(masks) if mask in (EAST | WEST, NORTH | SOUTH) and cells[k] not in crossed]  # fmt: skip
    free = [k for k in straight if not written & {(cells[k][0] + step, cells[k][1]) for step in (-1, 0, 1)}]  # fmt: skip
    wanted = range(len(masks) // 2 % LETTER_EVERY, len(masks), LETTER_EVERY)
    return np.array(sorted({min(free or straight, key=lambda k: abs(k - at)) for at in wanted if straight}), np.intp)  # fmt: skip


def lines_of(drawing: Drawing, glyphs: Glyphs) -> tuple[Line, ...]:
    """Every piece of line of a drawing."""
    sides, written = _joined_sides(drawing), _written(drawing)
    pieces, made = list(_pieces(drawing)), []
    drawn = Counter(cell for *_, cells, _ in pieces for cell in cells)
    crossed = {cell for cell, times in drawn.items() if times > 1}
    for node, flow, height, cells, first in pieces:
        if not cells:
            continue
        masks = [sides[cell] for cell in cells]
        shapes = tuple(_codes(glyphs.lines[phase.value][mask] for mask in masks) for phase in Phase)
        ways = _directions(cells)
        xs, ys = (np.array(column, np.intp) for column in zip(*cells, strict=True))
        made.append(
            Line(
                node, flow, height, xs, ys, (shapes[0], shapes[1], shapes[2]),
                _codes(glyphs.arrows[way] for way in ways),
                _codes(glyphs.arrows[(way + 2) % 4] for way in ways),
                np.arange(first, first + len(cells)), _lettered(cells, masks, written, crossed),
            )
        )  # fmt: skip
    return tuple(made)


def phase_of(place: Place, height: str) -> Phase:
    """What fills a pipe that joins ``place`` at this height (see ``Pipe.height``)."""
    if height == "bottom" and place.void < 0.98:
        return Phase.LIQUID
    if height == "top" and place.void > 0.02:
        return Phase.VAPOUR
    if place.quality >= 1.0:
        return Phase.VAPOUR
    return Phase.LIQUID if place.quality <= 0.0 else Phase.MIXTURE


def paint_lines(canvas: Canvas, lines: Sequence[Line], scene: Scene) -> None:
    """Every piece, then the marks of those that something flows through: where pieces join, a still one must not cover them."""
    for line in lines:
        _stroke(canvas, line, scene)
    middle_pa, letters = middle_pressure(scene), sided(scene)
    for line in lines:
        _marks(canvas, line, scene, middle_pa)
        place = scene.place(line.node)
        if letters and place is not None:
            xs, ys = line.xs[line.lettered], line.ys[line.lettered]
            canvas.cells(xs, ys, np.uint32(ord(side_of(place, middle_pa).value)), pipe_ink(place, scene) | BOLD)  # fmt: skip


def _stroke(canvas: Canvas, line: Line, scene: Scene) -> None:
    """One piece: line style by phase, colour by temperature or side."""
    place = scene.place(line.node)
    phase = Phase.VAPOUR if place is None else phase_of(place, line.height)
    canvas.cells(line.xs, line.ys, line.shapes[phase.value], pipe_ink(place, scene))


def _marks(canvas: Canvas, line: Line, scene: Scene, middle_pa: float) -> None:
    """One piece: arrows along the flow, bubbles or drops in a mixture; none where nothing flows."""
    place, flow = scene.place(line.node), scene.flow(line.flow)
    if place is None or abs(flow) < STILL_KG_S:
        return
    phase, ink = phase_of(place, line.height), pipe_ink(place, scene)
    moved = line.index - floor(scene.drifted(line.flow))
    if phase is Phase.MIXTURE:
        marks = moved % BUBBLE_EVERY == 0
        mark = scene.glyphs.bubble if place.pressure_pa < middle_pa else scene.glyphs.drop
        canvas.cells(line.xs[marks], line.ys[marks], np.uint32(ord(mark)), ink | BOLD)
    marks = moved % ARROW_EVERY == 2
    arrows = line.forth if flow > 0 else line.back
    canvas.cells(line.xs[marks], line.ys[marks], arrows[marks], ink | BOLD)

"""Pipes and serpentines as arrays of cells, ready to be painted in one stroke a frame.

Which character a cell gets depends on the sides on which the line goes on, on the phase inside, and on nothing else; its colour comes from ``pipe_inks``. Arrows
and bubbles move along the line with the computed flow.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import floor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from tui.draw.canvas import BLANK, Canvas, Codes
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
SHOWS_K = 0.3
"""guess: over so little between metal and refrigerant a pipe passes a few watts at most: nothing that one sees boil or condense."""
NOTHING = 0
"""Character of a mixture that just goes along."""
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


@dataclass(frozen=True, eq=False)
class Lines:
    """All pipes of a drawing, cell by cell, piece after piece; a piece belongs to one place and one flow."""

    places: tuple[tuple[str, str], ...]
    """(node, height) of what may fill a pipe."""
    flows: tuple[str, ...]
    at: NDArray[np.intp]
    """Which of the places fills a cell."""
    by: NDArray[np.intp]
    """Which of the flows passes it."""
    xs: NDArray[np.intp]
    ys: NDArray[np.intp]
    shapes: Codes
    """A row for each phase."""
    forth: Codes
    back: Codes
    index: NDArray[np.intp]
    """Place of each cell along the whole pipe, so that marks pass from piece to piece."""
    lettered: NDArray[np.intp]
    """Which of the cells carry the letter of a side."""


class Stretch(NamedTuple):
    """A piece of line that one place fills and one flow passes."""

    node: str
    flow: str
    height: str
    cells: list[Cell]
    first: int
    """Place of its first cell along the whole pipe."""


def stretches(drawing: Drawing) -> Iterable[Stretch]:
    """Every piece of line on the sheet."""
    reached: dict[tuple[str, Cell], int] = {}
    for pipe in drawing.pipes:
        cells = walk(pipe.points)
        first = reached.get((pipe.node, cells[0]), 0)
        reached[pipe.node, cells[-1]] = first + len(cells) - 1
        yield Stretch(pipe.node, pipe.flow, pipe.height, cells, first)
    for coil in drawing.coils:
        cells = serpentine(coil)
        cuts = [round(i * len(cells) / len(coil.nodes)) for i in range(len(coil.nodes) + 1)]
        for node, start, end in zip(coil.nodes, cuts, cuts[1:], strict=False):
            yield Stretch(node, coil.flow, "mixed", cells[start:end], start)


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


def _lettered(cells: Sequence[Cell], masks: Sequence[int], written: set[Cell], crossed: set[Cell]) -> list[int]:  # fmt: skip
    """About the middle of a piece, and on either side of it at equal distances; straight cells only, so that corners stay corners, and none where another pipe crosses."""
    if len(masks) < LEAST_LETTERED:
        return []
    straight = [k for k, mask in enumerate(masks) if mask in (EAST | WEST, NORTH | SOUTH) and cells[k] not in crossed]  # fmt: skip
    free = [k for k in straight if not written & {(cells[k][0] + step, cells[k][1]) for step in (-1, 0, 1)}]  # fmt: skip
    wanted = range(len(masks) // 2 % LETTER_EVERY, len(masks), LETTER_EVERY)
    return sorted({min(free or straight, key=lambda k: abs(k - at)) for at in wanted if straight})


def lines_of(drawing: Drawing, glyphs: Glyphs) -> Lines:
    """Every line of a drawing."""
    sides, written = _joined_sides(drawing), _written(drawing)
    pieces = [piece for piece in stretches(drawing) if piece.cells]
    cells = [cell for piece in pieces for cell in piece.cells]
    crossed = {cell for cell, times in Counter(cells).items() if times > 1}
    places = list(dict.fromkeys((piece.node, piece.height) for piece in pieces))
    flows = list(dict.fromkeys(piece.flow for piece in pieces))
    masks = [sides[cell] for cell in cells]
    ways = [way for piece in pieces for way in _directions(piece.cells)]
    ends = np.cumsum([len(piece.cells) for piece in pieces]).tolist()
    lettered = [
        begin + k
        for piece, begin, end in zip(pieces, [0, *ends], ends, strict=False)
        for k in _lettered(piece.cells, masks[begin:end], written, crossed)
    ]

    def each(of: Callable[[Stretch], int]) -> NDArray[np.intp]:
        """A number of its piece for every cell."""
        return np.array([of(piece) for piece in pieces for _ in piece.cells], np.intp)

    return Lines(
        tuple(places), tuple(flows),
        each(lambda piece: places.index((piece.node, piece.height))),
        each(lambda piece: flows.index(piece.flow)),
        np.array([x for x, _ in cells], np.intp), np.array([y for _, y in cells], np.intp),
        np.array([_codes(glyphs.lines[phase.value][mask] for mask in masks) for phase in Phase]),
        _codes(glyphs.arrows[way] for way in ways),
        _codes(glyphs.arrows[(way + 2) % 4] for way in ways),
        np.array([piece.first + k for piece in pieces for k in range(len(piece.cells))], np.intp),
        np.array(lettered, np.intp),
    )  # fmt: skip


def phase_of(place: Place, height: str) -> Phase:
    """What fills a pipe that joins ``place`` at this height (see ``Pipe.height``)."""
    if height == "bottom" and place.void < 0.98:
        return Phase.LIQUID
    if height == "top" and place.void > 0.02:
        return Phase.VAPOUR
    if place.quality >= 1.0:
        return Phase.VAPOUR
    return Phase.LIQUID if place.quality <= 0.0 else Phase.MIXTURE


class Filling(NamedTuple):
    """How a place looks in the pipes that it fills."""

    phase: int
    ink: int
    mark: int
    """What goes along in a mixture: a bubble, a drop, or NOTHING."""
    letter: int


def paint_lines(canvas: Canvas, lines: Lines, scene: Scene) -> None:
    """Every line, style by phase, colour by temperature or side; then bubbles or drops, arrows along the flow, and the letters of the sides. Nothing goes along where nothing flows."""
    if not lines.places:
        return
    middle_pa, letters = middle_pressure(scene), sided(scene)
    places = [(scene.place(node), height) for node, height in lines.places]
    seen = np.array([_filling(place, height, scene, middle_pa) for place, height in places], np.int64)  # fmt: skip
    phase, ink = seen[lines.at, 0], seen[lines.at, 1].astype(np.uint16)
    canvas.cells(lines.xs, lines.ys, lines.shapes[phase, np.arange(phase.size)], ink)

    known = np.array([place is not None for place, _ in places])[lines.at]
    flow = np.array([scene.flow(name) for name in lines.flows])[lines.by]
    moved = lines.index - np.array([floor(scene.drifted(name)) for name in lines.flows])[lines.by]
    flows = known & (np.abs(flow) >= STILL_KG_S)
    marked = (phase == Phase.MIXTURE.value) & (seen[lines.at, 2] != NOTHING)
    mixed = np.flatnonzero(flows & marked & (moved % BUBBLE_EVERY == 0))
    arrows = np.flatnonzero(flows & (moved % ARROW_EVERY == 2))
    lettered = lines.lettered[known[lines.lettered]] if letters else lines.lettered[:0]
    for which, marks in (
        (mixed, seen[lines.at[mixed], 2]),
        (arrows, np.where(flow[arrows] > 0, lines.forth[arrows], lines.back[arrows])),
        (lettered, seen[lines.at[lettered], 3]),
    ):
        canvas.cells(lines.xs[which], lines.ys[which], marks.astype(np.uint32), ink[which] | BOLD)


def _filling(place: Place | None, height: str, scene: Scene, middle_pa: float) -> Filling:
    """Of one place; a line without one is drawn plain."""
    ink = pipe_ink(place, scene)
    if place is None:
        return Filling(Phase.VAPOUR.value, ink, BLANK, BLANK)
    return Filling(phase_of(place, height).value, ink, _mark(place, scene), ord(side_of(place, middle_pa).value))  # fmt: skip


def _mark(place: Place, scene: Scene) -> int:
    """What happens at the metal: boiling where it is warmer than the refrigerant, condensing where it is colder, NOTHING that shows in between."""
    apart = place.metal_k - place.temperature_k
    if abs(apart) < SHOWS_K:
        return NOTHING
    return ord(scene.glyphs.bubble if apart > 0.0 else scene.glyphs.drop)

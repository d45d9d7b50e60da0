"""What is wrong with a drawing: things that overlap, pipes that end in nothing, names that the rig does not know.

Used by ``rimebench check`` and by the tests over every shipped rig. All mistakes come at once, each with the line of its table.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Sequence
from itertools import pairwise

from sim.errors import Mistake
from sim.record import did_you_mean
from tui.draw.drawing import INLINE, Drawing, Pipe, Rect, Symbol
from tui.draw.pipes import serpentine, walk
from tui.draw.plant_legend import legend_rooms
from tui.draw.scene import terms

Cell = tuple[int, int]


def faults(drawing: Drawing, *, nodes: Collection[str] = (), links: Collection[str] = (), tags: Collection[str] = ()) -> list[Mistake]:  # fmt: skip
    """Every mistake of a drawing. Names are checked when the rig's are given."""
    found = [*_outside(drawing), *_crooked(drawing)]
    if found:
        return found  # the rest needs straight pipes inside the sheet
    found += _overlaps(drawing)
    found += _crowded(drawing)
    found += _pipes_over_things(drawing)
    found += _pipes_over_pipes(drawing)
    found += _untold_stretches(drawing)
    found += _loose_ends(drawing)
    found += _dry_symbols(drawing)
    found += _unreachable(drawing)
    found += _names(drawing, nodes, links, tags)
    return found


def _bodies(drawing: Drawing) -> Iterator[tuple[str, int, str, Rect]]:
    """(kind of table, index, name, cells) of everything that covers cells, but pipes and coils."""
    for index, symbol in enumerate(drawing.symbols):
        yield "symbol", index, symbol.tag, symbol.rect
        if symbol.label_rect is not None:
            yield "symbol", index, f"the label of {symbol.tag}", symbol.label_rect
    for index, text in enumerate(drawing.texts):
        yield "text", index, f"the text {text.words or text.reading}", text.rect
    for what, rect in legend_rooms(drawing.sheet):
        yield "drawing", 0, what, rect


def _everything(drawing: Drawing) -> Iterator[tuple[str, int, str, Rect]]:
    yield from _bodies(drawing)
    for index, coil in enumerate(drawing.coils):
        yield "coil", index, coil.tag, coil.rect
    for index, pipe in enumerate(drawing.pipes):
        for point in pipe.points:
            yield "pipe", index, f"pipe of {pipe.node}", Rect(point[0], point[1], 1, 1)


def _outside(drawing: Drawing) -> Iterator[Mistake]:
    width, height = drawing.sheet.width, drawing.sheet.height
    for kind, index, name, rect in _everything(drawing):
        if rect.x < 0 or rect.y < 0 or rect.x + rect.width > width or rect.y + rect.height > height:
            yield drawing.mistake(kind, index, f"{name} leaves the sheet of {width} by {height}.", "Move it inside.")  # fmt: skip


def _crooked(drawing: Drawing) -> Iterator[Mistake]:
    for index, pipe in enumerate(drawing.pipes):
        for here, there in pairwise(pipe.points):
            if here[0] != there[0] and here[1] != there[1]:
                yield drawing.mistake("pipe", index, f"pipe of {pipe.node} runs aslant from {list(here)} to {list(there)}.", "Add a corner between them.")  # fmt: skip


def _overlaps(drawing: Drawing) -> Iterator[Mistake]:
    owner: dict[Cell, str] = {}
    for kind, index, name, rect in _bodies(drawing):
        for cell in sorted(rect.cells()):
            if cell in owner:
                yield drawing.mistake(kind, index, f"{name} covers {owner[cell]} at {list(cell)}.", "Move one of them.")  # fmt: skip
                break
        owner |= dict.fromkeys(rect.cells(), name)
        inside = _inside_a_coil(drawing, rect)
        if inside:
            yield drawing.mistake(kind, index, f"{name} covers the inside of {inside}.", "Put it on the coil's frame or outside.")  # fmt: skip


def _crowded(drawing: Drawing) -> Iterator[Mistake]:
    """Words that something else follows or precedes without a blank are read together with it."""
    owner = {cell: f"pipe of {pipe.node}" for pipe in drawing.pipes for cell in walk(pipe.points)}
    owner |= {cell: coil.tag for coil in drawing.coils for cell in coil.rect.cells()}
    owner |= {cell: name for _, _, name, rect in _bodies(drawing) for cell in rect.cells()}
    coils = {coil.tag for coil in drawing.coils}
    labels = [("symbol", k, one.tag, {one.tag}, one.label_rect) for k, one in enumerate(drawing.symbols)]  # fmt: skip
    texts = [("text", k, one.words or one.reading, coils, one.rect) for k, one in enumerate(drawing.texts)]  # fmt: skip
    for kind, index, name, own, rect in [*labels, *texts]:
        beside = [(rect.x - 1, rect.y), (rect.x + rect.width, rect.y)] if rect is not None else []
        met = next((cell for cell in beside if owner.get(cell, "") not in {"", *own}), None)
        if met is not None:
            yield drawing.mistake(kind, index, f"{name} touches {owner[met]} at {list(met)}.", "Leave a blank between them.")  # fmt: skip


def _inside_a_coil(drawing: Drawing, rect: Rect) -> str:
    for coil in drawing.coils:
        x, y, width, height = coil.rect
        inner = Rect(x, y + 1, width, height - 2)
        if not rect.cells().isdisjoint(inner.cells()):
            return coil.tag
    return ""


def _pipes_over_things(drawing: Drawing) -> Iterator[Mistake]:
    owner = {cell: name for _, _, name, rect in _bodies(drawing) for cell in rect.cells()}
    owner |= {cell: coil.tag for coil in drawing.coils for cell in coil.rect.cells()}
    for index, pipe in enumerate(drawing.pipes):
        covered = sorted(cell for cell in walk(pipe.points) if cell in owner)
        if covered:
            yield drawing.mistake("pipe", index, f"pipe of {pipe.node} runs over {owner[covered[0]]} at {list(covered[0])}.", "Lead it round.")  # fmt: skip


def _pipes_over_pipes(drawing: Drawing) -> Iterator[Mistake]:
    declared = {(crossing.at[0], crossing.at[1]) for crossing in drawing.crossings}
    first: dict[Cell, Pipe] = {}
    used = set()
    for index, pipe in enumerate(drawing.pipes):
        for cell in walk(pipe.points):
            other = first.setdefault(cell, pipe)
            if other.node == pipe.node:
                continue
            used.add(cell)
            if cell not in declared and not _joins(cell, pipe, other):
                yield drawing.mistake("pipe", index, f"pipe of {pipe.node} meets a pipe of {other.node} at {list(cell)}.", "Lead it round, or declare a [[crossing]].")  # fmt: skip
    for index, crossing in enumerate(drawing.crossings):
        if (crossing.at[0], crossing.at[1]) not in used:
            yield drawing.mistake("crossing", index, f"no pipes cross at {list(crossing.at)}.", "Remove it.")  # fmt: skip


def _joins(cell: Cell, pipe: Pipe, other: Pipe) -> bool:
    """A line of its own link (an equalising line) may end on a pipe of the node that it joins."""
    return cell == (pipe.points[-1][0], pipe.points[-1][1]) and pipe.flow != other.flow


def _untold_stretches(drawing: Drawing) -> Iterator[Mistake]:
    """Before and behind a branch passes not the same: a pipe ends there, and the next one names other links."""
    declared = {(crossing.at[0], crossing.at[1]) for crossing in drawing.crossings}
    ways = [walk(pipe.points) for pipe in drawing.pipes]
    branches = {end for cells in ways for end in (cells[0], cells[-1])}
    ports = {port for symbol in drawing.symbols if _is_inline(symbol) for port in symbol.ports}
    ports |= {(x, coil.port_row) for coil in drawing.coils for x in (coil.rect.x - 1, coil.rect.x + coil.rect.width)}  # fmt: skip
    seen: dict[tuple[Cell, str, str], int] = {}
    for index, (pipe, cells) in enumerate(zip(drawing.pipes, ways, strict=True)):
        met = next(
            (cell for cell in cells[1:-1] if cell in branches | ports and cell not in declared),
            None,
        )
        if met is not None:
            yield drawing.mistake("pipe", index, f"pipe of {pipe.node} is joined midway at {list(met)}, so its flow cannot be told.", "End it there, and name the links that pass each stretch.")  # fmt: skip
        for end in {cells[0], cells[-1]} if len(cells) > 1 else ():
            if seen.setdefault((end, pipe.node, pipe.flow), index) != index and _branches(end, ways, ports):  # fmt: skip
                yield drawing.mistake("pipe", index, f"pipe of {pipe.node} says the same flow before and behind the branch at {list(end)}.", "Name the links that pass each stretch.")  # fmt: skip


def _branches(cell: Cell, ways: Sequence[Sequence[Cell]], ports: Collection[Cell]) -> bool:
    return sum(cell in (cells[0], cells[-1]) for cells in ways) + (cell in ports) > 2


def _loose_ends(drawing: Drawing) -> Iterator[Mistake]:
    ports = {port for symbol in drawing.symbols for port in symbol.ports}
    for coil in drawing.coils:
        ports |= {(coil.rect.x - 1, coil.port_row), (coil.rect.x + coil.rect.width, coil.port_row)}
    cells = [set(walk(pipe.points)) for pipe in drawing.pipes]
    for index, pipe in enumerate(drawing.pipes):
        others = set().union(*(cells[i] for i in range(len(cells)) if i != index))
        for point in (pipe.points[0], pipe.points[-1]):
            end = (point[0], point[1])
            if end not in ports and end not in others:
                yield drawing.mistake("pipe", index, f"pipe of {pipe.node} ends at {list(end)} in nothing.", "End it at a port or on a pipe of the same node.")  # fmt: skip


def _dry_symbols(drawing: Drawing) -> Iterator[Mistake]:
    """In-line symbols have a pipe, or the next in-line symbol, at both ports."""
    wet = {cell for pipe in drawing.pipes for cell in walk(pipe.points)}
    wet |= {cell for coil in drawing.coils for cell in serpentine(coil)}
    inline = [symbol for symbol in drawing.symbols if _is_inline(symbol)]
    bodies = {cell for symbol in inline for cell in symbol.rect.cells()}
    for index, symbol in enumerate(drawing.symbols):
        if _is_inline(symbol):
            for port in symbol.ports:
                if port not in wet and port not in bodies:
                    yield drawing.mistake("symbol", index, f"{symbol.tag} has no pipe at {list(port)}.", "Lead a pipe there, or turn the symbol with way.")  # fmt: skip


def _is_inline(symbol: Symbol) -> bool:
    return symbol.shape in INLINE or symbol.shape == "device"


WRITTEN = re.compile(r"[A-Z]{1,4}-\d+")
"""What is written like a tag (ISA-5.1: letters for what it does, a number of its own)."""


def _unreachable(drawing: Drawing) -> Iterator[Mistake]:
    """A tag that one reads but cannot choose has no card and no help."""
    for index, text in enumerate(drawing.texts):
        for tag in WRITTEN.findall(text.words):
            if tag not in text.tags:
                yield drawing.mistake("text", index, f"{tag} is written here, but nobody can choose it.", f'Say tags = ["{tag}"].')  # fmt: skip
        if len(text.tags) > bool(text.reading or text.against) + bool(text.then):
            yield drawing.mistake("text", index, f"{text.tags[-1]} has no reading here.", "Give reading and then, or name fewer tags.")  # fmt: skip
    for index, symbol in enumerate(drawing.symbols):
        for tag in WRITTEN.findall(symbol.words):
            if tag != symbol.tag:
                yield drawing.mistake("symbol", index, f"{tag} is written at {symbol.tag}, but nobody can choose it.", "Give it a symbol or a text of its own.")  # fmt: skip


def _names(drawing: Drawing, nodes: Collection[str], links: Collection[str], tags: Collection[str]) -> Iterator[Mistake]:  # fmt: skip
    wanted: list[tuple[str, int, str, Iterable[str], Collection[str]]] = []
    for index, pipe in enumerate(drawing.pipes):
        wanted.append(("pipe", index, "node", [pipe.node], nodes))
        wanted.append(("pipe", index, "link", [link for _, link in terms(pipe.flow)], links))
    for index, coil in enumerate(drawing.coils):
        wanted.append(("coil", index, "node", coil.nodes, nodes))
        wanted.append(("coil", index, "link", [coil.flow.removeprefix("-")], links))
        wanted.append(("coil", index, "tag", [coil.tag], tags))
    for index, symbol in enumerate(drawing.symbols):
        wanted.append(("symbol", index, "tag", [symbol.tag], {*tags, *nodes} if tags else ()))
    for index, text in enumerate(drawing.texts):
        wanted.append(("text", index, "tag", text.tags, tags))
        wanted.append(("text", index, "link", [text.against], links))
    for kind, index, what, names, known in wanted:
        for name in names:
            if known and name and name not in known:
                yield drawing.mistake(kind, index, f"the rig has no {what} {name}.", did_you_mean(name, known))  # fmt: skip
    twice: dict[str, int] = defaultdict(int)
    for index, symbol in enumerate(drawing.symbols):
        twice[symbol.tag] += 1
        if twice[symbol.tag] > 1:
            yield drawing.mistake("symbol", index, f"{symbol.tag} is drawn twice.", "Remove one.")

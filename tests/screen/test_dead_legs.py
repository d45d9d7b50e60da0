"""Marks run only where refrigerant flows: what passes a stretch of a drawn pipe is what the computed plant sends through it, at every size."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace

import pytest

from tests.screen.sample import RIG
from tests.screen.stored import stored
from tui.draw.canvas import Canvas
from tui.draw.drawing import Drawing, Symbol, load_drawings
from tui.draw.glyphs import FULL
from tui.draw.pipes import ARROW_EVERY, lines_of, paint_lines
from tui.draw.scene import NOMINAL_FLOW_KG_S, Drift, Scene, summed

Cell = tuple[int, int]
DRAWINGS = load_drawings(RIG)
BEHIND = {"HV-21": "FO-21", "HV-22": "HCV-22", "HV-23": "TCV-23", "HV-24": "LCV-24"}
"""A shut-off and the device whose flow it passes."""
EVERY_SIZE = pytest.mark.parametrize("size", ["s", "m", "l"])


def marked(drawing: Drawing, flows: Mapping[str, float]) -> set[Cell]:
    """Cells of pipes that an arrow passes in the time in which it comes to the next one's place."""
    found: set[Cell] = set()
    snapshot = replace(stored("cooling").snapshot, flows=dict(flows))
    scene = Scene(snapshot=snapshot, drift=Drift())
    lines = lines_of(replace(drawing, coils=()), FULL)
    for _ in range(5 * ARROW_EVERY):
        canvas = Canvas.blank(drawing.sheet.width, drawing.sheet.height)
        paint_lines(canvas, lines, scene)
        rows = [canvas.row_text(y) for y in range(canvas.height)]
        found |= {(x, y) for y, row in enumerate(rows) for x, char in enumerate(row) if char in FULL.arrows}  # fmt: skip
        scene.drift.move(flows, 0.1)
    return found


def symbol_of(drawing: Drawing, tag: str) -> Symbol:
    symbol = drawing.symbol(tag)
    assert symbol is not None
    return symbol


def inner(drawing: Drawing, upper: str, lower: str, row: int) -> set[Cell]:
    """Cells of a row between two symbols' columns, the columns left out."""
    return {(x, row) for x in range(symbol_of(drawing, upper).at[0] + 1, symbol_of(drawing, lower).at[0])}  # fmt: skip


@EVERY_SIZE
@pytest.mark.parametrize("forth", [1.0, -1.0])
@pytest.mark.parametrize(("open_", "passed", "dead"), [
    ("FO-21", [], [("HV-21", "HV-22"), ("HV-22", "HV-23"), ("HV-23", "HV-24")]),
    ("HCV-22", [("HV-21", "HV-22")], [("HV-22", "HV-23"), ("HV-23", "HV-24")]),
    ("TCV-23", [("HV-21", "HV-22"), ("HV-22", "HV-23")], [("HV-23", "HV-24")]),
    ("LCV-24", [("HV-21", "HV-22"), ("HV-22", "HV-23"), ("HV-23", "HV-24")], []),
])  # fmt: skip
def test_behind_the_open_device_the_header_stands_still(size: str, open_: str, passed: list[tuple[str, str]], dead: list[tuple[str, str]], forth: float) -> None:  # fmt: skip
    """Outside: what enters a header leaves it by its open branch (conservation of mass), so nothing passes beyond it, in either direction."""
    drawing, flow = DRAWINGS[size], forth * NOMINAL_FLOW_KG_S
    marks = marked(drawing, {"XV-1": flow, open_: flow})
    row = symbol_of(drawing, "HV-21").at[1] - 1
    for ends in passed:
        assert inner(drawing, *ends, row) <= marks
    for ends in dead:
        assert not inner(drawing, *ends, row) & marks


@EVERY_SIZE
def test_a_shut_branch_sends_nothing_to_the_coil(size: str) -> None:  # fmt: skip
    drawing = DRAWINGS[size]
    outlet = max(pipe.points[0][1] for pipe in drawing.pipes if pipe.node == "b1" and pipe.flow == "TCV-23")  # fmt: skip
    marks = marked(drawing, dict.fromkeys(("XV-1", "FO-21", "COIL-B.1"), NOMINAL_FLOW_KG_S))
    assert not inner(drawing, "FO-21", "TCV-23", outlet) & marks
    assert (symbol_of(drawing, "FO-21").at[0] - 3, outlet) in marks


@EVERY_SIZE
@pytest.mark.parametrize(("through", "dead"), [("HV-13", "HV-11"), ("HV-11", "HV-13")])
def test_round_the_receiver_or_through_it_but_not_both(size: str, through: str, dead: str) -> None:  # fmt: skip
    drawing = DRAWINGS[size]
    ways = {"HV-11": ("HV-11", "L-1", "HV-12"), "HV-13": ("HV-13",)}
    marks = marked(drawing, dict.fromkeys(("COIL-A.7", "XV-1", *ways[through]), NOMINAL_FLOW_KG_S))
    for tag, runs in ((through, True), (dead, False)):
        assert marks.isdisjoint(symbol_of(drawing, tag).ports) is not runs


@EVERY_SIZE
@pytest.mark.parametrize("state", ["cooling", "heating"])
def test_what_comes_to_a_branch_leaves_it(size: str, state: str) -> None:  # fmt: skip
    """Outside: conservation of mass at every branch of a drawing, with the flows of the computed plant running steady (1 %: the stored instant is not quite at rest)."""
    drawing, flows = DRAWINGS[size], stored(state).snapshot.flows
    gained: dict[Cell, float] = defaultdict(float)
    ends: dict[Cell, int] = defaultdict(int)
    for pipe in drawing.pipes:
        first, last = tuple(pipe.points[0]), tuple(pipe.points[-1])
        if first != last:
            for cell, sign in ((first, -1.0), (last, 1.0)):
                gained[cell[0], cell[1]] += sign * summed(pipe.flow, flows)
                ends[cell[0], cell[1]] += 1
    for tag, link in BEHIND.items():
        x, y = symbol_of(drawing, tag).ports[0]
        gained[x, y] -= flows[link]
        ends[x, y] += 1
    branches = [cell for cell, count in ends.items() if count > 2]
    assert len(branches) > 8
    for cell in branches:
        assert abs(gained[cell]) < 0.01 * flows["M1"], cell


@EVERY_SIZE
def test_every_link_that_a_pipe_names_is_computed(size: str) -> None:  # fmt: skip
    flows = stored("cooling").snapshot.flows
    named = {name.removeprefix("-") for pipe in DRAWINGS[size].pipes for name in pipe.flow.split()}
    assert named <= set(flows)

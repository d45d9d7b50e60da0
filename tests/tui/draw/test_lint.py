"""Drawings: the shipped ones are right, and every kind of mistake is found."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import pytest

from sim.errors import InputError
from sim.rig import load_rig
from tests.tui.conftest import RIGS
from tests.tui.fake_tags import TAGS
from tests.tui.fake_wiring import fake_plan, on_the_ladder
from tui.desk import Desk, Direction
from tui.draw.drawing import Crossing, Drawing, Pipe, Sheet, Symbol, Text, load_drawing
from tui.draw.holds import choices_of
from tui.draw.lint import faults

FILES = sorted(RIGS.glob("*/drawing_*.toml"))
GOOD = Drawing(
    "here.toml",
    Sheet(width=60, height=20),
    pipes=(Pipe(node="a", flow="HV-1", points=((2, 5), (7, 5))), Pipe(node="b", flow="HV-1", points=((11, 5), (19, 5)))),
    symbols=(
        Symbol(tag="HV-1", shape="valve", at=(9, 5), label=(7, 4)),
        Symbol(tag="V-1", shape="vessel", at=(20, 3), size=(8, 5)),
        Symbol(tag="V-2", shape="vessel", at=(0, 6), size=(8, 5)),
    ),
)  # fmt: skip


@pytest.mark.parametrize("file", FILES, ids=[f"{file.parent.name}-{file.stem}" for file in FILES])
def test_shipped_drawings_have_no_mistake(file: Path) -> None:
    assert faults(load_drawing(file)) == []


CAPPED = {"SP-1", "SP-2"}
"""Service ports are drawn and capped; the rig has no part for them yet."""


@pytest.mark.parametrize("file", FILES, ids=[f"{file.parent.name}-{file.stem}" for file in FILES])
def test_shipped_drawings_use_the_names_of_their_rig(file: Path) -> None:
    rig = load_rig(file.parent)
    nodes = [node.name for node in rig.nodes]
    found = faults(load_drawing(file), nodes=nodes, tags={*rig.tags, *CAPPED})
    assert [str(mistake) for mistake in found] == []


def test_every_size_of_the_default_rig_is_drawn(drawings: Mapping[str, Drawing]) -> None:
    sizes = {size: (drawing.sheet.width, drawing.sheet.height) for size, drawing in drawings.items()}  # fmt: skip
    assert sizes == {"s": (78, 19), "m": (78, 25), "l": (116, 36)}


@pytest.mark.parametrize("size", ["s", "m", "l"])
def test_every_tag_that_a_hand_can_move_is_on_the_sheet_or_on_the_ladder(drawings: Mapping[str, Drawing], size: str) -> None:  # fmt: skip
    drawn = {symbol.tag for symbol in drawings[size].symbols} | on_the_ladder(fake_plan())
    assert {info.tag.partition(".")[0] for info in TAGS} <= drawn


@pytest.mark.parametrize("size", ["s", "m", "l"])
def test_arrows_alone_reach_every_part(drawings: Mapping[str, Drawing], size: str) -> None:
    drawing = drawings[size]
    ways: tuple[Direction, ...] = ("left", "right", "up", "down")
    found, frontier = {"HS-1"}, ["HS-1"]
    while frontier:
        here = frontier.pop()
        for way in ways:
            there = Desk(selected=here).neighbour(drawing, way)
            if there not in found:
                found.add(there)
                frontier.append(there)
    assert found == {hold.tag for hold in choices_of(drawing)}


def test_a_right_drawing_has_no_fault() -> None:
    assert faults(GOOD) == []


def _with(**changes: object) -> Drawing:
    return replace(GOOD, **changes)  # type: ignore[arg-type]


CASES = {
    "leaves the sheet": _with(texts=(Text(at=(55, 1), width=10, words="too far"),)),
    "covers": _with(texts=(Text(at=(6, 4), width=8, words="on a label"),)),
    "runs over": _with(pipes=(*GOOD.pipes, Pipe(node="c", points=((22, 1), (22, 12))))),
    "meets a pipe of": _with(pipes=(*GOOD.pipes, Pipe(node="c", points=((14, 1), (14, 12))))),
    "in nothing": _with(pipes=(*GOOD.pipes, Pipe(node="c", points=((40, 1), (45, 1))))),
    "has no pipe at": _with(pipes=GOOD.pipes[:1]),
    "no pipes cross": _with(crossings=(Crossing(at=(40, 10)),)),
    "aslant": _with(pipes=(Pipe(node="a", points=((2, 5), (7, 9))),)),
    "but nobody can choose it": _with(
        texts=(Text(at=(40, 1), width=10, words="PI-1", reading="suction_pressure_pa"),)
    ),
    "has no reading here": _with(texts=(Text(at=(40, 1), width=10, words="PI-1", tags=("PI-1",)),)),
    "joined midway": _with(
        pipes=(*GOOD.pipes, Pipe(node="b", flow="HV-3", points=((15, 1), (15, 5))))
    ),
    "says the same flow before and behind the branch": _with(
        pipes=(
            GOOD.pipes[0],
            *(
                Pipe(node="b", flow=flow, points=points)
                for flow, points in (
                    ("HV-1", ((11, 5), (15, 5))),
                    ("HV-1", ((15, 5), (19, 5))),
                    ("HV-3", ((15, 1), (15, 5))),
                )
            ),
        )
    ),
    "HV-1 touches V-1": _with(
        symbols=(replace(GOOD.symbols[0], label=(16, 5)), *GOOD.symbols[1:]), pipes=()
    ),
    "HV-1 touches pipe of b": _with(
        symbols=(replace(GOOD.symbols[0], label=(6, 4)), *GOOD.symbols[1:]),
        pipes=(*GOOD.pipes, Pipe(node="b", flow="HV-9", points=((10, 1), (10, 4)))),
    ),
    "PI touches the label of HV-1": _with(texts=(Text(at=(5, 4), width=2, words="PI"),)),
    "drawn twice": _with(symbols=(*GOOD.symbols, Symbol(tag="HV-1", shape="chip", at=(40, 1)))),
}


@pytest.mark.parametrize("words", CASES)
def test_each_kind_of_mistake_is_found_and_named(words: str) -> None:
    assert any(words in mistake.what for mistake in faults(CASES[words])), [str(m) for m in faults(CASES[words])]  # fmt: skip


def test_names_that_the_rig_does_not_know_are_found_with_a_suggestion() -> None:
    found = faults(GOOD, nodes=("a", "bb"), links=("HV-1",), tags=("HV-1", "V-1", "V-2"))
    assert [(mistake.what, mistake.remedy) for mistake in found] == [("the rig has no node b.", "Did you mean bb?")]  # fmt: skip


def test_a_drawing_file_tells_every_mistake_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / "drawing_s.toml"
    path.write_text(
        '[drawing]\nwidth = 78\nheight = 19\n[[pipe]]\nnode = "a"\npoint = [[1, 1]]\n[[symbol]]\ntag = "X"\nshape = "valv"\nat = [1, 1]\n'
    )
    with pytest.raises(InputError) as caught:
        load_drawing(path)
    lines = sorted(mistake.line for mistake in caught.value.mistakes)
    assert lines == [4, 6, 9]

"""Pipes: style by phase, marks by flow."""

from __future__ import annotations

import pytest

from tests.tui.conftest import scene_of, snapshot_of
from tests.tui.fake_bench import FakePlace, steady_bench
from tui.draw.canvas import Canvas
from tui.draw.drawing import Drawing, Pipe, Sheet, Symbol
from tui.draw.glyphs import FULL, Phase
from tui.draw.pipes import lines_of, paint_lines, phase_of, walk
from tui.draw.scene import Drift, Scene

STRAIGHT = Pipe(node="discharge", flow="HV-42", points=((0, 0), (39, 0)))


def drawn(scene: Scene, pipe: Pipe = STRAIGHT) -> str:
    canvas = Canvas.blank(40, 1)
    drawing = Drawing("here", Sheet(width=40, height=10), pipes=(pipe,))
    paint_lines(canvas, lines_of(drawing, FULL), scene)
    return canvas.row_text(0)


@pytest.mark.parametrize(
    ("quality", "void", "height", "phase"),
    [
        (-0.05, 0.0, "mixed", Phase.LIQUID),
        (0.3, 0.9, "mixed", Phase.MIXTURE),
        (1.02, 1.0, "mixed", Phase.VAPOUR),
        (0.02, 0.4, "bottom", Phase.LIQUID),
        (0.02, 0.4, "top", Phase.VAPOUR),
        (0.9, 0.999, "bottom", Phase.MIXTURE),
        (-0.01, 0.0, "top", Phase.LIQUID),
    ],
)
def test_a_dip_tube_carries_liquid_while_there_is_some(quality: float, void: float, height: str, phase: Phase) -> None:  # fmt: skip
    assert phase_of(FakePlace(9e5, 300.0, quality, void), height) is phase


def test_marks_move_with_the_flow_and_turn_round_with_it(running: Scene) -> None:
    first = drawn(running)
    running.drift.cells["HV-42"] = 3.0
    assert drawn(running).index("►") == (first.index("►") + 3) % 11
    assert running.snapshot is not None
    snapshot_of(running).flows["HV-42"] = -2e-3
    assert "◄" in drawn(running)
    assert "►" not in drawn(running)


@pytest.mark.parametrize(("warmer_k", "mark"), [(2.0, "○"), (-2.0, "•"), (0.1, ""), (-0.1, "")])
def test_a_mixture_boils_at_warmer_metal_and_condenses_at_colder(running: Scene, warmer_k: float, mark: str) -> None:  # fmt: skip
    """Whatever the pressure: liquid that flashes in a line whose pressure falls is colder than its pipe (saturation falls, metal stays)."""
    for pressure_pa in (2e5, 9e5):
        snapshot_of(running).places["discharge"] = FakePlace(pressure_pa, 300.0, 0.3, 0.9, warmer_k=warmer_k)  # fmt: skip
        assert set(drawn(running)) & {"○", "•"} == set(mark)


def test_still_refrigerant_shows_no_marks(cold: Scene) -> None:
    assert set(drawn(cold)) == {"─"} or set(drawn(cold)) <= {"━", "╍", "─"}


def test_reversing_the_sign_of_a_pipe_reverses_its_marks(running: Scene) -> None:
    against = Pipe(node="discharge", flow="-HV-42", points=STRAIGHT.points)
    assert "◄" in drawn(running, against)


def test_plant_time_moves_marks_and_a_held_plant_stands_still() -> None:
    drift = Drift()
    drift.move({"M1": 3e-3}, 1.0)
    moved = drift.cells["M1"]
    assert moved == pytest.approx(4.0)
    drift.move({"M1": 3e-3}, 0.0)
    assert drift.cells["M1"] == moved


def test_a_walk_visits_every_cell_once() -> None:
    assert walk(((1, 1), (3, 1), (3, 3))) == [(1, 1), (2, 1), (3, 1), (3, 2), (3, 3)]


def test_a_pipe_of_one_cell_lies_along_the_symbols_that_it_joins() -> None:
    symbols = (
        Symbol(tag="HV-1", shape="valve", way="down", at=(5, 2)),
        Symbol(tag="V-1", shape="device", way="down", at=(5, 4)),
    )
    drawing = Drawing("here", Sheet(width=40, height=10), pipes=(Pipe(node="discharge", points=((5, 3),)),), symbols=symbols)  # fmt: skip
    canvas = Canvas.blank(40, 10)
    paint_lines(canvas, lines_of(drawing, FULL), scene_of(steady_bench()))
    assert canvas.row_text(3).strip() == "│"

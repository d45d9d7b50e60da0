"""What the signs of the plant mean stands on its own view, without a key, at every size."""

from __future__ import annotations

import pytest

from tests.screen.stored_screen import stored_screen
from tests.tui.conftest import snapshot_of
from tests.tui.fake_tags import TAGS
from tui.draw.board import Board, Frame
from tui.draw.canvas import Canvas
from tui.draw.drawing import Symbol, Way
from tui.draw.glyphs import EAST, SETS, WEST, Phase
from tui.draw.layout import View
from tui.draw.listed import listed
from tui.draw.scene import Scene
from tui.draw.symbols import valve
from tui.history import History

SIZES = [(80, 24), (120, 40), (200, 60)]


def painted(scene: Scene, way: Way, share: float) -> str:
    """A valve as the drawing has it."""
    canvas = Canvas.blank(5, 1)
    snapshot_of(scene).commands["HV-12"] = share
    valve(canvas, Symbol(tag="HV-12", shape="valve", at=(2, 0), way=way), scene)
    return canvas.row_text(0)[1:4]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("glyphs", SETS)
def test_open_and_shut_valves_are_explained_as_they_are_drawn(size: tuple[int, int], glyphs: str) -> None:  # fmt: skip
    shown = stored_screen("cooling", *size, glyphs=glyphs)
    edge = shown.canvas.row_text(1)
    commands = snapshot_of(shown.scene).commands
    before = dict(commands)
    signs = {word: " ".join(painted(shown.scene, way, share) for way in ("across", "down")) for word, share in (("open", 1.0), ("shut", 0.0))}  # fmt: skip
    commands.update(before)
    for word, sign in signs.items():
        assert f" {sign} {word} " in edge


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("glyphs", SETS)
def test_line_styles_are_explained_in_sight(size: tuple[int, int], glyphs: str) -> None:
    shown = stored_screen("cooling", *size, glyphs=glyphs)
    text = "\n".join(shown.canvas.row_text(y) for y in range(size[1]))
    for phase, word in zip(Phase, ("liquid", "mixture", "vapour"), strict=True):
        assert f"{SETS[glyphs].lines[phase.value][EAST | WEST]} {word} " in text


def test_a_rig_that_nobody_has_drawn_has_no_signs_to_explain() -> None:
    canvas = Canvas.blank(80, 24)
    Board(listed(TAGS), SETS["full"]).paint(canvas, Frame(Scene(), View.PLANT, History()))
    assert "open" not in canvas.row_text(1)

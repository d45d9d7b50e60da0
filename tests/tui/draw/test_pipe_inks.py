"""What a pipe's colour says, and that it is said without colour too."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping

import pytest

from tests.tui.conftest import changed, scene_of, snapshot_of
from tests.tui.fake_bench import FakeBench, FakePlace, steady_bench
from tui.draw.canvas import Canvas
from tui.draw.drawing import SIZES, Drawing
from tui.draw.glyphs import SETS
from tui.draw.ink import BOLD, INK_MASK, Ink, heat_ink
from tui.draw.pipe_inks import EQUAL, Side, pipe_ink, side_of, sided
from tui.draw.pipes import LEAST_LETTERED, stretches
from tui.draw.plant_legend import scale_room
from tui.draw.plant_picture import PlantPicture
from tui.draw.scene import Scene

BAR = 1e5


def painted(drawing: Drawing, scene: Scene) -> tuple[PlantPicture, Canvas]:
    picture = PlantPicture(drawing, scene.glyphs)
    canvas = Canvas.blank(*picture.size)
    picture.paint(canvas, scene)
    return picture, canvas


def legend(drawing: Drawing, canvas: Canvas) -> str:
    room = scale_room(drawing.sheet)
    assert room is not None
    return canvas.row_text(room.y)[room.x : room.x + room.width]


def heated() -> FakeBench:
    """Running, with the slide on the heating side."""
    bench = steady_bench()
    bench.set("HS-5", "heating")
    for _ in range(30):
        bench.advance(10.0)
    return bench


def test_half_way_between_the_sides_is_half_way_on_a_logarithmic_axis() -> None:
    """sqrt(2 x 8) = 4: 3.9 bar is nearer to 2 by ratio, 4.1 nearer to 8."""
    middle = (2 * BAR * 8 * BAR) ** 0.5
    assert side_of(FakePlace(3.9 * BAR, 280.0, 1.0, 1.0), middle) is Side.LOW
    assert side_of(FakePlace(4.1 * BAR, 280.0, 1.0, 1.0), middle) is Side.HIGH


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("glyphs", SETS)
@pytest.mark.parametrize("bench", [steady_bench, heated])
def test_every_stretch_of_pipe_has_the_letter_of_its_side_and_its_colour(drawings: Mapping[str, Drawing], size: str, glyphs: str, bench: Callable[[], FakeBench]) -> None:  # fmt: skip
    scene = scene_of(bench(), glyphs=SETS[glyphs], by_side=True)
    _, canvas = painted(drawings[size], scene)
    pieces = list(stretches(drawings[size]))
    places = snapshot_of(scene).places
    middle = (places["suction_port"].pressure_pa * places["discharge"].pressure_pa) ** 0.5
    drawn = Counter(cell for piece in pieces for cell in piece.cells)
    told = 0
    for piece in pieces:
        place, cells = scene.place(piece.node), piece.cells
        if place is None or len(cells) < LEAST_LETTERED:
            continue
        side = Side.HIGH if place.pressure_pa > middle else Side.LOW
        ink = Ink.HIGH if side is Side.HIGH else Ink.LOW
        assert any((chr(canvas.chars[y, x]), canvas.inks[y, x]) == (side.value, ink | BOLD) for x, y in cells), (piece.node, cells)  # fmt: skip
        assert {int(canvas.inks[y, x]) & INK_MASK for x, y in cells if drawn[x, y] == 1} & {
            Ink.HIGH,
            Ink.LOW,
        } == {ink}
        told += 1
    assert told > 20


@pytest.mark.parametrize("size", SIZES)
def test_the_legend_says_which_of_the_two_the_colours_are(drawings: Mapping[str, Drawing], running: Scene, size: str) -> None:  # fmt: skip
    _, canvas = painted(drawings[size], running)
    assert "°C" in legend(drawings[size], canvas)
    running.by_side = True
    _, canvas = painted(drawings[size], running)
    said = legend(drawings[size], canvas)
    assert "─H high" in said
    assert "─L low side" in said
    assert "°C" not in said


def test_while_pressures_are_equal_there_are_no_sides(drawings: Mapping[str, Drawing], cold: Scene) -> None:  # fmt: skip
    cold.by_side = True
    assert not sided(cold)
    picture, canvas = painted(drawings["m"], cold)
    assert legend(drawings["m"], canvas).startswith(EQUAL)
    inks = {int(ink) & INK_MASK for ink in canvas.inks[picture.lines.ys, picture.lines.xs]}
    assert not inks & {Ink.HIGH, Ink.LOW}


def test_what_is_shut_in_at_high_pressure_stays_high_when_the_line_behind_it_is_pumped_down() -> None:  # fmt: skip
    scene = scene_of(steady_bench(), by_side=True)
    assert scene.snapshot is not None
    places = snapshot_of(scene).places
    emptied = FakePlace(places["suction_port"].pressure_pa * 1.1, 280.0, 1.0, 1.0)
    changed(scene, places=dict(places) | {"liquid_line": emptied})
    assert pipe_ink(scene.place("receiver"), scene) == Ink.HIGH
    assert pipe_ink(scene.place("liquid_line"), scene) == Ink.LOW


def test_temperatures_have_the_colours_of_the_scale_only_while_the_scale_is_there(drawings: Mapping[str, Drawing], running: Scene) -> None:  # fmt: skip
    place = running.place("discharge")
    assert place is not None
    assert pipe_ink(place, running) == heat_ink(place.temperature_k)
    for by_side in (False, True):
        running.by_side = by_side
        _, canvas = painted(drawings["l"], running)
        heat = {int(ink) & INK_MASK for ink in canvas.inks.ravel()} & set(range(Ink.HEAT_0, Ink.HEAT_0 + 9))  # fmt: skip
        assert bool(heat) != by_side


@pytest.mark.parametrize("size", SIZES)
def test_no_letter_reads_as_part_of_a_tag(drawings: Mapping[str, Drawing], size: str) -> None:
    """HV-32 with an H before it would be another valve."""
    drawing = drawings[size]
    picture, canvas = painted(drawing, scene_of(steady_bench(), by_side=True))
    cells = zip(picture.lines.xs.tolist(), picture.lines.ys.tolist(), strict=True)
    letters = {(x, y) for x, y in cells if chr(canvas.chars[y, x]) in "HL"}
    wrong = []
    for symbol in drawing.symbols:
        for rect in (symbol.rect, symbol.label_rect):
            if rect is not None and letters & {(rect.x - 1, rect.y), (rect.x + rect.width, rect.y)}:
                wrong.append(symbol.tag)
    assert wrong == []

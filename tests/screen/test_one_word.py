"""One state has one word, wherever one looks: a superheat that is none, a sight glass, a gauge on a plant that stands."""

from __future__ import annotations

import pytest

from tests.screen.stored import STATES
from tests.screen.stored_screen import repaint, stored_screen
from tests.tui.conftest import changed, scene_of, snapshot_of
from tests.tui.fake_bench import steady_bench
from tui.derived import WET, derive
from tui.draw.canvas import Canvas
from tui.draw.drawing import INLINE
from tui.draw.glyphs import FULL, SETS
from tui.draw.ink import HEAT_STEPS
from tui.draw.layout import View
from tui.draw.lists import paint_meters
from tui.draw.scene import Scene
from tui.draw.symbols import PAINTERS
from tui.glasses import GLASSES, glass_words
from tui.help_views import meter_lines
from tui.history import History
from tui.part_card import card_of
from tui.projecting import five
from tui.report import Report
from tui.seen import NO_FLOW

SIZES = [(80, 24), (100, 30), (116, 40), (120, 40), (200, 60)]
EVERY_SIZE = pytest.mark.parametrize("size", SIZES, ids=str)


def meters(scene: Scene) -> dict[str, str]:
    """View 4: name -> words."""
    canvas = Canvas.blank(60, 24)
    paint_meters(canvas, scene)
    rows = [canvas.row_text(y).rstrip() for y in range(24)]
    return {name: row.removeprefix(name).strip() for row in rows for name in ("superheat", "at compr.", "subcooling", "condensing", "saturation at PI-2") if row.startswith(name)}  # fmt: skip


@EVERY_SIZE
def test_a_superheat_below_zero_has_one_answer_at_one_instant(size: tuple[int, int]) -> None:
    """Stored state of the computed plant, wet at the compressor in heating."""
    scene = stored_screen("heating", *size).scene
    value = scene.number("suction_gauge_superheat_k")
    assert value < 0.0
    words = scene.words("suction_gauge_superheat_k")
    assert words == f"{scene.quantity('suction_gauge_superheat_k', value)} {WET}"
    assert meters(scene)["at compr."].startswith(words.partition(" ")[0])
    assert meters(scene)["at compr."].endswith(WET)
    assert f"superheat at compressor, by gauge {words}" in meter_lines(scene)[-1]
    top = stored_screen("heating", *size).canvas.row_text(0)
    assert WET in top
    shown = five(scene, History(), ("gauge_superheat_k",), {})[0]
    assert (shown.number, shown.unit) == (words.split()[0], f"K {WET}")
    assert "compressor" in shown.name


def test_no_thermometer_gives_an_evaporators_superheat_in_heating() -> None:
    """Outside: superheat is taken at the outlet of the coil that evaporates (common practice); in heating that is coil A, and no thermometer hangs there."""
    scene = stored_screen("heating", 80, 24).scene
    assert scene.words("gauge_superheat_k") == meters(scene)["superheat"] == "—"
    assert "superheat -" not in meter_lines(scene)[-1]


@pytest.mark.parametrize(("above_k", "is_wet"), [(-2.0, True), (0.0, True), (0.2, False)])
def test_wet_begins_at_the_boiling_point(above_k: float, is_wet: bool) -> None:
    scene = scene_of(steady_bench())
    boils = scene.number("suction_saturation_temperature_k")
    changed(scene, readings=snapshot_of(scene).readings | {"suction_temperature_k_shown": boils + above_k, "suction_temperature_k": boils + above_k})  # fmt: skip
    assert scene.words("suction_gauge_superheat_k").endswith(WET) is is_wet
    assert derive("suction_gauge_superheat_k", lambda key: scene.number(key), scene.fluid) == pytest.approx(above_k, abs=1e-9)  # fmt: skip


@EVERY_SIZE
@pytest.mark.parametrize("state", [state for state in STATES if state not in ("tripped",)])
@pytest.mark.parametrize("more_k", [0.0, 4.0, 30.0])
def test_superheat_and_subcooling_stand_in_the_top_line_together(size: tuple[int, int], state: str, more_k: float) -> None:  # fmt: skip
    shown = stored_screen(state, *size)
    readings = dict(snapshot_of(shown.scene).readings)
    for key in readings:
        if key.startswith(("evaporator_outlet_temperature", "suction_temperature")):
            readings[key] = float(readings[key]) + more_k
    changed(shown.scene, readings=readings)
    repaint(shown, state)
    top = shown.canvas.row_text(0)
    both = ("SH", "SC") if "SC" in top else ("superheat", "subcooling")
    assert all(name in top for name in both), top
    if shown.scene.words("gauge_subcooling_k") != NO_FLOW:
        assert shown.scene.words("gauge_subcooling_k").partition(" ")[0] in top


def test_a_gauge_on_a_plant_that_stands_names_no_condensing() -> None:
    """Outside: nothing condenses without flow; what the gauge gives is the saturation temperature at its pressure (by definition)."""
    standing, running = (stored_screen(state, 80, 24).scene for state in ("off", "cooling"))
    assert "condensing" not in meters(standing)
    assert meters(standing)["saturation at PI-2"].startswith(standing.words("discharge_saturation_temperature_k"))  # fmt: skip
    assert "condensing" in meters(running)
    assert "condensing" not in "".join(stored_screen("off", 80, 24, view=View.METERS).canvas.row_text(y) for y in range(24))  # fmt: skip


@pytest.mark.parametrize("state", GLASSES)
def test_a_glass_is_called_the_same_by_screen_card_and_senses(state: str) -> None:
    scene = scene_of(steady_bench())
    changed(scene, readings=snapshot_of(scene).readings | {"sight_glass_FG-2": state})
    word = scene.words("sight_glass_FG-2")
    said = card_of("FG-2", scene, None, Report(dials={"FG-2": "sight_glass_FG-2"})).lines
    assert f"FG-2 shows {word}" in said
    assert glass_words(state) == f"glass: {word}"
    assert word != "empty"
    scene.instructor = True
    assert scene.words("sight_glass_FG-2") == state


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
@pytest.mark.parametrize("glyphs", SETS)
def test_what_is_drawn_in_a_glass_is_explained_on_the_sheet(size: tuple[int, int], glyphs: str) -> None:  # fmt: skip
    shown = stored_screen("cooling", *size, glyphs=glyphs)
    text = "\n".join(shown.canvas.row_text(y) for y in range(size[1]))
    drawing, readings = shown.board.drawing, snapshot_of(shown.scene).readings
    assert drawing is not None
    symbol = drawing.symbol("FG-2")
    assert symbol is not None
    for state in ("bubbles", "foam", "wet"):
        changed(shown.scene, readings=readings | {"sight_glass_FG-2": state})
        canvas = Canvas.blank(drawing.sheet.width, drawing.sheet.height)
        PAINTERS["glass"](canvas, symbol, shown.scene)
        x, y = symbol.at[0], symbol.at[1]
        assert f"{canvas.row_text(y)[x - 1 : x + 2]}{state}" in text


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_the_scale_of_temperature_colours_stands_on_the_sheets_last_row(size: tuple[int, int]) -> None:  # fmt: skip
    shown = stored_screen("cooling", *size)
    drawing = shown.board.drawing
    assert drawing is not None
    assert drawing.sheet.heat[1] == drawing.sheet.height - 1
    scale = f"-30 {FULL.full * HEAT_STEPS} 90 °C"
    assert any(scale in shown.canvas.row_text(y) for y in range(size[1]))


@pytest.mark.parametrize("size", [(80, 24), (120, 40), (200, 60)])
def test_backflow_stands_at_the_flowmeter_and_in_no_other_row(size: tuple[int, int]) -> None:
    drawing = stored_screen("heating", *size).board.drawing
    assert drawing is not None
    (text,) = (text for text in drawing.texts if text.against)
    meter = drawing.symbol(text.tags[0])
    assert meter is not None
    named = meter.rect.cells() | (meter.label_rect.cells() if meter.label_rect else set())
    assert named & {(x, y + down) for x, y in text.rect.cells() for down in (1, -1)}
    rows = {symbol.rect.y for symbol in drawing.symbols if symbol.shape not in INLINE}
    assert text.at[1] not in rows

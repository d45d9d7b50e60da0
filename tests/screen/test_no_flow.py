"""A plant that stands has neither superheat nor subcooling, and a flowmeter that is passed the wrong way says so: by what the plant does, on every view, for any tag."""

from __future__ import annotations

from dataclasses import replace

import pytest

from sim.working.steps import STEPS
from tests.screen.stored import stored
from tests.screen.stored_screen import stored_screen
from tests.tui.conftest import scene_of
from tests.tui.fake_bench import DIALS, KINDS, FakeBench, fake_chart, steady_bench
from tests.tui.fake_scales import fake_scales
from tui.derived import DERIVED
from tui.draw.canvas import Canvas
from tui.draw.drawing import Drawing, Sheet, Text
from tui.draw.glyphs import FULL
from tui.draw.plant_picture import PlantPicture
from tui.draw.scene import Scene
from tui.history import History
from tui.part_card import card_of
from tui.projecting import five
from tui.report import Report
from tui.seen import BACKFLOW, NO_FLOW, STILL_KG_S, stands

SIZES = [(80, 24), (120, 40), (200, 60)]
NEEDS_FLOW = [key for key, step in DERIVED.items() if STEPS[step].runs]


def words_of(scene: Scene) -> dict[str, str]:
    return {key: scene.words(key) for key in DERIVED}


def test_superheat_and_subcooling_need_flow_and_saturation_does_not() -> None:
    standing, running = words_of(scene_of(FakeBench())), words_of(scene_of(steady_bench()))
    assert {key for key, words in standing.items() if words == NO_FLOW} == set(NEEDS_FLOW)
    assert {"gauge_superheat_k", "suction_gauge_superheat_k", "gauge_subcooling_k"} == set(NEEDS_FLOW)  # fmt: skip
    assert NO_FLOW not in running.values()


def test_a_compressor_that_runs_on_nothing_moves_nothing() -> None:
    snapshot = steady_bench().snapshot()
    assert snapshot.running
    for flow, still in ((STILL_KG_S / 2, True), (STILL_KG_S * 2, False)):
        assert stands(replace(snapshot, readings=snapshot.readings | {"mass_flow_kg_s": flow})) is still  # fmt: skip


def test_the_trend_has_a_gap_while_nothing_flows() -> None:
    history, bench = History(), FakeBench()
    for _ in range(5):
        bench.advance(1.0)
        history.add(bench.snapshot(), fake_chart())
    times, lows, _ = history.window(("gauge_superheat_k", "suction_pressure_pa"), 0.0, 10.0, False)
    assert len(times)
    assert not (lows[0] == lows[0]).any()
    assert (lows[1] == lows[1]).all()


def test_the_projector_says_it_in_words() -> None:
    shown = five(scene_of(FakeBench()), History(), ("gauge_superheat_k",), {})
    assert (shown[0].number, shown[0].unit) == ("—", NO_FLOW)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("state", "still"), [("off", True), ("tripped", True), ("cooling", False), ("heating", False)])  # fmt: skip
def test_the_top_line_says_so_while_the_plant_stands(size: tuple[int, int], state: str, still: bool) -> None:  # fmt: skip
    """Stored states of the computed plant: in two of them the compressor stands."""
    assert stored(state).snapshot.running is not still
    if size == (80, 24) and state == "tripped":
        return  # the alarm takes its room
    assert (f": {NO_FLOW}" in stored_screen(state, *size).canvas.row_text(0)) is still


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(("state", "wrong"), [("heating", True), ("cooling", False), ("off", False)])  # fmt: skip
def test_a_flowmeter_that_is_passed_the_wrong_way_is_marked_on_the_drawing(size: tuple[int, int], state: str, wrong: bool) -> None:  # fmt: skip
    """Outside: by the rig's piping the line between coil A and the devices is passed from the devices when the cycle is reversed."""
    shown = stored_screen(state, *size)
    rows = [shown.canvas.row_text(y) for y in range(size[1])]
    assert any(BACKFLOW in row for row in rows) is wrong
    if wrong:
        y = next(i for i, row in enumerate(rows) if BACKFLOW in row)
        assert shown.board.hit(rows[y].index(BACKFLOW), y).tag == "FI-1"


def test_the_word_follows_the_flow_of_any_line_that_a_drawing_names() -> None:
    text = Text(at=(2, 1), width=8, words=BACKFLOW, tags=("FI-7",), against="L-9")
    drawing = Drawing("here", Sheet(width=40, height=10), texts=(text,))
    for flow, wrong in ((1e-3, False), (0.0, False), (-1e-3, True)):
        canvas = Canvas.blank(40, 10)
        snapshot = replace(FakeBench().snapshot(), flows={"L-9": flow})
        PlantPicture(drawing, FULL).paint(canvas, Scene(snapshot=snapshot))
        assert (BACKFLOW in canvas.row_text(1)) is wrong


def test_card_and_meters_say_why_the_flowmeter_is_silent() -> None:
    bench = steady_bench()
    scene = scene_of(bench, dials=DIALS, scales=fake_scales(), lines={"FI-1": "XV-1"})
    for flow, words in ((-2e-3, "the wrong way"), (0.0, "Nothing flows through FI-1"), (2e-3, "")):
        snapshot = bench.snapshot()
        scene.snapshot = replace(snapshot, flows=snapshot.flows | {"XV-1": flow})
        said = " ".join(card_of("FI-1", scene, None, Report(kinds=KINDS, dials=DIALS)).lines)
        assert scene.backflow("flowmeter") is (flow < 0)
        for other in ("the wrong way", "Nothing flows"):
            assert (other in said) is (other in words)

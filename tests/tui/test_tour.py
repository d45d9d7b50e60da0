"""The tour's judgement: what it asks for is harmless as the bench stands, what it says is read off the bench, and a step is done only when it has been done."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.tui.conftest import scene_of, snapshot_of
from tests.tui.fake_bench import ROLES, SPACES, FakeBench, steady_bench
from tui.cautions import asked_before
from tui.draw.canvas import Canvas
from tui.draw.drawing import Rect, load_drawings
from tui.draw.glyphs import ASCII, FULL
from tui.draw.ink import REVERSE
from tui.draw.layout import View
from tui.draw.tour_box import Target, paint_tour, place
from tui.plant import Setting
from tui.report import Report
from tui.tour import OFFER, Notes, Pointer, Said, Sight, Stage, Tour
from tui.tour_steps import LITTLE_KG_S, chosen_valve, gauge_words, stop, time, tour, valve

DRAWING = load_drawings(Path(__file__).parents[2] / "rigs" / "fennick_bench")["s"]

ABOUT = Report(spaces=SPACES, roles=ROLES)


def sight_of(bench: FakeBench, *, view: View = View.PLANT, selected: str = "HS-1", letters: bool = False, pace: int = 1, helping: bool = False) -> Sight:  # fmt: skip
    scene = scene_of(bench)

    def harmless(tag: str, value: Setting) -> bool:
        return not asked_before(tag, value, snapshot_of(scene), ABOUT).lines

    return Sight(scene, DRAWING, view, selected, letters, pace, helping, harmless, ("HS-4",))


def step_of(one: Tour) -> int:
    return one.number + 1


def begun(sight: Sight) -> Tour:
    one = tour()
    one.begin(sight)
    return one


def test_the_valve_of_the_tour_passes_nothing_and_needs_no_caution() -> None:
    for bench in (FakeBench(), steady_bench()):
        sight = sight_of(bench)
        tag = chosen_valve(sight)
        now = float(bench.values[tag])
        assert abs(sight.scene.flow(tag)) < LITTLE_KG_S
        assert sight.harmless(tag, 1.0 - now)
        assert sight.harmless(tag, now)


def test_on_a_running_plant_no_shut_valve_is_opened_for_the_tour() -> None:
    bench = steady_bench()
    bench.set("HV-32", 0.0)
    tag = chosen_valve(sight_of(bench))
    assert tag == "" or bench.values[tag] == 1.0
    still = FakeBench()
    still.set("HV-32", 0.0)
    assert chosen_valve(sight_of(still)) == "HV-32", (
        "on one that stands still and equalised it may be"
    )
    assert "stands still" in valve(sight_of(still), Notes(), "HV-32").words
    stopped = steady_bench()
    stopped.set("HS-4", "off")
    stopped.set("HV-32", 0.0)
    assert chosen_valve(sight_of(stopped)) not in ("HV-32", "HV-31"), (
        "not while the pressures are apart"
    )


def test_a_part_that_was_chosen_already_does_not_count_as_choosing() -> None:
    bench = FakeBench()
    one = begun(sight_of(bench, selected="HV-32"))
    assert step_of(one) == 1
    one.look(sight_of(bench, selected="HV-32", letters=True))
    assert step_of(one) == 1
    one.look(sight_of(bench, selected="HV-32"))
    assert step_of(one) == 2


def test_a_valve_is_done_when_it_is_back_and_not_before() -> None:
    bench, notes = FakeBench(), Notes()
    assert valve(sight_of(bench, selected="HV-32"), notes, "HV-32").done == ""
    bench.set("HV-32", 0.0)
    saying = valve(sight_of(bench, selected="HV-32"), notes, "HV-32")
    assert "HV-32 is shut: its handle lies across" in saying.words
    assert saying.done == ""
    bench.set("HV-32", 1.0)
    assert valve(sight_of(bench, selected="HV-32"), notes, "HV-32").done


@pytest.mark.parametrize(("paces", "done"), [([1, 0, 1, 2], True), ([1, 2, 5], False), ([1, 0, 1], False), ([0, 5, 2], True), ([1, 0, 2], False)])  # fmt: skip
def test_time_is_done_after_a_hold_and_another_pace(paces: list[int], done: bool) -> None:
    bench, notes = FakeBench(), Notes()
    sayings = [time(sight_of(bench, pace=pace), notes, "") for pace in paces]
    assert bool(sayings[-1].done) is done


def test_the_gauge_is_read_off_the_bench() -> None:
    for bench in (FakeBench(), steady_bench()):
        scene = sight_of(bench).scene
        said = gauge_words(scene)
        assert scene.words("suction_pressure_pa") in said
        assert scene.words("suction_saturation_temperature_k") in said
        assert ("compressor runs" in said) is bench.running
        assert ("saturation pressure" in said) is not bench.running


def test_a_plant_that_stands_but_has_not_warmed_up_is_not_said_to_be_at_the_rooms_saturation() -> None:  # fmt: skip
    bench = steady_bench()
    bench.set("HS-4", "off")
    assert "saturation pressure" not in gauge_words(sight_of(bench).scene)


def test_a_running_plant_is_not_stopped_for_the_tour() -> None:
    said = stop(sight_of(steady_bench()), Notes(), "")
    assert "leave the button alone" in said.do
    assert stop(sight_of(steady_bench(), selected="HS-0"), Notes(), "").done
    finding = sight_of(steady_bench(), letters=True)
    finding.scene.letters = {"HS-0": "da"}
    assert stop(finding, Notes(), "").do == "Type d a: that is HS-0."
    still, notes = FakeBench(), Notes()
    assert "press 0" in stop(sight_of(still), notes, "").do
    still.set("HS-0", "pressed")
    assert stop(sight_of(still), notes, "").done == ""
    still.set("HS-0", "released")
    assert stop(sight_of(still), notes, "").done


def test_a_stop_is_not_released_onto_a_compressor_that_is_switched_on() -> None:
    bench, notes = steady_bench(), Notes()
    bench.set("HS-0", "pressed")
    assert "First switch HS-4 off" in stop(sight_of(bench, selected="HS-0"), notes, "").do
    bench.set("HS-4", "off")
    assert "Press enter: released" in stop(sight_of(bench, selected="HS-0"), notes, "").do


def test_the_last_words_name_what_stands_otherwise() -> None:
    bench = FakeBench()
    one = begun(sight_of(bench))
    bench.set("HS-0", "pressed")
    for _ in range(6):
        one.skip(sight_of(bench, pace=0))
    assert one.stage is Stage.ENDED
    said = one.said()
    assert said is not None
    assert "HS-0 is pressed" in " ".join(said.lines)
    assert "held" in " ".join(said.lines)
    other = begun(sight_of(bench))
    for _ in range(6):
        other.skip(sight_of(bench))
    assert "Everything stands as it did" in " ".join(other.said().lines)  # type: ignore[union-attr]


def test_in_another_view_the_tour_says_how_to_get_back() -> None:
    for step in (valve,):
        assert step(sight_of(FakeBench(), view=View.LOG), Notes(), "HV-32").do.startswith("Press 1")
    assert begun(sight_of(FakeBench(), view=View.LOG)).said().do.startswith("Press 1")  # type: ignore[union-attr]


SAID = Said("t", ["words " * 40], "do this", (("H", "skip", "tour"),), Pointer())


@pytest.mark.parametrize("at", [(2, 2), (60, 2), (2, 18), (60, 18), (38, 11)])
def test_the_box_keeps_clear_of_what_it_speaks_of(at: tuple[int, int]) -> None:
    target = Rect(*at, 10, 2)
    rect, _, corner = place(SAID, Rect(1, 1, 78, 21), [target])
    assert not rect.cells() & target.cells()
    again, _, same = place(SAID, Rect(1, 1, 78, 21), [target], corner)
    assert (again, same) == (rect, corner), "it stays where it stood"


def test_marks_are_reversed_cells_and_arrowheads_in_any_set_of_characters() -> None:
    for glyphs in (FULL, ASCII):
        canvas = Canvas.blank(80, 24)
        boxed = paint_tour(canvas, OFFER, Rect(1, 1, 78, 21), [Target(Rect(10, 3, 5, 1))], [], glyphs)  # fmt: skip
        assert all(canvas.inks[3, 10:15] & REVERSE)
        assert (chr(canvas.chars[3, 9]), chr(canvas.chars[3, 15])) == (glyphs.arrows[1], glyphs.arrows[3])  # fmt: skip
        assert [button.command for button in boxed.buttons] == ["tour", "end_tour"]

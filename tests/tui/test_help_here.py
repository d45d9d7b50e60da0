"""What `?` says where one stands: all of the card, the keys that work, the view; and nothing that a learner may not know."""

from __future__ import annotations

from dataclasses import fields
from pathlib import Path

import pytest

from sim.faults import all_faults
from tests.tui.conftest import snapshot_of
from tests.tui.fake_bench import DIALS, KINDS, ROLES, FakeBench, fake_chart, fake_door, steady_bench
from tests.tui.fake_wiring import fake_plan
from tui.commands import COMMANDS
from tui.desk import by_tag
from tui.draw.drawing import load_drawings
from tui.draw.layout import View
from tui.draw.scene import Scene
from tui.glossary import glossary
from tui.help_dialogs import SETTINGS, TOPICS
from tui.help_here import VIEW_TERMS, Here, here_at, key_lines
from tui.part_card import PartCard, card_of
from tui.report import Report
from tui.senses import rows_of
from tui.session.settings import IN_DIALOG, TABLES

DRAWING = load_drawings(Path(__file__).parents[2] / "rigs" / "fennick_bench")["s"]
REPORT = Report(kinds=KINDS, dials=DIALS)


def scene_of(bench: FakeBench, *, instructor: bool = False) -> Scene:
    return Scene(snapshot=bench.snapshot(), tags=by_tag(bench.tags()), fluid=fake_chart(), plan=fake_plan(), instructor=instructor, dials=DIALS, kinds=KINDS, roles=ROLES)  # fmt: skip


def card(tag: str, scene: Scene) -> PartCard:
    return card_of(tag, scene, DRAWING, REPORT)


def help_of(view: View, tag: str, scene: Scene) -> Here:
    assert scene.snapshot is not None
    rows = rows_of(scene.snapshot.senses, {}, scene.snapshot.time_s, instructor=scene.instructor, units=scene.units)  # fmt: skip
    return here_at(view, scene, card(tag, scene), rows[0], fake_door().entries[0])


def test_the_card_says_how_a_part_stands_what_is_checked_and_what_to_heed() -> None:
    valve = card("HV-12", scene_of(FakeBench()))
    assert valve.title == "HV-12  receiver outlet valve"
    assert valve.stands == ["HV-12: open"]
    assert valve.check.startswith("A technician would check: the handle's position")
    assert any("Never shut both ends" in line for line in valve.cautions)
    assert any("Protective switches" in line for line in card("PSHH-1", scene_of(FakeBench())).cautions)  # fmt: skip


def test_help_at_a_part_has_all_of_its_card_then_its_keys_then_the_view() -> None:
    scene = scene_of(steady_bench())
    for tag in ("HV-12", "HCV-22", "PSHH-1", "FG-1", "M1", "COIL-B"):
        here = help_of(View.PLANT, tag, scene)
        assert here.lines[: len(card(tag, scene).lines)] == card(tag, scene).lines
        assert "o: its card" in " ".join(here.lines)
        assert "The plant as a drawing" in " ".join(here.lines)
        assert here.terms, tag
        assert set(here.terms) <= set(glossary())


def test_the_keys_say_what_they_would_do_now() -> None:
    bench = FakeBench()
    assert "enter: shut." in key_lines(card("HV-12", scene_of(bench)), scene_of(bench))[0]
    bench.set("HV-12", 0.0)
    assert "enter: open." in key_lines(card("HV-12", scene_of(bench)), scene_of(bench))[0]
    assert "to choose from" in key_lines(card("HS-2", scene_of(bench)), scene_of(bench))[0]
    assert "No hand moves it" in key_lines(card("FG-1", scene_of(bench)), scene_of(bench))[0]


def test_an_instrument_says_what_it_shows_and_an_empty_glass_looks_clear_to_a_learner() -> None:
    bench = steady_bench()
    assert card("FG-1", scene_of(bench)).stands == ["FG-1 shows clear"]

    dry = scene_of(FakeBench())
    assert dry.snapshot is not None
    snapshot_of(dry).readings.update({"sight_glass": "empty", "sight_glass_shown": "empty"})
    assert card("FG-1", dry).stands[0] == "FG-1 shows clear"
    dry.instructor = True
    assert card("FG-1", dry).stands[0] == "FG-1 shows empty"


@pytest.mark.parametrize("view", list(View))
def test_a_learners_help_is_the_same_with_every_fault_in_as_with_none(view: View) -> None:
    sound, faulty = steady_bench(), steady_bench()
    for name in all_faults():
        faulty.insert_fault(name)
    tags = [symbol.tag for symbol in DRAWING.symbols]
    for tag in tags:
        with_faults, without = help_of(view, tag, scene_of(faulty)), help_of(view, tag, scene_of(sound))  # fmt: skip
        assert with_faults == without
        said = " ".join([with_faults.title, *with_faults.lines])
        assert not [name for name in all_faults() if name in said]


def test_the_instructors_help_at_the_board_is_about_the_chosen_fault() -> None:
    entry = fake_door().entries[0]
    here = help_of(View.BOARD, "HV-12", scene_of(FakeBench(), instructor=True))
    assert here.title == entry.name
    assert entry.what in here.lines
    assert "opens with: rimebench --instructor" in " ".join(help_of(View.BOARD, "HV-12", scene_of(FakeBench())).lines)  # fmt: skip


@pytest.mark.parametrize("view", list(View))
def test_every_view_is_explained_in_sentences_with_numbers_of_now(view: View) -> None:
    scene = scene_of(steady_bench())
    here = help_of(view, "HV-12", scene)
    assert len(" ".join(here.lines)) > 100
    assert all(line.endswith((".", ")", "instructor")) for line in here.lines if ": " in line and not line.startswith(("HV-12:", "["))), here.lines  # fmt: skip
    assert set(VIEW_TERMS.get(view, ())) <= set(glossary())
    if view is View.METERS:
        assert f"superheat {scene.words('gauge_superheat_k')}" in " ".join(here.lines)
        assert "R134a" in " ".join(here.lines)


def test_keys_that_the_views_speak_of_exist() -> None:
    shown = {key for command in COMMANDS for key in command.shown_key.split()}
    for view, keys in ((View.CHART, "A K esc"), (View.TREND, "n C m esc"), (View.WIRING, "p P l v d x"), (View.BOARD, "/ del o"), (View.PAIR, "f F")):  # fmt: skip
        said = " ".join(help_of(view, "HV-12", scene_of(FakeBench(), instructor=True)).lines)
        for key in keys.split():
            assert key in shown
            assert f" {key} " in f" {said.replace(':', ' ').replace(',', ' ')} ", (view, key)


def test_every_topic_and_every_setting_is_explained() -> None:
    assert all(text.endswith(".") for text in (*TOPICS.values(), *SETTINGS.values()))
    names = {
        f"{table}.{one.name}"
        for table, cls in TABLES.items()
        if table in IN_DIALOG
        for one in fields(cls)
    }
    assert set(SETTINGS) == names

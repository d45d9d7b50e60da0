"""A card says how its part stands: on stored states of the computed plant, and on what they say with one sign changed."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from sim.events import Event
from sim.senses import Sign, Spot
from tests.screen.stored import stored
from tests.tui.conftest import changed, snapshot_of
from tests.tui.test_part_words import ABOUT, DRAWING, said, scene_of
from tui.draw.scene import Scene
from tui.part_card import card_of


def words_at(tag: str, scene: Scene) -> str:
    return " ".join(card_of(tag, scene, DRAWING, ABOUT).stands)


def with_signs(state: str, tag: str, *signs: Sign) -> Scene:
    """A stored state in which one part shows and sounds like this."""
    scene = scene_of(state)
    assert scene.snapshot is not None
    senses = scene.snapshot.senses
    spots = [replace(spot, signs=signs) if spot.place == tag else spot for spot in senses.spots]
    spots += [] if any(spot.place == tag for spot in spots) else [Spot(tag, tag, signs=signs)]
    changed(scene, senses=replace(senses, spots=tuple(spots)))
    return scene


@pytest.mark.parametrize(("state", "words"), [("cooling", "hums: energised, so it should stand open"), ("off", "silent: not energised")])  # fmt: skip
def test_a_solenoid_valve_says_whether_its_coil_is_on(state: str, words: str) -> None:
    assert words in said("XV-1", state)


@pytest.mark.parametrize(("state", "pilot", "side"), [("cooling", "silent: off", "cooling"), ("heating", "hums: on", "heating"), ("off", "silent: off", "cooling")])  # fmt: skip
def test_the_reversing_valve_says_pilot_and_slide(state: str, pilot: str, side: str) -> None:
    words = said("XV-2", state)
    assert f"Its pilot's coil {pilot}" in words.replace("is silent", "silent")
    assert f"Its slide stands on the {side} side." in words
    assert "not followed" not in words


def test_a_slide_that_has_not_followed_and_one_on_its_way_are_told() -> None:
    """The rig's valve shifts from 1.0 bar on (``product.md``): a switched pilot on a plant at rest leaves the slide where it was."""
    waits = with_signs("off", "XV-2", Sign("coil hums", 120.0), Sign("slide", 0.0))
    assert "on the cooling side. It has not followed its pilot" in words_at("XV-2", waits)
    moves = with_signs("cooling", "XV-2", Sign("coil hums", 120.0), Sign("slide", 0.4))
    assert "40 % towards heating" in words_at("XV-2", moves)


@pytest.mark.parametrize(("lift", "words"), [(0.0, "hangs down, needle open"), (0.5, "half way, needle part open"), (1.0, "hangs up, needle shut")])  # fmt: skip
def test_the_float_valve_says_float_needle_and_level(lift: float, words: str) -> None:
    """sim.senses: 0 down, needle open; 1 up, needle shut."""
    said_here = words_at("LCV-24", with_signs("cooling", "LCV-24", Sign("float", lift)))
    assert words in said_here
    assert re.search(r"the drum's level at LG-2 is \d+ %", said_here)


def test_the_float_valves_level_is_what_the_glass_shows_and_not_the_truth() -> None:
    scene = scene_of("cooling")
    assert scene.snapshot is not None
    changed(
        scene,
        readings=snapshot_of(scene).readings | {"float_level": 0.5, "float_level_shown": 0.25},
    )
    assert "at LG-2 is 25 %" in words_at("LCV-24", scene)


@pytest.mark.parametrize(("tag", "state", "flows"), [("FO-21", "cooling", False), ("FO-21", "heating", True), ("LCV-24", "cooling", False)])  # fmt: skip
def test_a_device_says_whether_anything_flows_through_it(tag: str, state: str, flows: bool) -> None:
    assert ("Refrigerant flows through it." in said(tag, state)) == flows
    assert ("Nothing flows through it." in said(tag, state)) != flows


def test_the_relief_valve_says_seated_lifted_and_that_it_has_lifted() -> None:
    assert "It is seated: nothing is heard to blow." in said("PSV-1", "cooling")
    assert "has lifted" not in said("PSV-1", "cooling")
    scene = with_signs("cooling", "PSV-1", Sign("lifted", 900.0))
    assert scene.snapshot is not None
    events = (Event(61.0, "PSV-1", "lift", "PSV-1 has lifted."), Event(125.0, "PSV-1", "lift", "PSV-1 has lifted."), Event(130.0, "PSHH-1", "trip", "Opens."))  # fmt: skip
    changed(scene, events=events)
    words = words_at("PSV-1", scene)
    assert "It is lifted: refrigerant blows out. It has lifted 2 times, last at 00:02:05." in words
    assert "roars" in words


@pytest.mark.parametrize(("tag", "state", "does"), [("COIL-A", "cooling", "condensing"), ("COIL-B", "cooling", "boiling"), ("COIL-B", "heating", "condensing"), ("COIL-A", "heating", "boiling")])  # fmt: skip
def test_a_coil_says_how_many_of_its_cells_boil_or_condense(tag: str, state: str, does: str) -> None:  # fmt: skip
    """Saturated cells counted here by their quality; the coils have eight cells (``rig.toml``)."""
    places = stored(state).snapshot.places
    qualities = [places[f"{tag[-1].lower()}{k}"].quality for k in range(1, 9)]
    wet = sum(0.0 < quality < 1.0 for quality in qualities)
    words = said(tag, state)
    assert "Of its 8 cells" in words
    assert re.search(rf"\b{wet} holds? {does} refrigerant", words)
    assert ("gas alone" in words) == any(quality >= 1.0 for quality in qualities)
    assert ("liquid alone" in words) == any(quality <= 0.0 for quality in qualities)


def test_a_coil_at_rest_neither_boils_nor_condenses() -> None:
    for tag in ("COIL-A", "COIL-B"):
        assert "boiling" not in said(tag, "off")
        assert "condensing" not in said(tag, "off")


def test_a_coil_says_its_dew_and_its_air() -> None:
    assert "wet with dew on parts 1 to 6 of 8; air comes out cooler than it goes in" in said("COIL-B", "cooling")  # fmt: skip


def test_a_port_says_its_cap_and_which_gauge_hangs_on_its_pipe() -> None:
    """product.md: SP-1 on the suction side, where PI-1 is; SP-2 on the liquid line, which has no gauge."""
    assert re.search(r"Its cap is on.*PI-1, which shows 1\.\d+ bar g", said("SP-1", "cooling"))
    assert "No gauge of the bench hangs on its pipe." in said("SP-2", "cooling")


@pytest.mark.parametrize("tag", ["XV-1", "XV-2", "LCV-24", "FO-21", "PSV-1", "COIL-A", "COIL-B", "SP-1", "SP-2"])  # fmt: skip
@pytest.mark.parametrize("state", ["off", "cooling", "heating", "tripped"])
def test_every_part_without_a_handle_has_a_state_on_its_card_and_no_truth_in_it(tag: str, state: str) -> None:  # fmt: skip
    scene = scene_of(state)
    lines = card_of(tag, scene, DRAWING, ABOUT).stands
    assert lines
    scene.own_work = True
    assert card_of(tag, scene, DRAWING, ABOUT).stands == lines, "nothing of it is worked out"
    assert not any("superheat" in line or "quality" in line for line in lines)

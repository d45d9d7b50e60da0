"""What a scene says of the plant in words."""

from __future__ import annotations

from dataclasses import replace

from tests.tui.conftest import scene_of, snapshot_of
from tests.tui.fake_bench import steady_bench
from tui.draw.scene import Scene
from tui.words import UNIT_CHOICES

SUCTION, SUPERHEAT = "suction_pressure_pa", "gauge_superheat_k"


def printed() -> Scene:
    """A scene whose numbers are held while the plant goes on, as on the screen."""
    scene = scene_of(steady_bench())
    scene.numbers = scene.snapshot
    return scene


def test_words_stay_with_their_numbers_and_follow_new_ones() -> None:
    scene = printed()
    before = scene.words(SUCTION)
    readings = dict(snapshot_of(scene).readings)
    readings[f"{SUCTION}_shown"] += 1e5
    scene.snapshot = replace(snapshot_of(scene), readings=readings)
    assert scene.words(SUCTION) == before
    scene.numbers = scene.snapshot
    assert float(scene.words(SUCTION).split()[0]) - float(before.split()[0]) == 1.0


def test_words_follow_the_person_though_the_numbers_stay() -> None:
    scene = printed()
    bar, kelvin = scene.words(SUCTION), scene.words(SUPERHEAT)
    assert bar.endswith("bar g")
    scene.units = UNIT_CHOICES[1]
    assert scene.words(SUCTION).endswith("psig")
    assert "(" in scene.words(SUPERHEAT, short=False)
    assert "(" not in scene.words(SUPERHEAT)
    scene.units = UNIT_CHOICES[0]
    assert scene.words(SUPERHEAT) == kelvin
    truth = dict(snapshot_of(scene).readings)
    truth[SUCTION] += 5e5
    scene.snapshot = scene.numbers = replace(snapshot_of(scene), readings=truth)
    assert scene.words(SUCTION) == bar
    scene.instructor = True
    assert scene.words(SUCTION) != bar
    scene.instructor, scene.own_work = False, True
    assert scene.words(SUPERHEAT) != kelvin

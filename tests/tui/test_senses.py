"""What is found is said in plain words, and nothing is said of what it means."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from sim.senses import SIGNS, Senses, Sign, Spot, Surface, feel_of
from tests.tui.fake_bench import FakeBench, steady_bench
from tui.draw.canvas import Canvas
from tui.draw.drawing import load_drawings
from tui.draw.glyphs import SETS
from tui.draw.ink import BOLD, INK_MASK, Ink
from tui.draw.plant_picture import PlantPicture
from tui.draw.scene import Scene
from tui.draw.senses_list import SensesList, columns
from tui.orders import Touch, changes_plant, obey
from tui.senses import (
    PHRASES,
    SKINS,
    Touched,
    felt_words,
    found_words,
    name_of,
    rows_of,
    sign_words,
    touch_words,
)
from tui.words import UNIT_CHOICES

RIG = Path(__file__).parents[2] / "rigs" / "fennick_bench"
SI = UNIT_CHOICES[0]
ROOM_K = 296.15


def metal(*celsius: float, node: str = "pipe", skins: str = "") -> tuple[Surface, ...]:
    names = {"-": "dry", "w": "sweating", "f": "frosted", "t": "thawing"}
    seen = [names[letter] for letter in skins or "-" * len(celsius)]
    return tuple(Surface(node, c + 273.15, feel_of(c + 273.15, ROOM_K), skin) for c, skin in zip(celsius, seen, strict=True))  # type: ignore[arg-type]  # fmt: skip


def test_every_sign_has_words() -> None:
    for what in SIGNS:
        assert sign_words(Sign(what, 0.4))


def test_words_say_what_is_found_and_not_what_it_means() -> None:
    # names of faults and of their causes belong to whoever stands there
    meaning = re.compile(r"leak|block|restrict|fault|stall|seiz|charge|stuck|worn|open circuit|liquid in|normal|should", re.IGNORECASE)  # fmt: skip
    said = [*PHRASES.values(), *SKINS.values(), *(sign_words(Sign(what, 0.5)) for what in SIGNS)]
    assert not [words for words in said if meaning.search(words)]


def test_a_coil_is_told_part_by_part() -> None:
    coil = Spot("COIL-B", "coil B, takes heat", metal(-8, -8, -8, 2, 2, 6, 15, 18, skins="fffww---", node="b1"))  # fmt: skip
    assert found_words(coil) == "white with frost on parts 1 to 3 of 8; wet with dew on parts 4 to 5 of 8"  # fmt: skip
    assert felt_words(coil) == "cold 1-6, cool 7-8"
    assert name_of(coil) == "COIL-B coil B"


def test_what_is_the_same_all_along_is_said_once() -> None:
    coil = Spot("COIL-B", "coil B", metal(-8, -8, skins="ff", node="b1"))
    assert found_words(coil) == "white with frost"
    assert felt_words(coil) == "cold"


def test_a_closed_box_hides_what_is_in_it() -> None:
    coil = Spot("COIL-B", "coil B", metal(-8.0, skins="f"), (Sign("air cooler", -8.0),), shut_in=True)  # fmt: skip
    assert found_words(coil) == "inside the closed load box"


def test_a_loud_stream_is_called_loud() -> None:
    assert sign_words(Sign("gas hisses", 5.0)) == "hisses, dry and steady"
    assert sign_words(Sign("gas hisses", 50.0)).endswith("loud")


def test_a_level_is_read_to_a_twentieth() -> None:
    assert sign_words(Sign("level", 0.637)) == "glass 65 % full"


def test_a_hand_that_would_be_hurt_keeps_no_more_than_that() -> None:
    hot = Spot("head", "discharge pipe", metal(71.0, node="head"))
    assert touch_words(hot, 5.0) == Touched(5.0, "too hot: hand drawn back", hurt=True)
    fan = Spot("FAN-A", "fan", (), (Sign("turns fast", 1.0),))
    assert touch_words(fan, 5.0).hurt
    still = Spot("FAN-A", "fan", (), (Sign("stands still"),))
    assert touch_words(still, 5.0) == Touched(5.0, "stands still")


def test_a_touch_is_remembered_with_its_age_until_one_goes_back_before_it() -> None:
    senses = Senses((Spot("receiver", "receiver", metal(37.0, node="receiver")),), ROOM_K, 281.0)
    memory = {"receiver": Touched(100.0, "warm")}

    def hand(now_s: float) -> str:
        return rows_of(senses, memory, now_s, instructor=False, units=SI)[0].hand

    assert hand(110.0) == "warm"
    assert hand(400.0) == "warm (5 min ago)"
    assert hand(50.0) == "not touched"


def test_the_instructor_reads_temperatures_in_his_own_units() -> None:
    senses = Senses((Spot("receiver", "receiver", metal(37.0, node="receiver")),), ROOM_K, 281.0)
    words = [rows_of(senses, {}, 0.0, instructor=True, units=units)[0].hand for units in UNIT_CHOICES[:2]]  # fmt: skip
    assert words == ["warm; 37.0 °C", "warm; 98.6 °F"]


def test_the_columns_fill_the_width() -> None:
    for width in (76, 100, 116, 150):
        first, second, third = columns(width)
        assert min(first, second, third) >= 18
        assert first + second + third + 4 == width


def test_the_list_scrolls_so_that_the_cursor_is_in_sight() -> None:
    rows = rows_of(steady_bench().snapshot().senses, {}, 0.0, instructor=False, units=SI)
    shown, canvas = SensesList(), Canvas.blank(76, 12)
    for row in (*rows, *reversed(rows)):
        canvas.clear()
        shown.paint(canvas, rows, row.place)
        marked = [y for y in range(12) if canvas.inks[y, 0] & INK_MASK == Ink.CURSOR]
        assert len(marked) == 1
        assert shown.place_at(marked[0]) == row.place
        assert shown.more.startswith("lines ")
    assert shown.place_at(0) == ""


def test_a_touch_is_an_order_that_is_given_again_when_one_goes_back() -> None:
    bench, order = FakeBench(), Touch(place="receiver")
    assert obey(order, bench) is None
    assert bench.events[-1].text == "receiver touched"
    assert changes_plant(order)


@pytest.fixture(params=[(size, glyphs) for size in "sml" for glyphs in SETS])
def picture(request: pytest.FixtureRequest) -> PlantPicture:
    size, glyphs = request.param
    return PlantPicture(load_drawings(RIG)[size], SETS[glyphs])


def painted(picture: PlantPicture, white: int) -> Canvas:
    canvas = Canvas.blank(*picture.size)
    picture.paint(canvas, Scene(snapshot=FakeBench(white=white).snapshot(), glyphs=picture.glyphs))
    return canvas


def test_frost_lies_between_the_passes_and_only_on_the_white_cells(picture: PlantPicture) -> None:
    clean, white = painted(picture, 0), painted(picture, 3)
    changed = {(x, y) for y, x in zip(*(clean.chars != white.chars).nonzero(), strict=True)}
    assert changed
    left, top, width, height = next(coil.rect for coil in picture.drawing.coils if coil.tag == "COIL-B")  # fmt: skip
    for x, y in changed:
        assert left < x <= left + 1 + width * 3 // 8
        assert top < y < top + height - 1
        assert chr(white.chars[y, x]) == picture.glyphs.frost
        assert int(white.inks[y, x]) & ~BOLD == Ink.FROST


def test_before_the_plant_is_there_no_coil_is_said_to_do_anything(picture: PlantPicture) -> None:
    canvas = Canvas.blank(*picture.size)
    picture.paint(canvas, Scene(glyphs=picture.glyphs))
    words = "\n".join(canvas.row_text(y) for y in range(canvas.height))
    assert " coil A " in words
    assert "evaporator" not in words
    assert "condenser" not in words

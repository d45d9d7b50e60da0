"""Colours can be read, also by people who see fewer of them.

Contrast: WCAG 2.1, success criteria 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1). Sight: Machado, Oliveira and Fernandes 2009 ("A physiologically-based model for
simulation of color vision deficiency", IEEE TVCG 15(6)), severity 1, on linear RGB. Difference: CIE 1976. All three come from the library coloraide, not from here.

Every ink is looked at: what carries text is found by painting all screens, not by a list; an ink that stands in no group of ``MEANINGS`` has to be named as one that tells nothing.
"""

from __future__ import annotations

from functools import cache
from itertools import combinations, pairwise

import pytest
from coloraide import Color

from tests.screen.golden import CASES
from tests.screen.sample import screen
from tui.draw.ink import HEAT_STEPS, INK_COUNT, INK_MASK, Ink
from tui.draw.palette import MONO, PALETTES, Look, Palette

SIGHTS = ("", "protan", "deutan", "tritan")
APART = 20.0
JUST_NOTICED = 2.3
"""Mahy and others 1994, from memory; three times that is safe on a thin line."""
MEANINGS: dict[str, tuple[tuple[Ink, ...], ...]] = {
    "side": ((Ink.LOW, Ink.HIGH),),
    "valve": ((Ink.OPEN, Ink.SHUT),),
    "order on its way": tuple((Ink.WAITING, other) for other in (Ink.OPEN, Ink.SHUT, Ink.KEY)),
    "cursor": tuple((Ink.CURSOR, other) for other in (Ink.OPEN, Ink.SHUT, Ink.KEY, Ink.WAITING, Ink.ALARM, Ink.STOP, Ink.STATUS)),
    "alarm": tuple((Ink.ALARM, other) for other in (Ink.KEY, Ink.STATUS, Ink.TEXT, Ink.OPEN, Ink.SHUT)),
    "stop": ((Ink.STOP, Ink.KEY),),
    "conductor": ((Ink.HIGH, Ink.CAUTION, Ink.PART),),
    "curve": ((Ink.FIRST, Ink.SECOND, Ink.THIRD, Ink.FOURTH),),
    "stored cycle": ((Ink.THIRD, Ink.LOW), (Ink.THIRD, Ink.HIGH)),
    "trip on a dial": ((Ink.MARK, Ink.GRID),),
    "frost": ((Ink.FROST, Ink.TEXT), (Ink.FROST, Ink.FAINT)),
    "filling": ((Ink.LIQUID, Ink.GRID),),
    "caution": tuple((Ink.CAUTION, other) for other in (Ink.TEXT, Ink.STRONG, Ink.FAINT)),
}  # fmt: skip
TELLS_NOTHING = {Ink.FRAME, Ink.TITLE, Ink.DOME}
"""Weight and ground only; the words or the shape say it all."""
RAMP = set(range(Ink.HEAT_0, Ink.HEAT_0 + HEAT_STEPS))
"""Looked at on its own."""


@cache
def seen(colour: str, sight: str) -> Color:
    """A colour as somebody sees it."""
    plain = Color(colour)
    if not sight:
        return plain
    return plain.filter(sight, 1.0, method="machado", space="srgb-linear").clip("srgb-linear")


@cache
def apart(one: str, other: str, sight: str) -> float:
    """Colour difference as somebody sees it."""
    return float(seen(one, sight).delta_e(seen(other, sight), method="76"))


def contrast(one: str, other: str) -> float:
    """WCAG 2.1 contrast ratio."""
    return float(Color(one).contrast(other, method="wcag21"))


def told_by(one: Look, other: Look) -> tuple[str, str]:
    """The grounds of two chips, or the strokes of two lines: what the eye compares."""
    if one.ground != other.ground:
        return one.ground, other.ground
    return one.colour, other.colour


@cache
def texts() -> dict[int, frozenset[str]]:
    """Ink -> every character that any screen writes in it."""
    found: dict[int, set[str]] = {}
    for case in CASES.values():
        canvas = screen(**case)  # type: ignore[arg-type]
        for y in range(canvas.height):
            for text, code in canvas.runs(y):
                found.setdefault(code & INK_MASK, set()).update(text.replace(" ", ""))
    return {ink: frozenset(chars) for ink, chars in found.items()}


@pytest.fixture(params=PALETTES.values(), ids=list(PALETTES))
def palette(request: pytest.FixtureRequest) -> Palette:
    found: Palette = request.param
    return found


@pytest.fixture(params=[palette for palette in PALETTES.values() if palette.coloured], ids=lambda palette: palette.name)  # fmt: skip
def coloured(request: pytest.FixtureRequest) -> Palette:
    found: Palette = request.param
    return found


def test_every_ink_has_a_look(palette: Palette) -> None:
    assert set(palette.looks) == set(range(INK_COUNT))


def test_text_reaches_4_5_to_1_and_graphics_3_to_1(palette: Palette) -> None:
    poor = {}
    for ink, look in palette.looks.items():
        chars = texts().get(ink, frozenset("unseen"))
        need = 4.5 if any(char.isalnum() for char in chars) else 3.0
        if contrast(look.colour, look.ground) < need:
            poor[ink] = round(contrast(look.colour, look.ground), 2), need
    assert poor == {}


def test_every_ink_belongs_to_a_meaning_or_has_none() -> None:
    grouped = {ink for groups in MEANINGS.values() for group in groups for ink in group}
    assert set(range(INK_COUNT)) == grouped | TELLS_NOTHING | RAMP
    assert not grouped & TELLS_NOTHING


@pytest.mark.parametrize("meaning", MEANINGS)
def test_what_tells_two_things_apart_does_so_for_every_kind_of_sight(coloured: Palette, meaning: str) -> None:  # fmt: skip
    poor = {}
    for one, other in (pair for group in MEANINGS[meaning] for pair in combinations(group, 2)):
        colours = told_by(coloured.looks[one], coloured.looks[other])
        least = min((apart(*colours, sight), sight) for sight in SIGHTS)
        if least[0] < APART:
            poor[one.name, other.name] = least
    assert poor == {}


@pytest.mark.parametrize("sight", SIGHTS)
def test_neighbouring_temperature_colours_differ_for_every_kind_of_sight(coloured: Palette, sight: str) -> None:  # fmt: skip
    assert min(apart(a, b, sight) for a, b in pairwise(coloured.ramp)) > 3 * JUST_NOTICED
    assert min(apart(a, b, sight) for a, b in combinations(coloured.ramp[:: HEAT_STEPS // 2], 2)) >= APART  # fmt: skip


def test_without_colour_there_are_greys_only_and_the_temperature_runs_from_dark_to_light() -> None:
    colours = {colour for look in MONO.looks.values() for colour in (look.colour, look.ground)}
    assert all(len({colour[i : i + 2] for i in (1, 3, 5)}) == 1 for colour in colours)
    assert [palette.name for palette in PALETTES.values() if not palette.coloured] == [MONO.name]
    light = [contrast(grey, "#000000") for grey in MONO.ramp]
    assert light == sorted(set(light))


def _marks(look: Look) -> tuple[bool, bool, bool]:
    """Reversed, bold, underlined: what a terminal without colours can show."""
    return contrast(look.ground, "#000000") > contrast(look.colour, "#000000"), look.bold, look.underline  # fmt: skip


def test_without_colour_the_cursor_an_alarm_and_an_order_on_its_way_have_marks_of_their_own() -> None:  # fmt: skip
    marks = {ink: _marks(MONO.looks[ink]) for ink in (Ink.CURSOR, Ink.ALARM, Ink.WAITING, Ink.TEXT, Ink.KEY, Ink.OPEN, Ink.SHUT)}  # fmt: skip
    for ink in (Ink.CURSOR, Ink.ALARM, Ink.WAITING):
        assert [other for other in marks if marks[other] == marks[ink]] == [ink], ink.name

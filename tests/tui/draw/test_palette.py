"""Colours can be read, also by people who see fewer of them.

Contrast: WCAG 2.1, success criteria 1.4.3 (text 4.5:1) and 1.4.11 (graphics 3:1), relative luminance as defined there. Colour-vision matrices: Machado, Oliveira and
Fernandes 2009, severity 1.0 (from memory), on linear RGB. Colour difference: CIE 1976.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from tui.draw.ink import HEAT_STEPS, Ink
from tui.draw.palette import PALETTES, Palette

Vector = NDArray[np.float64]
SIGHTS = {
    "all three": np.eye(3),
    "no red": np.array([[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]]),
    "no green": np.array([[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.011820, 0.042940, 0.968881]]),
    "no blue": np.array([[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.303900]]),
}  # fmt: skip
XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])
WHITE = np.array([0.9505, 1.0, 1.0890])
GRAPHICS = {Ink.FRAME, Ink.GRID, Ink.LIQUID, Ink.DOME, Ink.FIRST, Ink.SECOND, Ink.THIRD, Ink.FOURTH, Ink.MARK, Ink.PART}  # fmt: skip


def linear(colour: str) -> Vector:
    """Linear RGB, 0..1, of #rrggbb (IEC 61966-2-1 as WCAG writes it)."""
    values = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def contrast(one: str, other: str) -> float:
    """WCAG 2.1 contrast ratio."""
    light, dark = sorted((float(linear(colour) @ XYZ[1]) for colour in (one, other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def lab(rgb: Vector) -> Vector:
    """CIE 1976 L*a*b* of linear RGB."""
    t = XYZ @ np.clip(rgb, 0, 1) / WHITE
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def apart(one: str, other: str, sight: str) -> float:
    """Colour difference as somebody sees it."""
    matrix = SIGHTS[sight]
    return float(np.linalg.norm(lab(matrix @ linear(one)) - lab(matrix @ linear(other))))


@pytest.fixture(params=PALETTES.values(), ids=list(PALETTES))
def palette(request: pytest.FixtureRequest) -> Palette:
    found: Palette = request.param
    return found


def test_black_on_white_has_the_contrast_that_wcag_states() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0, abs=0.01)


def test_every_ink_has_a_look(palette: Palette) -> None:
    assert set(palette.looks) == {*(int(ink) for ink in Ink), *range(Ink.HEAT_0, Ink.HEAT_0 + HEAT_STEPS)}  # fmt: skip


def test_text_reaches_4_5_to_1_and_graphics_3_to_1(palette: Palette) -> None:
    for ink in Ink:
        if ink == Ink.HEAT_0:
            continue
        look = palette.looks[ink]
        assert contrast(look.colour, look.ground) >= (3.0 if ink in GRAPHICS else 4.5), ink.name


def test_every_temperature_colour_stands_out_from_the_ground(palette: Palette) -> None:
    assert all(contrast(colour, palette.ground) >= 3.0 for colour in palette.ramp)


@pytest.mark.parametrize("sight", SIGHTS)
def test_neighbouring_temperature_colours_differ_for_every_kind_of_sight(palette: Palette, sight: str) -> None:  # fmt: skip
    # A difference of about 2.3 is just noticeable (Mahy and others 1994, from memory); three times that is safe on a thin line.
    assert min(apart(a, b, sight) for a, b in pairwise(palette.ramp)) > 6.9


@pytest.mark.parametrize("sight", SIGHTS)
def test_open_and_shut_valves_differ_for_every_kind_of_sight(palette: Palette, sight: str) -> None:
    grounds = [palette.looks[ink].ground for ink in (Ink.OPEN, Ink.SHUT)]
    assert apart(grounds[0], grounds[1], sight) > 20

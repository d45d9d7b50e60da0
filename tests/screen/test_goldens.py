"""The screens look as they were last looked at, characters and inks."""

from __future__ import annotations

import pytest

from tests.screen.golden import FOLDER, NAMES, painted
from tests.screen.sample import screen


@pytest.mark.parametrize("name", NAMES)
def test_a_screen_looks_as_it_was_last_looked_at(name: str) -> None:
    assert painted(name).splitlines() == (FOLDER / f"{name}.txt").read_text(encoding="utf-8").splitlines()  # fmt: skip


def test_every_golden_belongs_to_a_case() -> None:
    assert {path.stem for path in FOLDER.glob("*.txt")} == set(NAMES)


@pytest.mark.parametrize(
    "view",
    [
        "plant",
        "p-h chart",
        "trend",
        "meters",
        "table",
        "log",
        "wiring",
        "fault board",
        "bench and copy",
        "readings and working",
        "projector",
    ],
)
def test_the_plain_set_of_characters_is_plain(view: str) -> None:
    canvas = screen(120, 40, view=view, glyphs="ascii", instructor=True)
    assert not [char for y in range(canvas.height) for char in canvas.row_text(y) if ord(char) > 126]  # fmt: skip


def test_without_braille_there_is_none() -> None:
    canvas = screen(200, 60, glyphs="no-braille")
    assert not [char for y in range(canvas.height) for char in canvas.row_text(y) if 0x2800 <= ord(char) < 0x2900]  # fmt: skip

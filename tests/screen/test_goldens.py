"""The screens look as they were last looked at, characters and inks."""

from __future__ import annotations

import pytest

from tests.screen.golden import CASES, FOLDER, painted


@pytest.mark.parametrize("name", CASES)
def test_a_screen_looks_as_it_was_last_looked_at(name: str) -> None:
    assert painted(name).splitlines() == (FOLDER / f"{name}.txt").read_text(encoding="utf-8").splitlines()  # fmt: skip


def test_every_golden_belongs_to_a_case() -> None:
    assert {path.stem for path in FOLDER.glob("*.txt")} == set(CASES)

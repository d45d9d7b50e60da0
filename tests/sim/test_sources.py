"""Every number in a shipped rig and every constant of a part says where it comes from."""

from __future__ import annotations

from pathlib import Path

import pytest

import sim
from sim.rig_find import shipped_folder
from sim.sources import unsourced_constants, unsourced_keys

RIGS = sorted([*shipped_folder().glob("*/rig.toml"), *shipped_folder().glob("*/wiring_*.toml")])
PARTS = sorted((Path(sim.__file__).parent / "parts").glob("*.py"))


@pytest.mark.parametrize("path", RIGS, ids=lambda path: f"{path.parent.name}/{path.name}")
def test_every_number_of_a_shipped_rig_has_a_source(path: Path) -> None:
    assert [str(mistake) for mistake in unsourced_keys(path)] == []


@pytest.mark.parametrize("path", PARTS, ids=lambda path: path.stem)
def test_every_constant_of_a_part_has_a_source(path: Path) -> None:
    assert [str(mistake) for mistake in unsourced_constants(path)] == []


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("a_m = 1.0\n", [1]),
        ("a_m = 1.0 # source: ISO 2533:1975\n", []),
        ("a_m = 1.0 # common practice\n", []),
        ("a_m = 1.0 # guess: as long as an arm\n", []),
        ("a_m = 1.0 # guess:\n", [1]),
        ("a_m = 1.0 # an arm\n", [1]),
        ("# guess: as long as an arm\na_m = 1.0\n", []),
        ("# guess: as long as an arm,\n# give or take\na_m = 1.0\n", []),
        ("# guess: as long as an arm\n\na_m = 1.0\n", [3]),
        ("b_m = 2 # common practice\na_m = 1.0\n", [2]),
        ('text = "# source: x"\na_m = 1.0\n', [2]),
        ('a = "1.0"\nb = true\n', []),
        ("a = [\n 1.0, # common practice\n 2.0,\n]\n", [3]),
        ("a = [ # common practice\n 1.0,\n 2.0,\n]\n", []),
        ('[[spread]]\nlow = 1.0\nsource = "a book"\n', []),
    ],
)
def test_a_number_needs_a_comment_on_its_line_or_just_above(
    tmp_path: Path, text: str, lines: list[int]
) -> None:
    path = tmp_path / "rig.toml"
    path.write_text(text, encoding="utf-8")
    assert [mistake.line for mistake in unsourced_keys(path)] == lines


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("GAMMA = 1.4\n", ["GAMMA"]),
        ("GAMMA = 1.4  # common practice for air\n", []),
        ("# source: a handbook, table 3\nGAMMA = 1.4\n", []),
        ("GAMMA: float = -1.4e3\n", ["GAMMA"]),
        ("A, B = 1.0, 2.0\n", ["A", "B"]),
        ("COLUMNS = 5\n", []),
        ("gamma = 1.4\n", []),
        ("GAMMA = 1.4  # K\n", ["GAMMA"]),
    ],
)
def test_a_constant_with_decimals_needs_a_comment(
    tmp_path: Path, text: str, names: list[str]
) -> None:
    path = tmp_path / "part.py"
    path.write_text(text, encoding="utf-8")
    assert [mistake.what.split()[2] for mistake in unsourced_constants(path)] == names

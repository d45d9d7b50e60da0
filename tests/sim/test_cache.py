"""The folder of machine code: what it is named after, and which older ones go."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from sim import cache as cache_module
from sim.cache import DAY_S, KEPT_DAYS, kept, remove_old_kernels, source_key

NOW_S = 1.8e9


@pytest.fixture
def package(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """A copy of the model's sources in place of the model."""
    copy = tmp_path / "sim"
    shutil.copytree(cache_module._PACKAGE, copy, ignore=shutil.ignore_patterns("*.npz", "__pycache__"))  # fmt: skip
    monkeypatch.setattr(cache_module, "_PACKAGE", copy)
    yield copy
    monkeypatch.undo()
    source_key.cache_clear()


def key() -> str:
    source_key.cache_clear()
    return source_key()


@pytest.mark.parametrize("name", ["kernel.py", "parts/compressor.py", "columns.py", "doors.py"])
def test_the_name_follows_every_source_that_becomes_machine_code(package: Path, name: str) -> None:
    before = key()
    with (package / name).open("a") as source:
        source.write("\n")
    assert key() != before


def test_the_name_does_not_follow_the_rest(package: Path) -> None:
    before = key()
    (package / "session.py").write_text("changed = True\n")
    assert key() == before


@pytest.fixture
def cache(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A cache folder with the kernels of this version, of an old one and of a young one, each of a thousand bytes."""
    current = tmp_path / "kernels-00000000000000aa"
    monkeypatch.setattr(cache_module, "cache_folder", lambda: current)
    for name, days in ((current.name, 90.0), ("kernels-00000000000000bb", 31.0), ("kernels-00000000000000cc", 29.0)):  # fmt: skip
        filled(tmp_path / name, days)
    return tmp_path


def filled(folder: Path, days: float) -> None:
    inner = folder / "sim_1"
    inner.mkdir(parents=True)
    (inner / "kernel.nbc").write_bytes(bytes(1000))
    at = NOW_S - days * DAY_S
    for path in (inner / "kernel.nbc", inner, folder):
        os.utime(path, (at, at))


def names(folder: Path) -> set[str]:
    return {path.name[-2:] for path in folder.iterdir()}


def test_old_kernels_of_other_versions_go_and_nothing_else(cache: Path) -> None:
    filled(cache / "kernels-mine", 90.0)
    filled(cache / "old-kernels-00000000000000dd", 90.0)
    (cache / "kernels-00000000000000ee").write_text("a file")
    assert remove_old_kernels(NOW_S) == 1000
    assert names(cache) == {"aa", "cc", "ne", "dd", "ee"}
    assert remove_old_kernels(NOW_S) == 0


def test_a_folder_in_which_something_was_written_lately_stays(cache: Path) -> None:
    young = cache / "kernels-00000000000000bb" / "sim_1" / "young.nbc"
    young.write_bytes(b"")
    os.utime(young, (NOW_S - DAY_S, NOW_S - DAY_S))
    assert remove_old_kernels(NOW_S) == 0
    assert young.exists()


def test_links_are_not_followed(cache: Path, tmp_path_factory: pytest.TempPathFactory) -> None:
    outside = tmp_path_factory.mktemp("outside")
    filled(outside / "kernels-00000000000000ff", 90.0)
    try:
        (cache / "kernels-00000000000000ff").symlink_to(outside / "kernels-00000000000000ff")
        (cache / "kernels-00000000000000bb" / "link").symlink_to(outside)
    except OSError:
        pytest.skip("no links on this system")
    remove_old_kernels(NOW_S + KEPT_DAYS * DAY_S * 1000)
    assert (outside / "kernels-00000000000000ff" / "sim_1" / "kernel.nbc").exists()
    assert (cache / "kernels-00000000000000ff").is_symlink()


def test_a_cache_that_is_not_there_is_no_mistake(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(cache_module, "cache_folder", lambda: Path("/nowhere/at/all/kernels-00000000000000aa"))  # fmt: skip
    assert remove_old_kernels(NOW_S) == 0


GIVEN = [np.arange(3.0), np.ones((2, 2))]


def squares(given: list[np.ndarray], made: list[int]) -> np.ndarray:
    """What ``kept`` returns for the squares of the first input; ``made`` counts how often they were computed."""

    def make() -> np.ndarray:
        made.append(1)
        return given[0] ** 2

    return kept("squares", given, make)


def test_a_table_is_computed_once_for_the_same_inputs(cache: Path) -> None:
    made: list[int] = []
    assert [squares(GIVEN, made).tolist() for _ in range(3)] == [[0.0, 1.0, 4.0]] * 3
    assert len(made) == 1
    other = [np.nextafter(GIVEN[0], 9.0), GIVEN[1]]
    assert squares(other, made).tolist() == (other[0] ** 2).tolist()
    assert len(made) == 2


@pytest.mark.parametrize("length", [0, 20, 140])
def test_a_broken_table_is_made_anew(cache: Path, length: int) -> None:
    made: list[int] = []
    squares(GIVEN, made)
    (file,) = (cache / "kernels-00000000000000aa").glob("squares-*.npy")
    file.write_bytes(file.read_bytes()[:length])
    assert squares(GIVEN, made).tolist() == squares(GIVEN, made).tolist() == [0.0, 1.0, 4.0]
    assert len(made) == 2


def test_a_folder_that_cannot_be_written_only_costs_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:  # fmt: skip
    monkeypatch.setattr(cache_module, "cache_folder", lambda: tmp_path / "none" / "kernels-00000000000000aa")  # fmt: skip
    made: list[int] = []
    assert [squares(GIVEN, made).tolist() for _ in range(2)] == [[0.0, 1.0, 4.0]] * 2
    assert len(made) == 2

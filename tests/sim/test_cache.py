"""The folder of machine code: what it is named after, and which older ones go."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from sim import cache as cache_module
from sim.cache import DAY_S, KEPT_DAYS, remove_old_kernels, source_key

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

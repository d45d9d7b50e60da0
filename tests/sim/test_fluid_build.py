"""The shipped tables are what the documented command builds today."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from sim import fluid_build
from sim.fluid import FOLDER, Fluid


def sizes(array: NDArray[np.float64]) -> NDArray[np.float64]:
    """Largest magnitude of each quantity, shaped to divide the array."""
    size = np.abs(array)
    if array.ndim == 3:
        size = size.max(axis=(0, 2))[None, :, None]
    return np.maximum(size, 1e-300)


def hold_to_a_fresh_build(name: str) -> None:
    fresh = fluid_build.build(name)
    with np.load(FOLDER / f"{name}.npz") as shipped:
        assert set(shipped) == set(fresh)
        for key in ("meta", "core", "sat_meta", "sat", "facts"):
            ours, new = shipped[key], np.asarray(fresh[key], dtype=np.float64)
            assert ours.shape == new.shape
            assert np.max(np.abs(ours - new) / sizes(new)) < 1e-9
        assert shipped["texts"].tolist() == fresh["texts"].tolist()


@pytest.mark.parametrize("name", ["R134a", "R410A"])
def test_shipped_tables_are_a_fresh_build(name: str) -> None:
    """A pure fluid and the blend here; all eight in the full tier."""
    hold_to_a_fresh_build(name)


@pytest.mark.full
@pytest.mark.parametrize("name", Fluid.known())
def test_every_shipped_table_is_a_fresh_build(name: str) -> None:
    hold_to_a_fresh_build(name)


def test_every_recipe_ships() -> None:
    assert Fluid.known() == sorted(fluid_build.RECIPES)


def test_the_command_writes_the_same_bytes_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    files = []
    for folder in (tmp_path / "one", tmp_path / "two"):
        monkeypatch.setattr(fluid_build, "FOLDER", folder)
        fluid_build.main(["R290"])
        files.append((folder / "R290.npz").read_bytes())
    assert files[0] == files[1]

"""Fixtures of the screen's tests: the stand-in plant and the default rig's drawings."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).parents[2]
if str(ROOT) not in sys.path:
    sys.path.insert(0, str(ROOT))

from tests.tui.fake_bench import DIALS, KINDS, ROLES, FakeBench, fake_chart, steady_bench  # noqa: E402
from tui.desk import by_tag  # noqa: E402
from tui.draw.drawing import Drawing, load_drawings  # noqa: E402
from tui.draw.scene import Scene  # noqa: E402
from tui.report import Report  # noqa: E402

RIGS = ROOT / "rigs"


@pytest.fixture(scope="session")
def drawings() -> Mapping[str, Drawing]:
    """The default rig's drawings."""
    return load_drawings(RIGS / "fennick_bench")


def scene_of(bench: FakeBench, **changes: object) -> Scene:
    """A scene of a bench as it stands."""
    scene = Scene(
        snapshot=bench.snapshot(),
        tags=by_tag(bench.tags()),
        fluid=fake_chart(),
        dials=DIALS,
        kinds=KINDS,
        roles=ROLES,
    )
    for name, value in changes.items():
        setattr(scene, name, value)
    return scene


def snapshot_of(holder: Scene | Report) -> Any:
    """The snapshot that is there, with all that its kind has besides what the screen asks of one."""
    assert holder.snapshot is not None
    return holder.snapshot


def changed(scene: Scene, **fields: object) -> Scene:
    """The scene, its snapshot with other fields."""
    scene.snapshot = replace(snapshot_of(scene), **fields)
    return scene


@pytest.fixture
def running() -> Scene:
    """A bench that runs steadily."""
    return scene_of(steady_bench())


@pytest.fixture
def cold() -> Scene:
    """A bench that has never run."""
    return scene_of(FakeBench())

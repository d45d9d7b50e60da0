"""The default rig under other tags looks and works the same: nothing on the screen goes by a tag that it was not told."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.screen.sample import RIG
from tests.tui.fake_bench import ROLES
from tui.desk import by_tag
from tui.draw.board import Board, Frame
from tui.draw.canvas import Canvas
from tui.draw.drawing import load_drawings
from tui.draw.glyphs import FULL
from tui.draw.layout import View
from tui.draw.scene import Scene
from tui.fault_desk import KINDS, events_of
from tui.history import History
from tui.opening import open_plant
from tui.orders import Begin
from tui.report import Opened, Report
from tui.screens.says import alarm_words
from tui.seen import tripped

OTHER = {"HS-2": "HX-2", "HS-3": "HX-3", "HS-4": "HX-4", "HS-5": "HX-5", "HS-6": "HX-6", "HS-7": "HX-7", "XV-2": "YV-2", "COIL-A": "COIL-P", "COIL-B": "COIL-Q", "TS-1": "TC-1", "PSHH-1": "PZHH-1", "PSL-1": "PZL-1", "PI-1": "PX-1", "PI-2": "PX-2", "EI-1": "EX-1", "II-1": "IX-1", "JI-1": "JX-1", "FI-1": "FX-1"}  # fmt: skip
"""As long as the old ones, so that nothing moves. The emergency stop and the main switch have the same tag on every rig (``sim.switches``)."""
WRITTEN = re.compile("|".join(rf"\b{tag}(?!\d)" for tag in OTHER))

WORD = re.compile(r"[A-Za-z]+(?:-[A-Z0-9]+)?")
"""Numbers are left out: an instrument's errors are drawn by its tag."""


def renamed(text: str) -> str:
    return WRITTEN.sub(lambda found: OTHER[found.group()], text)


@pytest.fixture(scope="module")
def other(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The default rig with other tags."""
    folder = tmp_path_factory.mktemp("rigs") / "fennick_bench"
    shutil.copytree(RIG, folder)
    for path in folder.glob("*.toml"):
        path.write_text(renamed(path.read_text(encoding="utf-8")), encoding="utf-8")
    return folder


def opened(rig: Path, mode: str) -> Opened:
    found = open_plant(Begin(rig=str(rig), start="steady"), lambda *_: None)
    if mode == "heating":
        stop, reverse = (next(tag for tag, has in found.roles.of if has == role) for role in ("starts the compressor", "reverses the cycle"))  # fmt: skip
        found.bench.set(stop, "off")
        found.bench.advance(120.0)
        found.bench.set(reverse, "heating")
        found.bench.set(stop, "on")
        found.bench.advance(30.0)
    return found


def screens(found: Opened, rig: Path) -> Iterator[str]:
    scene = Scene(snapshot=found.bench.snapshot(), tags=by_tag(found.bench.tags()), fluid=found.fluid, plan=found.plan, dials=found.dials, scales=found.scales, kinds=found.kinds, roles=found.roles, lines=found.lines)  # fmt: skip
    board = Board(load_drawings(rig), FULL)
    for view in (View.PLANT, View.METERS, View.TABLE):
        for size in ((80, 24), (120, 40), (200, 60)):
            canvas = Canvas.blank(*size)
            board.paint(canvas, Frame(scene, view, History()))
            yield "\n".join(canvas.row_text(y) for y in range(size[1]))


@pytest.mark.parametrize("mode", ["cooling", "heating"])
def test_a_rig_with_other_tags_is_painted_with_them_and_otherwise_alike(other: Path, mode: str) -> None:  # fmt: skip
    first, second = opened(RIG, mode), opened(other, mode)
    for before, after in zip(screens(first, RIG), screens(second, other), strict=True):
        assert WORD.findall(after) == WORD.findall(renamed(before))
        assert mode in after or "meters" in after
        assert not WRITTEN.search(after)


def test_a_thermostat_that_has_opened_is_no_alarm_whatever_its_tag(other: Path) -> None:
    found = opened(other, "cooling")
    found.bench.set("TC-1.set", 303.15)
    found.bench.advance(30.0)
    snapshot = found.bench.snapshot()
    assert snapshot.tripped["TC-1"]
    assert tripped(snapshot, found.kinds) == []
    assert alarm_words(Report(snapshot=snapshot, kinds=found.kinds)) == ()


def test_a_fault_waits_for_what_is_switched_on_this_rig() -> None:
    assert list(events_of(ROLES)) == [*KINDS, "command:HS-4", "command:HS-2", "command:HS-3", "command:HS-5"]  # fmt: skip

"""Whole screens of the stored states, painted without Textual: any size, view, units, characters, either person's view."""

from __future__ import annotations

from typing import NamedTuple

from tests.screen.linted import LintCanvas
from tests.screen.sample import RIG
from tests.screen.stored import State, stored, stored_fluid
from tests.tui.fake_bench import DIALS, KINDS, ROLES, fake_door
from tests.tui.fake_wiring import fake_plan, measured
from tui.cautions import for_meter, lines_of
from tui.desk import Desk
from tui.draw.board import Board, Frame
from tui.draw.drawing import load_drawings
from tui.draw.fault_board import LEARNER, FaultFrame
from tui.draw.glyphs import SETS
from tui.draw.layout import View
from tui.draw.meter_face import MeterFrame
from tui.draw.scene import Drift, Scene
from tui.draw.side_by_side import PairFrame
from tui.fault_desk import FaultDesk
from tui.faults import InNow
from tui.frames import FrameClock
from tui.meter import MeterDesk
from tui.metering import Meters
from tui.report import Report, Stage
from tui.screens.says import alarm_words, caption_words, footer_keys, stage_words, status_words
from tui.senses import rows_of
from tui.words import UNIT_CHOICES, Units

PROBES = MeterDesk(cursor="HS-5.2", probes=["HS-5.1", "HS-5.2"])
IN_NOW = (InNow("condenser-air-low", "", 0.5, 0.5, False), InNow("liquid-line-restricted", "drier", 0.3, 0.1, True))  # fmt: skip


class Shown(NamedTuple):
    """A finished picture and who painted it."""

    canvas: LintCanvas
    board: Board
    scene: Scene


def stored_screen(state: str, width: int, height: int, *, view: View = View.PLANT, units: Units = UNIT_CHOICES[0], glyphs: str = "full", instructor: bool = False, selected: str = "HV-12", by_side: bool = False) -> Shown:  # fmt: skip
    """One screen."""
    found = stored(state)
    scene = Scene(snapshot=found.snapshot, tags=found.tags, fluid=stored_fluid(), units=units, instructor=instructor, selected=selected, glyphs=SETS[glyphs], drift=Drift(), plan=fake_plan(), dials=DIALS, kinds=KINDS, roles=ROLES, by_side=by_side)  # fmt: skip
    scene.drift.move(found.snapshot.flows, 3.0)
    board, canvas = Board(load_drawings(RIG), SETS[glyphs]), LintCanvas.blank(width, height)
    frame = _frame(found, scene, board, view)
    board.paint(canvas, frame)
    canvas.record.clear()
    board.paint(canvas, _frame(found, scene, board, view))  # the caption needs the sheet that the first painting chose  # fmt: skip
    return Shown(canvas, board, scene)


def repaint(shown: Shown, state: str, view: View = View.PLANT) -> None:
    """Once more, after a change of the scene."""
    shown.canvas.record.clear()
    shown.board.paint(shown.canvas, _frame(stored(state), shown.scene, shown.board, view))


def _frame(found: State, scene: Scene, board: Board, view: View) -> Frame:
    desk = Desk(view=view, units=scene.units, instructor=scene.instructor, selected=scene.selected)
    report = Report(stage=Stage.RUNNING, snapshot=found.snapshot, pace=10, reached=10.0)
    return Frame(
        scene, view, found.history,
        status=status_words(desk, FrameClock()), alarms=alarm_words(report), stage=stage_words(report, scene),
        caption=caption_words(desk.selected, desk, scene, board.drawing), footer=footer_keys(view),
        meter=_meter(found, scene), faults=_faults(scene.instructor), pair=_pair(found),
        senses=(rows_of(found.snapshot.senses, {}, found.snapshot.time_s, instructor=scene.instructor, units=scene.units), "receiver"),
    )  # fmt: skip


def _meter(found: State, scene: Scene) -> MeterFrame:
    assert scene.plan is not None
    reading = measured(PROBES.use, found.snapshot.circuit)  # type: ignore[arg-type]
    meters = Meters(PROBES.use, reading)
    return MeterFrame(PROBES, meters, [f"{PROBES.cursor} switch"], lines_of(for_meter(scene.plan, PROBES, reading)))  # fmt: skip


def _faults(instructor: bool) -> FaultFrame:
    if not instructor:
        return FaultFrame(FaultDesk(), shut=LEARNER)
    desk, door = FaultDesk(chosen="liquid-line-restricted", severity=0.3), fake_door()
    entry = desk.entry(door.entries)
    return FaultFrame(desk, door.entries, IN_NOW, lines_of(entry.cautions) if entry else ())


def _pair(found: State) -> PairFrame:
    return PairFrame(found.snapshot, stored("cooling").snapshot, found.snapshot.time_s - 60.0)

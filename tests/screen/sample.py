"""One screen of the stand-in bench, painted without Textual: for pictures and goldens."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

from tests.tui.fake_bench import DIALS, KINDS, ROLES, FakeBench, ask_fake, fake_chart, fake_door
from tests.tui.fake_scales import fake_scales
from tests.tui.fake_wiring import fake_plan
from tui.cautions import for_meter, lines_of
from tui.charting import Charting
from tui.desk import by_tag
from tui.draw.board import Board, Frame
from tui.draw.canvas import Canvas
from tui.draw.drawing import load_drawings
from tui.draw.fault_board import LEARNER, FaultFrame
from tui.draw.glyphs import SETS
from tui.draw.layout import View
from tui.draw.meter_face import MeterFrame
from tui.draw.projector import ProjectorFrame
from tui.draw.scene import Drift, Scene
from tui.draw.side_by_side import PairFrame
from tui.fault_desk import FaultDesk
from tui.fluid_chart import FluidChart
from tui.history import History
from tui.marking import mark
from tui.meter import MeterDesk
from tui.metering import Metering
from tui.projecting import five
from tui.screens.says import footer_keys
from tui.senses import Touched, rows_of
from tui.tour import Said
from tui.trending import Trending
from tui.words import UNIT_CHOICES
from tui.working import WorkingDesk, WorkingFrame, held_of, page_rows

RIG = Path(__file__).parents[2] / "rigs" / "fennick_bench"


def screen(width: int, height: int, *, view: str = "plant", start: str = "steady", instructor: bool = False, us: bool = False, glyphs: str = "full", selected: str = "HV-12", meter: MeterDesk | None = None, charting: Charting | None = None, trending: Trending | None = None, holding: bool = False, faults: FaultDesk | None = None, white: int = 0, place: str = "COIL-B", tour: Said | None = None, assessed: bool = False, step: str = "superheat_at_outlet_k", by_side: bool = False) -> Canvas:  # fmt: skip
    """The whole screen, with a trend of four minutes behind it."""
    lived, history = _lived(start, white)
    bench, chart = lived.fork(), fake_chart()
    plan, desk = fake_plan(), replace(meter) if meter is not None else MeterDesk()
    desk.holding |= holding
    metering = Metering(ask_fake)
    metering.take_up(desk.use)
    meters = metering.look(bench)
    scene = Scene(
        snapshot=bench.snapshot(), tags=by_tag(bench.tags()), fluid=chart, units=UNIT_CHOICES[1 if us else 0],
        instructor=instructor, selected=selected, glyphs=SETS[glyphs], drift=Drift(), plan=plan, peaks=meters.peaks, dials=DIALS, kinds=KINDS, roles=ROLES,
    )  # fmt: skip
    scene.charting = charting or Charting()
    scene.drift.move(bench.snapshot().flows, 3.0)
    board_frame, pair = _faults(bench, faults, instructor), PairFrame()
    if view == View.PAIR.value:
        copy = bench.fork()
        copy.set("HCV-22", 0.15)
        past = History()
        past.add(copy.snapshot(), chart)
        for _ in range(6):
            copy.advance(10.0)
            past.add(copy.snapshot(), chart)
        pair = PairFrame(bench.snapshot(), copy.snapshot(), bench.time_s, past=past)
    scene.scales, scene.own_work, scene.by_side = fake_scales(), assessed, by_side
    board = Board(load_drawings(RIG), SETS[glyphs])
    canvas = Canvas.blank(width, height)
    here = [f"{desk.cursor} {plan.what.get(plan.device_of(desk.cursor), '')}"]
    words = f"{'INSTRUCTOR' if instructor else 'learner'}  {scene.units.words}"
    touched = {
        "receiver": Touched(100.0, "warm"),
        "head": Touched(235.0, "too hot: hand drawn back", hurt=True),
    }
    rows = rows_of(bench.snapshot().senses, touched, bench.time_s, instructor=instructor, units=scene.units)  # fmt: skip
    board.paint(canvas, Frame(scene, View(view), history, trending or Trending(), status=words, stage="RUN x1", caption=f"{selected} receiver outlet valve: open", footer=footer_keys(View(view)), meter=MeterFrame(desk, meters, here, lines_of(for_meter(plan, desk, meters.measured)), assessed), senses=(rows, place), faults=board_frame, pair=pair, tour=tour, working=_working(scene, chart, step), projector=ProjectorFrame(five(scene, history, (), scene.scales))))  # fmt: skip
    return canvas


@cache
def _lived(start: str, white: int) -> tuple[FakeBench, History]:
    """A bench after four minutes, and its trend; nobody changes them."""
    history = History()
    bench, chart = FakeBench(white=white), fake_chart()
    if start == "steady":
        for tag, value in (("HS-1", "on"), ("HS-2", "low"), ("HS-3", "high"), ("HS-4", "on")):
            bench.set(tag, value)
    for _ in range(300):
        bench.advance(0.8)
        history.add(bench.snapshot(), chart)
    return bench, history


def _working(scene: Scene, chart: FluidChart, step: str) -> WorkingFrame:
    """Readings and working, held now; assessed with one result of one's own, a gauge pressure for an absolute one."""
    assert scene.snapshot is not None
    held, desk = held_of(scene.snapshot, scene.atmosphere_pa), WorkingDesk()
    sheet = desk.sheet(held, scene.scales, chart)
    own = [mark(sheet.line("suction_absolute_pa"), sheet, sheet.number("suction_gauge_pa"), 0.0)] if scene.own_work else []  # fmt: skip
    rows = page_rows(held, desk, scene.scales, chart, scene.units, own, scene.own_work)
    return WorkingFrame(rows, step, "readings and working: held at 00:04:00")


def _faults(bench: FakeBench, desk: FaultDesk | None, instructor: bool) -> FaultFrame:
    """The fault board with two faults in."""
    if not instructor:
        return FaultFrame(FaultDesk(), shut=LEARNER)
    desk = desk or FaultDesk()
    bench.insert_fault("condenser-air-low", 0.5)
    bench.insert_fault("liquid-line-restricted", 0.3, place="drier")
    door = fake_door()
    entry = desk.entry(door.entries)
    return FaultFrame(desk, door.entries, door.look(bench), lines_of(entry.cautions) if entry else ())  # fmt: skip

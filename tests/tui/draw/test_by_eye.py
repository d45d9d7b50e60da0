"""In an assessed session the ladder shows what one sees without a meter; in practice what is live, as issue 3 asks.

What a technician has to measure (teaching.md 3.3, E01: volts at the inlet, at the switch, after each device) must not stand on the drawing: a fault that shows nowhere but in volts leaves it as it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import pytest

from sim.events import Event
from sim.senses import Sign, Spot
from tests.screen.sample import screen
from tests.screen.stored import stored
from tests.tui.conftest import changed, snapshot_of
from tests.tui.fake_wiring import FakeCircuit, fake_plan
from tui.draw.by_eye import by_eye
from tui.draw.canvas import Canvas
from tui.draw.glyphs import SETS
from tui.draw.ladder import INKS, LIVE, LadderPicture
from tui.draw.ladder_build import ladder_of
from tui.draw.meter_face import BY_EYE, MeterFrame, paint_meter
from tui.draw.scene import Scene
from tui.help_views import wiring_lines
from tui.meter import MeterDesk
from tui.metering import Meters

PLAN = fake_plan()
CONTACTS = [piece for piece in PLAN.pieces if piece.sign in ("make", "break", "plug", "fuse")]
HIDDEN = ["F2", "F3.line", "PSHH-1", "PSL-1", "TS-1", "F4", "F1", "K1.main", "K2.start", "HS-4.line", "HS-1.neutral"]  # fmt: skip
"""Contacts that can be open or burnt together with nothing to see: behind a lid, inside a device, or under a handle that says otherwise."""


def scene_of(state: str, *, assessed: bool, **circuit: Mapping[str, object]) -> Scene:
    """A stored state, its circuit changed."""
    found = stored(state)
    now = found.snapshot.circuit
    assert now is not None
    whole = FakeCircuit(dict(now.volts), dict(now.amps), dict(now.closed), dict(now.seated), dict(now.turning))  # fmt: skip
    other = replace(whole, **{name: getattr(whole, name) | dict(values) for name, values in circuit.items()})  # fmt: skip
    return changed(
        Scene(snapshot=found.snapshot, tags=found.tags, plan=PLAN, own_work=assessed), circuit=other
    )


def painted(scene: Scene, glyphs: str = "full") -> Canvas:
    ladder = ladder_of(PLAN, 118, 36)
    canvas = Canvas.blank(*ladder.size)
    scene.glyphs = SETS[glyphs]
    LadderPicture(ladder, SETS[glyphs]).paint(canvas, scene, MeterDesk(cursor="N.1"))
    return canvas


def same(one: Canvas, other: Canvas) -> bool:
    return bool((one.chars == other.chars).all() and (one.inks == other.inks).all())


@pytest.mark.parametrize("glyphs", SETS)
@pytest.mark.parametrize("name", HIDDEN)
def test_a_contact_that_fails_unseen_leaves_no_trace_on_the_ladder(name: str, glyphs: str) -> None:
    piece = next(one for one in PLAN.pieces if one.name == name)
    was = snapshot_of(scene_of("cooling", assessed=True)).circuit.closed[name]
    shown = {}
    for assessed in (True, False):
        sound = scene_of("cooling", assessed=assessed)
        faulty = scene_of("cooling", assessed=assessed, closed={name: not was}, volts={piece.b: 0.0, piece.a: 60.0})  # fmt: skip
        shown[assessed] = same(painted(sound, glyphs), painted(faulty, glyphs))
    assert shown == {True: True, False: False}, "in practice it shows"


def test_no_conductor_is_live_on_an_assessed_ladder_and_some_are_in_practice() -> None:
    for assessed in (True, False):
        canvas = painted(scene_of("cooling", assessed=assessed))
        assert (INKS[LIVE] in set(canvas.inks.ravel().tolist())) != assessed


def closed_by_eye(scene: Scene) -> Mapping[str, bool]:
    assert scene.snapshot is not None
    assert scene.snapshot.circuit is not None
    return by_eye(scene.snapshot.circuit, PLAN, scene).closed


@pytest.mark.parametrize("state", ["off", "cooling", "heating", "tripped"])
def test_on_a_sound_panel_the_eye_and_the_meter_agree_but_for_what_lies_inside(state: str) -> None:
    """Outside: the computed circuit. Only the start relay and the thermostat act behind a lid."""
    scene = scene_of(state, assessed=True)
    seen = closed_by_eye(scene)
    real = snapshot_of(scene).circuit.closed
    differ = {name for name in seen if name in real and seen[name] != real[name]}
    assert differ <= {"K2.start", "TS-1"}


def test_a_switch_stands_where_the_hand_has_put_it() -> None:
    scene = scene_of("cooling", assessed=True)
    assert closed_by_eye(scene)["HS-5.valve"] is False
    changed(scene, commands=dict(snapshot_of(scene).commands) | {"HS-5": "heating"})
    assert closed_by_eye(scene)["HS-5.valve"] is True


def test_a_device_that_has_tripped_says_so_until_it_is_reset() -> None:
    scene = scene_of("cooling", assessed=True)
    events = (Event(5.0, "F3", "trip", "Current to earth."),)
    changed(scene, events=events)
    assert closed_by_eye(scene)["F3.line"] is False
    changed(scene, events=(*events, Event(9.0, "F3", "reset", "Closed again.")))
    assert closed_by_eye(scene)["F3.line"] is True


def test_an_armature_is_in_when_its_coil_is_heard() -> None:
    scene = scene_of("cooling", assessed=True)
    assert closed_by_eye(scene)["K1.main"] is True
    senses = snapshot_of(scene).senses
    quiet = tuple(Spot("K1", "compressor contactor", signs=(Sign("chatters"),)) if spot.place == "K1" else spot for spot in senses.spots)  # fmt: skip
    changed(scene, senses=replace(senses, spots=quiet))
    assert closed_by_eye(scene)["K1.main"] is False


def test_lamps_and_fans_are_seen_as_they_are() -> None:
    lamp = next(piece for piece in PLAN.pieces if piece.sign == "lamp")
    lit = scene_of("cooling", assessed=True, volts={lamp.a: 119.0, lamp.b: 0.0})
    dark = scene_of("cooling", assessed=True, volts={lamp.a: 0.0, lamp.b: 0.0})
    assert not same(painted(lit), painted(dark))
    circuit = snapshot_of(lit).circuit
    fans = [piece.tag for piece in PLAN.pieces if piece.sign == "motor" and piece.tag in circuit.turning]  # fmt: skip
    assert len(fans) > 1
    for fan in fans:
        turns, stands = (scene_of("cooling", assessed=True, turning={fan: turning}) for turning in (True, False))  # fmt: skip
        assert not same(painted(turns), painted(stands)), fan


@pytest.mark.parametrize("size", [(80, 24), (200, 60)])
def test_the_ladders_frame_says_why_nothing_is_live(size: tuple[int, int]) -> None:
    for assessed in (True, False):
        canvas = screen(*size, view="wiring", assessed=assessed)
        text = "\n".join(canvas.row_text(y) for y in range(canvas.height))
        assert (f"{PLAN.title}, by eye" in text) == assessed


def test_the_meters_legend_and_the_help_say_so() -> None:
    scene = scene_of("cooling", assessed=True)
    assert "yours to measure" in " ".join(wiring_lines(scene))
    for assessed in (True, False):
        canvas = Canvas.blank(36, 30)
        paint_meter(canvas, MeterFrame(MeterDesk(), Meters(), by_eye=assessed), SETS["full"])
        text = "\n".join(canvas.row_text(y) for y in range(30))
        assert (BY_EYE[-1] in text) == assessed
        assert ("in between" in text) != assessed

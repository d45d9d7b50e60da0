"""The screen on the real plant: it opens, it can be started by hand, and every name on the drawing means something there."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.errors import InputError
from tests.screen.stored import STATES, lived, stored
from tests.screen.test_bench_screen import bench, setting, text_of, until
from tests.tui.conftest import snapshot_of
from tests.tui.fake_wiring import on_the_ladder
from tui.cautions import asked_before
from tui.desk import by_tag
from tui.draw.drawing import load_drawing
from tui.draw.holds import choices_of
from tui.draw.layout import View
from tui.draw.lint import faults
from tui.draw.scene import Scene
from tui.meter import Use
from tui.opening import open_plant
from tui.orders import Begin
from tui.part_card import card_of
from tui.plant import Setting
from tui.report import Report
from tui.runner import Opened
from tui.screens.dialogs import Page
from tui.tour import Sight
from tui.tour_steps import chosen_valve
from tui.words import label_of

FIRST_START_S = 300.0
"""A machine that has never run the plant compiles its equations first."""
AT_THE_WIRING = ("lead", "jumper", "press")
"""Kinds of tags that belong on the wiring's own picture."""
DRAWINGS = sorted((Path(__file__).parents[2] / "rigs" / "fennick_bench").glob("drawing_*.toml"))


@pytest.fixture(scope="module")
def opened() -> Opened:
    return open_plant(Begin(), print)


def test_every_pipe_is_bound_to_a_flow_and_a_node_of_the_plant(opened: Opened) -> None:
    snapshot = opened.bench.snapshot()
    for path in DRAWINGS:
        assert faults(load_drawing(path), nodes=list(snapshot.places), links=list(snapshot.flows)) == []  # fmt: skip


def test_every_tag_that_a_hand_can_move_is_drawn_or_belongs_to_a_drawn_part(opened: Opened) -> None:
    assert opened.plan is not None
    for path in DRAWINGS:
        drawn = {hold.tag for hold in choices_of(load_drawing(path))} | on_the_ladder(opened.plan)
        by_hand = [info for info in opened.bench.tags() if info.kind not in AT_THE_WIRING]
        assert {info.tag.partition(".")[0] for info in by_hand} <= drawn, path.name


def test_every_reading_of_the_plant_has_a_plain_name(opened: Opened) -> None:
    assert not [key for key in opened.bench.snapshot().readings if "_" in label_of(key).strip()]


@pytest.mark.parametrize("name", STATES)
def test_stored_snapshots_are_of_this_plant(opened: Opened, name: str) -> None:
    """Names exactly; numbers as near as a gauge of class 1.6 reads. When this fails: ``python -m tests.screen.stored``, and look."""
    bench, past = lived(name)
    then, now = stored(name), past[-1]
    assert {info.tag for info in bench.tags()} == set(then.tags)
    for part in ("readings", "commands", "places", "flows", "levels", "positions", "tripped"):
        assert set(getattr(then.snapshot, part)) == set(getattr(now, part)), part
    assert [spot.place for spot in then.snapshot.senses.spots] == [spot.place for spot in now.senses.spots]  # fmt: skip
    assert [event.text for event in then.snapshot.events] == [event.text for event in now.events]
    for key in ("suction_pressure_pa", "discharge_pressure_pa", "discharge_temperature_k", "power_w"):  # fmt: skip
        assert then.snapshot.readings[key] == pytest.approx(now.readings[key], rel=0.016), key


async def test_a_person_starts_the_plant_by_hand_and_the_suction_falls() -> None:
    async with bench(opener=open_plant, patience_s=FIRST_START_S) as (app, pilot):
        assert app.bench.report.failure == ""
        standing = app.bench.scene.number("suction_pressure_pa")
        for tag in ("HS-1", "HS-6", "HS-4"):
            app.bench.desk.selected = tag
            await pilot.press("enter")
        for tag in ("HS-2", "HS-3"):
            app.bench.desk.selected = tag
            await pilot.press("plus")
        await until(lambda: setting(app, "HS-3") == "low")
        await pilot.press("full_stop", "full_stop", "full_stop")
        await until(lambda: app.bench.scene.number("suction_pressure_pa") < standing - 2e5, 30.0)
        assert "runs" in text_of(app)


def test_every_terminal_and_contact_of_the_ladder_has_its_state_on_the_plant(opened: Opened) -> None:  # fmt: skip
    plan, circuit = opened.plan, opened.bench.snapshot().circuit
    assert plan is not None
    assert circuit is not None
    ends = {end for piece in plan.pieces for end in (piece.a, piece.b)}
    assert ends <= set(circuit.volts)
    contacts = {p.name for p in plan.pieces if p.sign in ("make", "break", "plug", "fuse")}
    assert contacts == set(circuit.closed)
    assert {p.tag for p in plan.pieces if p.sign == "coil"} == set(circuit.seated)
    assert {lead.tag for lead in plan.leads} <= {info.tag for info in opened.bench.tags()}


def test_the_hand_meter_reads_the_plants_circuit_and_refuses_ohms_on_it(opened: Opened) -> None:
    assert opened.ask is not None
    supply = opened.ask(opened.bench, Use("volts", ("SUPPLY.L", "SUPPLY.N")))
    assert supply.value == pytest.approx(120.0, rel=0.02)
    assert opened.ask(opened.bench, Use("ohms", ("SUPPLY.L", "SUPPLY.N"))).refusal == "LIVE"
    with pytest.raises(InputError, match="under their cover"):
        opened.ask(opened.bench, Use("volts", ("M1.C", "N.1")))


def test_every_drawn_part_has_a_kind_and_every_instrument_a_reading(opened: Opened) -> None:
    snapshot = opened.bench.snapshot()
    vessels = {"receiver", "drier", "drum", "accumulator"}
    for path in DRAWINGS:
        drawn = {hold.tag for hold in choices_of(load_drawing(path))}
        assert drawn - set(opened.kinds) <= vessels
    names = set(snapshot.readings)
    assert all(key in names or f"{key}_shown" in names for key in opened.dials.values())


def test_the_card_of_every_drawn_part_has_a_name_and_every_protector_its_caution(opened: Opened) -> None:  # fmt: skip
    scene = Scene(snapshot=opened.bench.snapshot(), tags=by_tag(opened.bench.tags()), fluid=opened.fluid, plan=opened.plan, dials=opened.dials, scales=opened.scales)  # fmt: skip
    about = Report(kinds=opened.kinds, dials=opened.dials)
    for path in DRAWINGS:
        drawing = load_drawing(path)
        for hold in choices_of(drawing):
            card = card_of(hold.tag, scene, drawing, about)
            assert card.title.strip() != hold.tag, hold.tag
    for tag in ("PSHH-1", "PSL-1", "PSV-1", "M1", "C1", "HV-42"):
        assert card_of(tag, scene, None, about).cautions, tag


@pytest.mark.parametrize("begin", [Begin(), Begin(start="steady", device="float")])
def test_the_valve_that_the_tour_turns_makes_no_difference_to_the_plant(begin: Begin) -> None:
    """Turned over for ten seconds and back: against a twin whose valves nobody touches, no pressure moves by more than a gauge would show."""
    plant = open_plant(begin, print)
    scene = Scene(snapshot=plant.bench.snapshot(), tags=by_tag(plant.bench.tags()), fluid=plant.fluid)  # fmt: skip

    def harmless(tag: str, value: Setting) -> bool:
        assert scene.snapshot is not None
        return not asked_before(tag, value, scene.snapshot, plant).lines

    tag = chosen_valve(Sight(scene, load_drawing(DRAWINGS[0]), View.PLANT, "HS-1", False, 1, False, harmless))  # fmt: skip
    assert tag
    twin = plant.bench.fork()
    was = float(plant.bench.snapshot().commands[tag])
    plant.bench.set(tag, 1.0 - was)
    for one in (plant.bench, twin):
        one.advance(10.0)
    plant.bench.set(tag, was)
    for one in (plant.bench, twin):
        one.advance(30.0)
    for key in ("suction_pressure_pa", "discharge_pressure_pa"):
        assert plant.bench.readings()[key] == pytest.approx(twin.readings()[key], abs=GAUGE_STEP_PA)  # fmt: skip


GAUGE_STEP_PA = 5000.0
"""The finest step of both gauges (``rig.toml``)."""


async def test_the_tour_on_the_real_plant_leaves_it_as_it_was_found() -> None:
    async with bench(opener=open_plant, patience_s=FIRST_START_S, size=(80, 24)) as (app, pilot):
        await until(lambda: snapshot_of(app.bench.report).time_s > 1.0)
        before = dict(snapshot_of(app.bench.report).commands)
        await pilot.press("H", "g")
        await pilot.press(*app.bench.desk.letters["HV-32"])
        await pilot.press("enter")
        await until(lambda: setting(app, "HV-32") == 0.0)
        await pilot.press("enter")
        await until(lambda: setting(app, "HV-32") == 1.0)
        await pilot.press("space")
        await until(lambda: app.bench.report.pace == 0)
        await pilot.press("space")
        await until(lambda: app.bench.report.pace == 1)
        await pilot.press("full_stop")
        await until(lambda: "step 4 of 6" in text_of(app))
        await pilot.press("4")
        shown = app.bench.scene.words("suction_saturation_temperature_k")
        assert shown in text_of(app)
        await pilot.press("1", "0")
        await until(lambda: setting(app, "HS-0") == "pressed")
        await pilot.press("g")
        await pilot.press(*app.bench.desk.letters["HS-0"])
        await pilot.press("enter")
        await until(lambda: "step 6 of 6" in text_of(app))
        await pilot.press("question_mark", "escape", "comma")
        await until(lambda: "tour: the end" in text_of(app))
        assert dict(snapshot_of(app.bench.report).commands) == before


@pytest.mark.parametrize(("tag", "value", "what"), [("HV-42", 0.0, "HV-42 shut"), ("HS-5", "heating", "HS-5 heating")])  # fmt: skip
async def test_a_look_ahead_does_the_act_on_the_copy_and_sees_what_follows(tag: str, value: Setting, what: str) -> None:  # fmt: skip
    """A pump against a shut valve is stopped by its high-pressure trip (common practice); so is one whose warm coil becomes the cold one under way."""
    steady = Begin(start="steady", device="hand", first_pace=0)
    async with bench(opener=lambda begin, told: open_plant(steady, told), patience_s=FIRST_START_S) as (app, _):  # fmt: skip
        was = app.bench.scene.setting(tag)
        app.bench.look_ahead((tag, value))
        await until(lambda: isinstance(app.screen, Page), 60.0)
        assert isinstance(app.screen, Page)
        said = "\n".join(app.screen.lines)
        assert app.screen.heading == f"What would happen with {what}"
        assert "PSHH-1  The high-pressure trip has opened" in said
        assert "At the end the compressor stands." in said
        assert app.bench.scene.setting(tag) == was
        assert app.bench.live is not None
        assert app.bench.live.running, "the bench itself goes on"
        assert not any(app.bench.live.tripped.values())
        assert f"ahead on a copy with {what}; first limit" in app.bench.live.events[-1].text

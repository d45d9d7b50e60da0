"""The screen on the real plant: it opens, it can be started by hand, and every name on the drawing means something there."""

from __future__ import annotations

from pathlib import Path

import pytest

from sim.errors import InputError
from tests.screen.stored import STATES, lived, stored
from tests.screen.test_bench_screen import bench, setting, text_of, until
from tests.tui.fake_wiring import on_the_ladder
from tui.draw.drawing import load_drawing
from tui.draw.lint import faults
from tui.meter import Use
from tui.opening import open_plant
from tui.orders import Begin
from tui.runner import Opened
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
        drawn = {symbol.tag for symbol in load_drawing(path).symbols} | on_the_ladder(opened.plan)
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

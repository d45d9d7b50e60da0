"""What `?` says of gauges, glasses, vessels and thermometers on stored states of the computed plant: by the line and the direction of now."""

from __future__ import annotations

import re

import pytest
from CoolProp.CoolProp import PropsSI

from sim.rig import load_rig
from sim.units import STANDARD_ATMOSPHERE_PA
from sim.working.scales import scales_of
from tests.screen.sample import RIG
from tests.screen.stored import stored, stored_fluid
from tests.tui.fake_scales import fake_scales
from tui.draw.drawing import load_drawings
from tui.draw.layout import View
from tui.draw.scene import Scene
from tui.glossary import found_by
from tui.help_here import here_at
from tui.opening import _kinds
from tui.part_card import PartCard, card_of
from tui.pieces import reading_of
from tui.report import Report
from tui.roles import roles_of
from tui.working import WorkingDesk, held_of, page_rows

BENCH = load_rig("fennick_bench")
ABOUT = Report(
    kinds=_kinds((*BENCH.instruments, *BENCH.parts, *BENCH.switches)),
    dials={one.tag: reading_of(one) for one in BENCH.instruments},
    lines={one.tag: one.link for one in BENCH.instruments if one.link},
    scales=scales_of(BENCH.instruments),
)
DRAWING = load_drawings(RIG)["s"]


def scene_of(state: str, *, own_work: bool = False) -> Scene:
    found = stored(state)
    return Scene(snapshot=found.snapshot, tags=found.tags, fluid=stored_fluid(), scales=ABOUT.scales, dials=ABOUT.dials, lines=ABOUT.lines, kinds=ABOUT.kinds, roles=roles_of(BENCH), own_work=own_work)  # fmt: skip


def card(tag: str, state: str, **how: bool) -> PartCard:
    return card_of(tag, scene_of(state, **how), DRAWING, ABOUT)


def said(tag: str, state: str, **how: bool) -> str:
    return " ".join(card(tag, state, **how).lines)


@pytest.mark.parametrize(
    ("tag", "state", "coil", "does"),
    [
        ("PI-2", "cooling", "COIL-A", "condenses"),
        ("PI-2", "heating", "COIL-B", "condenses"),
        ("PI-1", "cooling", "COIL-B", "boils"),
        ("PI-1", "heating", "COIL-A", "boils"),
    ],
)
def test_a_gauge_says_which_coil_it_speaks_of_and_at_which_temperature(tag: str, state: str, coil: str, does: str) -> None:  # fmt: skip
    words = said(tag, state)
    assert f"({coil}), where refrigerant {does} now" in words
    bar = float(re.findall(rf"{tag} shows ([\d.]+) bar g", words)[0])
    told = float(re.findall(rf"R134a {does} at (-?[\d.]+) °C", words)[0])
    # CoolProp's saturation line of R134a at gauge plus 101 325 Pa; the table is drawn in 120 rows
    true = PropsSI("T", "P", bar * 1e5 + STANDARD_ATMOSPHERE_PA, "Q", 1, "R134a") - 273.15
    assert told == pytest.approx(true, abs=0.15)


@pytest.mark.parametrize(("tag", "state"), [("PI-2", "cooling"), ("PI-2", "heating"), ("PI-1", "cooling")])  # fmt: skip
def test_a_gauge_says_where_its_control_acts_and_how_far_that_is(tag: str, state: str) -> None:
    control, side, point = ("PSHH-1", "above", 16.0) if tag == "PI-2" else ("PSL-1", "below", 0.3)  # as rig.toml sets them  # fmt: skip
    words = said(tag, state)
    bar = float(re.findall(rf"{tag} shows ([\d.]+) bar g", words)[0])
    found = re.findall(rf"{control} opens at ([\d.]+) bar g, ([\d.]+) bar {side} what it shows now", words)  # fmt: skip
    assert float(found[0][0]) == point
    assert float(found[0][1]) == pytest.approx(abs(point - bar), abs=0.051)  # said in tenths


def test_a_gauge_of_a_plant_that_stands_names_no_coil() -> None:
    words = said("PI-1", "off")
    assert "neither coil boils or condenses" in words
    assert "COIL" not in words


def test_saturation_is_left_to_the_learner_in_an_assessed_session() -> None:
    assert "R134a boils at" in said("PI-1", "cooling")
    assert "R134a boils at" not in said("PI-1", "cooling", own_work=True)
    assert " K now" not in said("FG-2", "cooling", own_work=True)


def test_a_glass_is_advised_on_by_the_line_it_sits_in() -> None:
    assert "subcooling decides" in said("FG-1", "cooling")
    suction = said("FG-2", "cooling")
    assert "subcooling" not in suction
    assert "superheat at the compressor, from PI-1 and TI-3" in suction
    assert "bubbles or a level in a glass that stands still are normal" in said("FG-1", "off")
    assert "stands still" not in said("FG-1", "cooling")


def test_a_vessel_says_what_it_is_for_what_shows_it_and_what_is_checked() -> None:
    receiver, accumulator = said("receiver", "cooling"), said("accumulator", "cooling")
    assert "keeps the liquid" in receiver
    assert re.search(r"receiver shows \d+ %", receiver)
    assert "four fifths" in card("receiver", "cooling").check
    assert "catches liquid" in accumulator
    assert "FG-2, suction glass at the accumulator, shows clear." in accumulator
    assert card("accumulator", "cooling").check
    here = here_at(View.PLANT, scene_of("cooling"), card("accumulator", "cooling"))
    assert here.terms[0] == "accumulator"


def test_thermometers_say_in_heating_what_flows_past_them() -> None:
    assert "behind the metering device" in said("TI-2", "heating")
    assert "hot gas goes in" in said("TI-4", "heating")
    assert "in heating" not in said("TI-2", "cooling")


def test_the_drawings_help_speaks_of_the_direction_of_now() -> None:
    for state, begins, other in (("cooling", "In cooling", "In heating"), ("heating", "In heating", "In cooling")):  # fmt: skip
        words = " ".join(here_at(View.PLANT, scene_of(state), card("HV-12", state)).lines)
        assert begins in words
        assert other not in words


def test_help_at_a_view_with_an_enter_of_its_own_names_no_other() -> None:
    for view in (View.WORKING, View.SENSES, View.BOARD):
        assert "still what enter works" not in " ".join(here_at(view, scene_of("cooling"), card("HV-12", "cooling")).lines)  # fmt: skip
    assert "still what enter works" in " ".join(here_at(View.METERS, scene_of("cooling"), card("HV-12", "cooling")).lines)  # fmt: skip


def test_the_flowmeter_says_for_which_liquid_and_a_class_what_it_is_of() -> None:
    words = said("FI-1", "cooling")
    assert "drawn for water" in words
    # by hand: class 4 of a scale from 2 to 20 L/h is 0.72 L/h
    assert "class 4, that is percent of the whole scale, so it may stand 0.7 L/h off" in words


def test_the_compressor_is_called_so_and_not_after_its_cover() -> None:
    assert "compressor" in card("M1", "cooling").title
    assert "cover" not in card("M1", "cooling").title


def test_in_heating_a_shared_reason_stands_once_and_instruments_are_called_after_their_places() -> None:  # fmt: skip
    found = stored("heating")
    desk = WorkingDesk()
    held = held_of(found.snapshot, STANDARD_ATMOSPHERE_PA)
    rows = page_rows(held, desk, fake_scales(), stored_fluid(), scene_of("heating").units)
    reasons = [row.below[-1] for row in rows if row.kind == "none" and row.below and not row.below[-1].startswith("=")]  # fmt: skip
    assert len(reasons) == len(set(reasons))
    assert sum(row.right.endswith("as for SH") for row in rows) > 5
    assert rows[1].key == desk.cursor, "the page opens at its first reading"
    assert "liquid before the devices" not in " ".join(row.left for row in rows)
    desk.cursor = "subcooling_at_device_k"
    rows = page_rows(held, desk, fake_scales(), stored_fluid(), scene_of("heating").units)
    assert next(row for row in rows if row.key == desk.cursor).below, "under the cursor every result says why"  # fmt: skip


def test_backflow_is_found_under_its_own_name() -> None:
    assert found_by("backflow")[0].name == "backflow"


@pytest.mark.parametrize(("state", "words"), [("cooling", "evaporator in cooling"), ("heating", "condenser in heating")])  # fmt: skip
def test_a_fans_switch_says_what_its_coil_is_now(state: str, words: str) -> None:
    assert card("HS-2", state).title == f"HS-2  fan of coil B ({words})"

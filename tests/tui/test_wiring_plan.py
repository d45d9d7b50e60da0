"""The plan holds the whole wiring, and says of every piece what it is."""

from __future__ import annotations

import pytest

from sim.rig import load_rig
from sim.wiring import load_wiring
from tests.tui.fake_wiring import fake_plan
from tui.wiring_plan import WiringPlan


@pytest.fixture(params=["120v", "230v", "120v-extended"])
def plan(request: pytest.FixtureRequest) -> WiringPlan:
    return fake_plan(request.param)


def test_everything_that_can_fail_is_a_piece_or_a_lead_or_lies_beside_a_piece() -> None:
    rig, plan = load_rig("fennick_bench"), fake_plan()
    wiring = load_wiring(rig.folder / "wiring_120v.toml", rig)
    drawn = {piece.name for piece in plan.pieces} | {lead.tag for lead in plan.leads}
    missing = {b.name for b in wiring.branches() if b.faultable} - drawn
    assert missing == {"C1.bleed"}


def test_the_rails_are_the_bars_on_which_most_leads_end(plan: WiringPlan) -> None:
    assert plan.rails == ("L.1", "N.1", "PE.1")


def test_a_contact_that_is_closed_without_a_hand_on_it_is_a_break_contact(plan: WiringPlan) -> None:
    signs = {piece.name: piece.sign for piece in plan.pieces}
    assert {signs[name] for name in ("HS-0.line", "PSHH-1", "PSL-1", "TS-1", "F1", "F4")} == {"break"}  # fmt: skip
    assert {signs[name] for name in ("HS-1.line", "HS-4.line", "K1.main", "K2.start")} == {"make"}


def test_the_windings_end_at_the_terminals_that_a_probe_can_reach(plan: WiringPlan) -> None:
    ends = {piece.name: (piece.a, piece.b) for piece in plan.pieces}
    assert (ends["M1.main"], ends["M1.start"]) == (("M1.C", "M1.R"), ("M1.C", "M1.S"))


def test_contacts_of_a_switch_with_several_positions_say_which(plan: WiringPlan) -> None:
    words = {piece.name: piece.position for piece in plan.pieces}
    assert (words["HS-2.high"], words["HS-2.low"], words["HS-4.line"]) == ("high", "low", "")


def test_the_cautions_of_motor_and_capacitor_come_with_them(plan: WiringPlan) -> None:
    assert "terminals" in plan.cautions_of(("M1.C",))
    assert plan.cautions_of(("C1.1", "C1.2")) == ("capacitor",)
    assert plan.cautions_of(("N.1", "")) == ()

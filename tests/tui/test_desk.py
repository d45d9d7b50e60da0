"""What keys do to parts, without a terminal."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from tests.tui.fake_tags import TAGS, FakeTag
from tui.desk import Desk, Waiting, by_tag, nudged, own_settings, toggled, turned
from tui.draw.drawing import Drawing
from tui.draw.holds import choices_of
from tui.draw.layout import View

INFO = by_tag(TAGS)


@pytest.mark.parametrize(
    ("tag", "value", "after"),
    [("HV-12", 1.0, 0.0), ("HV-12", 0.0, 1.0), ("HS-1", "off", "on"), ("HS-0", "pressed", "released"), ("PSHH-1.reset", "", "press")],
)  # fmt: skip
def test_enter_works_what_has_two_positions(tag: str, value: float | str, after: float | str) -> None:  # fmt: skip
    assert toggled(INFO[tag], value) == after


@pytest.mark.parametrize(("tag", "value"), [("HV-12", 0.4), ("HCV-22", 0.4), ("HCV-22", 1.0), ("HCV-22", 0.0)])  # fmt: skip
def test_enter_asks_of_a_needle_and_of_a_valve_that_somebody_has_throttled(tag: str, value: float) -> None:  # fmt: skip
    assert toggled(INFO[tag], value) is None


@pytest.mark.parametrize("tag", ["HS-2", "HS-7", "HS-7.watts", "PSHH-1.set"])
def test_enter_asks_where_there_is_more_than_one_answer(tag: str) -> None:
    assert toggled(INFO[tag], INFO[tag].value) is None


@pytest.mark.parametrize(
    ("tag", "value", "steps", "after"),
    [
        ("HCV-22", 0.35, 1, 0.40),
        ("HCV-22", 0.02, -1, 0.0),
        ("HCV-22", 0.98, 1, 1.0),
        ("HS-2", "off", 1, "low"),
        ("HS-2", "high", 1, "high"),
        ("TCV-23.spring", 0.0, 1, 1.0),
        ("HS-7.watts", 0.0, 1, 25.0),
    ],
)
def test_plus_and_minus_move_a_little_and_stop_at_the_end(tag: str, value: float | str, steps: int, after: float | str) -> None:  # fmt: skip
    assert nudged(INFO[tag], value, steps) == after


def test_plus_and_minus_never_press_a_button() -> None:
    """On the computed bench a trip's reset stands before its set point."""
    reset = FakeTag("PSHH-1.reset", "reset", "reset of the trip", 0.0, 1.0, (), 0.0)
    tags = {reset.tag: reset, "PSHH-1.set": INFO["PSHH-1.set"]}
    assert turned("PSHH-1", tags) == INFO["PSHH-1.set"]
    assert turned("PSHH-1", {reset.tag: reset}) is None


def test_a_part_owns_its_set_point_and_its_reset() -> None:
    assert [info.tag for info in own_settings("PSHH-1", INFO)] == ["PSHH-1.set", "PSHH-1.reset"]
    assert [info.tag for info in own_settings("HV-1", INFO)] == []


def test_arrows_go_to_the_nearest_part_that_way(drawings: Mapping[str, Drawing]) -> None:
    desk = Desk(selected="HV-21")
    assert desk.neighbour(drawings["m"], "right") == "HV-22"
    assert desk.neighbour(drawings["m"], "down") == "FO-21"


def test_tab_goes_round_all_parts_and_back(drawings: Mapping[str, Drawing]) -> None:
    desk, drawing = Desk(selected="HS-1"), drawings["s"]
    seen = []
    for _ in choices_of(drawing):
        desk.selected = desk.following(drawing, 1)
        seen.append(desk.selected)
    assert set(seen) == {hold.tag for hold in choices_of(drawing)}
    assert desk.selected == "HS-1"
    assert desk.following(drawing, -1) == seen[-2]


def test_every_part_gets_its_own_letters(drawings: Mapping[str, Drawing]) -> None:
    for drawing in drawings.values():
        letters = Desk().label_letters(drawing)
        assert set(letters) == {hold.tag for hold in choices_of(drawing)}
        names = list(letters.values())
        assert len(set(names)) == len(names)
        assert not any(a != b and b.startswith(a) for a in names for b in names)


def test_units_go_round() -> None:
    desk = Desk()
    words = [desk.next_units().words for _ in range(3)]
    assert words == ["US + SI", "SI + US", "SI"]


def test_a_part_waits_until_its_order_is_confirmed() -> None:
    desk = Desk(waiting={"HV-12": Waiting(4), "HS-1": Waiting(6)})
    desk.confirm(5)
    assert desk.waiting == {"HS-1": Waiting(6)}


def test_a_new_view_starts_at_its_top() -> None:
    desk = Desk(scroll=30)
    desk.show(View.LOG)
    assert (desk.view, desk.scroll) == (View.LOG, 0)

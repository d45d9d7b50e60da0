"""Every fault moves every reading the way it should, on every device; where it does not, the physical reason stands in the data."""

from __future__ import annotations

import pytest

from sim.rig import Device
from tests.sim.directions import (
    COLUMNS,
    DEVICES,
    ROWS,
    before_and_after,
    contradicts,
    expected,
    found_in,
    in_bands,
    sign,
)

SAMPLE = ("R01", "R18", "R19", "A01", "A05", "A08")
"""The rows of the fast tier."""
EDGE = 0.25  # of a neutral band: so near its edge a recorded sign may be read either way


def said(row: str, device: Device) -> bool:
    """Is anything said by a source? Of the float seldom."""
    return set(ROWS[row][device].split()) != {"."} and (device != "float" or ROWS[row].get("float_said", False))  # fmt: skip


def recorded(row: str) -> bool:
    """Is what the float does only recorded?"""
    return set(ROWS[row]["float"].split()) != {"."} and not said(row, "float")


def hold_against_the_table(ident: str, device: Device) -> None:
    """No contradiction without a reason, no reason without a contradiction."""
    found, sign = found_in(ident, device), expected(ident, device)
    contradictions = {c: found[c] for c in COLUMNS if contradicts(sign[c], found[c])}
    reasons = [a for a in ROWS[ident].get("against", []) if device in a["on"].split()]
    assert contradictions == {a["reading"]: a["computed"] for a in reasons}
    assert all(len(a["why"]) > 40 for a in reasons)


def hold_against_the_record(ident: str) -> None:
    """The float's signs are those recorded, doubled or not."""
    before, after = before_and_after(ident, "float")
    differing = {}
    for column, said in expected(ident, "float").items():
        found = sign(column, before, after)
        if found[0] == said[0]:
            continue
        if column != "glass" and abs(abs(in_bands(column, before, after)) - 1.0) < EDGE:
            continue
        differing[column] = (said, found)
    assert differing == {}


CASES = [(ident, device) for ident in ROWS for device in DEVICES if said(ident, device)]
RECORDED = [ident for ident in ROWS if recorded(ident)]


@pytest.mark.parametrize(("ident", "device"), [case for case in CASES if case[0] in SAMPLE])
def test_readings_move_the_way_they_should(ident: str, device: Device) -> None:
    hold_against_the_table(ident, device)


@pytest.mark.full
@pytest.mark.parametrize(("ident", "device"), [case for case in CASES if case[0] not in SAMPLE])
def test_readings_move_the_way_they_should_in_every_row(ident: str, device: Device) -> None:
    hold_against_the_table(ident, device)


@pytest.mark.parametrize("ident", [one for one in RECORDED if one in SAMPLE])
def test_readings_on_the_float_move_as_recorded(ident: str) -> None:
    hold_against_the_record(ident)


@pytest.mark.full
@pytest.mark.parametrize("ident", [one for one in RECORDED if one not in SAMPLE])
def test_readings_on_the_float_move_as_recorded_in_every_row(ident: str) -> None:
    hold_against_the_record(ident)


@pytest.mark.parametrize("ident", list(ROWS))
def test_every_row_says_where_it_comes_from_and_why_the_float_does_so(ident: str) -> None:
    row = ROWS[ident]
    assert row["source"]
    assert row["float_why"]
    assert all(len(row[device].split()) == len(COLUMNS) for device in DEVICES)


@pytest.mark.parametrize(
    ("said", "found", "against"),
    [
        ("+", "-", True),
        ("+", "++", False),
        ("+", "0", False),
        ("++", "0", True),
        ("0", "+", False),
        ("0", "--", True),
        (".", "++", False),
        ("c", "b", True),
        ("b", "b", False),
        ("0", "0", False),
    ],
)
def test_what_counts_as_a_contradiction(said: str, found: str, against: bool) -> None:
    assert contradicts(said, found) is against

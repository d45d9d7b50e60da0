"""Every fault moves every reading the way it should, on every device; where it does not, the physical reason stands in the data."""

from __future__ import annotations

import pytest

from sim.rig import Device
from tests.sim.directions import (
    COLUMNS,
    DEVICES,
    ROWS,
    against,
    before_and_after,
    contradicts,
    expected,
    found_in,
    in_bands,
    told,
)

SAMPLE = ("R01", "R18", "R19", "R22", "A01", "A05", "A08", "S01")
"""The rows of the fast tier."""
TRADES_LIST = """
R01 R02 R03 R04 R05 R05n R06 R07 R09 R10 R11 R13 R14 R17 R18 R19 R20 R21 R22 R25 R26 R27 R28 R29 R30 R31 R32
A01 A02 A03 A04 A05 A06 A07 A08 A09 E02 E05 E08 E11 E12 E13 C01 C03 S01 S03 O01 O02
"""
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
    assert contradictions == against(ident, device)
    assert all(len(entry["why"]) > 40 for entry in ROWS[ident].get("against", []))


def hold_against_the_record(ident: str) -> None:
    """The float's signs are those recorded, doubled or not."""
    before, after = before_and_after(ident, "float")
    differing = {}
    for column, said in expected(ident, "float").items():
        found = told(column, said, before, after)
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


def test_every_row_of_the_trades_list_is_here() -> None:
    assert sorted(ROWS) == sorted(TRADES_LIST.split())


@pytest.mark.parametrize("ident", list(ROWS))
def test_every_row_says_where_it_comes_from_and_why_the_float_does_so(ident: str) -> None:
    row = ROWS[ident]
    assert row["source"]
    assert row["float_why"]
    assert all(len(row[device].split()) == len(COLUMNS) for device in DEVICES)


def test_a_word_is_true_within_its_band_only() -> None:
    """R134a at 23 degC: 6.27 bar absolute (ASHRAE Fundamentals, tables of refrigerants, from memory)."""
    before = {"suction pressure": 2.3, "discharge pipe": 340.0, "superheat": 6.0}
    after = {"suction pressure": 6.27, "discharge pipe": 296.0, "superheat": 3.0, "wet": False, "room_k": 296.15, "swing": {"superheat": 1.6}, "there": {"superheat": 4.6}}  # fmt: skip
    words = {"suction pressure": "rs", "discharge pipe": "room", "superheat": "false"}
    assert {column: told(column, said, before, after) for column, said in words.items()} == words
    assert told("superheat", "~", before, after) == "~"
    off = after | {"suction pressure": 6.1, "discharge pipe": 299.0, "swing": {"superheat": 1.4}, "there": {"superheat": 4.4}}  # fmt: skip
    found = {column: told(column, said, before, off) for column, said in words.items()}
    assert found == {"suction pressure": "++", "discharge pipe": "--", "superheat": "-"}
    assert told("superheat", "~", before, off) == "-"


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
        ("~", "0", True),
        ("~", "~", False),
        ("rs", "++", True),
        ("room", "room", False),
        ("false", "-", True),
        ("0", "0", False),
    ],
)
def test_what_counts_as_a_contradiction(said: str, found: str, against: bool) -> None:
    assert contradicts(said, found) is against

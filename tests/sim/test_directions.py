"""Every fault moves every reading the way it should, on every device; where it does not, the physical reason stands in the data."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from sim import Bench, load_rig
from sim.columns import N_VOLUME, P_RHOL, P_VOID
from sim.rig import Device
from sim.session import line_up

DATA = tomllib.loads(Path(__file__).with_name("directions.toml").read_text(encoding="utf-8"))
ROWS = {row["id"]: row for row in DATA["row"]}
DEVICES: tuple[Device, ...] = ("thermostatic", "capillary", "hand", "float")
COLUMNS = (
    "suction pressure", "discharge pressure", "superheat", "subcooling", "discharge pipe", "current", "compressor power", "liquid flow",
    "glass", "air drop", "air rise",
)  # fmt: skip
BANDS = dict(zip((c for c in COLUMNS if c != "glass"), DATA["neutral"].values(), strict=True))
SAMPLE = ("R01", "R18", "R19", "A01", "A05", "A08")
"""The rows of the fast tier."""
WARM_S = 5400.0
DOUBLED = 6.0  # neutral bands
EDGE = 0.25  # of a neutral band: so near its edge a recorded sign may be read either way
GLASS = {"clear": "c", "bubbles": "b", "foam": "b", "empty": "e"}
SHARE_GONE = 0.15  # of the charge outside receiver and drier, in "past the receiver"


@cache
def warm(device: Device, before: tuple[tuple[str, float], ...] = ()) -> Bench:
    """A bench steady on a device; ``before`` is put before it warms."""
    bench = Bench(load_rig("fennick_bench"))
    for tag, value in before:
        bench.set(tag, value)
    line_up(bench, device)
    bench.advance(WARM_S)
    return bench


def seen(bench: Bench) -> dict[str, Any]:
    """What a person reads off, by column."""
    r: dict[str, Any] = bench.readings()
    values = (
        r["suction_pressure_pa"] / 1e5,
        r["discharge_pressure_pa"] / 1e5,
        r["evaporator_superheat_k"],
        r["condenser_subcooling_k"],
        r["discharge_temperature_k"],
        r["current_a"],
        r["compressor_power_w"],
        r["liquid_flow_kg_s"],
        GLASS[r["sight_glass"]],
        r["evaporator_air_in_k"] - r["evaporator_air_out_k"],
        r["condenser_air_out_k"] - r["condenser_air_in_k"],
    )
    return dict(zip(COLUMNS, values, strict=True)) | {"wet": r["evaporator_outlet_quality"] < 1.0}


def in_bands(column: str, before: dict[str, Any], after: dict[str, Any]) -> float:
    """Change of a reading in neutral bands."""
    band = BANDS[column] * (before[column] if column == "liquid flow" else 1.0)
    return float((after[column] - before[column]) / band)


def sign(column: str, before: dict[str, Any], after: dict[str, Any]) -> str:
    """0, a sign, or a doubled sign; for the glass what it shows."""
    if column == "glass":
        return str(after["glass"])
    change = in_bands(column, before, after)
    if abs(change) <= 1.0:
        return "0"
    one = "+" if change > 0.0 else "-"
    wet = column == "superheat" and change < 0.0 and after["wet"]
    return one * 2 if abs(change) > DOUBLED or wet else one


def contradicts(said: str, found: str) -> bool:
    """Opposite signs, another glass, or nothing where one side is doubled."""
    if said == ".":
        return False
    if said in ("c", "b"):
        return said != found
    if "0" in (said, found):
        return len(said + found) == 3
    return said[0] != found[0]


def grams_to_take(bench: Bench, how: str) -> float:
    """Kilograms that a row's words about charge mean on this bench now."""
    bench.look()
    node = bench.layout.nodes["receiver"]
    row = bench.watch.P[node]
    liquid = float(bench.plant.node[node, N_VOLUME] * (1.0 - row[P_VOID]) * row[P_RHOL])
    if how == "half the receiver":
        return 0.5 * liquid
    kept = {bench.layout.nodes[name] for name in ("receiver", "drier")}
    active = sum(bench.watch.y[k] for k in range(bench.layout.n_nodes) if k not in kept)
    return liquid + SHARE_GONE * float(active)


def put(bench: Bench, row: dict[str, Any], device: Device) -> None:
    """Let the row happen."""
    if "fault" in row:
        bench.insert_fault(row["fault"], severity=row["severity"])
    if "charge" in row:
        share = grams_to_take(bench, row["charge"]) / bench.rig.charge_kg
        bench.insert_fault("undercharge", severity=share)
    settings = row.get("set", {})
    for tag, value in settings.get(device, settings.get("all", {})).items():
        bench.set(tag, value)


@cache
def before_and_after(ident: str, device: Device) -> tuple[dict[str, Any], dict[str, Any]]:
    """Readings of a row before and after."""
    row = ROWS[ident]
    healthy = warm(device, tuple(row.get("before", {}).get("all", {}).items()))
    bench = healthy.fork()
    put(bench, row, device)
    bench.advance(row.get("at_s", WARM_S))
    return seen(healthy), seen(bench)


def expected(ident: str, device: Device) -> dict[str, str]:
    """The row's signs by column."""
    return dict(zip(COLUMNS, ROWS[ident][device].split(), strict=True))


def cases(devices: tuple[Device, ...], rows: tuple[str, ...]) -> list[tuple[str, Device]]:
    """Row and device where anything is said."""
    return [(i, d) for i in rows for d in devices if set(ROWS[i][d].split()) != {"."}]


def hold_against_the_table(ident: str, device: Device) -> None:
    """No contradiction without a reason, no reason without a contradiction."""
    before, after = before_and_after(ident, device)
    found = {c: sign(c, before, after) for c in COLUMNS}
    said = expected(ident, device)
    contradictions = {c: found[c] for c in COLUMNS if contradicts(said[c], found[c])}
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


DIRECT = DEVICES[:3]
REST = tuple(i for i in ROWS if i not in SAMPLE)


@pytest.mark.parametrize(("ident", "device"), cases(DIRECT, SAMPLE))
def test_readings_move_the_way_they_should(ident: str, device: Device) -> None:
    hold_against_the_table(ident, device)


@pytest.mark.full
@pytest.mark.parametrize(("ident", "device"), cases(DIRECT, REST))
def test_readings_move_the_way_they_should_in_every_row(ident: str, device: Device) -> None:
    hold_against_the_table(ident, device)


@pytest.mark.parametrize("ident", [i for i, _ in cases(("float",), SAMPLE)])
def test_readings_on_the_float_move_as_recorded(ident: str) -> None:
    hold_against_the_record(ident)


@pytest.mark.full
@pytest.mark.parametrize("ident", [i for i, _ in cases(("float",), REST)])
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

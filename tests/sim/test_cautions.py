"""Cautions are stored once, and whatever can hurt carries its own."""

from __future__ import annotations

from pathlib import Path
from typing import get_args, get_type_hints

import pytest

from sim.catalogue import CATALOGUE
from sim.cautions import all_cautions, cautions_for, read_cautions
from sim.errors import InputError
from sim.faults import all_faults
from sim.rig import Instrument
from sim.switches import KINDS

IDS = "general pressure trapped relief protective isolate capacitor terminals restart hot/cold gas flammable nitrogen cylinder vacuum card".split()  # noqa: SIM905


def test_the_cautions_are_all_there() -> None:
    assert list(all_cautions()) == IDS


@pytest.mark.parametrize("kind", sorted(CATALOGUE))
def test_every_hazard_of_a_part_is_a_caution_that_applies_to_it(kind: str) -> None:
    carried = {caution.id for caution in cautions_for(f"part:{kind}", also=CATALOGUE[kind].HAZARDS)}
    assert set(CATALOGUE[kind].HAZARDS) <= carried


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_every_hazard_of_a_switch_is_a_caution_that_applies_to_it(kind: str) -> None:
    carried = {caution.id for caution in cautions_for(f"switch:{kind}")}
    assert set(KINDS[kind].HAZARDS) <= carried


def test_every_part_under_pressure_or_volts_carries_a_caution() -> None:
    bare = [
        kind for kind in CATALOGUE if not cautions_for(f"part:{kind}", also=CATALOGUE[kind].HAZARDS)
    ]
    assert bare == []


def test_the_kinds_that_cautions_name_exist() -> None:
    later = {
        "receiver",
        "sight_glass",
        "flowmeter",
        "capacitor",
        "mapped_compressor",
        "accumulator",
        "filter drier",
        "float drum",
    }
    named = {s for caution in all_cautions().values() for s in caution.applies}
    kinds = {s.removeprefix("part:") for s in named if s.startswith("part:")}
    instruments = set(get_args(get_type_hints(Instrument)["kind"]))
    assert kinds - later - instruments <= set(CATALOGUE)
    assert {s.removeprefix("switch:") for s in named if s.startswith("switch:")} <= set(KINDS)


def test_a_flammable_fluid_says_its_class() -> None:
    (caution,) = cautions_for("safety-class:A3")
    line = caution.line(safety_class="A3")
    assert "DANGER: A3: no ignition source" in line
    assert "{class}" not in line
    assert cautions_for("safety-class:A1") == []


def test_a_caution_is_marked_by_sign_and_word() -> None:
    for caution in all_cautions().values():
        assert caution.line().startswith("[")
        assert caution.level.upper() in caution.line()


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("", 1),
        ('[[caution]]\nid = "a"\ntext = "b"\nclass = "peril"\napplies = []\n', 4),
        ('[[caution]]\nid = "a"\ntext = "b"\nclass = "danger"\napplies = ["port:fan"]\n', 5),
        ('[[caution]]\nid = "a"\ntext = "b"\nclass = "danger"\napply = []\n', 5),
        ('[[caution]]\nid = "a"\ntext = "b"\nclass = "danger"\napplies = []\n' * 2, 7),
    ],
)
def test_a_wrong_caution_is_refused_at_its_line(tmp_path: Path, text: str, line: int) -> None:
    path = tmp_path / "cautions.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(InputError) as caught:
        read_cautions(path)
    assert line in [mistake.line for mistake in caught.value.mistakes]


@pytest.mark.parametrize(
    ("fault", "caution"),
    [
        ("moisture", "hot/cold"), ("drier-spent", "hot/cold"), ("reversing-valve-stuck", "hot/cold"), ("pilot-tube-blocked", "hot/cold"),
        ("start-relay-open", "terminals"), ("start-relay-welded", "terminals"), ("wrong-refrigerant", "gas"), ("non-condensable", "gas"),
    ],
)  # fmt: skip
def test_a_fault_carries_what_the_list_of_cautions_gives_its_row(fault: str, caution: str) -> None:
    """design/cautions: hot/cold at R14, R20 to R23 and the liquid line, terminals at E05 to E10, gas where refrigerant leaves or changes."""
    assert caution in all_faults()[fault].cautions

"""A bare hand on the plant, and the way that one walks round it."""

from __future__ import annotations

import pytest

from sim import Bench
from sim.electrical import ElectricalFault
from sim.errors import InputError
from sim.senses import Senses, Spot


def spot(bench: Bench, place: str) -> Spot:
    found = bench.senses().spot(place)
    assert found is not None
    return found


# --- hands ----------------------------------------------------------------------------------------


def last(bench: Bench) -> tuple[str, str]:
    return bench.events[-1].kind, bench.events[-1].text


def test_a_hand_tells_warm_from_cold_and_it_goes_on_record(settled: Bench) -> None:
    assert settled.touch("liquid_line").surfaces[0].feel == "warm"
    assert last(settled) == ("note", "liquid line up to XV-1: warm.")
    settled.touch("COIL-B")
    assert last(settled)[1].startswith("coil B, takes heat in cooling: cold, then cool")


def test_a_hand_on_a_hot_pipe_is_a_violation_with_its_caution(settled: Bench) -> None:
    settled.touch("head")
    kind, text = last(settled)
    assert kind == "violation"
    assert "drawn back" in text
    assert "Thermometer before hand" in text


def test_a_hand_at_a_turning_fan_is_a_violation_and_at_a_standing_one_is_not(settled: Bench) -> None:  # fmt: skip
    settled.touch("FAN-A")
    assert last(settled)[0] == "violation"
    settled.set("HS-3", "off")
    settled.touch("FAN-A")
    assert last(settled)[0] == "note"


def test_metal_that_has_lost_its_earth_and_its_insulation_gives_a_shock(settled: Bench) -> None:
    settled.touch("receiver")
    assert last(settled)[0] == "note"
    settled.set("W61", "lifted")  # the earth of the compressor
    settled.wiring.insert(ElectricalFault(bridge=("M1.C", "M1.PE"), ohm=1.0))
    settled.touch("receiver")
    kind, text = last(settled)
    assert kind == "violation"
    assert "prove dead" in text


def test_nothing_is_felt_where_there_is_nothing_to_feel(settled: Bench) -> None:
    with pytest.raises(InputError, match="no place called"):
        settled.touch("recever")
    with pytest.raises(InputError, match="nothing to feel"):
        settled.touch("TCV-23")
    settled.set("HS-7", "closed")
    with pytest.raises(InputError, match="load box"):
        settled.touch("COIL-B")
    assert spot(settled, "FAN-B").shut_in


# --- the walk round the plant -------------------------------------------------------------------------


def places(senses: Senses, *wanted: str) -> list[str]:
    return [one.place for one in senses.spots if one.place in wanted]


def test_one_walks_with_the_refrigerant(settled: Bench) -> None:
    way = ("head", "discharge", "XV-2", "COIL-A", "FAN-A", "receiver", "drier", "liquid_line", "XV-1", "header", "TCV-23", "COIL-B", "FAN-B", "b_outlet", "suction_line", "accumulator", "suction_port", "shell")  # fmt: skip
    assert places(settled.senses(), *way) == list(way)


def test_in_heating_one_walks_from_the_other_coil(settled: Bench) -> None:
    settled.set("HS-4", "off")
    settled.advance(300.0)
    settled.set("HS-5", "heating")
    for tag, value in (("HV-12", 0.0), ("HV-11", 0.0), ("HV-13", 1.0), ("HV-21", 1.0), ("HV-23", 0.0), ("HV-32", 0.0), ("HS-4", "on")):  # fmt: skip
        settled.set(tag, value)
    settled.advance(60.0)
    way = ("discharge", "b_outlet", "COIL-B", "header", "liquid_line", "COIL-A", "suction_line", "shell")  # fmt: skip
    assert places(settled.senses(), *way) == list(way)


def test_every_node_is_within_reach_once(settled: Bench) -> None:
    found = [surface.node for one in settled.senses().spots for surface in one.surfaces]
    assert sorted(found) == sorted(settled.layout.nodes)
    assert len({one.place for one in settled.senses().spots}) == len(settled.senses().spots)
    assert all(one.what for one in settled.senses().spots)


def test_a_part_is_found_at_its_pipe(settled: Bench) -> None:
    assert spot(settled, "HV-42").place == "head"
    assert spot(settled, "M1").place == "shell"
    assert spot(settled, "HS-4").place == "shell", "and so is the switch that starts it"
    assert spot(settled, "HS-2").place == "FAN-B"
    assert spot(settled, "PSHH-1").place == "head"
    assert settled.senses().spot("HV-99") is None

"""The table of readings, and what it says of instruments."""

from __future__ import annotations

import pytest

from sim import Bench
from sim.readings import READINGS, SIGHT_GLASS_WORDS, TEXT_READINGS, describe
from sim.rig import load_rig
from sim.session import start_bench
from sim.starts import Start
from sim.units import SYMBOLS, split_key


@pytest.mark.parametrize("name", sorted(READINGS))
def test_a_reading_has_the_unit_that_its_name_ends_in_and_one_sentence(name: str) -> None:
    unit, sentence = READINGS[name]
    assert (unit in SYMBOLS) == bool(split_key(name)[1])
    assert sentence[0].isupper()
    assert sentence.endswith(".")
    assert ". " not in sentence


def test_what_an_instrument_shows_is_described_by_its_reading() -> None:
    unit, sentence = describe("suction_pressure_pa_shown")
    assert unit == "Pa"
    assert READINGS["suction_pressure_pa"][1] in sentence


def test_an_instrument_says_where_a_reversed_cycle_leaves_it() -> None:
    assert describe("evaporator_air_in_k_shown")[1].endswith("in heating it stands at the condenser.")  # fmt: skip
    assert describe("condenser_air_out_k_shown")[1].endswith("in heating it stands at the evaporator.")  # fmt: skip
    assert "heating" not in describe("suction_pressure_pa_shown")[1]


def test_a_thermometer_does_stand_in_the_other_coils_air_in_heating() -> None:
    """The claim above, on the plant: what the display at coil B follows is the condenser's air."""
    bench = start_bench(load_rig("fennick_bench"), Start(start="steady", device="capillary", mode="heating"))  # fmt: skip
    readings = bench.readings()
    shown = float(readings["evaporator_air_out_k_shown"])
    assert shown == pytest.approx(float(readings["condenser_air_out_k"]), abs=1.5)
    assert shown > float(readings["evaporator_air_out_k"]) + 5.0


def test_other_glasses_are_described_by_their_tag() -> None:
    assert "FG-2" in describe("sight_glass_FG-2")[1]
    assert set(SIGHT_GLASS_WORDS) == {"clear", "bubbles", "foam", "wet", "empty"}
    assert set(READINGS) >= TEXT_READINGS


def test_an_unknown_reading_is_a_key_error() -> None:
    with pytest.raises(KeyError):
        describe("mood")


def test_at_rest_no_reading_is_colder_or_warmer_than_anything_in_the_plant(running: Bench) -> None:
    """Where nothing flows there is no stream with a temperature of its own."""
    running.set("HS-4", "off")
    for wait_s in (300.0, 3600.0, 7200.0):
        running.advance(wait_s)
        temperatures = [place.temperature_k for place in running.snapshot().places.values()]
        for name in ("condenser_outlet_temperature_k", "evaporator_outlet_temperature_k"):
            value = float(running.readings()[name])
            assert min(temperatures) - 0.1 < value < max(temperatures) + 0.1

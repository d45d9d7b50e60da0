"""What hand, eye and ear find: thresholds against what is published, and the bench in health and with faults as a technician would find it."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise
from typing import get_args

import psychrolib
import pytest
from CoolProp.CoolProp import PropsSI

from sim import Bench
from sim.electrical import ElectricalFault
from sim.errors import InputError
from sim.senses import (
    BITE_K,
    BURN_K,
    FROST_SEEN_KG_M2,
    HOLD_K,
    NUMB_K,
    SIGNS,
    Feel,
    Senses,
    Spot,
    air_sign,
    fan_sign,
    feel_of,
    skin_of_cell,
    skin_of_pipe,
    stream_sign,
)

ROOM_K = 296.15
ICE_K = 273.15


def fahrenheit(degrees: float) -> float:
    return (degrees - 32.0) / 1.8 + ICE_K


def spot(bench: Bench, place: str) -> Spot:
    found = bench.senses().spot(place)
    assert found is not None
    return found


def signs(bench: Bench, place: str) -> dict[str, float]:
    return {sign.what: sign.value for sign in spot(bench, place).signs}


def skins(bench: Bench, place: str) -> list[str]:
    return [surface.skin for surface in spot(bench, place).surfaces]


def feels(bench: Bench, place: str) -> list[str]:
    return [surface.feel for surface in spot(bench, place).surfaces]


@pytest.fixture(scope="module")
def _settled(_warm: Bench) -> Bench:
    bench = _warm.fork()
    bench.advance(3600.0)
    return bench


@pytest.fixture
def settled(_settled: Bench) -> Bench:
    """The bench when all its metal has come to rest."""
    return _settled.fork()


# --- thresholds -----------------------------------------------------------------------------------


def test_hot_words_agree_with_how_long_hot_water_takes_to_scald() -> None:
    # US Consumer Product Safety Commission, document 5098 (from memory): third-degree burns of adults by 150 F water in 2 s, 140 F in 6 s, 130 F in 30 s, 120 F in 5 min.
    # What scalds in six seconds is not for a hand; what takes half a minute cannot be held; what takes minutes is merely warm.
    words = [feel_of(fahrenheit(f), ROOM_K) for f in (150.0, 140.0, 130.0, 120.0)]
    assert words == ["too hot to touch", "too hot to touch", "hot", "warm"]


def test_burn_thresholds_lie_in_the_bands_of_the_standard() -> None:
    # ISO 13732-1 (EN 563 before it), from memory: bare smooth metal 58 to 64 C for a contact of 4 s; 51 C for a minute, whatever the material
    assert 58.0 <= BURN_K - ICE_K <= 64.0
    assert pytest.approx(51.0) == HOLD_K - ICE_K


def test_cold_words_follow_the_temperatures_at_which_fingers_go_numb_and_freeze() -> None:
    # Geng et al., Ann. Occup. Hyg. 50 (2006) 851, abstract: contact temperature 15 C pain, 7 C numbness, 0 C risk of frostbite
    assert pytest.approx(7.0) == NUMB_K - ICE_K
    assert BITE_K < ICE_K, "no bite above the temperature at which skin can freeze"
    assert feel_of(ICE_K + 6.9, ROOM_K) == "cold"
    assert feel_of(ICE_K + 15.0, ROOM_K) == "cool"


@pytest.mark.parametrize("room_k", [278.15, 296.15, 313.15])
def test_words_go_one_way_with_temperature(room_k: float) -> None:
    order = {feel: k for k, feel in enumerate(get_args(Feel))}
    ranks = [order[feel_of(240.0 + 0.5 * k, room_k)] for k in range(240)]
    assert all(a <= b for a, b in pairwise(ranks))
    assert set(ranks) >= {0, 1, 3, 4, 5, 6}


def test_a_pipe_sweats_below_the_dew_point_and_is_white_below_zero() -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    dew = psychrolib.GetTDewPointFromRelHum(23.0, 0.4) + ICE_K
    assert skin_of_pipe(dew + 0.1, dew) == "dry"
    assert skin_of_pipe(dew - 0.1, dew) == "sweating"
    assert skin_of_pipe(ICE_K - 1.0, dew) == "frosted"


def test_in_very_dry_air_a_pipe_below_zero_is_dry_until_the_frost_point() -> None:
    assert skin_of_pipe(ICE_K - 5.0, ICE_K - 8.0) == "dry"
    assert skin_of_pipe(ICE_K - 9.0, ICE_K - 8.0) == "frosted"


def test_a_cell_goes_by_its_frost_and_not_by_its_cold() -> None:
    dew = ICE_K + 8.0
    assert skin_of_cell(ICE_K - 4.0, dew, 0.0) == "dry", "cold, but nothing has frozen on it yet"
    assert skin_of_cell(ICE_K - 4.0, dew, 2.0 * FROST_SEEN_KG_M2) == "frosted"
    assert skin_of_cell(ICE_K + 2.0, dew, 2.0 * FROST_SEEN_KG_M2) == "thawing"
    assert skin_of_cell(ICE_K + 2.0, dew, 0.0) == "sweating"


def test_what_goes_into_a_throttle_decides_what_it_sounds_like() -> None:
    heard = [stream_sign(20.0, *voids) for voids in ((0.0, 0.9), (0.0, 0.0), (0.3, 0.9), (1.0, 1.0))]  # fmt: skip
    assert [sign.what for sign in heard if sign] == ["flashes", "liquid rushes", "gurgles", "gas hisses"]  # fmt: skip
    assert stream_sign(0.5, 1.0, 1.0) is None


def test_air_and_fans_have_a_word_for_every_state() -> None:
    assert [air_sign(k, 0.5).what for k in (-8.0, 0.5, 6.0)] == ["air cooler", "air the same", "air warmer"]  # fmt: skip
    assert air_sign(-8.0, 0.05).what == "no air"
    assert [fan_sign(s, 1.0).what for s in (0.0, 1.0, 2.0)] == ["stands still", "turns slowly", "turns fast"]  # fmt: skip
    assert fan_sign(2.0, 0.7).what == "turns wearily"


def test_every_sign_says_which_sense_finds_it_and_where_its_threshold_stands() -> None:
    for what, (sense, value, source) in SIGNS.items():
        assert sense in ("look", "listen", "feel"), what
        assert value or source, what


# --- a sound bench --------------------------------------------------------------------------------


def test_a_bench_that_runs_well_is_found_as_the_trade_describes_it(settled: Bench) -> None:
    # common practice: discharge hot, liquid line warm, suction cool or cold and sweating, evaporator wet and without frost at 23 C
    assert feels(settled, "head")[0] in ("hot", "too hot to touch")
    assert feels(settled, "liquid_line") == ["warm"]
    assert feels(settled, "suction_line") == ["cool"]
    assert feels(settled, "b_outlet") == ["cold"]
    assert skins(settled, "b_outlet") == ["sweating"]
    assert set(skins(settled, "COIL-B")) == {"sweating", "dry"}
    assert feels(settled, "COIL-B")[0] == "cold"
    assert set(skins(settled, "COIL-A")) == {"dry"}
    assert "air warmer" in signs(settled, "COIL-A")
    assert "air cooler" in signs(settled, "COIL-B")


def test_the_dew_point_is_the_rooms(settled: Bench) -> None:
    psychrolib.SetUnitSystem(psychrolib.SI)
    expected = psychrolib.GetTDewPointFromRelHum(23.0, 0.4) + ICE_K
    # psychrolib solves to 0.001 K; the two fits of vapour pressure are the same equation
    assert settled.senses().dew_point_k == pytest.approx(expected, abs=0.01)


def test_the_beat_of_a_two_pole_machine_is_a_little_below_the_mains(settled: Bench) -> None:
    # common practice: two poles on 60 Hz run at 3450 to 3500 rpm, one stroke a turn
    assert 3420 / 60 < signs(settled, "shell")["runs"] < 3560 / 60
    assert signs(settled, "K1")["coil hums"] == pytest.approx(2 * 60.0)


def test_only_the_device_in_use_is_heard(settled: Bench) -> None:
    assert set(signs(settled, "TCV-23")) == {"flashes"}
    assert not signs(settled, "HCV-22")
    assert not signs(settled, "FO-21")
    assert set(signs(settled, "XV-2")) == {"slide"}


def test_frost_on_the_fins_is_the_frost_of_the_readings(settled: Bench) -> None:
    settled.set("HS-2", "off")
    settled.advance(1200.0)
    coil = next(p.part for p in settled.rig.parts if p.tag == "COIL-B")
    cells = spot(settled, "COIL-B").surfaces
    area = coil.fin_area_m2 / len(cells)  # type: ignore[attr-defined]
    on_it = sum(cell.frost_kg_m2 for cell in cells) * area
    assert on_it == pytest.approx(float(settled.readings()["evaporator_frost_kg"]), rel=1e-6)


def test_a_stopped_bench_is_silent_after_a_click(settled: Bench) -> None:
    settled.set("HS-4", "off")
    settled.advance(1.0)
    assert "clicks" in signs(settled, "K1")
    settled.set("HS-1", "off")
    settled.advance(120.0)
    listened = [sign.what for one in settled.senses().spots for sign in one.found("listen")]
    assert listened == []
    assert "stands still" in signs(settled, "FAN-A")


def test_looking_round_changes_nothing(running: Bench, another: Callable[[], Bench]) -> None:
    other = another()
    for _ in range(10):
        running.advance(3.0)
        running.senses()
        other.advance(3.0)
    assert running.readings() == other.readings()
    assert running.watch.y.tolist() == other.watch.y.tolist()
    assert len(running.events) == len(other.events)


# --- faults ---------------------------------------------------------------------------------------


def test_without_its_fan_the_evaporator_turns_white_and_so_does_its_outlet(settled: Bench) -> None:
    settled.insert_fault("evaporator-fan-open")
    settled.advance(1200.0)
    assert skins(settled, "COIL-B")[:5] == ["frosted"] * 5
    assert skins(settled, "b_outlet") == ["frosted"]
    assert set(signs(settled, "FAN-B")) == {"stands still"}, "an open winding does not hum"
    assert "no air" in signs(settled, "COIL-B")


def test_a_starved_coil_is_white_only_where_it_still_has_liquid(settled: Bench) -> None:
    settled.insert_fault("liquid-line-restricted", 0.7)
    settled.advance(1800.0)
    line = skins(settled, "COIL-B")
    assert line[0] == "frosted"
    assert "frosted" not in line[2:], "starved: only the first bends are white"


def test_a_white_coil_thaws_before_it_is_clean_when_the_machine_rests(settled: Bench) -> None:
    settled.set("HS-2", "off")
    settled.advance(1800.0)
    settled.set("HS-4", "off")
    seen = []
    for _ in range(60):
        settled.advance(5.0)
        seen.append(skins(settled, "COIL-B")[0])
    assert "thawing" in seen
    assert seen[-1] in ("sweating", "dry")
    assert "frosted" not in seen[seen.index("thawing") :], "it does not freeze again"


def test_behind_a_choked_drier_the_line_is_cold_and_in_damp_air_it_sweats(settled: Bench) -> None:
    # common practice: a drop in temperature across a drier that one can feel is a restriction
    before = spot(settled, "receiver").surfaces[0].temperature_k - spot(settled, "drier").surfaces[0].temperature_k  # fmt: skip
    settled.insert_fault("liquid-line-restricted", 1.0)
    settled.advance(300.0)
    behind = spot(settled, "drier").surfaces[0]
    drop = spot(settled, "receiver").surfaces[0].temperature_k - behind.temperature_k
    assert before < 4.0
    assert drop > 10.0
    assert behind.feel == "cool"
    assert behind.skin == "dry"
    assert "gurgles" in signs(settled, "TCV-23"), "bubbles go into the valve"
    assert "foam" in signs(settled, "header")
    settled.set("relative_humidity", 0.85)
    settled.advance(60.0)
    assert skins(settled, "drier") == ["sweating"]


def test_a_leaking_slide_hisses_and_warms_the_suction_pipe_at_the_valve(settled: Bench) -> None:
    # common practice: suction pipe at the valve warmer than the pipe from the evaporator by more than a few kelvin
    settled.insert_fault("reversing-valve-leak")
    settled.advance(300.0)
    assert "gas hisses" in signs(settled, "XV-2")
    assert feels(settled, "suction_line") == ["warm"]
    assert feels(settled, "b_outlet") == ["cool"]


@pytest.mark.parametrize("hertz", [50.0, 60.0])
def test_a_seized_compressor_hums_at_twice_the_mains(settled: Bench, hertz: float) -> None:
    settled.insert_fault("compressor-seized")
    settled.set("HS-4", "off")
    settled.advance(60.0)
    settled.set("supply_frequency_hz", hertz)
    settled.set("HS-4", "on")
    settled.advance(1.0)
    heard = signs(settled, "shell")
    assert heard["hums"] == pytest.approx(2.0 * hertz)
    assert "runs" not in heard


def test_a_throttled_suction_valve_hisses_with_the_power_that_the_gas_loses(settled: Bench) -> None:
    settled.set("HV-41", 0.06)
    settled.advance(300.0)
    now = settled.snapshot()
    a, b = now.places["accumulator"], now.places["suction_port"]
    volume = [1.0 / PropsSI("D", "P", p.pressure_pa, "T", p.temperature_k, "R134a") for p in (a, b)]
    power = now.flows["HV-41"] * (a.pressure_pa - b.pressure_pa) * sum(volume) / 2.0
    # the gas behind is taken as just saturated; with some 10 K of superheat it is 5 % larger
    assert signs(settled, "HV-41")["gas hisses"] == pytest.approx(power, rel=0.06)


def test_liquid_in_the_cylinder_knocks(settled: Bench) -> None:
    settled.insert_fault("overcharge")
    settled.advance(60.0)
    for tag, value in (("HV-22", 1.0), ("HCV-22", 1.0), ("HV-21", 1.0), ("HS-2", "off")):
        settled.set(tag, value)
    for _ in range(600):
        settled.advance(1.0)
        if "knocks" in signs(settled, "shell"):
            break
    assert "knocks" in signs(settled, "shell")
    assert "slug" in {event.kind for event in settled.events}


def test_a_stalled_fan_hums(settled: Bench) -> None:
    settled.set("supply_voltage_v", 60.0)
    settled.set("HS-3", "off")
    settled.advance(5.0)
    settled.set("HS-3", "low")
    settled.advance(5.0)
    assert set(signs(settled, "FAN-A")) == {"stands still", "hums"}


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
